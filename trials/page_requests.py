"""Random and hostile requests to the page: each is answered as it should be, and so is the next."""

from __future__ import annotations

import io
import json
import random
import sys
import zipfile
from typing import Any

from mouldgen.page.guard import HEADERS
from trials import tally
from trials.near_page import HEARD, HOSTS, SECRET, TOKEN, Ask, NearPage, Told, near_page
from trials.page_asks import meant
from trials.page_meant import HOST, Meant

PROBLEM = {"id", "what", "where", "key", "allowed", "try", "text"}
NEVER = (SECRET.encode(), b"Traceback", b'File "', b"root:x:0", b"site-packages")


class WrongAnswerError(Exception):
    """The page was asked something and answered as it never should."""


def case(seed: int) -> str:
    """One request to a page of its own; its kind and the status of the answer.

    seed : of the request.
    """
    name, asked = meant(random.Random(seed))
    with near_page(token=asked.token) as page:
        before = page.around()
        told = page.ask(asked.ask)
        _judge(asked, told)
        _require(page.around() == before, "something was written where nothing may be")
        left = [path.name for path in page.folder.rglob("*") if path.name.endswith(".new")]
        _require(not left, f"left half written: {left}")
        _still_there(page)
        _require(not HEARD.lines, "\n".join(HEARD.lines))
    return f"{name} {told.status}"


def _judge(asked: Meant, told: Told) -> None:
    _require(len(told.messages) > 1, "there was no answer")
    last = told.messages[-1]
    _require(not last.get("more_body"), "the answer never ended")
    status, names = told.status, [name for name, _ in told.headers]
    _require(status in asked.may, f"{status} {told.body[:400]!r} to {_shown(asked.ask)}")
    for name, value in HEADERS:
        _require([v for n, v in told.headers if n == name] == [value], f"{name!r} is not as it is")
    _require(names.count(b"content-type") == 1, "the kind is not told once")
    _require(names.count(b"cache-control") == 1, "how long to keep it is not told once")
    _require((b"set-cookie" in names) <= (asked.token and status in {200, 503}), "a cookie")
    for word in NEVER:
        _require(word not in told.body, f"{word!r} in the answer to {_shown(asked.ask)}")
        _require(all(word not in value for _, value in told.headers), f"{word!r} in a header")
    if status >= 400:
        _problem(told)
    else:
        _content(told)


def _problem(told: Told) -> None:
    kind = dict(told.headers)[b"content-type"]
    if told.status == 503 and kind.startswith(b"text/html"):
        _require(b"The page is not built yet" in told.body, "a page that says nothing")
        return
    _require(kind == b"application/json", f"a problem as {kind!r}")
    problem = json.loads(told.body)["problem"]
    _require(problem.keys() == PROBLEM, f"fields {sorted(problem)}")
    _require(all(isinstance(text, str) for text in problem.values()), "a fact is no text")
    _require(problem["what"] != "" and problem["text"] != "", "a problem without words")
    _require(problem["id"] != "internal", f"a bug: {problem['text']}")
    _require((told.status == 405) == (b"allow" in dict(told.headers)), "methods that there are")


def _content(told: Told) -> None:
    """Looks at every line and every member of what was answered."""
    kind = dict(told.headers)[b"content-type"]
    if kind == b"application/json":
        json.loads(told.body, parse_constant=_no_number)
    elif kind == b"application/x-ndjson":
        for line in told.body.splitlines():
            found = json.loads(line, parse_constant=_no_number)
            problem = found.get("problem", {"id": ""})
            _require(problem["id"] != "internal", f"a bug: {problem}")
    elif kind == b"application/zip":
        with zipfile.ZipFile(io.BytesIO(told.body)) as packed:
            for name in packed.namelist():
                _require(".." not in name and not name.startswith("/"), f"a member {name}")
                _require(SECRET.encode() not in packed.read(name), f"a secret in {name}")


def _no_number(word: str) -> Any:
    raise WrongAnswerError(f"{word} is no JSON")


def _still_there(page: NearPage) -> None:
    """A plain request is answered as ever."""
    cookie = ((b"cookie", f"{page.rules.cookie}={TOKEN}".encode()),) if page.rules.token else ()
    told = page.ask(Ask("GET", b"/api/start", (HOST, *cookie)))
    _require(told.status == 200, f"afterwards {told.status}")
    _require(json.loads(told.body)["folder"] == str(page.folder.resolve()), "another folder")
    _require(page.rules.hosts == HOSTS, "other hosts")


def _shown(ask: Ask) -> str:
    headers = [(name[:40], value[:60]) for name, value in ask.headers[:6]]
    return f"{ask.method[:20]} {ask.target[:200]!r} {headers} {ask.pieces[0][:200]!r}"


def _require(holds: bool, what: str) -> None:
    if not holds:
        raise WrongAnswerError(what)


if __name__ == "__main__":
    sys.exit(tally.main("page requests", case, about=__doc__ or "", count=20_000))
