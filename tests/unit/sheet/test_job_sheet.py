"""The job sheet: one file, every number once and by name, the same as the other commands tell."""

from __future__ import annotations

import datetime as dt
import re
import tempfile
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from mouldgen.build import build_moulds
from mouldgen.job.fields import fields_of
from mouldgen.job.load import load_job
from mouldgen.job.presets import names
from mouldgen.job.rewrite import place_of, said_otherwise
from mouldgen.memo import Memo
from mouldgen.sheet.compose_sheet import sheet_data
from mouldgen.sheet.early import early_set, early_values
from mouldgen.sheet.sheet_data import SheetData, Told, Value
from mouldgen.sheet.sheet_page import sheet_html
from tests.cli_runs import mouldgen
from tests.sheet_pages import Page

PEGS = "boathouse-pegs"
TODAY = dt.date(2026, 11, 26)
JOBS = sorted(names("jobs"))


@cache
def made_of(job: str, *sets: str) -> tuple[SheetData, tuple[Value, ...]]:
    """The sheet, and what of it was told before the slow work."""
    loaded, memo = load_job(job, sets=sets), Memo()
    early = tuple(early_values(early_set(loaded, memo)))
    found = build_moulds(loaded.job, learned=loaded.learned, given=loaded.given, memo=memo)
    return sheet_data(found, today=TODAY, given=loaded.given), early


def data_of(job: str, *sets: str) -> SheetData:
    return made_of(job, *sets)[0]


@cache
def page_of(job: str, *sets: str) -> Page:
    return Page(sheet_html(data_of(job, *sets)))


def numbers(job: str = PEGS, *sets: str) -> dict[str, Value]:
    return {value.id: value for value in data_of(job, *sets).values()}


@cache
def told(command: str) -> Any:
    today = ("--today", TODAY.isoformat()) if command == "plan" else ()
    return mouldgen(command, PEGS, "--json", "--no-castings", *today).json


@pytest.mark.parametrize("job", JOBS)
def test_every_shipped_job_makes_a_page_that_is_whole(job: str) -> None:
    # One test a job: making the sheet takes a second or more, looking at it next to nothing.
    data, page = data_of(job), page_of(job)

    assert len(list(data.values())) >= 400  # bell-pulls, the least, has 419
    every_value_is_shown_once(data, page)
    no_number_stands_outside_of_a_value(data, page)
    nothing_is_asked_of_anybody_and_nothing_runs(page)
    it_can_be_read_by_ear(page, job)
    what_is_told_early_is_final(job)
    every_key_is_one_of_the_job_file(data)
    every_key_may_be_said_of_this_job(data, job)


def every_value_is_shown_once(data: SheetData, page: Page) -> None:
    values, shown = list(data.values()), page.by_id

    assert len({value.id for value in values}) == len(values)
    for value in values:
        element = shown[value.id]
        if element.tag == "img":
            assert element.attrs["alt"] == value.text
        else:
            assert element.text == value.text
        if value.number is not None:
            assert element.tag == "data"
            assert float(element.attrs["value"]) == value.number
            assert element.attrs.get("data-unit", "") == value.unit


def no_number_stands_outside_of_a_value(data: SheetData, page: Page) -> None:
    known = {value.id for value in data.values()}
    outside = [
        (element.tag, text)
        for element, text in page.naked
        if re.search(r"\d", text)
        and element.tag not in {"style", "title"}
        and element.attrs.get("id") not in known
    ]

    assert outside == []


def what_is_told_early_is_final(job: str, *sets: str) -> None:
    data, early = made_of(job, *sets)
    final = {value.id: value.text for value in data.values()}

    assert len(early) >= 75
    assert [(v.id, v.text) for v in early] == [(v.id, final[v.id]) for v in early]


def every_key_is_one_of_the_job_file(data: SheetData) -> None:
    for value in data.values():
        if value.key:
            assert place_of(value.key).key  # it raises for a key that there is not


def every_key_may_be_said_of_this_job(data: SheetData, job: str) -> None:
    text = Path(f"presets/jobs/{job}.toml").read_text(encoding="utf-8")
    may = {field.key for field in fields_of(load_job(job), text)}

    assert {value.key for value in data.values() if value.key} <= may


