"""Where an insert's end can be stood on and pressed on: pips of the floor, legs of the lid."""

from __future__ import annotations

import math

from mouldgen.finding import Finding
from mouldgen.insert.facts import End, InsertFacts
from mouldgen.mould.label import Round

# Our own choices, no source: a hole keeps one strong web to its neighbours; below the least a
# printed leg is a whisker.
WEB = 1.0
LEAST_LEG = 0.6
LEAST_PIP = 0.25
SEAT = 1.0  # one pip under a point, wider than it
LEGS_FROM = 90.0
PIPS_FROM = 30.0


def ring(count: int, distance: float, radius: float, *, start: float) -> tuple[Round, ...]:
    """Rounds at equal angles about the axis, each x, y and radius [mm].

    count : how many.
    distance, radius : of their middles from the axis, and theirs [mm].
    start : angle of the first [degrees].
    """
    return tuple(
        (
            distance * math.cos(math.radians(start + k * 360.0 / count)),
            distance * math.sin(math.radians(start + k * 360.0 / count)),
            radius,
        )
        for k in range(count)
    )


def legs_on(end: End) -> tuple[Round, ...]:
    """Three legs on what is solid of an end at every turn, or one where three would merge."""
    if end.spots_mm:
        return _on_spots(end, most=2.0, share=0.8)
    if end.inner_mm > 0.0:
        thick = end.outer_mm - end.inner_mm
        return _on_wall(end, min(3.0, max(1.0, 0.45 * thick)), start=LEGS_FROM)
    core = end.outer_mm
    radius = min(3.0, max(1.5, 0.2 * core))
    distance = core - radius - 0.3
    if distance * math.sqrt(3.0) < 2.0 * radius + WEB:
        return ((0.0, 0.0, max(LEAST_LEG, min(radius, 0.8 * core))),)
    return ring(3, distance, radius, start=LEGS_FROM)


def pips_under(end: End) -> tuple[Round, ...]:
    """Three pips under what is solid of an end at every turn, or one seat under a point."""
    if end.spots_mm:
        return _on_spots(end, most=1.2, share=0.5)
    if end.inner_mm > 0.0:
        thick = end.outer_mm - end.inner_mm
        return _on_wall(end, min(1.2, max(LEAST_LEG, 0.3 * thick)), start=PIPS_FROM)
    core = end.outer_mm
    radius = min(1.2, 0.2 * core)
    if radius < LEAST_PIP:
        return ((0.0, 0.0, SEAT),)
    return ring(3, 0.65 * core, radius, start=PIPS_FROM)


def _on_wall(end: End, radius: float, *, start: float) -> tuple[Round, ...]:
    """On a ring; what is thicker than its wall reaches over its hollow, never beyond its rim."""
    thick = end.outer_mm - end.inner_mm
    radius = min(radius, 0.45 * end.outer_mm)

    def away(radius: float) -> float:
        middle = (end.inner_mm + end.outer_mm) / 2.0
        return end.outer_mm - radius if radius > thick / 2.0 else middle

    def merge(radius: float) -> bool:
        return away(radius) * math.sqrt(3.0) < 2.0 * radius + WEB

    while merge(radius) and radius > LEAST_LEG:
        radius = max(LEAST_LEG, radius - 0.1)
    first = start if end.at_deg is None else end.at_deg
    return ring(1 if merge(radius) else 3, away(radius), radius, start=first)


def _on_spots(end: End, *, most: float, share: float) -> tuple[Round, ...]:
    found: list[Round] = []
    for x, y, solid in end.spots_mm:
        radius = min(most, max(LEAST_LEG, share * solid))
        if all(math.hypot(x - a, y - b) >= radius + r + WEB for a, b, r in found):
            found.append((x, y, radius))
    return tuple(found)


def stand_remarks(insert: InsertFacts) -> tuple[Finding, ...]:
    """A note where an end touches in one place, or only as it is drawn."""
    if insert.upper.at_deg is not None:
        message = (
            "The insert touches the floor and the lid with the ends of its wire only: turn it so"
            " that its upper end lies under a leg."
        )
    elif insert.upper.spots_mm:
        message = (
            "The lid's legs meet the insert only where it is drawn: mark its place on the lid."
        )
    else:
        return ()
    return (Finding("cup.stands", "cup", "note", message, place="insert"),)
