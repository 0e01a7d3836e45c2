"""A dowel through lid and wall over the resin: two opposed bores in each, a slide fit.

It pins the lid, whose legs press on the insert.  Where a leg or a finger of the lid is in its way
at every turn, two short pegs do the same.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from mouldgen.errors import JobError
from mouldgen.finding import Finding
from mouldgen.mould.feature import HoldDown
from mouldgen.mould.sockets import FINGER_ANGLES
from mouldgen.size import Size
from mouldgen.size.block import BlockSize
from mouldgen.size.fastened import dowel_bore
from mouldgen.solid.circle import segments
from mouldgen.solid.kernel import Solid, prism

if TYPE_CHECKING:
    from mouldgen.mould.hold import Site
    from mouldgen.mould.plan import CupPlan
    from mouldgen.solid.mesh import Floats

STEP_DEG = 5.0
FREE_MM = 0.5  # between the dowel and what it passes
WIDEST = 0.5  # bore over the radius of the cup: beyond it little wall is left


@dataclass(frozen=True, eq=False)
class Dowel(HoldDown):
    """Bores across the axis.

    angle_deg : of the dowel, seen from above [degrees].
    height_mm : of its middle [mm].
    radius_mm : of the bores [mm].
    through : whether one dowel goes through, not two pegs.
    """

    angle_deg: float = 0.0
    height_mm: float = 0.0
    radius_mm: float = 0.0
    through: bool = True

    @property
    def body_genus(self) -> int:
        return 2

    @property
    def lid_genus(self) -> int:
        return 2

    @property
    def on_wall(self) -> tuple[tuple[float, float], ...]:
        return tuple((self.angle_deg + turn, self.radius_mm) for turn in (0.0, 180.0))

    def off_body(self, plan: CupPlan) -> list[Solid]:
        far = plan.size.across_mm + 1.0
        return [self._bore(plan, self.angle_deg, start_mm=-far, end_mm=far, up=True)]

    def off_lid(self, plan: CupPlan) -> list[Solid]:
        # The lid is printed on its head, so the roof of its bores points down.
        near, far = plan.size.reach_mm, plan.size.across_mm + 1.0
        return [
            self._bore(plan, self.angle_deg + turn, start_mm=near, end_mm=far, up=False)
            for turn in (0.0, 180.0)
        ]

    def _bore(
        self, plan: CupPlan, angle: float, *, start_mm: float, end_mm: float, up: bool
    ) -> Solid:
        turn = math.radians(angle)
        radial = np.array([math.cos(turn), math.sin(turn), 0.0])
        tangent = np.array([-math.sin(turn), math.cos(turn), 0.0])
        rise = np.array([0.0, 0.0, 1.0])
        way = 1.0 if up else -1.0
        ring = teardrop(self.radius_mm, chord_mm=plan.chord_mm)
        bore = prism([ring], bottom_mm=start_mm, top_mm=end_mm)
        middle = np.array([0.0, 0.0, self.height_mm])
        return bore.placed(np.column_stack([way * tangent, way * rise, radial, middle]))


def teardrop(radius_mm: float, *, chord_mm: float) -> Floats:
    """A round hole with a roof of 45 degrees, drawn around its circle, (n, 2) [mm].

    radius_mm : of the circle; the roof's point lies root 2 times as far above the middle [mm].
    chord_mm : tolerance [mm].
    """
    sides = math.ceil(0.75 * segments(radius_mm, chord_mm=chord_mm))
    turn = np.radians(np.linspace(135.0, 405.0, sides + 1))
    corner = radius_mm / math.cos(math.radians(135.0 / sides))
    ring: Floats = corner * np.column_stack([np.cos(turn), np.sin(turn)])
    return np.concatenate([ring, [[0.0, corner * math.sqrt(2.0)]]])


def place(site: Site) -> tuple[Dowel, tuple[Finding, ...]]:
    """The bores, turned so that the dowel passes legs and fingers where it can.

    Raises JobError where the dowel is too thick for the cup.
    """
    q, size = site.question, site.size
    bore = dowel_bore(site.mould.dowel, clearance_mm=q.clearance_mm, line_mm=q.line_mm)
    if bore.radius_mm > WIDEST * size.bore_mm(size.rim_mm):
        most = 2.0 * (WIDEST * size.bore_mm(size.rim_mm) - q.clearance_mm)
        raise JobError(
            f"a dowel of {site.mould.dowel:g} mm is too thick for a cup"
            f" {2.0 * size.bore_mm(size.rim_mm):.1f} mm wide inside",
            where="[mould] dowel",
            allowed=f"at most {most:.1f} mm",
        )
    turns = [STEP_DEG * k for k in range(round(180.0 / STEP_DEG))]
    if size.blanks > 1:  # a block's run along its rows or its columns
        turns = [0.0, 90.0]
    best = max(turns, key=lambda turn: (round(_room_mm(site, turn), 6), -turn))
    through = _room_mm(site, best) >= site.mould.dowel / 2.0 + FREE_MM
    play = 2.0 * q.clearance_mm
    long = 2.0 * (size.lid_reach_mm + 2.0) + _between_mm(size, best)
    what = (
        f"one of {site.mould.dowel:g} mm, {long:.0f} mm long, right through"
        if through
        else f"two pegs of {site.mould.dowel:g} mm, one from either side, since the lid's legs are"
        " in the way of a whole one"
    )
    use = f"{what}; it leaves the lid {play:.1f} mm of play"
    return Dowel(
        way="dowel",
        most=1,
        use=use,
        angle_deg=best,
        height_mm=size.rim_mm - bore.web_mm - bore.tip_mm,
        radius_mm=bore.radius_mm,
        through=through,
    ), ()


def _between_mm(size: Size, angle: float) -> float:
    """From the first to the last axis of a row that a dowel runs along [mm]."""
    if not isinstance(size, BlockSize):
        return 0.0
    return size.core_mm[0 if angle == 0.0 else 1]  # one of two turns


def _room_mm(site: Site, angle: float) -> float:
    """From the middle of a dowel to the nearest leg or finger [mm]."""
    turn = math.radians(angle)
    apart = [abs(y * math.cos(turn) - x * math.sin(turn)) - r for x, y, r in site.legs]
    if site.sockets.upper == "lid":
        inner = site.sockets.inner_mm
        half = site.sockets.width_mm / (2.0 * inner)
        for finger in FINGER_ANGLES:
            off = abs(math.remainder(math.radians(finger) - turn, math.pi))
            apart.append(inner * math.sin(max(0.0, off - half)))
    return min(apart, default=math.inf)
