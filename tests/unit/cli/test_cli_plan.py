"""``mouldgen plan`` end to end: the calendar, the table, exit codes, refusals."""

from __future__ import annotations

import datetime as dt
from functools import cache
from pathlib import Path

import pytest

from mouldgen.sheet.calendar_words import date_words, span
from tests.cli_runs import Run, mouldgen

JOB = "bell-pulls"
CONFLICT = str(Path(__file__).parents[2] / "fixed_conflict.toml")
TODAY = ("--today", "2026-11-26")


@cache
def told(*words: str) -> Run:
    return mouldgen("plan", JOB, *TODAY, *words)


def test_the_calendar_by_day_the_table_and_what_holds_it_up():
    run = told()
    assert run.code == 0
    assert run.words.startswith(
        "bell-pulls: 5 pieces out of 7 castings, begun on Thu 26 Nov 2026, ready on"
    )
    head = next(line for line in run.out.splitlines() if line.startswith("day "))
    assert head.split() == ["day", "from", "to", "what", "how", "many", "waits", "until"]
    assert "Thu 26 Nov 08:00 dry the wood 7 inserts Sat 28 Nov 08:00" in run.words
    assert "first load: mix and pour 1 mould" in run.words
    assert "load 2: mix and pour 6 moulds" in run.words
    assert "what if ready earlier by one more printer" in run.words
    assert "What holds it up most: with Saturday worked too it would be ready on" in run.words
    assert "No days are kept for the customer's look" in run.words
    # Of all rows the last gains most here, which adds nothing and is told beside the one that does.
    sooner = {one["what"]: one["ready"] for one in told("--json").json["changes"]}
    assert min(sooner, key=lambda what: sooner[what]) == "no first article"
    day = date_words(dt.date.fromisoformat(sooner["no first article"]))
    assert f"With no first article it would be ready on {day}." in run.words


def test_a_due_date_that_is_over_is_asked_about():
    run = told("--set", "order.due=2025-12-18")
    assert run.code == 1
    assert "Due Thu 18 Dec 2025, which is over: look whether day and year are right." in run.words


def test_quiet_tells_the_date_alone():
    run = told("--quiet")
    assert run.code == 0
    assert len(run.out.splitlines()) <= 2
    assert run.words in told().words


def test_json_holds_the_same_plan():
    data, run = told("--json").json, told()
    assert data["castings"] == 7
    assert data["late"] is False
    assert data["due"] is data["slack_days"] is None
    assert data["printing_from_solids"] is True
    assert date_words(dt.date.fromisoformat(data["ready"])) in run.words
    assert data["finish"].startswith(data["ready"])
    assert data["calendar"][-1]["what"] == "pack"
    assert data["calendar"][-1]["end"] == data["finish"]
    assert {change["what"] for change in data["changes"]} >= {
        "one more printer",
        "no first article",
    }
    assert data["bottleneck"]["change"] == "Saturday worked too"
    assert data["bottleneck"]["waits"][0]["wait_s"] == 7 * 86_400


def test_a_date_that_cannot_be_kept_is_exit_1_and_what_would_keep_it_is_told():
    ready = dt.date.fromisoformat(told("--json").json["ready"])
    late = told("--set", f"order.due={ready - dt.timedelta(days=2)}")
    assert late.code == 1
    assert "2 days too late." in late.words
    assert "What would keep the date: Saturday worked too (ready " in late.words
    never = told("--quiet", "--set", "order.due=2026-12-04")
    assert never.code == 1
    assert "Nothing of that, nor all of it together, keeps the date" in never.words
    kept = told("--quiet", "--set", f"order.due={ready}")
    assert (kept.code, "on the day." in kept.words) == (0, True)
    spare = told("--quiet", "--set", f"order.due={ready + dt.timedelta(days=1)}")
    assert (spare.code, "1 day to spare." in spare.words) == (0, True)


def test_a_pot_without_a_rating_stops_the_plan():
    run = mouldgen("plan", JOB, *TODAY, "--set", "pot.card=pot-228")
    assert run.code == 1
    assert "[pot] rating: the pot has no rating" in run.err
    assert "Read it off the plate and type it into the job" in run.err
    assert run.out == ""


def test_a_conflict_has_remedies_instead_of_a_plan():
    run = mouldgen("plan", CONFLICT, *TODAY)
    assert run.code == 1
    assert "waits until" not in run.out
    assert "gap" in run.out
    data = mouldgen("plan", CONFLICT, *TODAY, "--json")
    assert (data.code, data.json["job"]) == (1, "hot-urethane")
    assert data.json["conflict"]


def test_a_start_in_the_past_is_told():
    run = told("--set", "order.start=2026-11-02")
    assert "begun on Mon 2 Nov 2026" in run.words
    assert "It begins before today, Thu 26 Nov 2026: [order] start." in run.words


def test_what_must_be_fixed_is_exit_1():
    run = told("--quiet", "--set", "mould.gap=0.3 mm")
    assert run.code == 1
    assert "must fix" in run.out


@pytest.mark.parametrize("day", ["soon", "30.11.2026", "2026-02-30"])
def test_a_day_that_cannot_be_read(day):
    run = mouldgen("plan", JOB, "--today", day)
    assert run.code == 2
    assert f"--today: {day!r} is not a day" in run.err


def test_days_and_spans_as_people_write_them():
    assert date_words(dt.date(2027, 1, 4)) == "Mon 4 Jan 2027"
    assert [span(s) for s in (1800, 5 * 3600, 47 * 3600, 3.1 * 86400, 21 * 86400)] == [
        "30 min", "5.0 h", "47 h", "3.1 days", "21 days",
    ]  # fmt: skip


def test_a_due_day_before_the_first_is_told_as_a_slip():
    run = told("--set", "order.due=2026-11-01")
    assert run.code == 1
    assert "[order] due lies before the first day of work, Thu 26 Nov 2026" in run.words
    assert "cast fewer pieces" not in run.words


def test_what_is_not_proved_and_what_a_first_piece_with_a_void_would_change_are_told():
    words = told().words
    assert "with a chance of 20 % it has one, and a fill and its cure come before" in words
    proved = told("--json").json["proved_earliest"]
    assert ("not proved to be the earliest there is" in words) is not proved
