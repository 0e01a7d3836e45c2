"""Any job cut into batches keeps the clock, gives every mould its resin, and weighs enough.

The gel of a batch is a plain falling curve here, so that many jobs can be tried.  When a cup
gels is reckoned a second time in small steps.
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import replace
from itertools import groupby, pairwise

from hypothesis import assume, given, settings

from mouldgen.mix.batches import BatchQuestion, Session, batches, evenly
from tests.strategies import batch_questions

FEW = settings(max_examples=100, deadline=None)


@FEW
@given(batch_questions())
def test_the_clock_is_kept(question: BatchQuestion) -> None:
    for cut in batches(question):
        for session in {len(s.moulds): s for s in cut.sessions}.values():
            steps = session.clock.steps
            for one, then in pairwise(steps):
                assert one.start_s <= one.end_s <= then.start_s + 1e-9  # one pair of hands
            assert steps[-1].what in ("press", "close")
            assert steps[-1].end_s == session.clock.close_s
            latest = {(s.mix, s.cup): s.start_s for s in steps if s.what == "pour"}
            for (mix, cup), poured_s in latest.items():
                gelled, reserve = gel_again(session, mix, cup, question)
                assert poured_s <= gelled - reserve + 2.0
                assert session.clock.close_s <= gelled - reserve + 2.0
            for start in session.clock.mixed_s:
                assert question.air_s is None or session.clock.close_s <= start + question.air_s
            assert session.clock.close_s <= session.clock.limit_s


def gel_again(session: Session, mix: int, cup: int, question: BatchQuestion) -> tuple[float, float]:
    """When a cup gels, by using its life up second by second, and the reserve before that."""
    asked = session.portions[mix - 1]
    portion = asked.cups[cup - 1]
    start = session.clock.mixed_s[mix - 1]
    own = [s for s in session.clock.steps if (s.mix, s.cup) == (mix, cup)]
    split = next((s.end_s for s in own if s.what == "split"), start)
    stir = next((s.start_s for s in own if s.what == "stir" and s.start_s >= 0.0), split)
    factor = question.tints[portion.colour].gel_factor
    used, now, step = 0.0, start, 1.0
    while used < 1.0:
        if now < split:
            pace = 1.0 / question.gel(asked.weighed.total_g)
        else:
            pace = 1.0 / question.gel(portion.g) / (1.0 if now < stir else factor)
        used += step * pace
        now += step
    gelled = now - (used - 1.0) / pace
    reserve = 0.1 * (gelled - start) if question.reserve_s is None else question.reserve_s
    return gelled, reserve


@FEW
@given(batch_questions())
def test_every_mould_gets_every_pour_once(question: BatchQuestion) -> None:
    need = question.need
    for cut in batches(question):
        numbers = [list(s.moulds) for s in cut.sessions if s.pour == 1]
        assert [n for run in numbers for n in run] == list(range(1, need.moulds + 1))
        first, rest = numbers[: question.first_alone], numbers[question.first_alone :]
        assert first == [[1]] * question.first_alone
        assert max(map(len, rest), default=0) - min(map(len, rest), default=0) <= 1
        assert max(map(len, numbers)) <= question.most
        for _, load in groupby(cut.sessions, key=lambda s: s.load):
            assert [s.pour for s in load] == list(range(1, len(need.pours) + 1))
        poured = Counter()
        for session in cut.sessions:
            for step in session.clock.steps:
                if step.what == "pour":
                    cup = session.portions[step.mix - 1].cups[step.cup - 1]
                    poured[session.pour, step.mould, cup.colour] += 1
        wanted = Counter({
            (pour + 1, mould + 1, colour): count
            for pour in range(len(need.pours))
            for mould in range(need.moulds)
            for colour, count in enumerate(need.fills(pour, mould)) if count
        })  # fmt: skip
        assert poured == wanted


@FEW
@given(batch_questions())
def test_grams_are_enough_and_cups_are_the_mix(question: BatchQuestion) -> None:
    stock, need = question.stock, question.need
    density, share_a = stock.density_g_ml, stock.share_a
    for cut in batches(question):
        total = 0.0
        for session in cut.sessions:
            for mix in session.portions:
                total += mix.poured_ml
                assert math.isclose(
                    math.fsum(cup.ml for cup in mix.cups), mix.mixed_ml, rel_tol=1e-12
                )
                assert mix.weighed.a_g >= mix.mixed_ml * density * share_a - 1e-6
                assert mix.weighed.b_g >= mix.mixed_ml * density * (1.0 - share_a) - 1e-6
                assert mix.weighed.total_g >= stock.least_g - 1e-6
                assert mix.kept_ml >= mix.poured_ml * stock.resin.loss - 1e-9
                for cup in mix.cups:
                    tint = question.tints[cup.colour].share
                    assert cup.g >= cup.ml * density - 1e-6
                    assert (cup.tint_g is None) == (tint is None)
                    assert tint is None or cup.tint_g >= tint * cup.g - 1e-9
                    for mass in (cup.g, *([] if tint is None else [cup.tint_g])):
                        digits = mass / stock.digit_g
                        assert abs(digits - round(digits)) < 1e-6
                heaviest = question.most_g
                assert heaviest is None or mix.weighed.total_g <= heaviest + 1e-6
        assert math.isclose(total, need.per_mould_ml * need.moulds, rel_tol=1e-9)


@FEW
@given(batch_questions(ways=("swirl",)))
def test_no_fewer_loads_are_in_time(question: BatchQuestion) -> None:
    """Of a swirl, where a larger load takes longer: one load less is never in time.

    A first mould that is alone is one load; it is the rest that could be shared out over fewer.
    """
    first = int(question.first_alone)
    rest = question.need.moulds - first
    for cut in batches(question)[:1]:
        loads = cut.sessions[-1].load - first
        assume(loads > math.ceil(rest / question.most))
        largest = max(len(run) for run in evenly(rest, loads - 1))
        alone = replace(
            question, need=replace(question.need, moulds=largest), most=largest, first_alone=False
        )
        again = [c for c in batches(alone) if c.recipe == cut.recipe]
        assert all(c.sessions[-1].load > 1 for c in again)


@FEW
@given(batch_questions())
def test_a_first_mould_alone_is_one_load_and_the_rest_is_cut_as_if_it_were_all(
    question: BatchQuestion,
) -> None:
    """Not where moulds hold colours of their own: then the rest holds others than a whole job."""
    assume(question.need.moulds > 1 and question.need.way != "apart")
    shown = {cut.recipe: cut for cut in batches(replace(question, first_alone=True))}
    rest = replace(question.need, moulds=question.need.moulds - 1)
    most = min(question.most, rest.moulds)
    alike = replace(question, need=rest, most=most, first_alone=False)
    others = {cut.recipe: cut for cut in batches(alike)}
    assert set(shown) == set(others)
    for recipe, cut in shown.items():
        own, after = cut.sessions[: len(rest.pours)], cut.sessions[len(rest.pours) :]
        assert [session.moulds for session in own] == [(1,)] * len(rest.pours)
        moved = [tuple(number - 1 for number in session.moulds) for session in after]
        assert moved == [session.moulds for session in others[recipe].sessions]
        total = math.fsum(mix.poured_ml for s in cut.sessions for mix in s.portions)
        assert math.isclose(total, question.need.per_mould_ml * question.need.moulds, rel_tol=1e-9)
