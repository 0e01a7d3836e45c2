"""Wood that will be cast round: weight, heat, pores and movement.

From the Wood Handbook, FPL-GTR-190 (2010), chapter 4, unless said.  Moisture is in percent of the
oven-dry mass, as it is printed there; specific gravity is oven-dry mass over the volume *at that
moisture*, relative to water.  Woods of one species differ: take 10 percent on each value, 20 on
the conductivity.
"""

from __future__ import annotations

from mouldgen.errors import InternalError

WATER_DENSITY = 1000.0  # [kg/m3]
FIBRE_SATURATION = 30.0  # [percent]; above it wood neither swells nor shrinks
CELL_WALL_GRAVITY = 1.5  # of the void fraction; the handbook's own most moisture has 1.54
HANDBOOK_CELL_WALL_GRAVITY = 1.54
SHOP_MOISTURE = 12.0  # [percent]; of a heated shop, and what the tables of woods are printed for
LEAST_CONDUCTIVITY_GRAVITY = 0.3
MOST_CONDUCTIVITY_MOISTURE = 25.0  # [percent]


def gravity_at(basic_gravity: float, *, moisture: float) -> float:
    """Specific gravity at a moisture from the basic one: ``G_b/(1 - 0.265 G_b (1 - x/30))``.

    Stamm's shrinkage, eqs 4-9 to 4-11.

    basic_gravity : oven-dry mass over green volume, relative to water.
    moisture : [percent] of the oven-dry mass, up to fibre saturation.

    Raises InternalError above fibre saturation, where it is the basic one.
    """
    _check_moisture(moisture, most=FIBRE_SATURATION)
    dried = 1.0 - moisture / FIBRE_SATURATION
    return basic_gravity / (1.0 - 0.265 * basic_gravity * dried)


def density(gravity: float, *, moisture: float) -> float:
    """Density with the water in it [kg/m3]: ``1000 G (1 + x/100)``, eq. 4-12.

    gravity : specific, at this moisture.
    moisture : [percent] of the oven-dry mass.
    """
    return gravity * (1.0 + moisture / 100.0) * WATER_DENSITY


def conductivity_across(gravity: float, *, moisture: float) -> float:
    """Thermal conductivity across the grain [W/(m K)], eq. 4-15.

    ``G (0.1941 + 0.004064 x) + 0.01864`` at 24 degC, within 20 percent.  Along the grain it is
    about 1.8 times as much (1.5 to 2.8).

    gravity : specific, at this moisture, from 0.3.
    moisture : [percent] of the oven-dry mass, up to 25.

    Raises InternalError outside those ranges.
    """
    if gravity < LEAST_CONDUCTIVITY_GRAVITY:
        raise InternalError(
            f"no conductivity is known for wood of specific gravity {gravity:g}",
            allowed=f"{LEAST_CONDUCTIVITY_GRAVITY} and above",
        )
    _check_moisture(moisture, most=MOST_CONDUCTIVITY_MOISTURE)
    return gravity * (0.1941 + 0.004064 * moisture) + 0.01864


def heat_capacity(temperature: float, *, moisture: float) -> float:
    """Specific heat of wood with the water in it [J/(kg K)], eqs 4-16 and 4-17.

    ``c_0 = 0.1031 + 0.003867 T``, ``c = (c_0 + 4.18 x/100)/(1 + x/100) + x (b1 + b2 T + b3 x)``
    in kJ.  Straight in T, so that a cold shop is a small step beyond the range that the handbook
    gives, about 280 to 420 K (from memory).

    temperature : of the wood [K].
    moisture : [percent] of the oven-dry mass, up to fibre saturation.

    Raises InternalError above fibre saturation.
    """
    _check_moisture(moisture, most=FIBRE_SATURATION)
    dry = 0.1031 + 0.003867 * temperature
    mixed = (dry + 4.18 * moisture / 100.0) / (1.0 + moisture / 100.0)
    bond = moisture * (-0.06191 + 2.36e-4 * temperature - 1.33e-4 * moisture)
    return 1000.0 * (mixed + bond)


def void_fraction(gravity: float, *, moisture: float) -> float:
    """Share of the volume that is air: ``1 - G (1/1.5 + x/100)`` (Siau 1984; from memory).

    gravity : specific, at this moisture.
    moisture : [percent] of the oven-dry mass.

    Raises InternalError where the wood cannot hold that much water.
    """
    share = 1.0 - gravity * (1.0 / CELL_WALL_GRAVITY + moisture / 100.0)
    if share < 0.0:
        raise InternalError(
            f"wood of specific gravity {gravity:g} cannot hold {moisture:g} percent of water",
            allowed=f"up to {100.0 * (1.0 / gravity - 1.0 / CELL_WALL_GRAVITY):.0f} percent",
        )
    return share


def most_moisture(
    basic_gravity: float, *, cell_wall_gravity: float = HANDBOOK_CELL_WALL_GRAVITY
) -> float:
    """Moisture of waterlogged wood [percent]: ``100 (G_w - G_b)/(G_w G_b)``.

    basic_gravity : oven-dry mass over green volume, relative to water.
    cell_wall_gravity : of the dry cell wall; 1.50 is in use too.
    """
    return 100.0 * (1.0 / basic_gravity - 1.0 / cell_wall_gravity)


def most_uptake(gravity: float, *, moisture: float, resin_density: float) -> float:
    """Resin in a cubic metre of wood if every void filled [kg/m3]; an upper bound.

    Only cells that lead into one another fill; heartwood and tyloses take far less.

    gravity : specific, at this moisture.
    moisture : [percent] of the oven-dry mass.
    resin_density : of the mixed resin [kg/m3].
    """
    return void_fraction(gravity, moisture=moisture) * resin_density


def movement(size: float, *, shrinkage: float, moisture_change: float) -> float:
    """How much a size changes with the moisture [m]: ``D (S/100) (dx/30)``.

    Straight between oven-dry and fibre saturation; above it nothing moves.

    size : across the growth rings or along them [m].
    shrinkage : S, from green to oven-dry in that direction [percent].
    moisture_change : dx, below fibre saturation; negative while it dries [percent].
    """
    return size * shrinkage / 100.0 * moisture_change / FIBRE_SATURATION


def _check_moisture(moisture: float, *, most: float) -> None:
    if not 0.0 <= moisture <= most:
        raise InternalError(
            f"no value is known for wood at {moisture:g} percent moisture",
            allowed=f"0 to {most:g} percent",
        )
