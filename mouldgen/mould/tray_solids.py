"""The tray, its lid, and what lies in a pocket, as solids."""

from __future__ import annotations

import math

import numpy as np

from mouldgen.mould.label import Label, letter_rings
from mouldgen.mould.plan import ENGRAVING, FILL_LINE, RELIEF
from mouldgen.mould.tray import Rect, TrayPlan
from mouldgen.size.tray import EAR_THICK_MM, EAR_WIDE_MM, TraySize
from mouldgen.solid.kernel import OVERSHOOT, Solid, box, cylinder, loft, prism, union

NOTCH_MM = 8.0  # width of the drain notch
FOOT_MM = 3.0  # side of a foot of the lid
LEAST_CHANNEL_MM = 1.5  # under a land: a narrower one would only cost print time
_FLAT = ((1.0, 0.0, 0.0, 0.0), (0.0, 0.0, -1.0, 0.0), (0.0, 1.0, 0.0, 0.0))  # z is laid along -y


def pocket(size: TraySize, *, top_mm: float, lines_mm: tuple[float, ...] = ()) -> Solid:
    """A pocket from the inside floor to a height, with its fill lines.

    Between square sides, which are sawn or broken away, a line is a groove; where the sides lean
    so that the blank comes out it is a step outward, which locks nothing in.

    size : of the tray.
    top_mm : where it ends [mm].
    lines_mm : heights of the lines, rising [mm].
    """
    levels, deep = [(0.0, 0.0)], 0.0
    for line in lines_mm:
        if size.slope:
            levels += [(line, deep), (line + FILL_LINE, deep + FILL_LINE)]
            deep += FILL_LINE
        else:
            levels += [(line - FILL_LINE, 0.0), (line, FILL_LINE), (line + FILL_LINE, 0.0)]
    levels.append((top_mm, deep))
    return loft([(_ring(size, z, deep), z) for z, deep in levels])


def _ring(size: TraySize, height: float, deep: float) -> list[tuple[float, float]]:
    width, length = size.pocket_mm(height)
    x, y = width / 2.0 + deep, length / 2.0 + deep
    return [(-x, -y), (x, -y), (x, y), (-x, y)]


def hollow_solid(plan: TrayPlan) -> Solid:
    """The space inside one pocket up to just over the deck, less pips and saw marks."""
    whole = pocket(plan.size, top_mm=plan.size.deck_mm + OVERSHOOT, lines_mm=plan.grooves_mm)
    standing = [_box(rect, -OVERSHOOT, plan.question.pip_mm) for rect in plan.pips]
    standing += [_box(rect, -OVERSHOOT, plan.mark_mm) for rect in plan.marks]
    if plan.held_by is not None:
        standing += plan.held_by.in_pocket(plan)
    return whole - union(standing)


def body_solid(plan: TrayPlan, hollow: Solid) -> Solid:
    """The body about the middle of the tray, the inside floor at z = 0.

    hollow : of one pocket.
    """
    size = plan.size
    x, y = size.body_mm[0] / 2.0, size.body_mm[1] / 2.0
    shell = [box((-x, -y, -plan.question.floor_mm), (x, y, size.rim_mm)), *_ears(plan)]
    if plan.body_label is not None:
        shell.append(_raised(plan, plan.body_label))
    inner = x - size.wall_mm, y - size.wall_mm
    over = size.rim_mm + OVERSHOOT
    half = NOTCH_MM / 2.0
    cut = [
        box((-inner[0], -inner[1], size.deck_mm), (*inner, over)),
        box((-x - 1.0, -half, size.deck_mm), (OVERSHOOT - inner[0], half, over)),
        *(hollow.moved(a, b) for a, b in size.places),
        *_channels(plan),
    ]
    if plan.held_by is not None:
        shell += plan.held_by.on_body(plan)
        cut += plan.held_by.off_body(plan)
    return union(shell) - union(cut)


def _channels(plan: TrayPlan) -> list[Solid]:
    """Under each land between two columns, open below, its roof at 45 degrees."""
    size, floor = plan.size, plan.question.floor_mm
    top = size.deck_mm - floor
    steps = [z for z in plan.grooves_mm if z < top] if size.slope else [0.0]
    walls = 2.0 * (size.wall_mm + FILL_LINE * len(steps))
    width = size.pitch_mm[0] - size.pocket_mm(size.deck_mm)[0] - walls
    straight = top - width / 2.0
    if width < LEAST_CHANNEL_MM or straight < floor or size.columns < 2:
        return []
    half, low = width / 2.0, -floor - 1.0
    gable = [(-half, low), (half, low), (half, straight), (0.0, top), (-half, straight)]
    reach = size.body_mm[1] / 2.0 - plan.question.border_mm
    one = prism([np.array(gable)], bottom_mm=-reach, top_mm=reach).placed(_FLAT)
    first = -(size.columns - 2) / 2.0 * size.pitch_mm[0]
    return [one.moved(first + k * size.pitch_mm[0]) for k in range(size.columns - 1)]


