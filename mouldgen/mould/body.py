"""The cup's body: an outside, less the cavity with all its features."""

from __future__ import annotations

import math

import numpy as np

from mouldgen.mould.label import Label, letter_rings
from mouldgen.mould.plan import FILL_LINE, RELIEF, CupPlan
from mouldgen.mould.socket_solids import wall_ribs
from mouldgen.solid.circle import around, polygon, segments
from mouldgen.solid.kernel import OVERSHOOT, Solid, cylinder, loft, prism, revolve, union


def cavity_solid(plan: CupPlan) -> Solid:
    """The space inside the cup up to just over its rim: bore and grooves, less ribs and pips.

    Every feature inside the cup is carved into this one solid, so that what the resin fills
    and what the plastic leaves free are the same numbers.
    """
    hollow = union([_bore(plan), *(_groove(plan, a) for a in plan.groove_angles)])
    standing = [*_pips(plan), *wall_ribs(plan)]
    return hollow - union(standing) if standing else hollow


def body_solid(plan: CupPlan, cavity: Solid) -> Solid:
    """The body, the inside floor at z = 0.

    cavity : of the same plan.
    """
    shell = [_outside(plan), *(_groove_back(plan, a) for a in plan.groove_angles)]
    if plan.body_label is not None:
        shell.append(_raised(plan, plan.body_label))
    return union(shell) - cavity


def _bore(plan: CupPlan) -> Solid:
    """One revolve: the drafted bore, the fill line, the cone that leaves a drill mark."""
    size = plan.size
    top = size.rim_mm + OVERSHOOT
    level, cone = size.level_mm, plan.centre_pip
    return revolve(
        [
            (0.0, cone[1]),
            (cone[0], 0.0),
            (size.bore_mm(0.0), 0.0),
            (size.bore_mm(level - FILL_LINE), level - FILL_LINE),
            (size.bore_mm(level) + FILL_LINE, level),
            (size.bore_mm(level + FILL_LINE), level + FILL_LINE),
            (size.bore_mm(top), top),
            (0.0, top),
        ],
        sides=plan.sides,
    )


def _outside(plan: CupPlan) -> Solid:
    size, wall, floor = plan.size, plan.size.wall_mm, plan.question.floor_mm
    return revolve(
        [
            (0.0, -floor),
            (size.bore_mm(-floor) + wall, -floor),
            (size.bore_mm(size.rim_mm) + wall, size.rim_mm),
            (0.0, size.rim_mm),
        ],
        sides=plan.sides,
    )


def _wall_tube(plan: CupPlan, angle: float, *, radius: float, bottom: float, top: float) -> Solid:
    """A round that follows the bore's wall, ends level."""
    # A groove and its back share their sides, or the wall between them would come out thin.
    sides = segments(plan.question.groove_mm + plan.size.wall_mm, chord_mm=plan.chord_mm)
    corner = around(radius, sides=sides)
    levels = []
    for z in (bottom, top):
        distance = plan.size.bore_mm(z)
        centre = (
            distance * math.cos(math.radians(angle)),
            distance * math.sin(math.radians(angle)),
        )
        levels.append((polygon(corner, sides=sides, centre=centre), z))
    return loft(levels)


def _groove(plan: CupPlan, angle: float) -> Solid:
    """From one pip's height over the floor, so that it never meets the floor's plane."""
    return _wall_tube(
        plan,
        angle,
        radius=plan.question.groove_mm,
        bottom=plan.question.pip_mm,
        top=plan.size.rim_mm + OVERSHOOT,
    )


def _groove_back(plan: CupPlan, angle: float) -> Solid:
    """The wall goes round the back of the groove, from the print bed up."""
    return _wall_tube(
        plan,
        angle,
        radius=plan.question.groove_mm + plan.size.wall_mm,
        bottom=-plan.question.floor_mm,
        top=plan.size.rim_mm,
    )


def _pips(plan: CupPlan) -> list[Solid]:
    return [
        cylinder(
            radius,
            bottom_mm=-OVERSHOOT,
            top_mm=plan.question.pip_mm,
            chord_mm=plan.chord_mm,
            centre=(x, y),
        )
        for x, y, radius in plan.pips
    ]


def _raised(plan: CupPlan, label: Label) -> Solid:
    """Letters up the wall, their faces at an even height over it."""
    size = plan.size
    angle = math.radians(plan.sockets.angles[0])
    radial = np.array([math.cos(angle), math.sin(angle), 0.0])
    tangent = np.array([-math.sin(angle), math.cos(angle), 0.0])
    up = np.array([0.0, 0.0, 1.0])
    start = size.bore_mm(0.0) + 0.5 * size.wall_mm
    reach = size.bore_mm(size.rim_mm) + size.wall_mm + 2.0 * RELIEF
    letters = prism(
        letter_rings(label),
        bottom_mm=start,
        top_mm=reach,
    )
    # The letters' own right runs up the wall, their top points against the turn: seen from
    # outside they read upward.
    placed = letters.placed(np.column_stack([up, -tangent, radial, np.zeros(3)]))
    wall = size.wall_mm + RELIEF
    skin = revolve(
        [
            (0.0, 0.0),
            (size.bore_mm(0.0) + wall, 0.0),
            (size.bore_mm(size.rim_mm) + wall, size.rim_mm),
            (0.0, size.rim_mm),
        ],
        sides=plan.sides,
    )
    return placed ^ skin
