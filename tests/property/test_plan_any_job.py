"""Plans of random jobs in random shops: each passes the check that shares no code with it."""

from __future__ import annotations

import datetime as dt
import random
from dataclasses import replace
from functools import cache
from typing import Any

import pytest

from mouldgen.errors import NoAnswerError
from mouldgen.shop.activity import Schedule
from mouldgen.shop.calendar import calendar_of
from mouldgen.shop.hours import Hours
from mouldgen.shop.setting import Setting
from mouldgen.shop.steps import Shop, places_of, steps_of
from mouldgen.shop.validate import validate
from mouldgen.shop.work_facts import BedFacts, LoadFacts, RubberFacts, WorkFacts
from tests.plan_settings import DAY, HOUR, MONDAY, cure, facts


def any_beds(draw: random.Random, moulds: int) -> tuple[BedFacts, ...]:
    beds = [BedFacts(draw.uniform(0.5, 6) * HOUR, 1, first=True)]
    left = moulds - 1
    while left:
        many = draw.randint(0, left)
        beds.append(BedFacts(draw.uniform(1, 40) * HOUR, many))
        left -= many
    return tuple(beds)


def any_facts(draw: random.Random) -> WorkFacts:
    reused = draw.random() < 0.4
    castings = draw.randint(2, 24)
    moulds = draw.randint(1, 6) if reused else castings
    pours = draw.choice((1, 1, 2, 3))
    opens = draw.uniform(0.3, 5) * HOUR
    hold = draw.choice((None, 5.0 * HOUR, 20.0 * HOUR, 72.0 * HOUR))
    demould = max(hold or 0.0, draw.choice((5.0, 24.0, 72.0)) * HOUR)
    first = draw.random() < 0.6
    left, loads = castings - first, []

    def load(many: int) -> LoadFacts:
        return LoadFacts(many, many, tuple(draw.uniform(300, 3000) for _ in range(pours)))

    while left:
        many = min(left, draw.randint(1, moulds))
        loads.append(load(many))
        left -= many
    other: dict[str, Any] = {
        "cure": cure(
            hold_s=hold,
            demould_s=demould,
            full_s=demould + draw.choice((0.0, 2.0, 7.0)) * DAY,
            recoat_s=(opens, opens + draw.uniform(16, 48) * HOUR) if pours > 1 else None,
        ),
        "drying": draw.random() < 0.5,
        "beds": any_beds(draw, moulds),
        "moulds": moulds,
        "reused": reused,
        "first": load(1) if first else None,
        "approval_s": draw.choice((0.0, 1.0, 6.5)) * DAY,
        "loads": tuple(loads),
        "pieces": draw.randint(1 + first, castings),
        "drilled": draw.random() < 0.7,
        "tapped": draw.random() < 0.5,
        "fills": draw.choice((0.0, 0.2, 1.0)),
    }
    found = facts(castings, **other)
    if reused and draw.random() < 0.3:
        box = (BedFacts(20.0 * HOUR, 1, first=True),)
        rubber = RubberFacts(moulds, draw.uniform(300, 1500), draw.uniform(4, 30) * HOUR)
        return replace(found, rubber=rubber, beds=box)
    return found


def any_setting(seed: int) -> Setting:
    draw = random.Random(seed)
    days = tuple(n == 0 or draw.random() < 0.7 for n in range(7))
    closed = frozenset(MONDAY + dt.timedelta(days=draw.randrange(20)) for _ in range(2))
    week = Hours(MONDAY, draw.randrange(6, 10) * HOUR, draw.randrange(5, 11) * HOUR, days, closed)
    shop = Shop(
        people=draw.choice((1, 1, 2)), printers=draw.choice((1, 2)), pots=draw.choice((1, 1, 2))
    )
    return Setting(any_facts(draw), shop, week)


SEEDS = range(32)


@cache
def scheduled(seed: int) -> Schedule | str:
    """The schedule, or why there is none."""
    found = any_setting(seed)
    try:
        return found.schedule(found.steps())
    except NoAnswerError as told:
        return str(told)


@pytest.mark.parametrize("seed", SEEDS)
def test_every_plan_can_be_carried_out_and_tells_all_of_its_work(seed):
    found, schedule = any_setting(seed), scheduled(seed)
    steps = found.steps()
    if isinstance(schedule, str):  # a second pour that no working day has room for
        assert found.facts.cure.recoat_s is not None
        assert "comes in its time" in schedule
        return
    validate(
        [step.activity for step in steps],
        schedule,
        hours=found.hours,
        people=found.shop.people,
        places=places_of(found.facts, found.shop),
    )
    hands = sum(stage.hands_s for step in steps for stage in step.activity.stages)
    entries = calendar_of(steps, schedule, found.hours)
    assert sum((entry.end - entry.start).total_seconds() for entry in entries) == hands


def test_a_plan_comes_out_the_same_again():
    for seed in (1, 2, 3):
        found = any_setting(seed)
        again, schedule = found.schedule(found.steps()), scheduled(seed)
        assert isinstance(schedule, Schedule)
        assert dict(again.stages) == dict(schedule.stages)


def test_most_random_jobs_can_be_planned():
    """So that the test above is not passed by refusing."""
    assert sum(isinstance(scheduled(seed), Schedule) for seed in SEEDS) >= 0.85 * len(SEEDS)


@pytest.mark.parametrize("seed", SEEDS)
def test_every_casting_is_poured_and_demoulded_once_and_every_piece_is_packed(seed):
    found = any_setting(seed).facts
    steps = steps_of(found)
    poured = sum(
        step.count for step in steps for stage in step.activity.stages if "mix" in stage.what
    )
    demoulded = sum(
        stage.hands_s for step in steps for stage in step.activity.stages if stage.what == "demould"
    )
    assert poured == found.castings
    assert demoulded == found.castings * 120
    packed = sum(step.count for step in steps if step.activity.name.startswith("pack"))
    assert packed == found.pieces
