"""Which session is named where not every mould can be poured in time."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

import pytest

from mouldgen.answer import answer_job
from mouldgen.job.load import load_job
from mouldgen.mix.batches import BatchQuestion, batches, one_mould, recipes
from mouldgen.mix.clock import Hands
from mouldgen.mix.mixing import Mixing, mixing
from mouldgen.mix.mixing_findings import findings_of
from mouldgen.mix.need import Need, PourNeed, largest_remainder
from mouldgen.mix.portion import Stock, Tint
from tests.gap_questions import resin

HANDS = Hands(
    weigh=60.0, mix=100.0, split=30.0, stir=30.0, pour=5.0, place=5.0, lid=5.0, press=20.0
)


def question(*, gel_s: float, pours: tuple[float, ...] = (50.0,), most_g: float | None = None):
    """Three moulds of two cavities, a colour to every three of the six."""
    shares = (0.5, 0.5)
    need = Need(
        way="apart",
        colours=("red", "blue"),
        shares=shares,
        pours=tuple(PourNeed(k, 0.0, 10.0, ml) for k, ml in enumerate(pours, 1)),
        moulds=3,
        cavities=2,
        cavities_of=largest_remainder(6, shares),
    )
    return BatchQuestion(
        need=need,
        tints=(Tint("red"), Tint("blue")),
        stock=Stock(resin(loss=0.1), 0.1, 0.0),
        hands=HANDS,
        order="resin-first",
        gel=lambda _: gel_s,
        air_s=None,
        reserve_s=0.0,
        most=3,
        most_g=most_g,
    )


@pytest.fixture(scope="module")
def stopping():
    """The stop for a question of one's own, with the answer of a shipped job around it."""
    answer = answer_job(load_job("conference-pens").job)
    plain = mixing(answer)

    def stop(asked: BatchQuestion):
        assert batches(asked) == ()
        made: Mixing = replace(plain, need=asked.need, question=asked, batches=None, others=())
        (found,) = [f for f in findings_of(made, answer, answer.size, shown_mm=None)
                    if f.severity == "stop"]  # fmt: skip
        return found

    return stop


def test_moulds_that_take_the_same_are_tried_once() -> None:
    tried = one_mould(question(gel_s=1000.0))
    assert len(tried) == len(list(recipes(question(gel_s=1000.0))))
    # Red alone, both, blue alone.
    assert [s.moulds for s in tried[0]] == [(1,), (2,), (3,)]
    assert [len(s.portions[0].cups) for s in tried[0]] == [1, 2, 1]


def test_the_mould_with_two_colours_is_the_late_one(stopping) -> None:
    """One colour, its tint first: 100 + 2 x 5 + 2 x 5 + 5 + 20 = 145 s; with two, split, 265."""
    found = stopping(question(gel_s=150.0))
    assert found.id == "mix.no-time"
    assert found.measured > found.limit == 150.0
    assert "alone it is shut" in found.message


def test_one_pour_too_heavy_by_every_way_is_told_as_that(stopping) -> None:
    found = stopping(question(gel_s=1000.0, pours=(50.0, 200.0), most_g=100.0))
    assert found.id == "mix.batch"
    # 200 ml and a tenth at 1.1 g/ml are 242 g; apart, a cavity each in the middle mould, 121 g:
    # the other moulds have one colour and take them whole.
    assert found.measured == pytest.approx(242.0, abs=0.5)


def test_a_way_that_is_light_enough_is_named_where_it_is_late(stopping) -> None:
    heavy = partial(question, pours=(50.0,), most_g=60.0)  # 60.5 g and more: one mix a mould
    assert stopping(heavy(gel_s=50.0)).id == "mix.batch"
    assert stopping(replace(heavy(gel_s=50.0), most_g=70.0)).id == "mix.no-time"