def nothing_is_asked_of_anybody_and_nothing_runs(page: Page) -> None:
    styles = "".join(element.text for element in page.all("style"))

    assert page.fetched == []
    assert not {e.tag for e in page.elements} & {"script", "iframe", "object", "embed", "link"}
    assert not [n for e in page.elements for n in e.attrs if n.startswith("on") or n == "style"]
    assert "url(" not in styles
    assert "@import" not in styles
    assert "://" not in page.all("body")[0].text
    policy = next(e for e in page.all("meta") if "http-equiv" in e.attrs).attrs["content"]
    assert policy.startswith("default-src 'none'; img-src data:;")


def it_can_be_read_by_ear(page: Page, job: str) -> None:
    shown = page.by_id

    assert page.all("html")[0].attrs["lang"] == "en-GB"
    assert [e.text for e in page.all("h1")] == [job]
    for section in page.all("section"):
        heads = [e for e in section.children if e.tag == "h2"]
        assert len(heads) == 1
        assert shown[section.attrs["aria-labelledby"]].parent is heads[0]
    assert all(e.attrs.get("scope") in {"row", "col"} for e in page.all("th"))
    assert all(e.attrs["alt"] for e in page.all("img"))
    for table in page.all("table"):
        assert "aria-label" in table.attrs or table.children[0].tag == "caption"
    for grid in (e for e in page.all("table") if e.attrs["class"] == "grid"):
        head, body = (next(c for c in grid.children if c.tag == t) for t in ("thead", "tbody"))
        wide = len(head.children[0].children)
        assert {len(row.children) for row in body.children} == {wide}


def test_the_parts_stand_in_the_order_of_the_work() -> None:
    titles = [part.title.text for part in data_of(PEGS).parts]

    assert titles == [
        "Order", "Insert", "Gap", "Mould", "Resin", "Print beds", "Pot", "Calendar", "Cut list",
        "Buy", "Log", "Findings", "Mind", "This sheet",
    ]  # fmt: skip


def test_the_same_job_gives_the_same_bytes() -> None:
    loaded = load_job(PEGS)
    found = build_moulds(loaded.job, learned=loaded.learned, given=loaded.given)
    again = sheet_html(sheet_data(found, today=TODAY, given=loaded.given))

    assert again.encode() == sheet_html(data_of(PEGS)).encode()


# ------------------------------------------------------------ the same as other commands


def test_the_gap_and_its_bounds_are_those_of_the_command() -> None:
    gap, shown = told("gap"), numbers()

    assert shown["gap.gap_mm"].number == gap["gap_mm"]
    assert shown["gap.set_by"].text == gap["set_by"]
    for at, bound in enumerate(gap["bounds"]):
        name = f"gap.bound.{bound['rule']}.{at}"
        value = shown[f"{name}.mm"].number
        assert (None if value is None else round(value, 4)) == bound["value_mm"]
        assert shown[f"{name}.why"].text == bound["why"]
    assert sum(name.startswith("gap.bound.") for name in shown) == 3 * len(gap["bounds"])


def test_the_resin_is_that_of_the_command() -> None:
    resin, shown = told("resin"), numbers()

    for which in ("one", "all"):
        for key in ("a_g", "b_g", "total_g"):
            assert shown[f"resin.{which}.{key}"].number == resin[which][key]
        mixed = shown[f"resin.{which}.mixed_ml"].number
        assert mixed is not None
        assert round(mixed, 3) == resin[which]["mixed_ml"]
    sessions = resin["mixing"]["sessions"]
    told_first = [int(name.split(".")[2]) for name in shown if re.fullmatch(
        r"resin\.session\.\d+\.title", name)]  # fmt: skip
    for number in told_first:
        session = sessions[number - 1]
        for k, mix in enumerate(session["mixes"], 1):
            for key in ("a_g", "b_g", "total_g"):
                assert shown[f"resin.session.{number}.mix.{k}.{key}"].number == mix[key]


