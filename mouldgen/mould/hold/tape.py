"""Tape over the lid: two opposed notches in the lid's rim, so that it lies flat on the wall."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.finding import Finding
from mouldgen.job.holding import holdings
from mouldgen.mould.feature import HoldDown
from mouldgen.mould.socket_solids import sector
from mouldgen.solid.kernel import OVERSHOOT, Solid

if TYPE_CHECKING:
    from mouldgen.mould.hold import Site
    from mouldgen.mould.plan import CupPlan

ANGLES = (0.0, 180.0)
PLAY_MM = 0.5  # beside the tape
MOST_RAD = math.pi / 4.0  # half the angle of a notch: half of the skirt stays


@dataclass(frozen=True, eq=False)
class Tape(HoldDown):
    """Notches through skirt and rim of the lid.

    half_rad : half the angle that a notch takes [rad].
    """

    half_rad: float = 0.0

    def off_lid(self, plan: CupPlan) -> list[Solid]:
        size, q = plan.size, plan.question
        inner, outer = size.reach_mm, size.lid_reach_mm + OVERSHOOT + plan.chord_mm
        # Outer corners lie on their circle, so the chords between them fall short of it.
        outer /= math.cos(math.pi / plan.sides)
        levels = [
            (z, inner, outer)
            for z in (
                size.rim_mm - q.skirt_mm - OVERSHOOT,
                size.rim_mm + q.lid_mm + OVERSHOOT,
            )
        ]
        return [sector(plan, angle, levels, self.half_rad) for angle in ANGLES]


def place(site: Site) -> tuple[Tape, tuple[Finding, ...]]:
    """The notches for the tape of the presets, or for as much of it as the lid is wide for."""
    wide = next(way.wide_mm for way in holdings() if way.name == "tape")
    reach = site.size.reach_mm
    half = MOST_RAD
    if wide / 2.0 + PLAY_MM < reach * math.sin(MOST_RAD):
        half = math.asin((wide / 2.0 + PLAY_MM) / reach)
    fits = min(wide, 2.0 * (reach * math.sin(half) - PLAY_MM))
    use = f"the notches take tape {fits:.0f} mm wide"
    return Tape(way="tape", most=1, share=fits / wide, use=use, half_rad=half), ()
