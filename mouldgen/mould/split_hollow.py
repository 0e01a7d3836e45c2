"""The space inside a split mould, shaped so that each half leaves the blank straight away.

What stands in the bore reaches outward to the wall, and what is cut into the wall reaches inward
to the bore, both along the way in which the half moves off (y).  Then no resin lies in that way.
A half lies on its back when it is printed, so for the same reason nothing of it hangs over.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING, Literal

import numpy as np

from mouldgen.finding import Finding
from mouldgen.mould.lines import grooved
from mouldgen.mould.plan import LEAD, CupPlan
from mouldgen.mould.runner import runner_hollow
from mouldgen.mould.sockets import (
    FINGER_ANGLES,
    FINGER_LINES,
    LEAST_RELIEF,
    SHALLOWEST,
    THICKEST_FINGER,
    WEB,
    Sockets,
)
from mouldgen.solid.circle import around, polygon, segments
from mouldgen.solid.kernel import OVERSHOOT, Solid, box, cylinder, prism, revolve, union

if TYPE_CHECKING:
    from mouldgen.size import Size, SizeQuestion
    from mouldgen.size.split import SplitSize

CHANNEL_MM = 3.0  # half the width of the four ways that resin takes to the insert's foot
LEAST_FINGER_MM = 4.0  # width of a finger of the lid
VENT_MM = 6.0  # between two fingers: a vent of 4 mm and its webs
LEAST_QUARTER_MM = 2.0  # of the seat that is left between two of them


def seated(sockets: Sockets, question: SizeQuestion, size: Size) -> Sockets:
    """The sockets of a split mould: a seat round the foot, fingers of the lid round the top.

    sockets : as a cup would have them; ribs on the wall would lock the halves on the blank.
    question, size : the closed form.
    """
    relief = size.bore_mm(question.pip_mm) - sockets.foot_inner_mm
    quarter = sockets.foot_inner_mm - math.sqrt(2.0) * channel_mm(size)
    finger = min(
        THICKEST_FINGER,
        size.bore_mm(question.insert_top_mm) - sockets.inner_mm - question.clearance_mm,
    )
    # No groove stands between the lid's fingers, only a vent; each is wider than any opening.
    pitch = 2.0 * math.pi * sockets.inner_mm / len(FINGER_ANGLES)
    width = max(LEAST_FINGER_MM, question.insert.upper.opening_mm + 2.0)
    holds = width + VENT_MM <= pitch and sockets.depth_mm >= SHALLOWEST
    upper: Literal["lid", "none"] = "none"
    if holds and finger >= FINGER_LINES * question.line_mm:
        upper = "lid"
    return replace(
        sockets,
        width_mm=width,
        lower=sockets.foot_depth_mm >= SHALLOWEST
        and relief >= LEAST_RELIEF
        and quarter >= LEAST_QUARTER_MM,
        upper=upper,
        finger_mm=finger if upper == "lid" else 0.0,
    )


def channel_mm(size: Size) -> float:
    """Half the width of the ways through the seat, the gate's among them [mm].

    size : of the mould.
    """
    return max(CHANNEL_MM, size.runner.radius_mm if size.runner else 0.0)


def grooves_of_halves(
    grooves: int, size: Size, groove_mm: float
) -> tuple[tuple[float, ...], tuple[Finding, ...]]:
    """Where vent grooves stand clear of the parting plane, and a word on those without room.

    Evenly round the bore where that goes: with one of an odd number as far off the plane as any,
    or with the plane midway between two; else evenly along the plane, in either half.

    grooves : how many are asked for.
    size : of the mould.
    groove_mm : their radius [mm].

    Returns their angles from the x axis [degrees].
    """
    if not grooves:
        return (), ()
    wide = size.bore_mm(size.rim_mm)
    # A groove reaches inward along y; beside the bore's widest place it would come out of it.
    far = wide - 1.5 * groove_mm
    for first in (0.25, 0.5):
        even = tuple((k + first) * 360.0 / grooves for k in range(grooves))
        if _stand(even, wide, far, apart_mm=2.0 * groove_mm + WEB):
            return even, ()
    room = 1 + int(2.0 * far / (2.0 * groove_mm + WEB)) if far >= 0.0 else 0
    front, back = (min(room, many) for many in (grooves - grooves // 2, grooves // 2))
    kept = (*_along(front, wide, far), *(360.0 - angle for angle in _along(back, wide, far)))
    if len(kept) == grooves:
        return kept, ()
    message = (
        f"Only {len(kept)} of {grooves} vent grooves are made: more would stand so near to the"
        " parting plane or to each other that the halves could not leave the blank. The rules"
        f" counted {grooves}: ask for {len(kept)}."
    )
    return kept, (
        Finding(
            id="split.grooves",
            rule="cup",
            severity="warn",
            message=message,
            measured=float(len(kept)),
            limit=float(grooves),
            place="[mould] vent_grooves",
        ),
    )


def _stand(angles: tuple[float, ...], wide: float, far: float, *, apart_mm: float) -> bool:
    """Whether all keep off the parting plane, and those of one half off each other."""
    for half in (1.0, -1.0):
        along = sorted(
            wide * math.cos(math.radians(angle))
            for angle in angles
            if half * math.sin(math.radians(angle)) >= 0.0
        )
        if along and max(along[-1], -along[0]) > far:
            return False
        if any(b - a < apart_mm for a, b in pairwise(along)):
            return False
    return True


def _along(many: int, wide: float, far: float) -> tuple[float, ...]:
    """Angles of grooves whose distances along the parting plane are even [degrees]."""
    if many == 1:
        return (90.0,)
    steps = (far - 2.0 * far * k / (many - 1) for k in range(many))
    return tuple(math.degrees(math.acos(x / wide)) for x in steps)


def split_hollow(plan: CupPlan, size: SplitSize) -> Solid:
    """Bore, grooves and runner, less the seat and the ridges under the insert.

    plan, size : of a split mould.
    """
    cut = [_bore(plan), *(_groove(plan, angle) for angle in plan.groove_angles)]
    if size.runner is not None:
        start = 0.5 * size.bore_mm(size.rim_mm)
        cut.append(runner_hollow(size.runner, start_mm=start, chord_mm=plan.chord_mm))
    standing = [*_ridges(plan), *_seat(plan, size)]
    return union(cut) - union(standing)


def _bore(plan: CupPlan) -> Solid:
    """One revolve: the floor's cone, the wall, the fill lines; no pip in the middle."""
    top = plan.size.rim_mm + OVERSHOOT
    wall = [(r, z) for z, r in grooved(plan.size.bore, plan.lines, top_mm=top)]
    return revolve([(0.0, 0.0), *wall, (0.0, top)], sides=plan.sides)


