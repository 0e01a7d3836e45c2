"""The first article is a load of its own: how moulds are shared out, and what it costs in resin."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache

import pytest

from mouldgen.answer import Answer, answer_job
from mouldgen.job.first_article import first_alone
from mouldgen.job.load import load_job
from mouldgen.job.presets import names
from mouldgen.mix.batches import batches, runs_of
from mouldgen.mix.mixing import Mixing, mixing
from mouldgen.mix.remedies import remedies_of, with_remedies

DEMO = "boathouse-pegs"
TOGETHER = "order.first_article=false"
FIRST = "nobody shown the first piece before the rest is cast ([order] first_article)"


@cache
def job(name: str, *sets: str) -> Answer:
    return answer_job(load_job(name, sets=sets).job)


@cache
def mixed(name: str, *sets: str) -> Mixing:
    return mixing(job(name, *sets))


def sizes(made: Mixing) -> list[int]:
    return [len(session.moulds) for session in made.sessions]


def runs(moulds: int, loads: int, *, first_alone: bool = True) -> list[list[int]]:
    return [list(run) for run in runs_of(moulds, loads, first_alone=first_alone)]


def test_moulds_are_shared_out_with_the_first_alone() -> None:
    assert runs(1, 1) == [[0]]
    assert runs(2, 2) == [[0], [1]]
    assert runs(3, 2) == [[0], [1, 2]]
    assert runs(6, 3) == [[0], [1, 2, 3], [4, 5]]
    assert runs(6, 6) == [[0], [1], [2], [3], [4], [5]]
    assert runs(6, 3, first_alone=False) == [[0, 1], [2, 3], [4, 5]]
    assert runs(1, 1, first_alone=False) == [[0]]


@pytest.mark.parametrize("moulds", [2, 3, 7, 22])
def test_the_rest_is_shared_out_as_if_it_were_all(moulds: int) -> None:
    for loads in range(2, moulds + 1):
        (first, *rest) = runs(moulds, loads)
        assert first == [0]
        moved = [
            [number + 1 for number in run] for run in runs(moulds - 1, loads - 1, first_alone=False)
        ]
        assert rest == moved


def test_the_demo_has_seven_sessions_and_weighs_what_its_moulds_and_cups_take() -> None:
    made = mixed(DEMO)
    assert made.question.first_alone
    assert sizes(made) == [1, 4, 4, 4, 3, 3, 3]
    assert [session.load for session in made.sessions] == [1, 2, 3, 4, 5, 6, 7]
    # 26.1 ml in a mould, of 1.0733 g/ml; a cup keeps 8 g or a tenth, whichever is more.
    assert [round(s.portions[0].weighed.total_g, 1) for s in made.sessions] == [
        36.1, 123.4, 123.4, 123.4, 92.6, 92.6, 92.6,
    ]  # fmt: skip
    assert made.weighed_g == pytest.approx(684.1, abs=1e-9)
    (alone,) = made.sessions[0].portions
    assert alone.kept_ml * made.amounts.density_g_ml == pytest.approx(8.0, rel=1e-9)
    assert alone.kept_ml > 0.1 * alone.poured_ml


@pytest.mark.parametrize("name", names("jobs"))
def test_the_sessions_pour_the_mix_and_the_first_takes_no_resin_from_the_rest(name: str) -> None:
    for made in (mixed(name), mixed(name, TOGETHER)):
        poured = math.fsum(mix.poured_ml for s in made.sessions for mix in s.portions)
        mixed_ml = math.fsum(mix.mixed_ml for s in made.sessions for mix in s.portions)
        assert poured == pytest.approx(made.need.per_mould_ml * made.need.moulds, rel=1e-12)
        assert mixed_ml == pytest.approx(made.mixed_ml, rel=1e-12)
        assert mixed_ml == pytest.approx(made.amounts.total_ml + made.more_ml, rel=1e-12)
        assert made.amounts.total_ml == mixed(name).amounts.total_ml


@pytest.mark.parametrize("name", names("jobs"))
def test_a_shipped_job_has_its_first_alone_unless_the_wood_is_the_customers(name: str) -> None:
    answer = job(name)
    alone = not answer.job.order.customers_wood
    assert first_alone(answer.job, answer.fillings) is alone is mixed(name).question.first_alone
    if alone:
        assert sizes(mixed(name))[0] == 1
    # The rest by itself takes as many loads as it does after the first.
    if alone:
        rest = replace(mixed(name).need, moulds=answer.fillings - 1)
        if mixed(name).need.way != "apart":  # there the colours of the rest would be shared anew
            question = replace(mixed(name).question, need=rest, first_alone=False)
            cut = batches(replace(question, most=min(question.most, rest.moulds)))[0]
            assert sizes(mixed(name))[1:] == [len(session.moulds) for session in cut.sessions]


@pytest.mark.parametrize(
    ("name", "sets", "alone"),
    [
        (DEMO, (TOGETHER,), False),
        ("bell-pulls", ("order.pieces=1",), False),  # two are cast for it, and one is asked for
        ("bell-pulls", ("order.pieces=1", "order.yield=1.0"), False),
        ("bell-pulls", ("order.pieces=2", "order.yield=1.0"), True),
        # A tray of four pens is all that three take: nothing is left to cast after it.
        ("conference-pens", ("order.pieces=3", "order.yield=1.0"), False),
        (DEMO, ("order.customers_wood=true",), False),
    ],
)
def test_whether_one_is_alone(name: str, sets: tuple[str, ...], alone: bool) -> None:
    answer = job(name, *sets)
    assert first_alone(answer.job, answer.fillings) is alone
    assert mixed(name, *sets).question.first_alone is alone


def test_what_is_asked_goes_before_what_the_job_says() -> None:
    assert sizes(mixing(job(DEMO), first_alone=False)) == [4, 4, 4, 4, 3, 3]
    assert sizes(mixing(job(DEMO, TOGETHER), first_alone=True)) == sizes(mixed(DEMO))


def test_where_a_load_of_its_own_costs_resin_the_remedies_tell_what_none_would_take() -> None:
    """On a scale of 1 g each mix is 168 g, so that one mould alone throws away the most."""
    coarse = "shop.scale=1 g"
    remedies = remedies_of(mixed(DEMO, coarse), job(DEMO, coarse))
    (first,) = [one for one in remedies if one.change == FIRST]
    together = mixed(DEMO, coarse, TOGETHER)
    assert (first.mixed_ml, first.mixes) == (pytest.approx(together.mixed_ml), 6)
    # Six mixes and not seven, each of 156.25 ml: 168 g less the rounding up.
    assert mixed(DEMO, coarse).mixed_ml - first.mixed_ml == pytest.approx(156.25, abs=0.01)
    (least,) = [
        found
        for found in with_remedies(mixed(DEMO, coarse), job(DEMO, coarse)).findings
        if found.id == "mix.least"
    ]
    assert least.message.endswith(
        "Instead of 1094 ml, the least resin first: a scale that shows 0.1 g ([shop] scale): about"
        " 637 ml in 7 mixes; [mould] gap = 1.0 mm: about 783 ml in 4 mixes; nobody shown the first"
        " piece before the rest is cast ([order] first_article): about 938 ml in 6 mixes."
    )


def test_no_remedy_names_the_first_article_where_none_is_alone() -> None:
    sets = ("shop.scale=1 g", TOGETHER)
    assert all(one.change != FIRST for one in remedies_of(mixed(DEMO, *sets), job(DEMO, *sets)))


def test_one_mould_of_a_test_casting_is_mixed_as_the_job_is() -> None:
    made = mixed("apple-toppers")
    alone = made.one_alone()
    assert [(s.load, s.pour, s.moulds) for s in alone] == [(1, p, (1,)) for p in (1, 2, 3)]
    poured = math.fsum(mix.poured_ml for s in alone for mix in s.portions)
    assert poured == pytest.approx(made.need.per_mould_ml, rel=1e-12)
    nothing = mixed("apple-toppers", "pour.batch=20 g")
    assert (nothing.batches, nothing.one_alone()) == (None, ())
