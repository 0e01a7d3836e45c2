"""Whether a resin gets too hot in a mould: the quick bound again, and the history.

`mouldgen.physics.steady` needs no calibration; where it leaves the answer open, it is asked again
with the calibrated cure, and then the history of the resin is run.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from mouldgen.physics.belief import Belief
from mouldgen.physics.cup import LONGEST, calibrate
from mouldgen.physics.cure import GEL_CONVERSION
from mouldgen.physics.data_sheet import DataSheet
from mouldgen.physics.exotherm import mould_grid
from mouldgen.physics.reaction import Curing
from mouldgen.physics.section import Section
from mouldgen.physics.steady import Limits, stays_cool, surely_cool
from mouldgen.physics.stepping import Problem, run

Array = NDArray[np.float64]

_COOLED = 0.5  # [K]; a gelled resin so cool heats itself no more


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
    if surely_cool(sheet, mould, belief=belief, air=air, limits=limits):
        return False
    cure = calibrate(sheet, belief)
    return not stays_cool(cure, sheet, mould, belief=belief, air=air, limits=limits)


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
