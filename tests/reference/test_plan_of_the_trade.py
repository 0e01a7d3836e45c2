"""Facts of the trade as inequalities; all of them are common practice, no source."""

from __future__ import annotations

import pytest

from mouldgen.shop.hours import DAY_S
from mouldgen.shop.step import batch
from mouldgen.shop.steps import steps_of
from tests.plan_settings import DAY, HOUR, cure, facts, setting


def hands(steps) -> int:
    return sum(stage.hands_s for step in steps for stage in step.activity.stages)


def test_castings_stay_in_the_pot_overnight():
    """Common practice, no source: poured by day, carried out on another one.

    Here of a resin that is held twelve hours; that the hold ends at night is what makes it so.
    """
    found = setting(facts(cure=cure(hold_s=12.0 * HOUR, demould_s=12.0 * HOUR)))
    planned = found.schedule(found.steps())
    for number in (1, 2, 3, 4):
        pour, out, *_ = planned.stages[f"load {number}"]
        assert out.start_s // DAY_S > pour.start_s // DAY_S
        assert out.start_s % DAY_S >= 8 * HOUR  # nobody unloads before the shop opens


@pytest.mark.parametrize("work", ["drill", "tap"])
@pytest.mark.parametrize("pieces", [2, 18, 60])
def test_drilling_and_tapping_in_batches_takes_less_than_one_by_one(work, pieces):
    """Common practice, no source: the jig is set up once."""
    times = facts().times
    each, setup = getattr(times, work), getattr(times, f"{work}_setup")
    together = hands(batch(work, pieces, of="piece", each_s=each, setup_s=setup))
    alone = pieces * hands(batch(work, 1, of="piece", each_s=each, setup_s=setup))
    assert alone - together == (pieces - 1) * setup > 0


@pytest.mark.parametrize("fills", [4 / 20, 5 / 20])
def test_four_or_five_of_twenty_with_a_void_are_not_lost(fills):
    """Common practice, no source: they are filled, and delivered."""
    job = facts(20, first=None, pieces=20, fills=fills)
    steps = {step.activity.name: step for step in steps_of(job)}
    voids = round(20 * fills)
    assert steps["fill voids"].count == voids
    assert steps["finish-turn what was filled"].count == voids
    assert sum(s.count for n, s in steps.items() if n.startswith("pack")) == 20
    none = setting(facts(20, first=None, pieces=20, fills=0.0))
    some = setting(job)
    lost = setting(facts(20 + voids, first=None, pieces=20, fills=0.0))
    # Filling costs their work and days of cure, but less of hands than casting as many anew.
    assert hands(none.steps()) < hands(some.steps()) < hands(lost.steps())


def test_a_pot_is_not_filled_twice_in_a_day_where_castings_stay_overnight():
    """Common practice, no source: one load a pot and day, so that two pots do twice as many."""
    found = setting(facts(cure=cure(hold_s=16.0 * HOUR, demould_s=16.0 * HOUR)))
    planned = found.schedule(found.steps())
    days = [planned.start_s(f"load {number}") // DAY_S for number in (1, 2, 3, 4)]
    assert len(set(days)) == 4


def test_a_second_pour_comes_on_the_same_day_or_the_next_within_its_window():
    """Common practice, no source: about two hours after the first; a day later it is sanded."""
    from tests.plan_settings import load

    job = facts(
        cure=cure(recoat_s=(2.0 * HOUR, 24.0 * HOUR)),
        first=load(1, pours=2),
        loads=(load(6, pours=2),) * 3,
    )
    found = setting(job)
    planned = found.schedule(found.steps())
    for name in ("first load", "load 1", "load 2", "load 3"):
        first, second, *_ = planned.stages[name]
        assert second.start_s - first.hands_end_s >= 2 * HOUR
        assert second.hands_end_s - first.start_s <= DAY
