"""What the page's requests are, as one table, and that table as an OpenAPI description.

Nobody is served it: tests hold it against the application, and a program that thinks up requests
takes it as what to think of.  OpenAPI 3.1 (spec.openapis.org/oas/v3.1.0), schemas in the JSON
Schema of 2020-12.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from mouldgen import __version__
from mouldgen.page.download_task import PAPERS, WHATS
from mouldgen.page.folder import MOST_TEXT_BYTES

Schema = Mapping[str, Any]

JSON, LINES, BYTES, HTML = (
    "application/json", "application/x-ndjson", "application/octet-stream", "text/html",
)  # fmt: skip

TEXT: Schema = {"type": "string"}
FLAG: Schema = {"type": "boolean"}
COUNT: Schema = {"type": "integer", "minimum": 0}
DAY: Schema = {"type": "string", "format": "date"}
JOB: Schema = {"type": "string", "maxLength": MOST_TEXT_BYTES}


def _texts(most: int | None = None) -> Schema:
    return {"type": "array", "items": TEXT} | ({} if most is None else {"maxItems": most})


def _one_of(*words: str) -> Schema:
    return {"type": "string", "enum": list(words)}


def _all(**fields: Schema) -> Schema:
    """An object that has all of its fields."""
    return {"type": "object", "properties": fields, "required": list(fields)}


def _some(*needed: str, fields: Mapping[str, Schema]) -> Schema:
    """An object of which these fields are needed and the others are not."""
    return {"type": "object", "properties": dict(fields), "required": list(needed)}


def _list(item: Schema) -> Schema:
    return {"type": "array", "items": item}


PROBLEM = _all(
    problem=_all(**dict.fromkeys(("id", "what", "where", "key", "allowed", "try", "text"), TEXT))
)
OPENED = _all(name=TEXT, text=TEXT, stamp=TEXT)
EDIT: Schema = {
    "oneOf": [
        _all(key=TEXT, said=TEXT),
        _all(key=TEXT, add={"const": True}),
        _all(key=TEXT, drop={"const": True}),
    ]
}
QUESTION = _all(id=TEXT, words=TEXT, usual=TEXT, choices=_list(_texts(2)), hint=TEXT, told=_texts())
POUR = dict.fromkeys(
    ("load", "shop", "close", "pressure", "when", "moulds", "mixed", "left", "note"), TEXT
)


@dataclass(frozen=True, eq=False)
class Told:
    """One request.

    method, path : of it.
    does : one sentence.
    takes : the schema of its JSON; None where it has no body, or bytes.
    gives : the kind of its answer.
    answer : the schema of that, where it is JSON.
    refused : statuses of refusals, besides those that every request may be met with.
    query : names in its address, each a text that is needed.
    """

    method: str
    path: str
    does: str
    takes: Schema | None = None
    gives: str = JSON
    answer: Schema | None = None
    refused: tuple[int, ...] = ()
    query: tuple[str, ...] = field(default=())


_SENT = (408, 413, 415, 422)  # what may be wrong with what is sent
REQUESTS = (
    Told("GET", "/", "The page.", gives=HTML),
    Told("GET", "/assets/{name}", "A file that the page loads.", gives="*/*", refused=(404,)),
    Told(
        "GET",
        "/api/start",
        "What a new tab begins with.",
        answer=_all(
            version=TEXT, name=TEXT, text=TEXT, stamp=TEXT, folder=TEXT, pdf=FLAG, today=DAY,
            shipped=_list(_all(name=TEXT, title=TEXT)), files=_texts(),
        ),
    ),
    Told(
        "POST",
        "/api/open",
        "A job of the folder, or a copy of a shipped one.",
        takes=_all(**{"from": _one_of("shipped", "folder"), "name": TEXT}),
        answer=OPENED,
        refused=_SENT,
    ),
    Told(
        "POST",
        "/api/save",
        "Write a job file into the folder.",
        takes=_some(
            "name", "text", fields={"name": TEXT, "text": JOB, "stamp": TEXT, "over": FLAG}
        ),
        answer=_all(name=TEXT, stamp=TEXT),
        refused=(409, *_SENT),
    ),
    Told(
        "POST",
        "/api/change",
        "The job's text with one key said otherwise.",
        takes={"allOf": [_all(text=JOB), EDIT]},
        answer=_all(text=TEXT),
        refused=_SENT,
    ),
    Told(
        "POST",
        "/api/early",
        "The numbers of closed forms and the solids; two binary frames.",
        takes=_some(
            "text",
            fields={
                "text": JOB, "change": {"oneOf": [EDIT, {"type": "null"}]}, "known": TEXT,
                "today": DAY,
            },
        ),
        gives=BYTES,
        refused=_SENT,
    ),
    Told(
        "POST",
        "/api/rest",
        "Whatever takes longer, a JSON object a line.",
        takes=_some("text", fields={"text": JOB, "stills": FLAG, "today": DAY}),
        gives=LINES,
        refused=_SENT,
    ),
    Told(
        "POST",
        "/api/download",
        "A file to take away.",
        takes=_some(
            "text", "what",
            fields={
                "text": JOB, "what": _one_of(*WHATS), "paper": _one_of(*PAPERS), "anyway": FLAG,
                "today": DAY,
            },
        ),
        gives="*/*",
        refused=_SENT,
    ),
    Told(
        "POST",
        "/api/new",
        "The question that is next, or the job that the answers make.",
        takes=_some(fields={"answers": _texts(20)}),
        answer={
            "oneOf": [
                _all(question=QUESTION, at=COUNT, of=COUNT),
                _all(name=TEXT, text=TEXT, told=_texts()),
            ]
        },
        refused=_SENT,
    ),
    Told(
        "POST",
        "/api/log",
        "The log of castings: read, written, taken back.",
        takes={
            "oneOf": [
                _all(do=_one_of("list", "undo")),
                _some(
                    "do", "text",
                    fields={
                        "do": _one_of("pour"), "text": JOB, "gap": _texts(100), "again": FLAG,
                        **POUR,
                    },
                ),
                _some(
                    "do",
                    fields={"do": _one_of("result"), "load": TEXT, "words": TEXT, "note": TEXT},
                ),
            ]
        },
        answer=_some(
            "file",
            fields={
                "file": TEXT, "said": _texts(), "warnings": _texts(), "undone": TEXT,
                "load": {"type": "object"}, "loads": _list({"type": "object"}),
                "replaced": _list(COUNT), "supposed_voids": _list(COUNT),
            },
        ),
        refused=_SENT,
    ),
    Told(
        "POST",
        "/api/scan",
        "Put the file of a scan into the folder, if it can be read, and say what is wrong with it.",
        answer=_all(name=TEXT, bytes=COUNT, sound=FLAG, said=TEXT),
        refused=(409, *_SENT),
        query=("name",),
    ),
)  # fmt: skip


def openapi() -> dict[str, Any]:
    """The table as an OpenAPI description."""
    paths: dict[str, dict[str, Any]] = {}
    for told in REQUESTS:
        paths.setdefault(told.path, {})[told.method.lower()] = _operation(told)
    return {
        "openapi": "3.1.0",
        "info": {"title": "The page of mouldgen", "version": __version__},
        "paths": paths,
    }


def _operation(told: Told) -> dict[str, Any]:
    named = [name for name in ("name",) if f"{{{name}}}" in told.path]
    found: dict[str, Any] = {
        "summary": told.does,
        "parameters": [
            {"name": name, "in": place, "required": True, "schema": TEXT}
            for place, names in (("path", named), ("query", told.query))
            for name in names
        ],
        "responses": {
            "200": {"description": "as asked", "content": {told.gives: _media(told.answer)}},
            **{
                str(status): {"description": "refused", "content": {JSON: _media(PROBLEM)}}
                for status in sorted({400, 403, 503, *told.refused})
            },
        },
    }
    if told.method == "POST":
        kind = BYTES if told.takes is None else JSON
        found["requestBody"] = {"required": True, "content": {kind: _media(told.takes)}}
    return found


def _media(schema: Schema | None) -> dict[str, Any]:
    return {} if schema is None else {"schema": schema}
