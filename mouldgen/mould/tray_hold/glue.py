"""Glue under the waste of a lying bar: a pad with a well at either end, in place of the pips."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.errors import JobError
from mouldgen.finding import Finding
from mouldgen.job.mould_checks import APART_MM
from mouldgen.mould.hold.glue import LEAST_MM, RIM_LINES, WELL_LAYERS
from mouldgen.mould.tray_hold import TrayHold, TraySite
from mouldgen.mould.tray_hold.waste import beyond_mm, need_solid
from mouldgen.solid.kernel import OVERSHOOT, Solid, box

if TYPE_CHECKING:
    from mouldgen.mould.tray import TrayPlan

WIDEST_MM = 16.0  # of a pad across the insert, as a cup's


@dataclass(frozen=True, eq=False, kw_only=True)
class TrayPads(TrayHold):
    """Wells in the pads.

    rim_mm : round a well [mm].
    deep_mm : depth of a well [mm].
    """

    rim_mm: float
    deep_mm: float

    def off_body(self, plan: TrayPlan) -> list[Solid]:
        # Glue fills a well, and the insert covers it: no resin, no air.
        top, rim = plan.question.pip_mm, self.rim_mm
        low, high = top - self.deep_mm, top + OVERSHOOT
        wells = [
            box((left + rim, front + rim, low), (right - rim, back - rim, high))
            for left, front, right, back in self.pads
        ]
        return [well.moved(x, y) for x, y in plan.size.places for well in wells]


def place(site: TraySite) -> tuple[TrayHold, tuple[Finding, ...]]:
    """The pads, as wide and as long as the insert's flat waste allows.

    Raises JobError where that is round, too small, or part of a block that is sawn.
    """
    q = site.question
    need_solid(site, "glue")
    if q.saw is not None:
        raise JobError(
            "a block that is sawn into standing pieces has no end of its own to be glued by",
            where="[mould] hold",
            allowed="screw in its corners, dowel in its saw cuts, tape, weight, band or lid",
        )
    low, high = q.laid.bottom_mm
    half = min(high - low, WIDEST_MM) / 2.0
    long = beyond_mm(site) - APART_MM
    rim = RIM_LINES * q.line_mm
    if min(2.0 * half, long) < max(2.0 * LEAST_MM, 3.0 * rim):
        least = max(2.0 * LEAST_MM, 3.0 * rim)
        raise JobError(
            f"the insert's waste ends have no flat place {least:.1f} mm wide and long below:"
            f" {2.0 * half:.1f} mm wide, {max(long, 0.0):.1f} mm long",
            where="[mould] hold",
            allowed="a bar with longer ends, or dowel, tape, weight, band or lid",
        )
    middle, end = (low + high) / 2.0, q.laid.length_mm / 2.0
    pads = tuple(
        (middle - half, min(a, b), middle + half, max(a, b))
        for a, b in ((-end, long - end), (end - long, end))
    )
    area = q.blanks * 2.0 * (2.0 * half - 2.0 * rim) * (long - 2.0 * rim) / 100.0
    cut = beyond_mm(site)
    note = Finding(
        id="hold.glue",
        rule="hold",
        severity="note",
        message=(
            f"The insert's glued ends are waste: {cut:.1f} mm of it lie beyond the finished pieces"
            " at either end; keep the glue out of the wood between."
        ),
        measured=cut,
        limit=0.0,
        place="insert",
    )
    return TrayPads(
        way="glue",
        most=area,
        use=f"the wells hold {area:.1f} cm2 in all; glue every insert alike",
        pads=pads,
        rim_mm=rim,
        deep_mm=WELL_LAYERS * site.layer_mm,
    ), (note,)
