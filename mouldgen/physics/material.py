"""What carries and stores heat in a mould.

Typical values from memory; a maker's own go before them.  Resin from liquid to rubber holds 1.8 to
1.9 kJ/(kg K), the glass 1.1: the larger is right while it heats itself.  A printed wall conducts
less than the solid plastic.  Silicone rubber conducts about as well as resin, filled kinds better.
"""

from __future__ import annotations

from dataclasses import dataclass

from mouldgen.physics.wood import (
    LEAST_CONDUCTIVITY_GRAVITY,
    SHOP_MOISTURE,
    WATER_DENSITY,
    conductivity_across,
    heat_capacity,
)

RESIN_CONDUCTIVITY = 0.2  # [W/(m K)]; 0.17 to 0.22
RESIN_HEAT_CAPACITY = 1800.0  # [J/(kg K)]
WALL_CONDUCTIVITY = 0.13  # [W/(m K)]; 0.11 to 0.21 when solid
WALL_HEAT_CAPACITY = 1300.0  # [J/(kg K)]
RUBBER_CONDUCTIVITY = 0.2  # [W/(m K)]; 0.2 to 0.3 for silicone: the lower end keeps the heat in
RUBBER_HEAT_CAPACITY = 1300.0  # [J/(kg K)]; 1.1 to 1.5 kJ for silicone


@dataclass(frozen=True, eq=False)
class Material:
    """A solid, or a liquid at rest.

    conductivity : of heat [W/(m K)].
    density : [kg/m3].
    heat_capacity : of a kilogram [J/(kg K)].
    """

    conductivity: float
    density: float
    heat_capacity: float

    @property
    def stored(self) -> float:
        """Heat capacity of a cubic metre [J/(m3 K)]."""
        return self.density * self.heat_capacity


def resin(density: float) -> Material:
    """A curing resin, unfilled.

    density : mixed [kg/m3].
    """
    return Material(RESIN_CONDUCTIVITY, density, RESIN_HEAT_CAPACITY)


def printed(density: float) -> Material:
    """A printed wall of whole lines.

    density : of the solid plastic [kg/m3].
    """
    return Material(WALL_CONDUCTIVITY, density, WALL_HEAT_CAPACITY)


def rubber(density: float) -> Material:
    """Silicone rubber.

    density : cured [kg/m3].
    """
    return Material(RUBBER_CONDUCTIVITY, density, RUBBER_HEAT_CAPACITY)


def wood(density: float, *, temperature: float) -> Material:
    """Wood as it stands in a heated shop, across the grain.

    Lighter wood than the handbook's formula covers counts as the lightest that it does: the lighter
    the wood, the less heat it takes, so its own density is kept for that.

    density : with the water in it [kg/m3].
    temperature : of the wood [K].
    """
    gravity = density / (WATER_DENSITY * (1.0 + SHOP_MOISTURE / 100.0))
    covered = max(gravity, LEAST_CONDUCTIVITY_GRAVITY)
    return Material(
        conductivity_across(covered, moisture=SHOP_MOISTURE),
        density,
        heat_capacity(temperature, moisture=SHOP_MOISTURE),
    )
