"""Glue under the insert: a flat pad with a well on the floor, in place of the pips."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.errors import JobError
from mouldgen.finding import Finding
from mouldgen.mould.feature import HoldDown
from mouldgen.solid.kernel import OVERSHOOT, Solid, cylinder

if TYPE_CHECKING:
    from mouldgen.mould.hold import Site
    from mouldgen.mould.plan import CupPlan

# Our own choices, no source.
LARGEST_MM = 8.0  # radius of the pad
LEAST_MM = 3.0
RIM_LINES = 3.0  # round the well
WELL_LAYERS = 3


@dataclass(frozen=True, eq=False)
class Pad(HoldDown):
    """A pad and the well in it.

    pad_mm, well_mm : radius of each [mm].
    deep_mm : depth of the well [mm].
    island_mm : radius of what stays in the middle of the well, under a hollow; 0 with none [mm].
    """

    pad_mm: float = 0.0
    well_mm: float = 0.0
    deep_mm: float = 0.0
    island_mm: float = 0.0

    def in_cavity(self, plan: CupPlan) -> list[Solid]:
        return [
            cylinder(
                self.pad_mm,
                bottom_mm=-OVERSHOOT,
                top_mm=plan.question.pip_mm,
                chord_mm=plan.chord_mm,
            )
        ]

    def off_body(self, plan: CupPlan) -> list[Solid]:
        # Glue fills the well, and the insert covers it: no resin, no air.
        top = plan.question.pip_mm
        low, high = top - self.deep_mm, top + OVERSHOOT
        well = cylinder(self.well_mm, bottom_mm=low, top_mm=high, chord_mm=plan.chord_mm)
        if not self.island_mm:
            return [well]
        island = cylinder(
            self.island_mm,
            bottom_mm=low - OVERSHOOT,
            top_mm=high + OVERSHOOT,
            chord_mm=plan.chord_mm,
        )
        return [well - island]


def place(site: Site) -> tuple[Pad, tuple[Finding, ...]]:
    """The pad, as wide as the insert's lower end allows.

    Raises JobError where that end is too thin or nowhere flat.
    """
    q, end = site.question, site.question.insert.lower
    pad = end.outer_mm if end.inner_mm > 0.0 else min(LARGEST_MM, end.outer_mm)
    well, lines = pad - RIM_LINES * q.line_mm, RIM_LINES * q.line_mm
    flat = pad >= LEAST_MM and not end.spots_mm and end.at_deg is None
    if not flat or well - end.inner_mm < lines:
        raise JobError(
            f"the insert's lower end has no flat place {2.0 * LEAST_MM:g} mm across on the axis, or"
            f" no wall of {2.0 * lines:.1f} mm round it, to be glued by",
            where="[mould] hold",
            allowed="lid, tape, weight, band, dowel or none for such an insert",
        )
    area = math.pi * (well**2 - end.inner_mm**2) / 100.0
    cut = (q.insert.length_mm - site.piece.length) / 2.0
    note = Finding(
        id="hold.glue",
        rule="hold",
        severity="note",
        message=(
            f"The insert's glued foot is waste: {cut:.1f} mm of it lie below the finished piece and"
            " go with the bottom of the blank; keep the glue out of the wood above that."
        ),
        measured=cut,
        limit=0.0,
        place="insert",
    )
    use = f"the well holds {area:.1f} cm2"
    return Pad(
        way="glue",
        most=area,
        use=use,
        pad_mm=pad,
        well_mm=well,
        deep_mm=WELL_LAYERS * site.layer_mm,
        island_mm=end.inner_mm,
    ), (note,)
