"""The two halves of a split mould: a block less its hollow, with keys, bolts, ears and slots.

Keys stand on the back half (y > 0), so that the front half ends in the parting plane.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from mouldgen.mould.label import Label, letter_heights, letter_rings
from mouldgen.mould.lettering import text_width
from mouldgen.mould.plan import ENGRAVING, CupPlan
from mouldgen.size.split import BOLT_MM, EAR_MM, KEY_MM, SLOT_MM, pocket_mm, split_size
from mouldgen.solid.circle import segments
from mouldgen.solid.kernel import OVERSHOOT, Solid, box, cylinder, prism, revolve, union

if TYPE_CHECKING:
    from mouldgen.size import Size
    from mouldgen.size.split import SplitSize, Spot

MARGIN_MM = 3.0  # round the lettering on a half's back


def envelope_block(size: SplitSize) -> Solid:
    """The two halves put together, as one block without any hollow or hole.

    size : of a split mould.
    """
    deep, low = size.deep_mm, size.bottom_mm
    parts = [box((-size.left_mm, -deep, low), (size.right_mm, deep, size.rim_mm))]
    out, thick, _ = EAR_MM
    for z in size.ears_mm:
        ends = (-size.left_mm - out, size.right_mm + out)
        parts.append(box((ends[0], -deep, z - thick / 2), (ends[1], deep, z + thick / 2)))
    if size.runner is not None:
        run = size.runner
        # Down to the back, so that the chimney lies on the bed as well.
        parts.append(box((run.near_mm, -deep, low), (run.far_mm, deep, run.brim_mm)))
    return union(parts)


def halves_solids(plan: CupPlan, size: SplitSize, hollow: Solid) -> tuple[Solid, Solid]:
    """The front half and the back half where they belong.

    plan, size : of a split mould.
    hollow : the space inside.
    """
    block = envelope_block(size) - union([hollow, *bolt_holes(plan, size), *slots(size)])
    high = (size.runner.brim_mm if size.runner else size.rim_mm) + OVERSHOOT
    wide = max(size.left_mm, size.right_mm) + EAR_MM[0] + OVERSHOOT
    reach, low = size.deep_mm + OVERSHOOT, size.bottom_mm - OVERSHOOT
    front = block ^ box((-wide, -reach, low), (wide, 0.0, high))
    back = block ^ box((-wide, 0.0, low), (wide, reach, high))
    if plan.body_label is not None:
        front = front - _lettered(plan.body_label, size, out=-1.0)
        back = back - _lettered(plan.body_label, size, out=1.0)
    return front - union(key_pockets(plan, size)), union([back, *key_pegs(plan, size)])


def bolt_holes(plan: CupPlan, size: SplitSize) -> list[Solid]:
    """Holes straight through both halves."""
    reach = size.deep_mm + OVERSHOOT
    hole = cylinder(BOLT_MM / 2.0, bottom_mm=-reach, top_mm=reach, chord_mm=plan.chord_mm)
    return [_along_y(hole, spot) for spot in size.bolts]


def slots(size: SplitSize) -> list[Solid]:
    """Where a blade prises the halves apart: at two corners across from each other."""
    along, deep, half = SLOT_MM
    low, high = size.bottom_mm - OVERSHOOT, size.rim_mm + OVERSHOOT
    left, right = -size.left_mm, size.right_mm
    return [
        box(
            (right - deep, -half, low),
            (right + OVERSHOOT, half, size.bottom_mm + along),
        ),
        box((left - OVERSHOOT, -half, size.rim_mm - along), (left + deep, half, high)),
    ]


def key_pegs(plan: CupPlan, size: SplitSize) -> list[Solid]:
    """Cones on the back half, pointing to the front; their feet reach into the half."""
    foot, tip, high = KEY_MM
    return [_cone(plan, spot, foot=foot, tip=tip, high=high, under=OVERSHOOT) for spot in size.keys]


def key_pockets(plan: CupPlan, size: SplitSize) -> list[Solid]:
    """Hollows for them in the front half, everywhere the clearance away from their sides."""
    foot, tip, high = KEY_MM
    slope = (foot - tip) / high
    wider = plan.question.clearance_mm * math.hypot(1.0, slope)  # level, for that distance across
    deep = pocket_mm(plan.question.clearance_mm)
    ends = (foot + wider, foot + wider - slope * deep)
    return [
        _cone(plan, spot, foot=ends[0], tip=ends[1], high=deep, under=0.0, over=OVERSHOOT)
        for spot in size.keys
    ]


def _cone(
    plan: CupPlan,
    spot: Spot,
    *,
    foot: float,
    tip: float,
    high: float,
    under: float,
    over: float = 0.0,
) -> Solid:
    """A cone that points along -y from the parting plane.

    under : how far its foot goes on into the back half [mm].
    over : how far its own slope goes on there, for a cutter [mm].
    """
    slope = (foot - tip) / high
    # Key and pocket share their sides, or the distance between them would come out short.
    sides = segments(KEY_MM[0], chord_mm=plan.chord_mm)
    low = [(foot + slope * over, -over)] if over else [(foot, -under), (foot, 0.0)]
    ring = [(0.0, low[0][1]), *low, (tip, high), (0.0, high)]
    return _along_y(revolve(ring, sides=sides), spot, out=-1.0)


def _along_y(solid: Solid, spot: Spot, *, out: float = 1.0) -> Solid:
    """A solid that stands along z laid along y, its top to `out`, its axis at x and height."""
    x, z = spot
    return solid.placed(np.array([[1.0, 0, 0, x], [0, 0, out, 0], [0, -out, 0, z]]))


def back_label(texts: tuple[str, ...], size: Size, stroke_mm: float) -> Label | None:
    """Lettering up the flat back of a half, clear of its bolts.

    texts : what to say, the one liked best first.
    size : of the mould.
    stroke_mm : width of the strokes [mm].
    """
    bolts = split_size(size).bolts
    room = min(-bolts[0][0], bolts[-1][0]) - BOLT_MM / 2.0 - MARGIN_MM
    low, high = bolts[0][1], bolts[-1][1]
    long, middle = high - low, (low + high) / 2.0
    for text in texts:
        for height in letter_heights(stroke_mm):
            width = text_width(text, height)
            if height / 2.0 + stroke_mm <= room and width + stroke_mm <= long:
                return Label(text, height, stroke_mm, middle - width / 2.0, -height / 2.0)
    return None


def _lettered(label: Label, size: SplitSize, *, out: float) -> Solid:
    """Letters sunk into a back, which lies on the print bed; they read upward from outside."""
    letters = prism(
        letter_rings(label),
        bottom_mm=size.deep_mm - ENGRAVING,
        top_mm=size.deep_mm + OVERSHOOT,
    )
    # Their own right runs up the block, their tops point to the left as one looks at the back.
    right, top, face = np.array([0.0, 0.0, 1.0]), np.array([out, 0.0, 0.0]), np.array([0, out, 0])
    return letters.placed(np.column_stack([right, top, face, np.zeros(3)]))
