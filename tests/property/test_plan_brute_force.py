"""The plan's finish against every plan there is, on small ones, and any plan's soundness."""

from __future__ import annotations

import datetime as dt
import random

import pytest

from mouldgen.errors import NoAnswerError
from mouldgen.shop.activity import Activity, Done, Schedule, Stage
from mouldgen.shop.hours import DAY_S, Hours
from mouldgen.shop.schedule import schedule
from mouldgen.shop.validate import validate

MONDAY = dt.date(2026, 11, 30)
HOUR = 3600
DAY_HOURS = 4  # a short day keeps the number of plans small
PLACES = {"pot": 1, "mould": 2}


def hours_of(length: int = DAY_HOURS) -> Hours:
    return Hours(MONDAY, 8 * HOUR, length * HOUR, (True,) * 5 + (False,) * 2)


def works(hour: int) -> bool:
    """Whether the hour from here on is one of work; written down, not asked of the package."""
    day, of_day = divmod(hour, 24)
    return day % 7 < 5 and 8 <= of_day < 8 + DAY_HOURS


def ends(stage: Stage, start: int) -> int | None:
    """When hands that start at a whole hour are through; None where they cannot start there."""
    left, hour = stage.hands_s // HOUR, start
    if left == 0:
        return start
    if not works(start):
        return None
    while left:
        if works(hour):
            left -= 1
        elif not stage.by_day:
            return None
        hour += 1
    return hour


def starts(activity: Activity, number: int, least: int, most: int) -> range:
    """Hours to try; a mere wait that nothing else hangs on only ends later if it begins later."""
    stage = activity.stages[number]
    mere = not stage.hands_s and stage.within_s is None and (number or not activity.holds)
    return range(least, min(most, least + 1) if mere else most)


def worked(hands: list[tuple[int, int]], hour: int) -> int:
    return sum(start <= hour < end and works(hour) for start, end in hands)


def fits(held: list[tuple[int, int, str, int]], activity: Activity, opened: int, over: int) -> bool:
    """Whether the places that an activity takes are free from one hour to another."""
    return all(
        n + sum(m for s, e, k, m in held if k == kind and s <= hour < e) <= PLACES[kind]
        for kind, n in activity.holds
        for hour in range(opened, over)
    )


def fastest(activities: list[Activity], people: int, horizon: int) -> int | None:
    """The earliest finish [h] of all plans whose stages start at whole hours, by trying them."""
    best: int | None = None
    hands: list[tuple[int, int]] = []
    held: list[tuple[int, int, str, int]] = []
    placed: dict[str, int] = {}

    def go_on(rest: list[Activity], number: int, first: int, least: int, most: int) -> None:
        nonlocal best
        if best is not None and max(placed.values(), default=0) >= best:
            return
        if not rest:
            best = max(placed.values(), default=0)
            return
        activity = rest[0]
        stage = activity.stages[number]
        if number == 0:
            least, most = max((placed[a] for a in activity.after), default=0), horizon
        for start in starts(activity, number, least, min(most + 1, horizon)):
            end = ends(stage, start)
            if end is None:
                continue
            if best is not None and end + stage.wait_s // HOUR >= best:
                break
            hands.append((start, end))
            if all(worked(hands, hour) <= people for hour in range(start, end)):
                over = end + stage.wait_s // HOUR
                opened = start if number == 0 else first
                if number + 1 < len(activity.stages):
                    limit = horizon if stage.within_s is None else end + stage.within_s // HOUR
                    go_on(rest, number + 1, opened, over, limit)
                elif fits(held, activity, opened, over):
                    held.extend((opened, over, kind, n) for kind, n in activity.holds)
                    placed[activity.name] = over
                    go_on(rest[1:], 0, 0, 0, 0)
                    del placed[activity.name]
                    del held[len(held) - len(activity.holds) :]
            hands.pop()

    go_on(activities, 0, 0, 0, 0)
    return best


def small_job(seed: int) -> list[Activity]:
    draw = random.Random(seed)
    found: list[Activity] = []
    while sum(len(a.stages) for a in found) < 4:
        stages = []
        for number in range(draw.choice((1, 1, 2))):
            wait = draw.choice((0, 1, 3)) * HOUR
            within = wait + draw.choice((1, 4)) * HOUR if draw.random() < 0.3 else None
            stages.append(
                Stage(
                    f"stage {number}",
                    draw.choice((0, 1, 1, 2, 3)) * HOUR,
                    wait,
                    within_s=within,
                    by_day=draw.random() < 0.3,
                )
            )
        after = tuple(a.name for a in found if draw.random() < 0.3)
        holds = ((draw.choice(tuple(PLACES)), 1),) if draw.random() < 0.6 else ()
        found.append(Activity(f"work {len(found)}", tuple(stages), after, holds))
    return found


@pytest.mark.parametrize("seed", range(60))
def test_no_plan_is_finished_earlier(seed):
    activities, people = small_job(seed), 1 + seed % 2
    best = fastest(activities, people, horizon=24 * 4)
    try:
        found = schedule(activities, hours=hours_of(), people=people, places=PLACES)
    except NoAnswerError:
        assert best is None
        return
    if best is None:
        assert found.finish_s > 24 * 4 * HOUR
    elif any(stage.within_s is not None for a in activities for stage in a.stages):
        assert found.finish_s <= best * HOUR  # a window may be met better between the hours
    else:
        assert found.finish_s == best * HOUR


def large_job(seed: int) -> list[Activity]:
    draw = random.Random(seed)
    found: list[Activity] = []
    for number in range(draw.randint(10, 30)):
        stages = tuple(
            Stage(
                f"stage {k}",
                draw.randrange(0, 3 * HOUR),
                draw.choice((0, 600, 5 * HOUR, 2 * DAY_S)),
                by_day=draw.random() < 0.5,
            )
            for k in range(draw.randint(1, 3))
        )
        after = tuple(a.name for a in found if draw.random() < 2.0 / (number + 1))
        holds = tuple((kind, 1) for kind in PLACES if draw.random() < 0.3)
        found.append(Activity(f"work {number}", stages, after, holds, draw.randrange(0, 3 * DAY_S)))
    return found


@pytest.mark.parametrize("seed", range(4))
def test_any_plan_can_be_carried_out_and_comes_out_the_same_again(seed):
    activities = large_job(seed)
    asked = {"hours": hours_of(8), "people": 1 + seed % 2, "places": PLACES, "seed": seed}
    found = schedule(activities, **asked)
    del asked["seed"]
    validate(activities, found, **asked)
    again = schedule(activities, **asked, seed=seed)
    assert dict(again.stages) == dict(found.stages)


def moved(found: Schedule, name: str, number: int, by_s: int) -> Schedule:
    stages = {key: list(done) for key, done in found.stages.items()}
    at = stages[name][number]
    stages[name][number] = Done(at.start_s + by_s, at.hands_end_s + by_s, at.end_s + by_s)
    return Schedule({key: tuple(done) for key, done in stages.items()})


def test_unequal_orders_are_told_apart():
    """Two loads in one pot: the long cure first or last does not matter, the hands at night do."""
    load = [Stage("pour", HOUR, 20 * HOUR), Stage("unload", HOUR)]
    activities = [Activity(f"load {n}", tuple(load), holds=(("pot", 1),)) for n in (1, 2)]
    found = schedule(activities, hours=hours_of(8), people=1, places=PLACES)
    # 8 to 9, cured at 5 the next day, out at 8 to 9; the second at 9 to 10, cured at 6, out at 9
    assert found.finish_s == 2 * DAY_S + 9 * HOUR
    assert found.end_s("load 1") == DAY_S + 9 * HOUR
