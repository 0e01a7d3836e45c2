"""A countersunk screw from below into the insert's lower end.

The floor is as thick as head and seal need and as wide as the body, so that the mould stands
level; inside, a collar as high as the pips lets the screw draw the insert tight round itself.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.errors import JobError
from mouldgen.finding import Finding
from mouldgen.mould.feature import HoldDown
from mouldgen.mould.sockets import APART
from mouldgen.size.fastened import ScrewHole, screw_hole
from mouldgen.solid.circle import segments
from mouldgen.solid.kernel import OVERSHOOT, Solid, cylinder, revolve

if TYPE_CHECKING:
    from mouldgen.mould.hold import Site
    from mouldgen.mould.plan import CupPlan

COLLAR_LINES = 4.0  # round the pilot hole; our own choice


@dataclass(frozen=True, eq=False)
class Screw(HoldDown):
    """The hole of a screw and its collar.

    hole : through the floor.
    collar_mm : radius of the collar [mm].
    """

    hole: ScrewHole | None = None
    collar_mm: float = 0.0

    @property
    def body_genus(self) -> int:
        return 1

    def in_cavity(self, plan: CupPlan) -> list[Solid]:
        return [
            cylinder(
                self.collar_mm,
                bottom_mm=-OVERSHOOT,
                top_mm=plan.question.pip_mm,
                chord_mm=plan.chord_mm,
            )
        ]

    def off_body(self, plan: CupPlan) -> list[Solid]:
        hole = self.hole
        if hole is None:
            return []
        bed, top = -plan.question.floor_mm, plan.question.pip_mm + OVERSHOOT
        return [
            revolve(
                [
                    (0.0, bed - OVERSHOOT),
                    (hole.head_mm, bed - OVERSHOOT),
                    (hole.head_mm, bed + hole.recess_mm),
                    (hole.pilot_mm, bed + hole.cone_mm),
                    (hole.pilot_mm, top),
                    (0.0, top),
                ],
                sides=segments(hole.head_mm, chord_mm=plan.chord_mm),
            )
        ]


def place(site: Site) -> tuple[Screw, tuple[Finding, ...]]:
    """The hole of the screw that the maker has.

    Raises JobError where the insert has no wood there to screw into.
    """
    q, end = site.question, site.question.insert.lower
    hole = screw_hole(site.mould.screw, clearance_mm=q.clearance_mm)
    collar = hole.pilot_mm + COLLAR_LINES * q.line_mm
    if end.inner_mm > 0.0 or end.spots_mm or end.outer_mm < collar:
        raise JobError(
            f"a screw of {site.mould.screw:g} mm from below finds no wood on the axis: the insert's"
            f" lower end is not solid there {2.0 * collar:.1f} mm across",
            where="[mould] hold",
            allowed="an insert that is solid on its axis, or another hold",
        )
    through = q.floor_mm - hole.recess_mm + q.pip_mm
    waste = (q.insert.length_mm - site.piece.length) / 2.0 - APART
    longest, shortest = through + waste, through + hole.bite_mm
    use = (
        f"countersunk, {site.mould.screw:g} mm thick, {shortest:.1f} to {longest:.1f} mm long:"
        " longer it would reach the finished piece. Drill the insert, turn the screw in through a"
        " drop of glue or wax, and cover its head with tape: nothing else seals that hole"
    )
    return Screw(way="screw", most=1, use=use, hole=hole, collar_mm=collar), ()
