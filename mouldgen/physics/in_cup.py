"""What the cure of a data sheet's own cup depends on, compared by value.

A cure is looked for with it once; `functools.lru_cache` knows the same numbers again.
"""

from __future__ import annotations

from typing import NamedTuple

from mouldgen.physics.belief import Belief
from mouldgen.physics.data_sheet import DataSheet


class InCup(NamedTuple):
    """A batch that gels in its cup, and what is believed of it.

    gel_time : of the data sheet [s].
    mass : of its batch [kg].
    temperature : of resin and air [K].
    density : of the mixed resin [kg/m3].
    heat : of a kilogram that cures wholly [J/kg].
    energy : of activation [J/mol].
    film : to the air [W/(m2 K)].
    """

    gel_time: float
    mass: float
    temperature: float
    density: float
    heat: float
    energy: float
    film: float


def in_cup(sheet: DataSheet, belief: Belief) -> InCup:
    """The data sheet's cup.

    sheet : of the resin, its gel time [s] and mass [kg].
    belief : heat [J/kg], energy [J/mol] and film [W/(m2 K)].
    """
    return InCup(
        gel_time=sheet.gel_time,
        mass=sheet.mass,
        temperature=sheet.temperature,
        density=sheet.density,
        heat=belief.heat,
        energy=belief.energy,
        film=belief.film,
    )
