"""A resin that heats itself in a mould, and in the cup that it was mixed in.

The mould is a long cylinder of insert, resin ring, printed wall and air film: what leaves through
its ends is left out, which errs to the hot side.  The pressure in a pot carries heat away faster
than still air does, neighbours in the pot hold it back; neither is in here.  All starts at the
air's temperature, the moment the resin is mixed.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from mouldgen.physics.belief import Belief
from mouldgen.physics.cup import LONGEST, CupShape, calibrate, cup_grid
from mouldgen.physics.cure import GEL_CONVERSION
from mouldgen.physics.data_sheet import DataSheet
from mouldgen.physics.history import CureHistory, glassy_by, history_of
from mouldgen.physics.kinetics import Kinetics
from mouldgen.physics.material import resin
from mouldgen.physics.radial import CYLINDER, Layer, Radial, radial
from mouldgen.physics.reaction import Curing
from mouldgen.physics.section import Section
from mouldgen.physics.stepping import Problem, Tolerance, run

Array = NDArray[np.float64]

_COOLED = 0.5  # [K]
_COARSE = Tolerance()
# Where a thick pour runs away, a front of reaction a millimetre wide runs outward and is hottest
# where it meets the wall: cells are finest there.
_CELL = 0.0005  # [m]; of the resin, on average
_LEAST_CELLS = 10
# A ring of 50 mm; of 160 mm its peak is told 0.5 to 2.5 K too high.  A step takes the cube of all
# cells.
_MOST_CELLS = 100
_TO_THE_WALL = 0.3  # width of the resin's outermost cell over that of its innermost
_WALL_CELLS = 6


def cure_in_mould(
    sheet: DataSheet,
    mould: Section,
    *,
    belief: Belief,
    air: float,
    fine: int = 1,
    tolerance: Tolerance = _COARSE,
) -> CureHistory:
    """The history of the resin in a mould.

    sheet : of the resin, to calibrate on.
    mould : cold, as the air.
    belief : heat, energy and film.
    air : temperature of the shop [K].
    fine : by how much more finely than usual the mould is cut.
    tolerance : of a step.
    """
    kinetics = calibrate(sheet, belief)
    return _history_on(
        mould_grid(sheet, mould, film=belief.film, fine=fine),
        kinetics,
        heat=sheet.density * belief.heat,
        air=air,
        tolerance=tolerance,
    )


def cure_in_cup(
    sheet: DataSheet,
    mass: float,
    *,
    belief: Belief,
    air: float,
    shape: CupShape = "ball",
    tolerance: Tolerance = _COARSE,
) -> CureHistory:
    """The history of a batch left in its cup.

    sheet : of the resin, to calibrate on.
    mass : of the batch [kg].
    belief : heat, energy and film.
    air : temperature of the shop [K].
    shape : ``ball``, or ``tall`` for a long cylinder with the radius of a cup `TALL` times as high
        as wide.
    tolerance : of a step.
    """
    return _history_on(
        cup_grid(sheet.density, mass, film=belief.film, shape=shape),
        calibrate(sheet, belief),
        heat=sheet.density * belief.heat,
        air=air,
        tolerance=tolerance,
    )


def mould_grid(sheet: DataSheet, mould: Section, *, film: float, fine: int = 1) -> Radial:
    """The mould cut into cells, the finest where the resin meets the wall.

    sheet : of the resin.
    mould : its radii and materials.
    film : to the air [W/(m2 K)].
    fine : by how much more finely than usual.
    """
    layers = []
    if mould.insert_radius > 0.0:
        layers.append(Layer(mould.insert_radius, mould.insert, 8 * fine, growth=0.3))
    gap = mould.bore_radius - mould.insert_radius
    cells = min(max(_LEAST_CELLS, math.ceil(gap / _CELL)), _MOST_CELLS)
    layers.append(Layer(gap, resin(sheet.density), cells * fine, growth=_TO_THE_WALL, cures=True))
    layers.append(
        Layer(
            mould.wall,
            mould.plastic,
            _WALL_CELLS * fine,
            growth=1.0 / _TO_THE_WALL,
            contact=mould.contact,
        )
    )
    return radial(layers, shape=CYLINDER, film=film)


def _history_on(
    grid: Radial, kinetics: Kinetics, *, heat: float, air: float, tolerance: Tolerance
) -> CureHistory:
    curing = grid.curing

    def done(T: Array, a: Array) -> bool:
        hot = T[curing]
        cool = float(hot.max()) < air + _COOLED
        return cool and bool(glassy_by(a, hot).min() > _COOLED) and bool(a.min() > GEL_CONVERSION)

    course = run(
        Problem(grid, Curing(kinetics), heat, air),
        end=LONGEST / kinetics.fastest(air),
        temperature=air,
        tolerance=tolerance,
        stop=done,
    )
    return history_of(course, grid, air=air)
