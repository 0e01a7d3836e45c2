"""The solids of a shell: its cavity with features, and an outside that prints standing.

The outside is drawn in polar form: at each height and turn as far from the axis as the cavity's
farthest point there, and everything as near to that as the wall is thick.  Hollows that a ray from
the axis would enter twice are filled.  Going up it opens by 45 degrees at most, so that what hangs
over is filled below, down to the bed.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from mouldgen.cavity.shell import SNAPPED_MM, reach_mm, shell_cavity
from mouldgen.errors import InternalError
from mouldgen.mould.body import pip_solids
from mouldgen.mould.lines import grooved
from mouldgen.size.shell import ShellSize, as_shell
from mouldgen.solid.circle import around
from mouldgen.solid.kernel import OVERSHOOT, Solid, loft, revolve, union

if TYPE_CHECKING:
    from mouldgen.mould.plan import CupPlan
    from mouldgen.solid.mesh import Floats

STEP_MM = 0.8  # between two outlines of the outside
BETWEEN = 2  # turns and heights looked at for each that is drawn
SLOPE = 0.97  # by which it opens at most for each mm of height: 45 degrees, with room for facets
SPARE_MM = 0.005  # of wall, for corners between what is looked at
CORE_MM = 4.0  # radius that the outside has everywhere at least: under a narrow foot it stands on


def as_shell_size(plan: CupPlan) -> ShellSize:
    """The size of a shell whose cavity is made; any other is a fault of ours."""
    if not isinstance(plan.size, ShellSize) or plan.size.grown is None:
        raise InternalError("a shell was planned before its cavity was made")
    return plan.size


def bare_shell(plan: CupPlan, *, top_mm: float) -> Solid:
    """The cavity without its features, from the inside floor to a height.

    plan : of a shell.
    top_mm : where it ends [mm].
    """
    size = as_shell_size(plan)
    if size.grown is None:
        raise InternalError("a shell was planned before its cavity was made")
    return shell_cavity(
        as_shell(plan.question), size.gap_mm, size.grown, sides=plan.sides, top_mm=top_mm
    )


def shell_hollow(plan: CupPlan, bare: Solid) -> Solid:
    """The space inside up to just over the rim: cavity and lines, less pips.

    plan : of a shell.
    bare : its cavity up to there.
    """
    size = as_shell_size(plan)
    top = size.rim_mm + OVERSHOOT
    lines = tuple(line for line in plan.lines if min(line.grooves_mm) > size.neck_mm + OVERSHOOT)
    wall = [(r, z) for z, r in grooved(size.bore, lines, top_mm=top) if z > size.neck_mm - 1e-9]
    ring = revolve([(0.0, wall[0][1]), *wall, (0.0, wall[-1][1])], sides=plan.sides)
    standing = pip_solids(plan)
    whole = bare + ring
    return whole - union(standing) if standing else whole


def shell_outside(plan: CupPlan, bare: Solid) -> Solid:
    """The body before its cavity is cut out of it, from the print bed to the rim.

    plan : of a shell.
    bare : its cavity, past the rim.
    """
    size, wall = as_shell_size(plan), plan.size.wall_mm
    levels = max(2, math.ceil(size.rim_mm / STEP_MM))
    heights = np.linspace(0.0, size.rim_mm, BETWEEN * levels + 1)
    turns = BETWEEN * plan.sides
    inside = np.stack([reach_mm(bare, z, turns) for z in _within(heights)])
    step, turn = float(heights[1]), 2.0 * math.pi / turns
    # Between two places that are looked at a ball dips by a sagitta, along and round.
    dip = (step**2 + (float(inside.max()) * turn) ** 2) / (8.0 * wall) + SPARE_MM
    reach = _with_wall(np.maximum(inside, CORE_MM), wall + dip, step_mm=step)
    # Between two corners, and between two levels, a straight line stays outside.
    drawn = _widest(_widest(reach, axis=0), axis=1)[::BETWEEN, ::BETWEEN]
    neck = size.bore_mm(size.rim_mm) + SNAPPED_MM + wall  # the cavity's is as much wider
    drawn = np.minimum(drawn, neck)
    opened = _opening(drawn, step_mm=float(heights[BETWEEN]))
    # Under the lid it is the round that the lid's skirt goes over, and nothing else.
    opened[heights[::BETWEEN] >= size.neck_mm + wall] = neck
    corners = around(1.0, sides=plan.sides) * opened
    angle = 2.0 * math.pi * np.arange(plan.sides) / plan.sides
    ways = np.column_stack([np.cos(angle), np.sin(angle)])
    outlines = [radii[:, None] * ways for radii in corners]
    places = [-plan.question.floor_mm, *heights[BETWEEN::BETWEEN].tolist()]
    return loft(list(zip(outlines, places, strict=True)))


def _within(heights: Floats) -> list[float]:
    """The heights, the lowest lifted off the floor, where a section is an edge."""
    return [max(z, 0.01) for z in heights.tolist()]


def _with_wall(inside: Floats, wall: float, *, step_mm: float) -> Floats:
    """Reach of all that is nearer to an inside than the wall is thick, (heights, turns) [mm]."""
    out = inside + wall
    turns = inside.shape[1]
    reach = math.asin(min(1.0, wall / CORE_MM))
    for rows in range(-int(wall / step_mm), int(wall / step_mm) + 1):
        shifted = _shifted(inside, rows)
        for columns in range(-int(reach * turns / (2.0 * math.pi)) - 1,
                             int(reach * turns / (2.0 * math.pi)) + 2):  # fmt: skip
            turn = 2.0 * math.pi * columns / turns
            radius = np.roll(shifted, columns, axis=1)
            left = wall**2 - (rows * step_mm) ** 2 - (radius * math.sin(turn)) ** 2
            ball = radius * math.cos(turn) + np.sqrt(np.maximum(left, 0.0))
            out = np.maximum(out, np.where(left >= 0.0, ball, 0.0))
    return np.asarray(out)


def _shifted(values: Floats, rows: int) -> Floats:
    """Rows moved up or down, 0 where none is left."""
    moved = np.zeros_like(values)
    if rows > 0:
        moved[rows:] = values[:-rows]
    elif rows < 0:
        moved[:rows] = values[-rows:]
    else:
        moved[:] = values
    return moved


def _widest(values: Floats, *, axis: int) -> Floats:
    """The largest of each value and its neighbours, round in turns."""
    if axis == 1:
        sides = [np.roll(values, k, axis=1) for k in (-1, 1)]
    else:
        sides = [np.vstack([values[1:], values[-1:]]), np.vstack([values[:1], values[:-1]])]
    return np.asarray(np.maximum(values, np.maximum(*sides)))


def _opening(drawn: Floats, *, step_mm: float) -> Floats:
    """The least outside over some outlines that opens upward by no more than 45 degrees."""
    rows: list[Floats] = [drawn[-1]]
    for below in drawn[-2::-1]:
        rows.append(np.maximum(below, rows[-1] - SLOPE * step_mm))
    return np.stack(rows[::-1])
