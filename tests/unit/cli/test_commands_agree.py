"""What one command says of a job another does not gainsay."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest

from mouldgen.job.cautions import cautions_for
from tests.cli_runs import Run, mouldgen

PEGS = "boathouse-pegs"
GRIPS = "bell-pulls"
TOPPERS = "apple-toppers"  # the customer's wood, a test in other wood, three pours
KNOBS = "drawer-knobs"  # urethane
FINIALS = "lamp-finials"  # a rubber mould of four

PULLS = """
format = 1
name = "pulls"
[order]
pieces = 6
customers_wood = true
[insert]
shape = "bar"
width = "20 mm"
thickness = "20 mm"
length = "60 mm"
density = "0.61 g/ml"
[piece]
diameter = "30 mm"
length = "50 mm"
thread = "M5"
hole_depth = "12 mm"
[pour]
shop = "19 C"
[resin]
card = "casting-epoxy-slow"
[plastic]
card = "petg"
[printer]
card = "square-220"
"""


@cache
def told(*words: str) -> Run:
    return mouldgen(*words)


def short(kind: str, topic: str) -> str:
    return next(c.short for c in cautions_for(kind, pressure=True) if c.topic == topic)


def test_a_load_of_the_plan_has_the_number_of_its_pot_card() -> None:
    planned = told("plan", GRIPS, "--today", "2026-11-26").words
    cards = told("potcard", GRIPS).out

    heads = re.findall(r"LOAD (\d+) of (\d+)", cards)
    last = heads[0][1]
    assert heads == [(str(number), last) for number in range(1, int(last) + 1)]
    numbers = set(re.findall(r"\bload (\d+): mix and pour", planned))
    assert {"1", *numbers} == {number for number, _ in heads}
    assert "1" not in numbers  # the first article's is told as the first load
    assert "first load: mix and pour" in planned


def test_a_test_in_other_wood_takes_no_number_of_the_orders_loads() -> None:
    planned = told("plan", TOPPERS, "--today", "2026-11-26").words

    assert set(re.findall(r"\bload (\d+): mix and pour", planned)) == {"1", "2", "3"}
    assert "LOAD 1 of 3" in told("potcard", TOPPERS).out


def test_what_is_said_of_a_first_piece_is_said_of_the_trial() -> None:
    planned = told("plan", TOPPERS, "--today", "2026-11-26").words

    assert "The trial is planned without a void" in planned
    assert "the customer's look at the trial" in planned
    assert "first piece" not in planned


def test_the_mould_of_the_test_in_other_wood_is_told_with_the_beds() -> None:
    run = told("beds", TOPPERS, "--effort", "quick")
    alone = [line.split()[0] for line in run.out.splitlines() if "to water-test" in line]

    assert f"one mould more than these: print beds {' and '.join(alone)} twice." in run.words
    assert "twice" not in told("beds", TOPPERS, "--effort", "quick", "--moulds", "3").words
    assert "twice" not in told("beds", GRIPS, "--effort", "quick").words


def test_why_one_mould_alone_takes_more_than_the_loss_is_said() -> None:
    """26.1 ml of 1.0733 g/ml and the 8 g that a cup keeps are 36.0 g; a tenth more were 30.8."""
    run = told("resin", PEGS)

    assert "what stays in cups and on sticks, and never less than 8 g a cup." in run.words
    assert "smoke 25.3 10.8 0:00" in run.words


@pytest.mark.parametrize(("job", "kind"), [(KNOBS, "urethane"), (PEGS, "epoxy")])
def test_what_the_resin_can_do_to_the_hands_is_said_beside_the_grams(job: str, kind: str) -> None:
    run = told("resin", job)

    assert short(kind, kind) in run.words
    assert short(kind, "heat") in run.words
    assert short(kind, kind) not in mouldgen("resin", job, "--quiet").words


def test_what_a_pot_can_do_is_said_beside_its_pressure() -> None:
    assert short("epoxy", "pot") in told("pot", PEGS).words


def test_a_day_reckoned_from_a_start_that_is_over_is_told_as_such() -> None:
    words = ("quote", PEGS, "--quick", "--today")
    over = "That is with work begun on 2026-11-02, which is over"

    assert over in mouldgen(*words, "2026-11-26").words
    assert over not in mouldgen(*words, "2026-11-02").words


def test_cavities_of_a_rubber_mould_are_never_called_moulds_on_casting_day() -> None:
    mixed, cards = told("resin", FINIALS).words, told("potcard", FINIALS).words

    assert "Session 1 of 6: 1 cavity, 1; finished and shown before the rest is cast." in mixed
    assert "Sessions 2-5 of 6: 4 cavities each, 2-5;" in mixed
    assert "Cavities 2-5 of 20" in cards
    assert "Load 1 is one cavity alone: it is finished and shown" in told("pot", FINIALS).words


def test_a_quote_tells_who_looks_at_what_before_the_rest_is_cast() -> None:
    def quoted(job: str, *sets: str) -> str:
        return mouldgen("quote", job, "--quick", "--today", "2026-11-02", *sets).words

    shown = "finished and shown before the"
    look = "no days are kept for the customer's look: [order] approval."
    assert f"One piece is {shown} rest is cast; {look}" in quoted(PEGS)
    assert f"A trial in other wood is {shown} customer's wood is cast; {look}" in quoted(TOPPERS)
    assert shown not in quoted(PEGS, "--set", "order.approval=2 d")
    assert shown not in quoted(PEGS, "--set", "order.first_article=false")


def test_profit_is_told_as_a_share_of_the_cost() -> None:
    """122.2 on 488.7 is a quarter of the cost, and a fifth of the price."""
    run = mouldgen("quote", PEGS, "--quick", "--verbose", "--today", "2026-11-02")
    cost, profit = (
        float(re.search(rf"^{row} +([\d.]+)", run.out, re.MULTILINE)[1])
        for row in ("cost", "profit")
    )

    assert profit == pytest.approx(0.25 * cost, abs=0.01)
    assert "a piece, the cost and 25 % profit on it." in run.words


def test_what_brings_no_earlier_day_does_not_hold_the_plan_up_most(tmp_path: Path) -> None:
    """Two hours more a day end this one two hours sooner, on the same day."""
    job = tmp_path / "pulls.toml"
    job.write_text(PULLS, encoding="utf-8")
    run = mouldgen("plan", str(job), "--today", "2026-11-26")

    row = re.search(r"two hours more a day +(\w+ \d+ \w+ \d+) +[\d.]+ h", run.out)
    assert row is not None
    assert f"ready on {row[1]}." in run.words
    assert "More of nothing makes it ready on an earlier day." in run.words
    assert "What holds it up most" not in run.words
