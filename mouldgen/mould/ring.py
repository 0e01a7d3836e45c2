"""A lid's disc with a ring that goes into the bore, for moulds that have no room for a skirt."""

from __future__ import annotations

import math

from mouldgen.errors import InternalError, JobError
from mouldgen.mould.plan import CupPlan
from mouldgen.size.runner import InsideSize
from mouldgen.solid.kernel import Solid, revolve


def ring_cap(plan: CupPlan) -> Solid:
    """Disc and ring in one revolve; the disc lies on the rim, beyond the vent grooves.

    plan : of a mould whose lid goes inside.

    Raises JobError where the bore is too narrow for the ring.
    """
    q, size = plan.question, plan.size
    if not isinstance(size, InsideSize):
        raise InternalError("a lid that goes over the wall was asked for its ring")
    # Not asked in the closed form: rules look at gaps that are too narrow for it as well.
    if size.ring_inner_mm < q.line_mm - 1e-9:
        least = size.gap_mm + q.line_mm - size.ring_inner_mm
        raise JobError(
            f"a bore {2.0 * size.bore_mm(size.rim_mm):.1f} mm across has no room for the ring of"
            " the lid that goes into it",
            where="[mould] gap",
            allowed=f"at least {math.ceil(100.0 * least) / 100.0:.2f} mm round this insert",
            try_="Take a wider gap, or a cup filled from above: its lid goes over its wall.",
        )
    inner, outer = size.ring_inner_mm, size.ring_inner_mm + q.wall_mm
    bottom, seat, top = size.rim_mm - size.ring_mm, size.rim_mm, size.rim_mm + q.lid_mm
    return revolve(
        [
            (0.0, seat),
            (inner, seat),
            (inner, bottom),
            (outer, bottom),
            (outer, seat),
            (size.lid_reach_mm, seat),
            (size.lid_reach_mm, top),
            (0.0, top),
        ],
        sides=plan.sides,
    )
