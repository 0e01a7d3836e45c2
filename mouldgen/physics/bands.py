"""The heat of a cure as bands, not degrees.

What no data sheet tells is tried three ways (`mouldgen.physics.belief`): all that keeps a resin
cool together, the middle, and all that makes it hot together.  Each corner is calibrated on the
data sheet's gel time by itself, so that all three agree there.  A band goes from the smallest to
the largest of the three.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from mouldgen.physics.belief import Belief, beliefs
from mouldgen.physics.cup import CupShape, gel_in_cup
from mouldgen.physics.data_sheet import DataSheet
from mouldgen.physics.exotherm import cure_in_cup, cure_in_mould
from mouldgen.physics.history import CureHistory
from mouldgen.physics.section import Section

SMALLEST_BATCH = 0.001  # [kg]
LARGEST_BATCH = 50.0  # [kg]
_BATCH_ERROR = 0.01


@dataclass(frozen=True, eq=False)
class Band:
    """A quantity that is known only so far.

    low, high : the smallest and the largest of the three ways.
    middle : with the middle of what is believed.
    """

    low: float
    middle: float
    high: float


@dataclass(frozen=True, eq=False)
class Bands:
    """A curing resin in bands.

    peak : hottest place of the resin [K].
    wall : hottest at the wall's inner face; in a cup at the resin's outside [K].
    gel : when the first place gels, from mixing [s].
    gelled : when the last place has gelled [s].
    glassy : when it can be taken from the mould at the earliest [s].
    histories : the cool, the middle and the hot way.
    """

    peak: Band
    wall: Band
    gel: Band
    gelled: Band
    glassy: Band
    histories: tuple[CureHistory, CureHistory, CureHistory]


def mould_bands(sheet: DataSheet, mould: Section, *, heat: float, air: float) -> Bands:
    """The resin in a mould.

    sheet : of the resin, to calibrate on.
    mould : cold, as the air.
    heat : of a kilogram that cures wholly, the middle [J/kg].
    air : temperature of the shop [K].
    """
    return _bands(heat, lambda belief: cure_in_mould(sheet, mould, belief=belief, air=air))


def cup_bands(
    sheet: DataSheet, mass: float, *, heat: float, air: float, shape: CupShape = "ball"
) -> Bands:
    """A batch left in its cup.

    sheet : of the resin, to calibrate on.
    mass : of the batch [kg].
    heat : of a kilogram that cures wholly, the middle [J/kg].
    air : temperature of the shop [K].
    shape : ``ball`` or ``tall``.
    """
    return _bands(
        heat, lambda belief: cure_in_cup(sheet, mass, belief=belief, air=air, shape=shape)
    )


def gel_band(sheet: DataSheet, mass: float, *, heat: float, air: float) -> Band:
    """When a batch in its cup begins to gel [s].

    sheet : of the resin, to calibrate on.
    mass : of the batch [kg].
    heat : of a kilogram that cures wholly, the middle [J/kg].
    air : temperature of the shop [K].
    """
    return _band([gel_in_cup(sheet, mass, belief=b, air=air) for b in beliefs(heat)])


def batch_for_time(sheet: DataSheet, needed: float, *, heat: float, air: float) -> float:
    """The largest batch whose cup gels no earlier than a time, on the early side of its band [kg].

    0 where not even `SMALLEST_BATCH` lasts so long, inf where `LARGEST_BATCH` does.

    sheet : of the resin, to calibrate on.
    needed : from mixing until the last of it is poured [s].
    heat : of a kilogram that cures wholly, the middle [J/kg].
    air : temperature of the shop [K].
    """

    def lasts(mass: float) -> bool:
        ways = reversed(beliefs(heat))  # the hot one is mostly the first to gel
        return all(gel_in_cup(sheet, mass, belief=b, air=air) >= needed for b in ways)

    if not lasts(SMALLEST_BATCH):
        return 0.0
    if lasts(LARGEST_BATCH):
        return math.inf
    low, high = SMALLEST_BATCH, LARGEST_BATCH
    while high > low * (1.0 + _BATCH_ERROR):
        middle = math.sqrt(low * high)
        low, high = (middle, high) if lasts(middle) else (low, middle)
    return low


def _bands(heat: float, history: Callable[[Belief], CureHistory]) -> Bands:
    cool, middle, hot = (history(belief) for belief in beliefs(heat))
    ways = (cool, middle, hot)
    return Bands(
        peak=_band([way.peak for way in ways]),
        wall=_band([way.wall_peak for way in ways]),
        gel=_band([way.gel for way in ways]),
        gelled=_band([way.gelled for way in ways]),
        glassy=_band([way.glassy for way in ways]),
        histories=ways,
    )


def _band(ways: list[float]) -> Band:
    return Band(min(ways), ways[1], max(ways))