def _groove(plan: CupPlan, angle: float) -> Solid:
    """A slot with a round back; its sides lie along the way that the half moves off."""
    radius, wide = plan.question.groove_mm, plan.size.bore_mm(plan.size.rim_mm)
    sides = segments(radius + plan.size.wall_mm, chord_mm=plan.chord_mm)
    sides += sides % 2  # a corner at either end of a diameter along x
    turn = math.radians(angle)
    ring = polygon(
        around(radius, sides=sides),
        sides=sides,
        centre=(wide * math.cos(turn), wide * math.sin(turn)),
    )
    out = 1.0 if math.sin(turn) > 0.0 else -1.0
    start = int(np.argmax(out * ring[:, 0]))
    half = np.roll(ring, -start, axis=0)[: sides // 2 + 1]  # the outer half, counter-clockwise
    foot = [(half[-1][0], 0.0), (half[0][0], 0.0)]
    return prism(
        [np.concatenate([half, foot])],
        bottom_mm=plan.question.pip_mm,
        top_mm=plan.size.rim_mm + OVERSHOOT,
    )


def _outward(y: float, radius: float) -> Iterator[float]:
    """The ways off that something at a place stands in: one, or both across the plane."""
    if y > -radius:
        yield 1.0
    if y < radius:
        yield -1.0


def _ridges(plan: CupPlan) -> list[Solid]:
    """The pips that the insert stands on, each drawn out to the wall."""
    high, far = plan.question.pip_mm, plan.size.widest_mm + OVERSHOOT
    found = []
    for x, y, radius in plan.pips:
        found.append(
            cylinder(
                radius,
                bottom_mm=-OVERSHOOT,
                top_mm=high,
                chord_mm=plan.chord_mm,
                centre=(x, y),
            )
        )
        sides = segments(radius, chord_mm=plan.chord_mm)
        half = around(radius, sides=sides)
        for out in _outward(y, half):
            near, end = sorted((y, out * far))
            found.append(box((x - half, near, -OVERSHOOT), (x + half, end, high)))
    return found


def _seat(plan: CupPlan, size: SplitSize) -> list[Solid]:
    """A ring round the insert's foot, with four ways through it for the resin."""
    sockets = plan.sockets
    if not sockets.lower:
        return []
    inner, top = sockets.foot_inner_mm, plan.insert_foot_mm + sockets.foot_depth_mm
    far = size.bore_mm(top) + 0.5 * size.wall_mm
    ring = revolve(
        [
            (inner, -OVERSHOOT),
            (far, -OVERSHOOT),
            (far, top),
            (inner + LEAD, top),
            (inner, top - LEAD),
        ],
        sides=plan.sides,
    )
    half, wide, low = channel_mm(size), far + OVERSHOOT, -2.0 * OVERSHOOT
    return [
        ring
        - box((-half, -wide, low), (half, wide, top + OVERSHOOT))
        - box((-wide, -half, low), (wide, half, top + OVERSHOOT))
    ]
