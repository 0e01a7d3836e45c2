"""What follows an edit is the sheet of the terminal, value by value, whoever asks for it."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path
from typing import Any

import pytest

from mouldgen.job.presets import find_card
from tests.cli_runs import mouldgen
from tests.page_server import TODAY, PageServer

CONFLICT = Path(__file__).parents[2] / "fixed_conflict.toml"
_VALUE = re.compile(
    r'<(span|data) id="(?P<id>[^"]+)"[^>]*>(?P<text>.*?)</\1>|'
    r'<img src="[^"]*" alt="(?P<alt>[^"]*)" id="(?P<alt_id>[^"]+)"',
    re.DOTALL,
)


def values_of(lines: list[dict[str, Any]]) -> dict[str, str]:
    """Every value of an answer by its name; a part that came twice counts as it came last."""
    found: dict[str, str] = {}
    for line in lines:
        if "lead" in line:
            told = [line["lead"], *line["stops"], *line["values"]]
            found |= {value["id"]: value["text"] for value in told}
        if "part" in line:
            for hit in _VALUE.finditer(line["part"]["html"]):
                text = hit["text"] if hit["id"] else hit["alt"]
                found[hit["id"] or hit["alt_id"]] = unescape(text)
    return found


@pytest.mark.parametrize(
    ("job", "stills"), [("chest-toggles", False), ("gear-knob", False), ("bell-pulls", True)]
)
def test_the_values_are_those_of_the_terminals_sheet(
    page: PageServer, job: str, stills: bool, tmp_path: Path
) -> None:
    text = find_card("jobs", job).read_text(encoding="utf-8")
    told = page.post("/api/rest", text=text, stills=stills)
    day = TODAY.isoformat()
    shown = mouldgen("sheet", job, "--json", "--today", day, "--out", str(tmp_path)).json

    assert told.headers["content-type"] == "application/x-ndjson"
    assert values_of(told.lines) == {
        value["id"]: value["text"]
        for value in shown["values"]
        if stills or not value["id"].startswith("mould.still.")
    }
    assert told.lines[-1]["done"] == {
        "state": "ready" if shown["ready"] else "not ready",
        "must_fix": len(shown["must_fix"]),
    }


def test_what_is_quick_comes_first_and_pictures_last(page: PageServer) -> None:
    text = find_card("jobs", "boathouse-pegs").read_text(encoding="utf-8")
    lines = page.post("/api/rest", text=text, stills=True).lines
    kinds = [next(iter(line)) for line in lines]
    parts = [line["part"]["id"] for line in lines if "part" in line]

    assert kinds[:3] == ["step", "step", "lead"]
    assert kinds[-4:] == ["air", "step", "part", "done"]
    assert parts[-1] == "mould"
    (order,) = [line["order"] for line in lines if "order" in line]
    assert sorted(order) == sorted(set(parts))
    assert parts[:2] == ["order", "insert"] == order[:2]


def test_without_pictures_none_is_drawn(page: PageServer) -> None:
    text = find_card("jobs", "boathouse-pegs").read_text(encoding="utf-8")
    told = page.post("/api/rest", text=text, stills=False)

    assert b"image/png" not in told.body
    assert [line["part"]["id"] for line in told.lines if "part" in line].count("mould") == 1


def test_early_values_are_those_that_follow(page: PageServer) -> None:
    text = find_card("jobs", "boathouse-pegs").read_text(encoding="utf-8")
    head = page.post("/api/early", text=text).head
    found = values_of(page.post("/api/rest", text=text, stills=False).lines)
    early = {value["id"]: value["text"] for value in head["values"]}

    assert {name: found.get(name) for name in early} == early
    assert {"gap.gap_mm", "order.pieces", "fingerprint", "lead"} <= early.keys()


def test_a_conflict_is_told_as_such(page: PageServer) -> None:
    text = CONFLICT.read_text(encoding="utf-8")
    lines = page.post("/api/rest", text=text, stills=True).lines

    assert lines[-1]["done"]["state"] == "conflict"
    assert lines[-1]["done"]["must_fix"] == len(lines[2]["stops"]) > 0
    assert page.post("/api/early", text=text).head["solids"] is None


def test_a_wrong_job_is_told_before_any_line(page: PageServer) -> None:
    told = page.post("/api/rest", text="format = 1\n", stills=False)

    assert told.status == 422
    assert told.problem["id"] == "job"
