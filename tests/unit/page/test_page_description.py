"""The description of the page's requests, held against the application and its answers."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from starlette.routing import Route

from mouldgen.job.presets import find_card
from mouldgen.page.app import GETS, POSTS, page_app
from mouldgen.page.description import REQUESTS, Told, openapi
from mouldgen.page.guard import Guard, Rules
from tests.demo_set import DEMO
from tests.page_server import PageServer, running

TEXT = find_card("jobs", DEMO).read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Iterator[PageServer]:
    """A page of its own: what is logged here is no lesson for the tests of the others."""
    with running(tmp_path_factory.mktemp("described")) as server:
        yield server


def described(path: str, method: str = "POST") -> Told:
    (found,) = (told for told in REQUESTS if (told.path, told.method) == (path, method))
    return found


def test_every_route_is_described_and_every_description_has_a_route(page: PageServer) -> None:
    app = page_app(page.served, rules=Rules(frozenset()))
    assert isinstance(app, Guard)
    routes = {
        (re.sub(r":\w+\}", "}", route.path), method)
        for route in app.within.routes
        if isinstance(route, Route)
        for method in (route.methods or set()) - {"HEAD"}
    }

    assert len(app.within.routes) == len(GETS) + len(POSTS)
    assert {(told.path, told.method) for told in REQUESTS} == routes
    assert len(REQUESTS) == len(routes)


def test_every_schema_is_one() -> None:
    for told in REQUESTS:
        for schema in (told.takes, told.answer):
            if schema is not None:
                Draft202012Validator.check_schema(schema)


def test_the_description_tells_who_may_be_refused_and_how() -> None:
    paths = openapi()["paths"]

    assert paths["/api/save"]["post"]["responses"].keys() == {
        "200", "400", "403", "408", "409", "413", "415", "422", "503",
    }  # fmt: skip
    assert paths["/api/scan"]["post"]["requestBody"]["content"].keys() == {
        "application/octet-stream"
    }
    assert paths["/api/early"]["post"]["requestBody"]["content"].keys() == {"application/json"}


@pytest.mark.parametrize(
    ("path", "asked"),
    [
        ("/api/open", [{"from": "shipped", "name": DEMO}]),
        ("/api/save", [{"name": "described.toml", "text": TEXT, "over": True}]),
        ("/api/change", [{"text": TEXT, "key": "order.pieces", "said": "3"}]),
        ("/api/change", [{"text": TEXT, "key": "colour", "add": True}]),
        ("/api/change", [{"text": TEXT, "key": "colour.1", "drop": True}]),
        ("/api/new", [{}]),
        ("/api/new", [{"answers": ["hooks", *[""] * 9]}]),
        ("/api/log", [{"do": "list"}]),
        ("/api/log", [
            {"do": "pour", "text": TEXT, "load": "1"},
            {"do": "result", "load": "1", "words": "ok"},
            {"do": "undo"},
        ]),
    ],
)  # fmt: skip
def test_what_is_described_is_what_is_taken_and_given(
    page: PageServer, path: str, asked: list[dict[str, Any]]
) -> None:
    told = described(path)
    assert told.takes is not None
    assert told.answer is not None
    known = {
        key for schema in told.answer.get("oneOf", [told.answer]) for key in schema["properties"]
    }
    for fields in asked:
        Draft202012Validator(told.takes).validate(fields)
        got = page.post(path, **fields)

        assert got.status == 200, got.body
        assert got.headers["content-type"] == told.gives
        Draft202012Validator(told.answer).validate(got.json)
        assert got.json.keys() <= known


def test_what_a_tab_begins_with_is_as_described(page: PageServer) -> None:
    told = described("/api/start", "GET")
    assert told.answer is not None
    Draft202012Validator(told.answer).validate(page.get("/api/start").json)
    assert page.get("/api/start").json.keys() == told.answer["properties"].keys()


@pytest.mark.parametrize(
    ("path", "fields"),
    [
        ("/api/early", {"text": TEXT}),
        ("/api/rest", {"text": TEXT, "stills": False}),
        ("/api/download", {"text": TEXT, "what": "job"}),
    ],
)
def test_other_kinds_are_as_described(page: PageServer, path: str, fields: dict[str, Any]) -> None:
    told = described(path)
    got = page.post(path, **fields)

    assert got.status == 200
    assert told.gives in {got.headers["content-type"], "*/*"}