def test_a_card_weighs_what_the_command_says_for_its_load() -> None:
    sessions, shown = told("resin")["mixing"]["sessions"], numbers()
    cards = data_of(PEGS).cards

    assert len(cards) == len(sessions)
    for session in sessions:
        name = f"card.{session['load']}.{session['pour']}"
        for k, mix in enumerate(session["mixes"], 1):
            assert shown[f"{name}.mix.{k}.a"].number == mix["a_g"]
            assert shown[f"{name}.mix.{k}.b"].number == mix["b_g"]
        shut = shown[f"{name}.close_s"].number
        assert shut is not None
        assert 0.0 <= shut - session["close_s"] < 1.1  # to the next whole second


def test_the_calendar_is_that_of_the_command() -> None:
    plan, shown = told("plan"), numbers()

    assert shown["calendar.slack"].number == plan["slack_days"]
    for at, entry in enumerate(plan["calendar"]):
        assert shown[f"calendar.{at}.from"].text == entry["start"][11:16]
        assert entry["step"] in shown[f"calendar.{at}.what"].text
    assert f"calendar.{len(plan['calendar'])}.from" not in shown
    for at, change in enumerate(plan["changes"]):
        assert shown[f"calendar.change.{at}.what"].text == change["what"]


def test_the_whole_purchase_costs_what_the_command_says() -> None:
    bought, shown = told("buy"), numbers()

    assert shown["buy.total"].number == pytest.approx(bought["total"], abs=0.005)
    need = shown["buy.resin.need"].number
    assert need is not None
    assert round(need, 3) == bought["resin"]["need_g"]


def test_what_was_logged_stands_under_log_and_a_poor_file_stops_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert mouldgen("log", "pour", f"{PEGS}:2", "--when", "2026-11-20T18:30:00+01:00").code == 0
    assert mouldgen("log", "result", "1", "voids in 3, 3 scrapped").code == 0
    words = ("sheet", PEGS, "--today", TODAY.isoformat(), "--json")
    shown = {value["id"]: value["text"] for value in mouldgen(*words).json["values"]}

    assert shown["log.load.1.castings"] == "2-5"
    assert shown["log.load.1.found"] == "voids in 3; 2, 4 and 5 good, 3 scrapped"
    assert "log.none" not in shown

    (tmp_path / "castings.sqlite").write_bytes(b"no database")
    poor = mouldgen(*words)
    assert {value["id"] for value in poor.json["values"]} >= {"log.none"}
    assert "The sheet shows no log." in poor.err


# ------------------------------------------------------------------ what is told before the rest


@pytest.mark.parametrize(
    "sets",
    [
        ("pour.close=60 min",),  # no gap
        ("unit=in",),
        ("extras.drip_tray=true",),
        ("mould.draft=1 deg", "mould.knock_out=true"),
    ],
)
def test_what_is_told_early_is_final_of_other_jobs_too(sets: tuple[str, ...]) -> None:
    what_is_told_early_is_final(PEGS, *sets)


def test_amounts_that_a_second_line_may_change_are_not_told_early() -> None:
    # A bore that resin on top bridges: one pour is not enough, and the mould gets another line.
    sets = ("pour.sequence=insert-first", "mould.gap=1 mm")
    data, early = made_of(str(bridged()), *sets)
    final = {value.id: value.text for value in data.values()}

    assert "mould.second_ml" in final
    what_is_told_early_is_final(str(bridged()), *sets)
    told = {value.id for value in early}
    assert not told & {"resin.per_mould_ml", "resin.one.a_g", "mould.filament_g", "mould.sinks_ml"}
    assert told >= {
        "order.castings",
        "gap.gap_mm",
        "mould.net_ml",
        "resin.loss",
        "fingerprint",
    }


@cache
def bridged() -> Path:
    """The demo with a plain rod, whose bore holds no flutes for air to leave by."""
    text = Path("presets/jobs/boathouse-pegs.toml").read_text(encoding="utf-8")
    for key, said in (("shape", "rod"), ("flutes", ""), ("flute_area", "")):
        text = said_otherwise(text, f"insert.{key}", said)
    job = Path(tempfile.mkdtemp()) / "bridged.toml"
    job.write_text(text, encoding="utf-8")
    return job


def test_what_is_measured_on_solids_is_not_told_early() -> None:
    """The solids of the picture are coarser than those of the files."""
    told = {value.id for value in made_of("conference-pens")[1]}

    assert not {one for one in told if one.startswith(("resin.one", "resin.all", "mould.part"))}
    assert not told & {"resin.per_mould_ml", "mould.filament_g"}


