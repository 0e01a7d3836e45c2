"""Ribs and fingers as solids: sectors of rings through a few levels."""

from __future__ import annotations

import math

import numpy as np

from mouldgen.mould.plan import LEAD, CupPlan
from mouldgen.mould.sockets import FINGER_ANGLES, WIDEST_RIB
from mouldgen.size.question import FILL_LINE_MM
from mouldgen.solid.kernel import OVERSHOOT, Solid, loft

Level = tuple[float, float, float]  # height, inner and outer radius [mm]


def wall_ribs(plan: CupPlan) -> list[Solid]:
    """Ribs on the bore round the insert's ends, with a ramp where the insert enters.

    The upper ribs grow out of the wall at 45 degrees, so that they print unsupported and a
    bubble slides off under them.
    """
    sockets, size = plan.sockets, plan.size
    foot, top, inner = plan.insert_foot_mm, plan.insert_top_mm, sockets.inner_mm
    # The ribs' backs lie within the wall.  Their sides dip towards the bore by what facets leave a
    # circle, and must not shut a pocket off in a groove behind them.
    dip = size.bore_mm(top) * (1.0 - math.cos(math.pi / plan.sides))
    back = 0.5 * size.wall_mm + dip
    # Nor may they leave open what a line's groove cuts behind them.
    behind = (size.bore_mm(top) + FILL_LINE_MM) / math.cos(math.pi / plan.sides)
    ribs: list[Solid] = []
    if sockets.lower:
        end, low = foot + sockets.foot_depth_mm, sockets.foot_inner_mm
        thin = low < plan.insert.envelope_mm  # those of a thin end stand free on the floor
        far = low + LEAD + WIDEST_RIB if thin else math.inf
        half = sockets.foot_width_mm / (2.0 * low)
        rib = [
            (z, r, min(max(size.bore_mm(z), r) + back, far))
            for z, r in ((-OVERSHOOT, low), (end - LEAD, low), (end, low + LEAD))
        ]
        behind_it = 0.0 if thin else behind
        ribs += [sector(plan, angle, rib, half, behind_mm=behind_it) for angle in sockets.angles]
    if sockets.upper == "wall":
        start = top - sockets.depth_mm
        deep = size.bore_mm(top) - inner
        half = sockets.width_mm / (2.0 * inner)
        rib = [
            (z, r, max(size.bore_mm(z), r) + back)
            for z, r in (
                (start - deep, inner + deep),
                (start, inner),
                (top - LEAD, inner),
                (top, inner + LEAD),
            )
        ]
        ribs += [sector(plan, angle, rib, half, behind_mm=behind) for angle in sockets.angles]
    return ribs


def lid_fingers(plan: CupPlan) -> list[Solid]:
    """Fingers that hang from the lid and take the insert's upper end between them."""
    sockets = plan.sockets
    if sockets.upper != "lid":
        return []
    tip = plan.insert_top_mm - sockets.depth_mm
    inner, outer = sockets.inner_mm, sockets.inner_mm + sockets.finger_mm
    lead = min(LEAD, 0.4 * sockets.finger_mm)
    finger = [
        (tip, inner + lead, outer),
        (tip + lead, inner, outer),
        (plan.size.rim_mm + OVERSHOOT, inner, outer),
    ]
    half = sockets.width_mm / (2.0 * inner)
    return [sector(plan, angle, finger, half) for angle in FINGER_ANGLES]


def sector(
    plan: CupPlan, angle: float, levels: list[Level], half: float, *, behind_mm: float = 0.0
) -> Solid:
    """A sector of a ring, `half` [rad] to either side, through levels from the lowest up.

    Its back is of so many sides that they stay outside of `behind_mm`, where its corners do.
    """
    steps = max(2, math.ceil(plan.sides * half / math.pi))
    least = min(outer for _, _, outer in levels)
    if behind_mm < least:
        steps = max(steps, math.ceil(half / math.acos(behind_mm / least)))
    turn = math.radians(angle) + np.linspace(-half, half, steps + 1)
    # Inner corners stand off by half a step's cosine: no chord reaches inside the radius.
    off = 1.0 / math.cos(half / steps)
    rays = np.column_stack([np.cos(turn), np.sin(turn)])
    return loft(
        [
            (np.concatenate([rays * outer, rays[::-1] * inner * off]), z)
            for z, inner, outer in levels
        ]
    )
