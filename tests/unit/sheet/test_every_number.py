"""Every number of the sheet by name: the same on paper, as JSON, and as the commands tell it."""

from __future__ import annotations

import json
import tempfile
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from mouldgen.job.load import load_job
from tests.cli_runs import mouldgen
from tests.same_numbers import ONLY_HERE, SENTENCES, TOLD, agrees, found_at, is_one_of, places
from tests.sheet_pages import Page

PEGS = "boathouse-pegs"
TODAY = ("--today", "2026-11-26")
JOBS = [(), ("pour.layers=2",), ("unit=in",)]  # the demo, in two pours, in inches
COMMANDS = ("gap", "resin", "beds", "pot", "plan", "buy")


def ran(command: str, sets: tuple[str, ...], *words: str) -> Any:
    given = [word for one in sets for word in ("--set", one)]
    today = TODAY if command in {"plan", "sheet"} else ()
    run = mouldgen(command, PEGS, *given, "--no-castings", *today, *words)
    assert run.code == 0, run.err
    return run.json


@cache
def sheet(sets: tuple[str, ...]) -> tuple[list[dict[str, Any]], Page]:
    out = Path(tempfile.mkdtemp())
    values = ran("sheet", sets, "--json", "--out", str(out))["values"]
    return values, Page((out / PEGS / "sheet.html").read_text(encoding="utf-8"))


@cache
def told(sets: tuple[str, ...]) -> dict[str, Any]:
    """What each command prints; inches change none of it but sentences and the fingerprint."""
    if sets == ("unit=in",):
        return told(()) | {"gap": ran("gap", sets, "--json"), "report": report(sets)}
    return {command: ran(command, sets, "--json") for command in COMMANDS} | {
        "report": report(sets)
    }


def report(sets: tuple[str, ...]) -> Any:
    out = Path(tempfile.mkdtemp())
    given = [word for one in sets for word in ("--set", one)]
    assert mouldgen("build", PEGS, *given, "--no-castings", "--out", str(out)).code == 0
    return json.loads((out / PEGS / "report.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize("sets", JOBS, ids=["plain", "two pours", "inches"])
def test_paper_json_and_every_command_tell_the_same(sets: tuple[str, ...]) -> None:
    values, page = sheet(sets)
    shown = page.by_id
    wrong, seen = [], 0
    for value in values:
        name, text = value["id"], value["text"]
        element = shown[name]
        assert (element.attrs["alt"] if element.tag == "img" else element.text) == text
        for place in places(name):
            seen += 1
            what = found_at(told(sets)[place.command], place.path)
            if not agrees(text, value["number"], what, place.written):
                wrong.append((name, text, value["number"], place.command, what))
    assert wrong == []
    assert seen > 350


@pytest.mark.parametrize("sets", JOBS, ids=["plain", "two pours", "inches"])
def test_no_number_is_of_unknown_origin(sets: tuple[str, ...]) -> None:
    """It is told by a command, said in the job, only the sheet's, or put into words."""
    job = load_job(PEGS, sets=sets).job
    stray = []
    for value in sheet(sets)[0]:
        name, number = value["id"], value["number"]
        if value["key"]:
            table, _, key = value["key"].partition(".")
            said = getattr(getattr(job, table, None), key, None)
            if isinstance(said, int | float) and not isinstance(said, bool) and number is not None:
                assert said == pytest.approx(number, rel=1e-12), name
            continue
        known = any(places(name)) or is_one_of(name, ONLY_HERE)
        if not known and (number is not None or not is_one_of(name, SENTENCES)):
            stray.append((name, value["text"]))
    assert stray == []


def test_every_row_of_the_table_is_of_use() -> None:
    names = {value["id"] for sets in JOBS for value in sheet(sets)[0]}
    idle = [row[0] for row in TOLD if not any(is_one_of(name, (row[0],)) for name in names)]
    assert idle == []


def test_a_number_that_differs_is_found() -> None:
    values = {value["id"]: value for value in sheet(())[0]}
    (place,) = places("gap.gap_mm")
    assert found_at(told(())[place.command], place.path) == values["gap.gap_mm"]["number"]
    assert not agrees("0.89 mm", 0.89, found_at(told(())["gap"], place.path), place.written)
    assert not agrees("9:29", 569.0, 570.0, "up")
    assert not agrees("14:03", 843.0, 841.7, "down")
