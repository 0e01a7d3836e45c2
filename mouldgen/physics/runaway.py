"""When a reacting body can no longer pass on its heat.

Frank-Kamenetskii: a body with its surface held at T and a rate that grows exponentially has a
steady state only below a critical ``delta = rho H A E r^2 exp(-E/(R T))/(k R T^2)``: 0.878 for
the half width of a slab, 2 for a long cylinder (exact), 3.322 for a sphere.  It leaves out that
the reactants are used up, which errs to the hot side, and holds the surface at one temperature,
which in a printed mould in still air errs to the cold side.

`steady_rise` needs neither: see there.
"""

from __future__ import annotations

import math

from mouldgen.errors import InternalError
from mouldgen.physics.constants import GAS_CONSTANT
from mouldgen.physics.kinetics import Kinetics
from mouldgen.physics.material import Material

CRITICAL_SLAB = 0.878  # from memory
CRITICAL_CYLINDER = 2.0
CRITICAL_SPHERE = 3.322  # from memory

_MOST_RISE = 400.0  # [K]; no resin gets so far
_ROUNDS = 500
_STEP_OVER = 1.001  # so that the search from below ends above


def delta(
    radius: float, *, material: Material, heat: float, rate: float, energy: float, wall: float
) -> float:
    """Frank-Kamenetskii's number, a pure number [1].

    radius : of the cylinder or sphere, or half the width of the slab [m].
    material : of the body.
    heat : of a kilogram that reacts [J/kg].
    rate : of reaction at the wall's temperature [1/s].
    energy : of activation [J/mol].
    wall : temperature of the surface [K].
    """
    source = material.density * heat * rate
    return source * energy * radius**2 / (material.conductivity * GAS_CONSTANT * wall**2)


def cylinder_centre(number: float) -> float:
    """Steady rise of a long cylinder's middle in units of R T^2/E, a pure number [1].

    ``2 ln(1 + B)`` with ``delta = 8 B/(1 + B)^2``, the colder of the two states; exact.

    number : delta, 0 to 2.

    Raises InternalError above 2, where there is no steady state.
    """
    if not 0.0 <= number <= CRITICAL_CYLINDER:
        raise InternalError(f"no steady state at {number:g}", allowed="0 to 2")
    if number == 0.0:
        return 0.0
    root = math.sqrt(1.0 - number / CRITICAL_CYLINDER)
    return 2.0 * math.log(2.0 / (1.0 + root))


def steady_rise(
    kinetics: Kinetics, *, heat: float, air: float, to_air: float, within: float, most: float
) -> float:
    """A rise over the air's temperature that the resin cannot pass; inf where none is found [K].

    The rise ``theta`` at which a layer that gives ``heat w_max(T_air + theta)`` everywhere and
    for ever would be ``theta`` over the air in its hottest place.  No place of the real resin
    gives more while it is no hotter than that, so the real temperature, which starts at the
    air's, never comes above the steady one: a supersolution of the heat equation.

    kinetics : of the cure.
    heat : of a cubic metre that cures wholly [J/m3].
    air : temperature of air, mould and resin at the start [K].
    to_air : rise of the resin's coolest face for a unit of heat given everywhere [K m3/W].
    within : rise of the hottest place over that face, likewise [K m3/W].
    most : give up above this rise [K].
    """
    rise = 0.0
    for _ in range(_ROUNDS):
        reached = heat * kinetics.fastest(air + rise) * (to_air + within)
        if reached > min(most, _MOST_RISE):
            return math.inf
        if reached <= rise:  # gives no more than it passes on: it holds from here up
            return rise
        rise = reached * _STEP_OVER + 1e-9
    return math.inf


def ring_resistances(
    inner: float, outer: float, *, conductivity: float, to_air: float
) -> tuple[float, float]:
    """What a ring that passes all its heat outward warms up by for a unit of heat [K m3/W].

    Of its outer face over the air, and of its inner face over the outer, steady, for a unit of
    heat given in every cubic metre: ``(b^2 - a^2)/(2 b) R`` and
    ``[b^2 - a^2 - 2 a^2 ln(b/a)]/(4 k)``.

    inner, outer : radii a and b of the ring; a may be 0 [m].
    conductivity : of the ring [W/(m K)].
    to_air : resistance R of what is outside, for the area of the outer face [K m2/W].
    """
    squares = outer**2 - inner**2
    core = 2.0 * inner**2 * math.log(outer / inner) if inner > 0.0 else 0.0
    return squares / (2.0 * outer) * to_air, (squares - core) / (4.0 * conductivity)
