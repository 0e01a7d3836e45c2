"""A batch in its mixing cup, and the calibration that rests on it.

The cup is a ball of resin of the batch's volume in still air: a cup about as high as wide, its
rim and wall left out.  A ball has the least surface there is, so a batch left in its cup is
reckoned on the hot side; the calibration, which takes that heat off the gel time, errs slow by
as much: a mould comes out cooler by up to 5 K in the middle of the band (measured).

The gel is where the *first* place reaches the gel's conversion, the middle of a cup: it is where a
stick first meets a lump.  The data sheet's gel time is that of a mass in a cup, which heats
itself, so the one rate constant is set by running that cup (`calibrate`).  In a thin ring the
same resin, held cool, takes several times as long.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Literal

from mouldgen.errors import InputError
from mouldgen.physics.belief import Belief
from mouldgen.physics.constants import ZERO_CELSIUS
from mouldgen.physics.cure import GEL_CONVERSION
from mouldgen.physics.data_sheet import DataSheet
from mouldgen.physics.glass import GLASS
from mouldgen.physics.history import gel_of
from mouldgen.physics.in_cup import InCup, in_cup
from mouldgen.physics.kinetics import Kinetics, calibrated
from mouldgen.physics.lumped import slowed
from mouldgen.physics.material import resin
from mouldgen.physics.radial import CYLINDER, SPHERE, Layer, Radial, radial
from mouldgen.physics.reaction import Curing
from mouldgen.physics.stepping import Problem, Tolerance, run

CupShape = Literal["ball", "tall"]

TALL = 3.0  # height over diameter of a tall cup
LONGEST = 300.0  # how many times the shortest time to react a cure is followed
_CELLS = 12
_TO_THE_GEL = Tolerance(0.02, 5e-5)  # the gel time hangs on the first slow part of the curve
_GEL_ERROR = 1e-3


def gel_in_cup(sheet: DataSheet, mass: float, *, belief: Belief, air: float) -> float:
    """When a batch in its cup begins to gel [s]; inf where it does not.

    sheet : of the resin, to calibrate on.
    mass : of the batch [kg].
    belief : heat, energy and film.
    air : temperature of the shop [K].
    """
    return _gel_in(
        cup_grid(sheet.density, mass, film=belief.film),
        calibrate(sheet, belief),
        heat=sheet.density * belief.heat,
        air=air,
    )


def calibrate(sheet: DataSheet, belief: Belief) -> Kinetics:
    """The cure that gels the data sheet's mass in a cup at its temperature in its time.

    A calibration of the one rate constant [1/s], not a property: its shape, energy and heat are
    belief.

    sheet : of the resin.
    belief : heat, energy and film.

    Raises InputError where no rate does.
    """
    return _calibrate(in_cup(sheet, belief))


def cup_grid(
    density: float, mass: float, *, film: float, shape: CupShape = "ball", fine: int = 1
) -> Radial:
    """A batch in its cup, cut into cells.

    density : of the mixed resin [kg/m3].
    mass : of the batch [kg].
    film : to the air [W/(m2 K)].
    shape : ``ball`` or ``tall``.
    fine : by how much more finely than usual.
    """
    volume = mass / density
    if shape == "ball":
        radius, kind = (3.0 * volume / (4.0 * math.pi)) ** (1.0 / 3.0), SPHERE
    else:
        radius, kind = (volume / (2.0 * math.pi * TALL)) ** (1.0 / 3.0), CYLINDER
    layer = Layer(radius, resin(density), _CELLS * fine, growth=0.5, cures=True)
    return radial([layer], shape=kind, film=film)


@lru_cache(maxsize=64)
def _calibrate(asked: InCup) -> Kinetics:
    """The isothermal cure is the fastest that can be meant; a cup that heats itself slows it."""
    gel_time, mass, temperature, density, heat, energy, film = asked
    grid = cup_grid(density, mass, film=film)
    start = calibrated(gel_time, temperature=temperature, energy=energy, glass=GLASS)

    def late(log_factor: float) -> float:
        """How late the cup gels, as a logarithm."""
        cure = start.scaled(math.exp(log_factor))
        gel = _gel_in(grid, cure, heat=density * heat, air=temperature, until=20.0 * gel_time)
        return math.log(gel / gel_time)

    factor = slowed(late, error=_GEL_ERROR)
    if factor is not None:
        return start.scaled(math.exp(factor))
    raise InputError(
        f"a cup of {1000.0 * mass:g} g cannot gel after just {gel_time / 60.0:g} min at"
        f" {temperature - ZERO_CELSIUS:g} degC: it would run away or stay liquid",
        where="[resin] gel, gel_mass",
        try_="Look the gel time and its mass up in the data sheet again.",
    )


def _gel_in(
    grid: Radial, kinetics: Kinetics, *, heat: float, air: float, until: float = math.inf
) -> float:
    """When the first place gels [s]; inf where not by then."""
    end = min(until, LONGEST / kinetics.fastest(air))
    course = run(
        Problem(grid, Curing(kinetics), heat, air),
        end=end,
        temperature=air,
        tolerance=_TO_THE_GEL,
        stop=lambda _, conversions: bool(conversions.max() >= GEL_CONVERSION),
    )
    return gel_of(course, first=True)
