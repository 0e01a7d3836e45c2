"""The runner as solids: what of it is hollow, and the wall round it.

The gate's roof is pointed, at 45 degrees, so that it prints standing up as well as lying down.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from mouldgen.size.runner import Runner
from mouldgen.solid.circle import around, polygon, segments
from mouldgen.solid.kernel import OVERSHOOT, Solid, box, loft, prism

if TYPE_CHECKING:
    from mouldgen.solid.mesh import Floats


def runner_hollow(runner: Runner, *, start_mm: float, chord_mm: float) -> Solid:
    """Gate, channel and funnel, to just over the brim.

    runner : in closed form.
    start_mm : where the gate begins inside the bore, along x [mm].
    chord_mm : tolerance of its circles [mm].
    """
    gate = prism([_pointed(runner.radius_mm, chord_mm)], bottom_mm=start_mm, top_mm=runner.x_mm)
    # Its own x and y become y and z, its height x.
    gate = gate.placed(np.array([[0.0, 0, 1, 0], [1, 0, 0, 0], [0, 1, 0, runner.gate_mm]]))
    low = runner.gate_mm - runner.radius_mm
    return gate + _column(runner, low_mm=low, more_mm=0.0, chord_mm=chord_mm)


def runner_wall(runner: Runner, *, bottom_mm: float, rim_mm: float, chord_mm: float) -> Solid:
    """The wall of a runner that stands beside a round mould, joined to it all the way up.

    bottom_mm : height of the print bed [mm].
    rim_mm : of the mould's rim [mm].
    """
    half = runner.radius_mm + runner.wall_mm
    web = box((0.0, -half, bottom_mm), (runner.x_mm, half, rim_mm))
    wall = _column(runner, low_mm=bottom_mm, more_mm=runner.wall_mm, chord_mm=chord_mm)
    return web + wall


def _column(runner: Runner, *, low_mm: float, more_mm: float, chord_mm: float) -> Solid:
    """Channel and funnel with a wall of `more_mm` round them; a hollow reaches over the brim."""
    over = 0.0 if more_mm else OVERSHOOT
    radius, wide = runner.radius_mm, runner.wide_mm
    sides = segments(wide + more_mm, chord_mm=chord_mm)
    rise = (wide - radius) / (runner.brim_mm - runner.cone_mm)
    levels = []
    for z in (runner.cone_mm, runner.brim_mm + over):
        grown = rise * (z - runner.cone_mm)
        ring = polygon(
            around(radius + grown + more_mm, sides=sides),
            sides=sides,
            centre=(runner.x_mm + grown, 0.0),
        )
        levels.append((ring, z))
    # In one: two solids that share the ring between them leave slivers there.
    return loft([(levels[0][0], low_mm), *levels])


def _pointed(radius_mm: float, chord_mm: float) -> Floats:
    """A circle with a roof of 45 degrees on it, counter-clockwise, drawn around the circle."""
    steps = math.ceil(0.75 * segments(radius_mm, chord_mm=chord_mm))
    # From where the roof's right side touches the circle, down and round to its left side.
    turn = math.radians(45.0) - np.linspace(0.0, math.radians(270.0), steps + 1)
    middle = 0.5 * (turn[1:] + turn[:-1])
    corner = radius_mm / math.cos(math.radians(135.0) / steps)
    ends = radius_mm * np.array([[math.cos(t), math.sin(t)] for t in (turn[0], turn[-1])])
    body = corner * np.column_stack([np.cos(middle), np.sin(middle)])
    tip = [[0.0, math.sqrt(2.0) * radius_mm]]
    return np.concatenate([ends[:1], body, ends[1:], tip])[::-1]
