"""Ears on lid and body for bolts: the lid's is slid through, the body's takes the thread."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from mouldgen.errors import JobError
from mouldgen.mould.feature import HoldDown
from mouldgen.mould.wall import outside
from mouldgen.size.fastened import SEAT_MM, BoltEar, bolt_ear
from mouldgen.solid.circle import segments
from mouldgen.solid.kernel import OVERSHOOT, Solid, cylinder, loft, prism

if TYPE_CHECKING:
    from mouldgen.job.model import Mould
    from mouldgen.mould.plan import CupPlan
    from mouldgen.size import Size, SizeQuestion
    from mouldgen.solid.mesh import Floats

LABEL_DEG = 90.0  # the body's lettering stands midway between two ears


@dataclass(frozen=True, eq=False)
class Ears(HoldDown):
    """Ears at even angles, one above the other on lid and body.

    angles : of the ears [degrees].
    ear : their sizes.
    centre_mm : of each bolt from the axis [mm].
    top_mm : of the body's ears [mm].
    root_mm : distance from the axis that the ramp under them starts at, inside the wall [mm].
    """

    angles: tuple[float, ...] = ()
    ear: BoltEar | None = None
    centre_mm: float = 0.0
    top_mm: float = 0.0
    root_mm: float = 0.0

    @property
    def body_genus(self) -> int:
        return len(self.angles)

    @property
    def lid_genus(self) -> int:
        return len(self.angles)

    @property
    def on_wall(self) -> tuple[tuple[float, float], ...]:
        half = self.ear.half_mm if self.ear else 0.0
        return tuple((angle, half) for angle in self.angles)

    def on_body(self, plan: CupPlan) -> list[Solid]:
        """Each on a ramp of 45 degrees out of the wall."""
        if self.ear is None:
            return []
        full = self.top_mm - self.ear.grip_mm
        low = full - (self.centre_mm - self.root_mm)
        levels = [(self.root_mm, low), (self.centre_mm, full), (self.centre_mm, self.top_mm)]
        ear = loft([(self._outline(plan, centre), z) for centre, z in levels])
        return [ear.turned(angle) for angle in self.angles]

    def off_body(self, plan: CupPlan) -> list[Solid]:
        if self.ear is None:
            return []
        low = _hole_foot_mm(self.ear, self.top_mm)
        return self._holes(plan, self.ear.tap_mm, low, self.top_mm + OVERSHOOT)

    def on_lid(self, plan: CupPlan) -> list[Solid]:
        size, q = plan.size, plan.question
        bottom, top = size.rim_mm - q.skirt_mm, size.rim_mm + q.lid_mm
        ear = prism([self._outline(plan, self.centre_mm)], bottom_mm=bottom, top_mm=top)
        # It starts in the middle of the skirt: the body goes inside.
        inside = cylinder(
            size.lid_reach_mm - 0.5 * size.wall_mm,
            bottom_mm=bottom - OVERSHOOT,
            top_mm=top + OVERSHOOT,
            chord_mm=plan.chord_mm,
        )
        return [(ear - inside).turned(angle) for angle in self.angles]

    def off_lid(self, plan: CupPlan) -> list[Solid]:
        if self.ear is None:
            return []
        low = plan.size.rim_mm - plan.question.skirt_mm - OVERSHOOT
        top = plan.size.rim_mm + plan.question.lid_mm + OVERSHOOT
        return self._holes(plan, self.ear.hole_mm, low, top)

    def _holes(self, plan: CupPlan, radius: float, low: float, top: float) -> list[Solid]:
        return [
            cylinder(
                radius,
                bottom_mm=low,
                top_mm=top,
                chord_mm=plan.chord_mm,
                centre=(
                    self.centre_mm * math.cos(math.radians(angle)),
                    self.centre_mm * math.sin(math.radians(angle)),
                ),
            )
            for angle in self.angles
        ]

    def _outline(self, plan: CupPlan, centre: float) -> Floats:
        """From the axis outward, round at its end."""
        half = self.ear.half_mm if self.ear else 0.0
        sides = math.ceil(0.5 * segments(half, chord_mm=plan.chord_mm))
        turn = np.linspace(-0.5 * math.pi, 0.5 * math.pi, sides + 1)
        end = np.column_stack([centre + half * np.cos(turn), half * np.sin(turn)])
        return np.concatenate([[[0.0, -half]], end, [[0.0, half]]])


def place_ears(question: SizeQuestion, size: Size, mould: Mould) -> Ears:
    """Ears for the bolts that the maker asks for.

    question, size : the closed form.
    mould : how many bolts, and which.

    Raises JobError where the cup is too small for them.
    """
    q = question
    ear = bolt_ear(mould.bolt, line_mm=q.line_mm)
    count = mould.lid_screws
    centre = size.lid_reach_mm + ear.hole_mm
    top = size.rim_mm - q.skirt_mm - SEAT_MM
    wall = outside(size, bottom_mm=-q.floor_mm)
    # The ramp's round end starts inside the wall, wherever along the wall that comes to lie.
    low = top - ear.grip_mm - centre
    inside = wall.narrowest_mm(max(low, -q.floor_mm), top) - 0.5 * size.wall_mm
    root = inside - ear.half_mm
    start = top - ear.grip_mm - (centre - root)
    hole_foot = max(_hole_foot_mm(ear, top), -q.floor_mm)
    pierced = wall.widest_mm(hole_foot, top) + q.groove_mm > centre - ear.tap_mm
    apart = 2.0 * centre * math.sin(math.pi / count) if count > 1 else math.inf
    if pierced or root <= 0.0 or start < -q.floor_mm or apart < 2.0 * ear.half_mm + 1.0:
        raise JobError(
            f"a mould {2.0 * size.lid_reach_mm:.0f} mm across and {size.body_height_mm:.0f} mm high"
            f" has no room for {count} ears with {mould.bolt} bolts",
            where="[mould] lid_screws",
            allowed="fewer or thinner bolts, or none",
        )
    pitch = 360.0 / count
    long = q.lid_mm + q.skirt_mm + SEAT_MM + ear.grip_mm
    return Ears(
        way="bolt",
        most=count,
        use=(
            f"{mould.bolt}, about {long:.0f} mm long, which cut or are tapped their thread in the"
            " body's ears; draw them up by hand only"
        ),
        angles=tuple((LABEL_DEG + (k + 0.5) * pitch) % 360.0 for k in range(count)),
        ear=ear,
        centre_mm=centre,
        top_mm=top,
        root_mm=root,
    )


def _hole_foot_mm(ear: BoltEar, top_mm: float) -> float:
    """Below where the bolt comes out of the ramp [mm]."""
    return top_mm - ear.grip_mm - ear.half_mm - ear.tap_mm - OVERSHOOT
