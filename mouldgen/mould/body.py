"""The cup's body: an outside, less the cavity with all its features."""

from __future__ import annotations

import math

import numpy as np

from mouldgen.mould.label import Label, letter_rings
from mouldgen.mould.lines import grooved
from mouldgen.mould.plan import RELIEF, CupPlan
from mouldgen.mould.socket_solids import wall_ribs
from mouldgen.mould.wall import outside
from mouldgen.solid.circle import around, polygon, segments
from mouldgen.solid.kernel import OVERSHOOT, Solid, cylinder, loft, prism, revolve, union


def cavity_solid(plan: CupPlan) -> Solid:
    """The space inside the cup up to just over its rim: bore and grooves, less ribs and pips.

    Every feature inside the cup is carved into this one solid, so that what the resin fills
    and what the plastic leaves free are the same numbers.
    """
    cut = [_bore(plan), *(_groove(plan, a) for a in plan.groove_angles)]
    if plan.size.runner is not None:
        from mouldgen.mould.runner import runner_hollow  # late: most moulds have none

        start = 0.5 * plan.size.bore_mm(plan.size.runner.gate_mm)
        cut.append(runner_hollow(plan.size.runner, start_mm=start, chord_mm=plan.chord_mm))
    for feature in plan.features:
        cut += feature.of_cavity(plan)
    hollow = union(cut)
    standing = [*pip_solids(plan), *wall_ribs(plan)]
    for feature in plan.features:
        standing += feature.in_cavity(plan)
    return hollow - union(standing) if standing else hollow


def body_solid(plan: CupPlan, cavity: Solid) -> Solid:
    """The body, the inside floor at z = 0.

    cavity : of the same plan.
    """
    shell, cut = _shell(plan)
    body = union(shell) - cavity
    return body - union(cut) if cut else body


def filled_solid(plan: CupPlan) -> Solid:
    """The body as it were without its cavity."""
    shell, cut = _shell(plan)
    return union(shell) - union(cut) if cut else union(shell)


def _shell(plan: CupPlan) -> tuple[list[Solid], list[Solid]]:
    """What the body is made of, and what is cut off it besides the cavity."""
    shell = [_outside(plan), *(_groove_back(plan, a) for a in plan.groove_angles)]
    if plan.size.runner is not None:
        from mouldgen.mould.runner import runner_wall  # late: most moulds have none

        floor, rim = -plan.question.floor_mm, plan.size.rim_mm
        shell.append(
            runner_wall(plan.size.runner, bottom_mm=floor, rim_mm=rim, chord_mm=plan.chord_mm)
        )
    if plan.body_label is not None:
        shell.append(_raised(plan, plan.body_label))
    cut = []
    for feature in plan.features:
        shell += feature.on_body(plan)
        cut += feature.off_body(plan)
    return shell, cut


def _bore(plan: CupPlan) -> Solid:
    """One revolve: the drafted bore, the lines, the recess of a tenon, the cone of a drill mark."""
    size = plan.size
    top = size.rim_mm + OVERSHOOT
    cone, (tenon, deep) = plan.centre_pip, plan.tenon_mm
    wall = [(r, z) for z, r in grooved(size.bore, plan.lines, top_mm=top)]
    recess = [(tenon, -deep), (tenon, 0.0)] if deep else []
    return revolve(
        [(0.0, cone[1] - deep), (cone[0], -deep), *recess, *wall, (0.0, top)], sides=plan.sides
    )


def _outside(plan: CupPlan) -> Solid:
    floor, rim = -plan.question.floor_mm, plan.size.rim_mm
    wall = [(r, z) for z, r in outside(plan.size, bottom_mm=floor).points]
    return revolve([(0.0, floor), *wall, (0.0, rim)], sides=plan.sides)


def _wall_tube(
    plan: CupPlan, angle: float, *, radius: float, along: list[tuple[float, float]]
) -> Solid:
    """A round that follows a wall, ends level.

    along : heights and distances of its middle from the axis, rising [mm].
    """
    # A groove and its back share their sides, or the wall between them would come out thin.
    sides = segments(plan.question.groove_mm + plan.size.wall_mm, chord_mm=plan.chord_mm)
    corner = around(radius, sides=sides)
    levels = []
    for z, distance in along:
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
        along=plan.size.bore.between(plan.question.pip_mm, plan.size.rim_mm + OVERSHOOT),
    )


def _groove_back(plan: CupPlan, angle: float) -> Solid:
    """The wall goes round the back of the groove, from the print bed up."""
    wall = plan.size.wall_mm
    outer = outside(plan.size, bottom_mm=-plan.question.floor_mm)
    return _wall_tube(
        plan,
        angle,
        radius=plan.question.groove_mm + wall,
        along=[(z, r - wall) for z, r in outer.points],
    )


def pip_solids(plan: CupPlan) -> list[Solid]:
    """What the insert stands on.

    plan : of the mould.
    """
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
    outer = outside(size, bottom_mm=0.0)
    start = size.bore.narrowest_mm(0.0, size.rim_mm) + 0.5 * size.wall_mm
    reach = outer.widest_mm(0.0, size.rim_mm) + 2.0 * RELIEF
    letters = prism(
        letter_rings(label),
        bottom_mm=start,
        top_mm=reach,
    )
    # The letters' own right runs up the wall, their top points against the turn: seen from
    # outside they read upward.
    placed = letters.placed(np.column_stack([up, -tangent, radial, np.zeros(3)]))
    wall = [(r + RELIEF, z) for z, r in outer.points]
    skin = revolve([(0.0, 0.0), *wall, (0.0, size.rim_mm)], sides=plan.sides)
    return placed ^ skin