def _ears(plan: TrayPlan) -> list[Solid]:
    """A lifting tab at either end, level with the rim, with a ramp of 45 degrees below."""
    size = plan.size
    if not size.ear_mm:
        return []
    root, tip, top = size.body_mm[1] / 2.0 - OVERSHOOT, size.body_mm[1] / 2.0, size.rim_mm
    tip += size.ear_mm
    under = top - EAR_THICK_MM
    profile = [(root, under - (tip - root)), (tip, under), (tip, top), (root, top)]
    slab = prism([np.array(profile)], bottom_mm=-EAR_WIDE_MM / 2.0, top_mm=EAR_WIDE_MM / 2.0)
    back = slab.placed(((0.0, 0.0, 1.0, 0.0), (1.0, 0.0, 0.0, 0.0), (0.0, 1.0, 0.0, 0.0)))
    bed = box((-500.0, -500.0, -plan.question.floor_mm), (500.0, 500.0, top + 1.0))
    return [ear ^ bed for ear in (back, back.turned(180.0))]


def _raised(plan: TrayPlan, label: Label) -> Solid:
    """Letters along the right wall, read from outside."""
    x, floor = plan.size.body_mm[0] / 2.0, plan.question.floor_mm
    letters = prism(letter_rings(label), bottom_mm=-OVERSHOOT, top_mm=RELIEF)
    return letters.placed(((0.0, 0.0, 1.0, x), (1.0, 0.0, 0.0, 0.0), (0.0, 1.0, 0.0, -floor)))


def lid_solid(plan: TrayPlan) -> Solid:
    """The lid in its place: a plate on four feet on the deck, with legs on every insert."""
    size = plan.size
    x, y = size.lid_mm[0] / 2.0, size.lid_mm[1] / 2.0
    low = size.deck_mm + size.lid_foot_mm
    high = low + plan.question.lid_mm
    foot = min(FOOT_MM, _ledge_mm(size))
    feet = [
        box(
            (min(a * x, a * (x - foot)), min(b * y, b * (y - foot)), size.deck_mm),
            (max(a * x, a * (x - foot)), max(b * y, b * (y - foot)), low + OVERSHOOT),
        )
        for a in (-1.0, 1.0)
        for b in (-1.0, 1.0)
    ]
    legs = [_box(rect, plan.insert_top_mm, low + OVERSHOOT) for rect in plan.legs]
    parts = [box((-x, -y, low), (x, y, high)), *feet]
    cut: list[Solid] = []
    for k, (a, b) in enumerate(size.places):
        parts += [leg.moved(a, b) for leg in legs]
        if plan.port is not None:
            cut.append(_port(plan, low, high).moved(a, b))
        if plan.numbers and (number := plan.numbers[k]) is not None:
            cut.append(_engraved(number, high).moved(a, b))
    if plan.lid_label is not None:
        cut.append(_engraved(plan.lid_label, high))
    whole = union(parts)
    return whole - union(cut) if cut else whole


def _ledge_mm(size: TraySize) -> float:
    """Least width of the deck under the lid's edge, beside the outer pockets' lines [mm]."""
    pockets = size.pocket_mm(size.deck_mm)
    outer = [max(place[k] for place in size.places) + pockets[k] / 2.0 for k in (0, 1)]
    return min(lid / 2.0 - at for lid, at in zip(size.lid_mm, outer, strict=True)) - size.lines_mm


def _port(plan: TrayPlan, low: float, high: float) -> Solid:
    x, y, radius = plan.port or (0.0, 0.0, 1.0)
    return cylinder(
        radius,
        bottom_mm=low - OVERSHOOT,
        top_mm=high + OVERSHOOT,
        chord_mm=plan.chord_mm,
        centre=(x, y),
    )


def _engraved(label: Label, top: float) -> Solid:
    """Sunk into the top, which lies on the print bed: raised letters could not print."""
    return prism(letter_rings(label), bottom_mm=top - ENGRAVING, top_mm=top + OVERSHOOT)


def _box(rect: Rect, bottom: float, top: float) -> Solid:
    left, front, right, back = rect
    return box((left, front, bottom), (right, back, top))


def laid_down(standing: Solid, plan: TrayPlan) -> Solid:
    """A solid that stands on z = 0 about its axis, as the insert lies in its pocket.

    standing : the insert.
    plan : of the tray.
    """
    laid = plan.question.laid
    x, y = laid.middle_mm
    lift = plan.insert_foot_mm + laid.tall_mm / 2.0
    return standing.placed(
        (
            (1.0, 0.0, 0.0, -x),
            (0.0, 0.0, -1.0, laid.length_mm / 2.0),
            (0.0, 1.0, 0.0, lift - y),
        )
    )


def envelope_box(plan: TrayPlan) -> Solid:
    """The box that the lying insert fits in, where it lies."""
    laid = plan.question.laid
    x, y = laid.width_mm / 2.0, laid.length_mm / 2.0
    return box((-x, -y, plan.insert_foot_mm), (x, y, plan.insert_top_mm))


def features_ml(plan: TrayPlan, hollow: Solid) -> float:
    """What lines add to the resin of a pocket and pips, marks and legs take, to the level [ml].

    plan : of the tray.
    hollow : of one pocket.
    """
    size = plan.size
    legs = math.fsum((c - a) * (d - b) for a, b, c, d in plan.legs)
    legs *= size.level_mm - plan.insert_top_mm
    bare = pocket(size, top_mm=size.level_mm).volume_mm3()
    held = 0.0 if plan.held_by is None else plan.held_by.resin_ml(plan)
    return (hollow.below(size.level_mm).volume_mm3() - bare - legs) / 1000.0 - held
