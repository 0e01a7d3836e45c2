"""Ribs and fingers as solids: sectors of rings through a few levels."""

from __future__ import annotations

import math

import numpy as np

from mouldgen.mould.plan import LEAD, CupPlan
from mouldgen.mould.sockets import FINGER_ANGLES
from mouldgen.solid.kernel import OVERSHOOT, Solid, loft

Level = tuple[float, float, float]  # height, inner and outer radius [mm]


def wall_ribs(plan: CupPlan) -> list[Solid]:
    """Ribs on the bore round the insert's ends, with a ramp where the insert enters.

    The upper ribs grow out of the wall at 45 degrees, so that they print unsupported and a
    bubble slides off under them.
    """
    sockets, size = plan.sockets, plan.size
    foot, top, inner = plan.insert_foot_mm, plan.insert_top_mm, sockets.inner_mm
    levels: list[list[tuple[float, float]]] = []
    if sockets.lower:
        end = foot + sockets.depth_mm
        levels.append([(-OVERSHOOT, inner), (end - LEAD, inner), (end, inner + LEAD)])
    if sockets.upper == "wall":
        start = top - sockets.depth_mm
        deep = size.bore_mm(top) - inner
        levels.append(
            [(start - deep, inner + deep), (start, inner), (top - LEAD, inner), (top, inner + LEAD)]
        )
    back = 0.5 * size.wall_mm  # the ribs' backs lie within the wall
    return [
        _sector(plan, angle, [(z, r, max(size.bore_mm(z), r) + back) for z, r in rib])
        for rib in levels
        for angle in sockets.angles
    ]


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
    return [_sector(plan, angle, finger) for angle in FINGER_ANGLES]


def _sector(plan: CupPlan, angle: float, levels: list[Level]) -> Solid:
    """A sector of a ring, as wide as a socket, through levels from the lowest up."""
    half = plan.sockets.width_mm / (2.0 * plan.sockets.inner_mm)
    steps = max(2, math.ceil(plan.sides * half / math.pi))
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
