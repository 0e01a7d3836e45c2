"""What no data sheet tells of a cure, and the three ways that it is believed to be.

Heat 250, 325 and 400 J/g where 325 is asked for, in proportion else; activation energy 45, 55 and
60 kJ/mol; film 15, 10 and 5 W/(m2 K).  All belief.
"""

from __future__ import annotations

from dataclasses import dataclass

from mouldgen.physics.kinetics import ENERGY, LEAST_ENERGY, MOST_ENERGY

EPOXY_HEAT = 325e3  # [J/kg]
URETHANE_HEAT = 200e3  # [J/kg]
LEAST_HEAT = 250.0 / 325.0  # of the middle
MOST_HEAT = 400.0 / 325.0
FILMS = (15.0, 10.0, 5.0)  # [W/(m2 K)]


@dataclass(frozen=True, eq=False)
class Belief:
    """What no data sheet tells.

    heat : of a kilogram that cures wholly [J/kg].
    energy : of activation [J/mol].
    film : from a surface to still air, radiation included [W/(m2 K)].
    """

    heat: float
    energy: float
    film: float


def beliefs(heat: float) -> tuple[Belief, Belief, Belief]:
    """The cool, the middle and the hot way.

    heat : of a kilogram that cures wholly, the middle [J/kg].
    """
    cool, middle, hot = FILMS
    return (
        Belief(heat * LEAST_HEAT, LEAST_ENERGY, cool),
        Belief(heat, ENERGY, middle),
        Belief(heat * MOST_HEAT, MOST_ENERGY, hot),
    )
