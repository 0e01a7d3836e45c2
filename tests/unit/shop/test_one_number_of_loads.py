"""Plan, mixing, purchase list, quote and pot tell one number of loads, mixes and grams."""

from __future__ import annotations

import datetime as dt
import math
from functools import cache

import pytest

from mouldgen.answer import Answer, answer_job
from mouldgen.job.first_article import first_alone
from mouldgen.job.load import load_job
from mouldgen.job.presets import names
from mouldgen.layout.pot_order import pot_of_order
from mouldgen.mix.mixing import Mixing, closed_amounts, mixing
from mouldgen.sheet.pot_loads import most_per_load
from mouldgen.shop.needs import needs_of
from mouldgen.shop.no_spares import TESTS
from mouldgen.shop.plan import Plan, plan_of
from tests.cli_runs import mouldgen

JOBS = names("jobs")
MONDAY = dt.date(2026, 11, 30)
# Where the gel or the air lets fewer moulds be shut than there are, or than the pot takes.
BY_THE_CLOCK = {"boathouse-pegs", "chest-toggles", "drawer-knobs", "sash-pulls"}


@cache
def answered(name: str) -> Answer:
    return answer_job(load_job(name).job)


@cache
def mixed(name: str) -> Mixing:
    return mixing(answered(name), most_per_load=most_per_load(answered(name)))


@cache
def planned(name: str) -> Plan:
    return plan_of(answered(name), today=MONDAY)


def loads_of(made: Mixing) -> list[int]:
    return [len(session.moulds) for session in made.sessions if session.pour == 1]


@pytest.mark.parametrize("name", JOBS)
def test_the_plan_has_the_loads_that_are_mixed(name: str) -> None:
    facts = planned(name).setting.facts
    loads = [load.fillings for load in facts.loads]
    if facts.trial:
        assert facts.first is not None
        assert facts.first.fillings == 1  # of other wood, and none of the sessions
        assert loads == loads_of(mixed(name))
    else:
        first = [] if facts.first is None else [facts.first.fillings]
        assert first == [1] * first_alone(answered(name).job, answered(name).fillings)
        assert [*first, *loads] == loads_of(mixed(name))


@pytest.mark.parametrize("name", JOBS)
def test_the_quote_prices_the_loads_and_mixes_that_are_made(name: str) -> None:
    answer, made = answered(name), mixed(name)
    needs = needs_of(answer, most_per_load=most_per_load(answer))
    assert needs is not None
    trials = TESTS if answer.job.order.customers_wood else 0
    assert needs.trials == trials
    of_a_test = sum(len(session.portions) for session in made.one_alone())
    assert made.batches is not None
    assert needs.mixes == made.batches.mixes + trials * of_a_test
    pours = len(made.need.pours)
    times = 0 if answer.job.pot is None else len(loads_of(made)) + trials
    assert needs.loads == times * pours


@pytest.mark.parametrize("name", JOBS)
def test_the_pot_takes_as_many_loads_where_no_clock_limits_them(name: str) -> None:
    answer, made = answered(name), mixed(name)
    alone = int(first_alone(answer.job, answer.fillings))
    least = alone + math.ceil((answer.fillings - alone) / made.question.most)
    by_the_clock = len(loads_of(made)) > least
    assert by_the_clock is (name in BY_THE_CLOCK)
    assert answer.size is not None
    plan = pot_of_order(
        answer.job,
        answer.size,
        sizes=answer.sizes,
        blanks=answer.moulds,
        printed=answer.printed,
        first_alone=bool(alone),
    )
    assert (plan is None) is (answer.job.pot is None)
    if plan is not None:
        assert len(plan.loads) == least


@pytest.mark.parametrize("name", [name for name in JOBS if name != "burl-knobs"])
def test_what_is_bought_is_what_the_sessions_weigh(name: str) -> None:
    """Off the purchase list itself, without solids: a shell is never asked for so."""
    made = mixed(name)
    assert made.amounts.total_g == closed_amounts(answered(name), answered(name).size).total_g
    tests = TESTS if answered(name).job.order.customers_wood else 0
    test_g = tests * math.fsum(m.weighed.total_g for s in made.one_alone() for m in s.portions)
    bought = mouldgen("buy", name, "--quick", "--json").json["resin"]
    assert bought["for_a_test_g"] == pytest.approx(test_g, abs=0.001)
    assert bought["need_g"] == pytest.approx(made.weighed_g + test_g, abs=0.001)