# -------------------------------------------------------------------------- what can go wrong


def test_marks_and_quotes_stay_text() -> None:
    nasty = "<script>alert(\"1\")</script> & 'x' {{ 7*7 }} <!-- -->"
    data = data_of(PEGS)
    part = replace(data.parts[0], items=(Told(Value("nasty", nasty, key='a" onclick="b')),))
    page = Page(sheet_html(replace(data, lead=Value("lead", nasty), parts=(part,))))

    assert page.all("script") == []
    assert page.by_id["lead"].text == nasty
    assert page.by_id["nasty"].text == nasty
    assert page.by_id["nasty"].attrs == {"id": "nasty", "data-key": 'a" onclick="b'}


def test_a_colour_that_looks_like_a_script_stays_text(tmp_path: Path) -> None:
    job = tmp_path / "nasty.toml"
    text = Path("presets/jobs/boathouse-pegs.toml").read_text(encoding="utf-8")
    assert 'name = "smoke"' in text
    job.write_text(
        text.replace('name = "smoke"', "name = '<script>\"&</script>'"), encoding="utf-8"
    )
    page = page_of(str(job))

    assert page.all("script") == []
    assert page.by_id["colour.0.name"].text == '<script>"&</script>'


def test_a_job_that_no_gap_fits_tells_why_and_weighs_nothing() -> None:
    data = data_of(PEGS, "pour.close=60 min")

    assert data.stops
    assert data.cards == ()
    assert [part.id for part in data.parts] == [
        "order", "insert", "gap", "findings", "cautions", "made",
    ]  # fmt: skip
    page = page_of(PEGS, "pour.close=60 min")
    assert page.by_id["gap.first"].text.startswith("No gap meets every rule.")
    assert data.stops[0].text in page.all("header")[0].text


def test_a_job_in_inches_is_told_in_both(tmp_path: Path) -> None:
    job = tmp_path / "inches.toml"
    text = Path("presets/jobs/boathouse-pegs.toml").read_text(encoding="utf-8")
    assert 'unit = "mm"' in text
    job.write_text(text.replace('unit = "mm"', 'unit = "in"'), encoding="utf-8")
    shown, page = numbers(str(job)), page_of(str(job))

    every_value_is_shown_once(data_of(str(job)), page)
    assert shown["gap.gap_mm"].text == "0.88 mm (0.035 in)"
    assert shown["gap.gap_mm"].number == 0.88
    assert shown["gap.bound.air.1.in"].text == "0.035"
    assert "in" in [e.text for e in page.all("th")]


def test_a_pot_without_a_rating_has_a_blank_for_its_pressure(tmp_path: Path) -> None:
    job = tmp_path / "unrated.toml"
    text = Path("presets/jobs/boathouse-pegs.toml").read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if not line.startswith("rating")]
    job.write_text("\n".join(lines), encoding="utf-8")
    shown = numbers(str(job))

    assert shown["pot.rating"].text == "______ psi (______ bar) gauge"
    assert shown["pot.pressure"].number is None
    assert "rating" in shown["calendar.none"].text


@pytest.mark.parametrize(("paper", "size"), [("a4", "A4"), ("letter", "letter")])
def test_the_command_writes_the_page_for_the_paper(tmp_path: Path, paper: str, size: str) -> None:
    words = ("sheet", PEGS, "--today", TODAY.isoformat(), "--no-castings", "--out", str(tmp_path))
    run = mouldgen(*words, "--paper", paper, "--json")
    page = (tmp_path / PEGS / "sheet.html").read_text(encoding="utf-8")

    assert run.code == 0
    assert run.json["files"] == ["sheet.html"]
    assert f"@page {{ size: {size};" in page
    shown = {value["id"]: value for value in run.json["values"]}
    assert {name: value.text for name, value in numbers().items()} == {
        name: value["text"] for name, value in shown.items()
    }


def test_another_paper_is_refused() -> None:
    run = mouldgen("sheet", PEGS, "--paper", "a5")

    assert run.code == 2
    assert "a4, letter" in run.err
