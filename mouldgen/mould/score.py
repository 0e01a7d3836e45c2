"""A score line up the outside of the wall, along which a chisel splits it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from mouldgen.errors import JobError
from mouldgen.finding import Finding
from mouldgen.mould.feature import Feature
from mouldgen.mould.label import CLEAR, Label
from mouldgen.mould.sockets import Sockets
from mouldgen.mould.wall import outside
from mouldgen.size import Size, SizeQuestion
from mouldgen.size.question import FILL_LINE_MM
from mouldgen.solid.circle import around
from mouldgen.solid.kernel import OVERSHOOT, Solid, loft

if TYPE_CHECKING:
    from mouldgen.mould.plan import CupPlan

LINES_BEHIND = 2  # printed lines of wall that stay behind it: fewer may leak
# Our own choices, no source: shallower than a fill line a chisel does not find it, deeper than half
# of the wall it breaks in the hand.
LEAST_MM = 0.4
MOST_SHARE = 0.5
STEP_DEG = 1.0

Blocked = tuple[float, float]


@dataclass(frozen=True, eq=False)
class Score(Feature):
    """A V with a right angle at its bottom, from the print bed to the rim.

    angle_deg : where it stands [degrees].
    deep_mm : how deep it goes into the wall, level [mm].
    """

    angle_deg: float = 0.0
    deep_mm: float = 0.0

    @property
    def scored_mm(self) -> float:
        return self.deep_mm

    def off_body(self, plan: CupPlan) -> list[Solid]:
        """It follows the outside of the wall, as deep everywhere."""
        points = outside(plan.size, bottom_mm=-plan.question.floor_mm).points
        (low, first), (high, last) = points[0], points[-1]
        along = [(low - OVERSHOOT, first), *points, (high + OVERSHOOT, last)]
        deep = self.deep_mm
        # Beyond the surface by as much again, and beyond its corners: a V that ended in it would
        # leave a skin.
        widest = max(radius for _, radius in along)
        far = max(deep, 2.0 * (around(widest, sides=plan.sides) - widest))
        ring = np.array([(-deep, 0.0), (far, -deep - far), (far, deep + far)])
        cut = loft([(ring + np.array([radius, 0.0]), z) for z, radius in along])
        return [cut.turned(self.angle_deg)]


def place_score(
    question: SizeQuestion,
    size: Size,
    *,
    sockets: Sockets,
    grooves: tuple[float, ...],
    label: Label | None,
    taken: tuple[Blocked, ...],
) -> tuple[Score, Finding]:
    """The score line on plain wall, as nearly opposite to the lettering as there is any.

    question, size : the closed form.
    sockets : the lettering stands over their first rib; behind a rib the wall would not split.
    grooves : where the vent grooves and their backs stand [degrees].
    label : the body's lettering, or None.
    taken : what else is on the wall outside: its angle and half its width [degrees, mm].

    Raises JobError where the wall is too thin, or no plain wall is left.
    """
    behind = LINES_BEHIND * question.line_mm
    deep = min(size.wall_mm - FILL_LINE_MM - behind, MOST_SHARE * size.wall_mm)
    if deep < LEAST_MM - 1e-9:
        need = LEAST_MM + FILL_LINE_MM + behind
        raise JobError(
            f"a score line needs a wall of {need:.2f} mm, {LINES_BEHIND} printed lines behind it"
            f" and behind the fill line, and this wall is {size.wall_mm:.2f} mm",
            where="[mould] score",
            allowed=f"a wall of {need:.2f} mm or more",
            try_="Leave score out: so thin a wall is turned away or cut with a knife.",
        )
    wall = outside(size, bottom_mm=-question.floor_mm).narrowest_mm(-question.floor_mm, size.rim_mm)
    front = sockets.angles[0]
    shut = [(angle, question.groove_mm + size.wall_mm) for angle in grooves]
    shut += taken
    if label is not None:
        shut.append((front, 0.5 * label.height_mm + label.stroke_mm))
    ribs = []
    if sockets.lower:
        # A rib's width is at its inner side; it keeps its angle out to the wall.
        ribs = [
            (angle, 0.5 * sockets.foot_width_mm * wall / sockets.foot_inner_mm)
            for angle in sockets.angles
        ]
    angle = _plain([*shut, *ribs], wall=wall, half=deep, opposite=front + 180.0)
    if angle is None:
        angle = _plain(shut, wall=wall, half=deep, opposite=front + 180.0)
    if angle is None:
        raise JobError(
            "between grooves, lettering and what else is on the wall no plain wall is left for a"
            " score line",
            where="[mould] score",
            allowed="fewer vent_grooves, or no score",
        )
    return Score(angle, deep), _use(deep)


def _plain(shut: list[Blocked], *, wall: float, half: float, opposite: float) -> float | None:
    """The angle nearest to one that keeps clear of everything, or None [degrees]."""
    for step in range(round(180.0 / STEP_DEG) + 1):
        for side in (1.0, -1.0):
            angle = (opposite + side * step * STEP_DEG) % 360.0
            if all(_off_mm(angle, at, wall) >= wide + half + CLEAR for at, wide in shut):
                return angle
    return None


def _off_mm(angle: float, at: float, wall: float) -> float:
    """Along the wall from one angle to another [mm]."""
    return math.radians(abs(math.remainder(angle - at, 360.0))) * wall


def _use(deep: float) -> Finding:
    return Finding(
        id="cup.score",
        rule="cup",
        severity="note",
        message=(
            f"A line {deep:.2f} mm deep is scored up the back of the wall: set a chisel in it at"
            " the rim and split the wall downward, away from your hand."
        ),
        measured=deep,
        place="body",
    )
