"""Where under a lying insert there is waste: beyond the pieces' ends, or in a sawn block's corners.

What goes into the wood from below may only be there.
"""

from __future__ import annotations

import math

from mouldgen.errors import JobError
from mouldgen.job.mould_checks import APART_MM
from mouldgen.job.outline import outline_of, widest_mm
from mouldgen.mould.tray_hold import TraySite

Spot = tuple[float, float]


def need_solid(site: TraySite, what: str) -> None:
    """JobError unless the insert is one piece of wood without a hole.

    site : of the tray.
    what : is to go into it or onto it, for the message.
    """
    insert = site.question.insert
    if insert.shape in ("rod", "bar") and insert.lower.inner_mm <= 0.0:
        return
    why = {
        "bundle": "only the one offcut or cell it meets is held, and where that lies is not known",
        "tube": "it is hollow",
    }.get(insert.shape, "a hole runs along it")
    raise JobError(
        f"{what} from below does not hold this {insert.shape} down: {why}",
        where="[mould] hold",
        allowed="dowel, tape, weight, band or lid for it; a solid rod or bar with this hold",
    )


def beyond_mm(site: TraySite) -> float:
    """What of the insert lies beyond its pieces at either end [mm]; below 0 there is none."""
    q = site.question
    row = q.per_blank * site.piece.length + (q.per_blank - 1) * q.kerf_mm
    return (q.laid.length_mm - row) / 2.0


def spots(site: TraySite, *, room_mm: float, radius_mm: float) -> tuple[Spot, ...]:
    """Middles of what goes in from below: in both ends, or in the corners of what is sawn.

    room_mm : radius that must lie wholly under the insert [mm].
    radius_mm : that must keep off the finished pieces and the saw cuts [mm].

    Raises JobError where there is no waste for them.
    """
    laid = site.question.laid
    if site.question.saw is None:
        waste = beyond_mm(site)
        if waste < 2.0 * max(radius_mm + APART_MM, 0.0):
            need = laid.length_mm + 2.0 * (2.0 * (radius_mm + APART_MM) - waste)
            raise JobError(
                f"only {max(waste, 0.0):.1f} mm of the insert lie beyond the finished pieces at"
                f" either end, and {2.0 * (radius_mm + APART_MM):.1f} mm are needed there",
                where="[mould] hold",
                allowed=f"an insert {need:.1f} mm long or longer, shorter pieces, or another hold",
            )
        at = (laid.length_mm - waste) / 2.0
        return (0.0, -at), (0.0, at)
    x, y = laid.width_mm / 2.0 - room_mm, laid.length_mm / 2.0 - room_mm
    apart = min(math.hypot(x - abs(p.x_mm), y - abs(p.y_mm)) for p in site.poses)
    free = apart - widest_mm(outline_of(site.piece)) - radius_mm
    if free < APART_MM:
        raise JobError(
            f"in the corners of the block {free:.1f} mm are left between what goes in from below"
            f" and the finished pieces, and {APART_MM:g} mm are needed",
            where="[mould] hold",
            allowed="thinner pieces, a wider block, or dowel, tape, weight, band or lid",
        )
    return tuple((a * x, b * y) for b in (1.0, -1.0) for a in (-1.0, 1.0))
