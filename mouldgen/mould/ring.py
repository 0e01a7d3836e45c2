"""A lid's disc with a ring that goes into the bore, for moulds that have no room for a skirt."""

from __future__ import annotations

from mouldgen.errors import InternalError
from mouldgen.mould.plan import CupPlan
from mouldgen.size.runner import InsideSize
from mouldgen.solid.kernel import Solid, revolve


def ring_cap(plan: CupPlan) -> Solid:
    """Disc and ring in one revolve; the disc lies on the rim, beyond the vent grooves.

    plan : of a mould whose lid goes inside.
    """
    q, size = plan.question, plan.size
    if not isinstance(size, InsideSize):
        raise InternalError("a lid that goes over the wall was asked for its ring")
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
