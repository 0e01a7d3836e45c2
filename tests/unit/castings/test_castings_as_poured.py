"""The rows of a load: the air rule of the day as it was, and what the gap leaves open."""

from __future__ import annotations

import functools
import math
from dataclasses import replace

import pytest

from mouldgen.answer import Answer, answer_job
from mouldgen.castings.as_poured import Poured, load_as_poured
from mouldgen.castings.drafts import LoadDraft
from mouldgen.castings.on_card import JobCard
from mouldgen.finding import Learned
from mouldgen.gap.take_up import take_up
from mouldgen.job.load import load_job
from mouldgen.sheet.job_card import job_card
from tests.castings_drafts import NOON


def rows(answer: Answer, **changes: object) -> LoadDraft:
    facts: dict[str, object] = {
        "poured_at": NOON, "shop_c": answer.job.pour.shop, "close_s": answer.job.pour.close,
        "pressure_kpa": 300.0, "gap_mm": answer.gap.gap_mm, "gaps_mm": {}, "mould_id": "BP-MM",
        "sequence": answer.gap.sequence,
    }  # fmt: skip
    return load_as_poured(
        card(answer),
        Poured(**{**facts, **changes}),  # type: ignore[arg-type]
        load=2,
        numbers=(2, 3, 4),
    )


@functools.cache  # an answer is itself alone
def card(answer: Answer) -> JobCard:
    """What the pot cards of a job say."""
    loaded = load_job(answer.job.name)
    return job_card(replace(loaded, job=answer.job, learned=answer.question.learned))


@pytest.fixture(scope="module")
def pegs() -> Answer:
    return answer_job(load_job("boathouse-pegs").job)


def test_poured_as_planned_air_and_take_up_make_what_the_air_rule_asked_for(pegs: Answer) -> None:
    (air,) = (bound for bound in pegs.gap.bounds if bound.rule == "air")
    first = rows(pegs).castings[0]

    assert air.value_mm is not None
    assert first.air_mm + take_up(pegs.question).total_mm == pytest.approx(air.value_mm, rel=1e-12)
    assert first.open_mm == pytest.approx(first.gap_mm - take_up(pegs.question).total_mm, rel=1e-12)
    assert (first.resin, first.wood) == ("casting-epoxy-slow", "white ash")
    assert first.close_min == pytest.approx(pegs.job.pour.close / 60.0)


def test_the_air_rule_is_asked_as_if_nothing_had_been_learned() -> None:
    job = load_job("boathouse-pegs").job
    plain, learned = answer_job(job), answer_job(job, learned=Learned(0.5, 40))

    (asked,) = (bound.value_mm for bound in learned.gap.bounds if bound.rule == "air")
    (unlearned,) = (bound.value_mm for bound in plain.gap.bounds if bound.rule == "air")
    assert asked is not None
    assert unlearned is not None
    assert asked > unlearned
    assert rows(learned).castings[0].air_mm == rows(plain).castings[0].air_mm


def test_a_later_close_asks_for_a_wider_gap(pegs: Answer) -> None:
    asked = [rows(pegs, close_s=60.0 * m).castings[0].air_mm for m in (10, 16, 25, 40)]

    assert asked == sorted(asked)
    assert len(set(asked)) == 4


def test_once_the_resin_has_gelled_no_gap_would_do(pegs: Answer) -> None:
    (air_mm,) = {casting.air_mm for casting in rows(pegs, close_s=5 * 3600.0).castings}

    assert air_mm == math.inf


def test_moulds_of_other_gaps_are_rows_of_other_gaps(pegs: Answer) -> None:
    second, third, fourth = rows(pegs, gaps_mm={3: 1.5}).castings

    assert (second.gap_mm, third.gap_mm) == (pegs.gap.gap_mm, 1.5)
    assert third.open_mm - second.open_mm == pytest.approx(third.gap_mm - second.gap_mm, rel=1e-12)
    assert third.air_mm == second.air_mm
    # What is lettered on a mould of another gap is not known.
    assert [second.mould_id, third.mould_id, fourth.mould_id] == ["BP-MM", "", "BP-MM"]


def test_of_several_pours_the_air_of_one_is_asked_for() -> None:
    toppers = answer_job(load_job("apple-toppers").job)
    castings = rows(toppers).castings

    assert {casting.pours for casting in castings} == {3}
    (air,) = (bound for bound in toppers.gap.bounds if bound.rule == "air")
    assert air.value_mm == pytest.approx(
        castings[0].air_mm + take_up(toppers.question).total_mm, rel=1e-12
    )
