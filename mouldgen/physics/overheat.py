"""Whether a resin can get too hot in a mould: a quick no, and the long answer.

The quick no is the steady state of `mouldgen.physics.runaway.steady_rise`: the whole ring giving
heat as fast as the cure ever does, for ever, and nothing passing into the insert.  The real
resin stays below it, so where it is cool enough no history has to be run.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from mouldgen.physics.cup import LONGEST, Belief, DataSheet, calibrate
from mouldgen.physics.cure import GEL_CONVERSION
from mouldgen.physics.exotherm import Section, mould_grid
from mouldgen.physics.material import resin
from mouldgen.physics.reaction import Curing
from mouldgen.physics.runaway import ring_resistances, steady_rise
from mouldgen.physics.stepping import Problem, run

Array = NDArray[np.float64]

_COOLED = 0.5  # [K]; a gelled resin so cool heats itself no more


@dataclass(frozen=True, eq=False)
class Limits:
    """How hot it may become.

    resin : anywhere in the resin [K].
    wall : at the wall's inner face [K].
    """

    resin: float
    wall: float


def could_overheat(
    sheet: DataSheet, mould: Section, *, belief: Belief, air: float, limits: Limits
) -> bool:
    """Whether the quick bound leaves it open that a limit is passed [K].

    False is certain, within this model; True says nothing.

    sheet : of the resin, to calibrate on.
    mould : cold, as the air.
    belief : heat, energy and film.
    air : temperature of the shop [K].
    limits : not to be passed.
    """
    kinetics = calibrate(sheet, belief)
    to_air, within = _resistances(mould, belief.film, resin(sheet.density).conductivity)
    rise = steady_rise(
        kinetics,
        heat=sheet.density * belief.heat,
        air=air,
        to_air=to_air,
        within=within,
        most=limits.resin - air,
    )
    return rise == math.inf or air + rise * to_air / (to_air + within) > limits.wall


def overheats(
    sheet: DataSheet, mould: Section, *, belief: Belief, air: float, limits: Limits
) -> bool:
    """Whether resin or wall passes its limit [K]; the history is left where it does.

    sheet : of the resin, to calibrate on.
    mould : cold, as the air.
    belief : heat, energy and film.
    air : temperature of the shop [K].
    limits : not to be passed.
    """
    if not could_overheat(sheet, mould, belief=belief, air=air, limits=limits):
        return False
    grid = mould_grid(sheet, mould, film=belief.film)
    kinetics = calibrate(sheet, belief)
    passed = False

    def decided(T: Array, a: Array) -> bool:
        nonlocal passed
        inside = grid.face(T, grid.curing.start) if grid.curing.start else grid.centre(T)
        hot = max(float(T[grid.curing].max()), float(inside))
        wall = float(grid.face(T, grid.curing.stop))
        passed = hot > limits.resin or wall > limits.wall
        over = hot < air + _COOLED and float(a.min()) > GEL_CONVERSION
        return passed or over

    run(
        Problem(grid, Curing(kinetics), sheet.density * belief.heat, air),
        end=LONGEST / kinetics.fastest(air),
        temperature=air,
        stop=decided,
    )
    return passed


def _resistances(mould: Section, film: float, conductivity: float) -> tuple[float, float]:
    bore, outer = mould.bore_radius, mould.bore_radius + mould.wall
    wall = bore * math.log(outer / bore) / mould.plastic.conductivity
    to_air = 1.0 / mould.contact + wall + bore / (outer * film)
    return ring_resistances(mould.insert_radius, bore, conductivity=conductivity, to_air=to_air)
