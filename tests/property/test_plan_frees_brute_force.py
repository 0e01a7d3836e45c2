"""Pots that are free before moulds, and cures that count from the pour, against every plan."""

from __future__ import annotations

import datetime as dt
import random
from collections.abc import Iterator

import pytest

from mouldgen.shop.activity import Activity, Stage
from mouldgen.shop.hours import Hours
from mouldgen.shop.schedule import schedule

HOUR = 3600
DAY_HOURS = 4
WEEK = Hours(dt.date(2026, 11, 30), 8 * HOUR, DAY_HOURS * HOUR, (True,) * 5 + (False,) * 2)
HORIZON = 24 * 4
PLACES = {"pot": 1, "mould": 2}

Spots = tuple[tuple[int, int], ...]  # of each stage: when its hands begin and end [h]


def works(hour: int) -> bool:
    return hour // 24 % 7 < 5 and 8 <= hour % 24 < 8 + DAY_HOURS


def ways(activity: Activity) -> Iterator[Spots]:
    """Every way to place its stages at whole hours, by itself."""

    def go_on(placed: Spots) -> Iterator[Spots]:
        if len(placed) == len(activity.stages):
            yield placed
            return
        stage = activity.stages[len(placed)]
        least = placed[-1][1] if placed else 0
        if stage.since is not None:
            least = max(least, placed[stage.since[0]][1] + stage.since[1] // HOUR)
        takes = stage.hands_s // HOUR
        if not takes:
            yield from go_on((*placed, (least, least)))  # what needs no hands is not put off
            return
        for start in range(least, HORIZON):
            if all(works(hour) for hour in range(start, start + takes)):
                yield from go_on((*placed, (start, start + takes)))

    yield from go_on(())


def taken(activity: Activity, spots: Spots, kind: str) -> range:
    until = next(
        (end for stage, (_, end) in zip(activity.stages, spots, strict=True)
         if kind in stage.frees),
        spots[-1][1],
    )  # fmt: skip
    return range(spots[0][0], until)


def fastest(activities: list[Activity]) -> int | None:
    """The earliest finish [h], by putting every way beside every other; one person works."""
    best: int | None = None
    # What ends late is of no use once something better is known: the early ways first.
    all_ways = {a.name: sorted(ways(a), key=lambda spots: spots[-1][1]) for a in activities}

    def go_on(
        number: int, ends: dict[str, int], busy: frozenset[int], held: dict[str, list[range]]
    ) -> None:
        nonlocal best
        if number == len(activities):
            best = max(ends.values())
            return
        activity = activities[number]
        least = max((ends[name] for name in activity.after), default=0)
        for spots in all_ways[activity.name]:
            if best is not None and spots[-1][1] >= best:
                return
            if spots[0][0] < least:
                continue
            own = {hour for start, end in spots for hour in range(start, end)}
            if own & busy:
                continue
            now = {kind: taken(activity, spots, kind) for kind, _ in activity.holds}
            if all(fits(kind, hours, held[kind]) for kind, hours in now.items()):
                then = {k: [*held[k], *([now[k]] if k in now else [])] for k in held}
                go_on(number + 1, {**ends, activity.name: spots[-1][1]}, busy | own, then)

    def fits(kind: str, hours: range, others: list[range]) -> bool:
        return all(sum(hour in other for other in others) < PLACES[kind] for hour in hours)

    go_on(0, {}, frozenset(), {kind: [] for kind in PLACES})
    return best


def small_loads(seed: int) -> list[Activity]:
    draw = random.Random(seed)
    found = []
    for number in (1, 2, 3)[: draw.choice((2, 3))]:
        pour = Stage("pour", draw.choice((1, 2)) * HOUR)
        out_after, mould_after = draw.choice((1, 3, 20)), draw.choice((5, 22, 30))
        out = Stage("unload", HOUR, since=(0, out_after * HOUR), frees=("pot",))
        demould = Stage("demould", 0, since=(0, max(mould_after, out_after) * HOUR))
        stages = (pour, out, demould) if draw.random() < 0.7 else (pour, out)
        after = ("load 1",) if number == 3 and draw.random() < 0.4 else ()
        found.append(Activity(f"load {number}", stages, after, (("pot", 1), ("mould", 1))))
    return found


@pytest.mark.parametrize("seed", range(30))
def test_no_plan_of_pot_loads_is_finished_earlier(seed):
    activities = small_loads(seed)
    best = fastest(activities)
    assert best is not None
    found = schedule(activities, hours=WEEK, people=1, places=PLACES)
    assert found.finish_s == best * HOUR


def test_a_late_start_that_is_better_is_found_among_the_ways():
    """The brute force itself, on a case that is told by hand."""
    load = (
        Stage("pour", HOUR),
        Stage("unload", HOUR, since=(0, HOUR), frees=("pot",)),
        Stage("demould", 0, since=(0, 24 * HOUR)),
    )
    both = [Activity(f"load {n}", load, (), (("pot", 1), ("mould", 1))) for n in (1, 2)]
    # Poured at 8 to 9, out at 10 to 11, the other poured at 11 to 12: it is cured at 12 a day on,
    # and is carried out at 8 on that day.
    assert fastest(both) == 24 + 12
    assert schedule(both, hours=WEEK, people=1, places=PLACES).finish_s == 36 * HOUR
