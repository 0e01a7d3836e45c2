"""A hole through the floor that a rod pushes the blank out by, closed by a disc while it is cast.

The disc lies level with the inside floor in a shallow seat, so the resin is what it was but for the
ring of clearance round it.  The disc comes out with the blank and lets air in under it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.errors import JobError
from mouldgen.finding import Finding
from mouldgen.job.fastening import fastening
from mouldgen.mould.feature import Feature
from mouldgen.mould.label import Round
from mouldgen.mould.sockets import Sockets
from mouldgen.size import Size, SizeQuestion
from mouldgen.size.fastened import disc_least_mm
from mouldgen.solid.kernel import OVERSHOOT, Solid, cylinder, revolve, union

if TYPE_CHECKING:
    from mouldgen.mould.plan import CupPlan

# Our own choices, no source.
STEP = 0.25  # between two radii of the hole that are tried


@dataclass(frozen=True, eq=False)
class KnockOut(Feature):
    """The hole, the seat over it and the disc in the seat, all about the axis.

    hole_mm, disc_mm, seat_mm : their radii [mm].
    thick_mm : of the disc, as deep as its seat [mm].
    """

    hole_mm: float = 0.0
    disc_mm: float = 0.0
    seat_mm: float = 0.0
    thick_mm: float = 0.0

    @property
    def body_genus(self) -> int:
        return 1

    def of_cavity(self, plan: CupPlan) -> list[Solid]:
        """The ring of clearance round the disc."""
        inner, outer, low, top = self.disc_mm, self.seat_mm, -self.thick_mm, OVERSHOOT
        ring = [(inner, low), (outer, low), (outer, top), (inner, top)]
        return [revolve(ring, sides=plan.sides)]

    def off_body(self, plan: CupPlan) -> list[Solid]:
        """Seat and hole, with the pips and the cone over the seat: they are the disc's."""
        over = plan.question.pip_mm + OVERSHOOT
        low, under = -self.thick_mm, -plan.question.floor_mm - OVERSHOOT
        hole, seat = self.hole_mm, self.seat_mm
        steps = [(0.0, under), (hole, under), (hole, low), (seat, low), (seat, over), (0.0, over)]
        return [revolve(steps, sides=plan.sides)]

    def own_parts(self, plan: CupPlan) -> list[tuple[str, Solid, int]]:
        """The disc, with what the insert stands on and the cone that leaves a drill mark."""
        cone, high = plan.centre_pip
        wide, low = self.disc_mm, -self.thick_mm
        outline = [(0.0, low), (wide, low), (wide, 0.0), (cone, 0.0), (0.0, high)]
        pips = [
            cylinder(
                radius,
                bottom_mm=0.5 * low,
                top_mm=plan.question.pip_mm,
                chord_mm=plan.chord_mm,
                centre=(x, y),
            )
            for x, y, radius in plan.pips
            if math.hypot(x, y) < wide
        ]
        return [("disc", union([revolve(outline, sides=plan.sides), *pips]), 0)]


def place_knock_out(
    question: SizeQuestion,
    size: Size,
    *,
    pips: tuple[Round, ...],
    sockets: Sockets,
    layer_mm: float,
) -> tuple[KnockOut, Finding]:
    """The widest hole that floor, pips and ribs leave room for, and how to use it.

    question, size : the closed form.
    pips : of the floor; each comes to stand on the disc or beside its seat.
    sockets : whose lower ribs stand on the floor.
    layer_mm : height of a printed layer [mm].

    Raises JobError where there is no room for the least hole, PresetError where the
    presets cannot be read.
    """
    least, most, ledge = fastening("knock_out", "least", "most", "ledge")
    layers = math.ceil(disc_least_mm(question.line_mm) / layer_mm - 1e-9)
    edge = size.bore_mm(0.0)
    if sockets.lower:
        edge = min(edge, sockets.foot_inner_mm)
    room = edge - question.line_mm - question.clearance_mm
    hole = most / 2.0
    while (disc := _disc_mm(question, pips, hole + ledge)) > room:
        hole -= STEP
        if hole < least / 2.0 - 1e-9:
            raise JobError(
                f"under this insert a floor {2.0 * edge:.1f} mm across has no room for a hole of"
                f" {least:g} mm with a disc over it: the disc would be {2.0 * disc:.1f} mm across",
                where="[mould] knock_out",
                allowed=f"a disc of at most {2.0 * room:.1f} mm",
                try_="Leave knock_out out, and turn the cup away.",
            )
    found = KnockOut(hole, disc, disc + question.clearance_mm, layers * layer_mm)
    return found, _use(found)


def _disc_mm(question: SizeQuestion, pips: tuple[Round, ...], least_mm: float) -> float:
    """The least radius at which no pip stands on the edge [mm]."""
    line, disc = question.line_mm, least_mm
    for x, y, radius in sorted(pips, key=lambda pip: math.hypot(pip[0], pip[1]) - pip[2]):
        away = math.hypot(x, y)
        if away - radius < disc + question.clearance_mm + line:
            disc = max(disc, away + radius + line)
    return disc


def _use(found: KnockOut) -> Finding:
    return Finding(
        id="cup.knock-out",
        rule="cup",
        severity="note",
        message=(
            f"Lay the disc flat into its seat, {2.0 * found.disc_mm:.1f} mm across, and tape over"
            " the hole from below before the water test and the resin: a dry seat alone is not"
            f" tight. Later take the tape off and push with a blunt rod thinner than"
            f" {2.0 * found.hole_mm:g} mm."
        ),
        measured=2.0 * found.hole_mm,
        place="body",
    )
