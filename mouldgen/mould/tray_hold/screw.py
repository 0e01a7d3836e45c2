"""Countersunk screws from below into the waste of a lying insert: two, or one in every corner.

Beyond its pieces' ends the insert is waste from side to side, so that a screw may be as long as the
wood is high.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.errors import JobError
from mouldgen.finding import Finding
from mouldgen.mould.hold.screw import COLLAR_LINES
from mouldgen.mould.tray_hold import TrayHold, TraySite
from mouldgen.mould.tray_hold.waste import Spot, need_solid, spots
from mouldgen.size.fastened import ScrewHole, screw_hole
from mouldgen.solid.circle import segments
from mouldgen.solid.kernel import OVERSHOOT, Solid, cylinder, revolve

if TYPE_CHECKING:
    from mouldgen.mould.tray import TrayPlan
    from mouldgen.size.tray import TraySize

SKIN_MM = 1.0  # of wood over the point of the longest screw


@dataclass(frozen=True, eq=False, kw_only=True)
class TrayScrews(TrayHold):
    """Holes through the floor and their collars.

    hole : of each.
    collar_mm : radius of a collar, as high as the pips [mm].
    spots : middles of those of one pocket.
    """

    hole: ScrewHole
    collar_mm: float
    spots: tuple[Spot, ...]

    def body_genus(self, size: TraySize) -> int:
        return size.blanks * len(self.spots)

    def in_pocket(self, plan: TrayPlan) -> list[Solid]:
        return [
            cylinder(
                self.collar_mm,
                bottom_mm=-OVERSHOOT,
                top_mm=plan.question.pip_mm,
                chord_mm=plan.chord_mm,
                centre=spot,
            )
            for spot in self.spots
        ]

    def off_body(self, plan: TrayPlan) -> list[Solid]:
        hole, top = self.hole, plan.question.pip_mm + OVERSHOOT
        bed = -plan.question.floor_mm
        one = revolve(
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
        return [one.moved(x + a, y + b) for x, y in plan.size.places for a, b in self.spots]


def place(site: TraySite) -> tuple[TrayHold, tuple[Finding, ...]]:
    """The holes for the screws that the maker has.

    Raises JobError where the wood there is not waste, hollow or too low to screw into.
    """
    q, thick = site.question, site.mould.screw
    need_solid(site, "a screw")
    hole = screw_hole(thick, clearance_mm=q.clearance_mm)
    collar = hole.pilot_mm + COLLAR_LINES * q.line_mm
    found = spots(site, room_mm=collar, radius_mm=thick / 2.0)
    through = q.floor_mm - hole.recess_mm + q.pip_mm
    shortest, longest = through + hole.bite_mm, through + q.laid.tall_mm - SKIN_MM
    if longest < shortest or q.laid.width_mm < 2.0 * hole.pilot_mm + thick:
        raise JobError(
            f"a screw of {thick:g} mm from below finds too little wood: the insert lies"
            f" {q.laid.width_mm:.1f} mm wide and {q.laid.tall_mm:.1f} mm high",
            where="[mould] hold",
            allowed=f"{hole.bite_mm + SKIN_MM:g} mm high or higher with a screw, or another hold",
        )
    count = q.blanks * len(found)
    use = (
        f"countersunk, {thick:g} mm thick, {shortest:.1f} to {longest:.1f} mm long, one in every"
        " hole. Drill the insert, turn each in through a drop of glue or wax, and cover its head"
        " with tape: nothing else seals that hole. Turn them out before the blank is sawn"
    )
    return TrayScrews(
        way="screw",
        most=count,
        least=count,
        use=use,
        hole=hole,
        collar_mm=collar,
        spots=found,
    ), ()
