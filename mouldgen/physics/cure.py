"""How a two-part resin thickens on its way to the gel.

Everything is scaled to the gel time that the data sheet gives, so the shape of the curve is a
*calibration*, not a property of any resin: no complete published set of constants was found for
a room-temperature amine-cured epoxy.

- Conversion: ``da/dt ~ (k1 + k2 a^m) (1 - a)^n`` (Kamal & Sourour, Polym. Eng. Sci. 13 (1973)
  59) with k1/k2 = 0.15, m = 0.9, n = 1.6, scaled so that the gel time falls at conversion 0.577
  (Flory-Stockmayer for functionalities 2 and 4: ``1/sqrt 3``).  Belief.
- Viscosity: ``mu = mu0 (a_g/(a_g - a))^(A + B a)``, A = 1.5, B = 1.0 (Castro & Macosko 1982;
  the two exponents from memory).
- Temperature: gel time doubles for each 10 K colder (several makers' notes); the viscosity on
  mixing follows ``exp(E/(R T))`` with E = 48 kJ/mol (belief: 0.50 Pa s at 25 degC is 0.65 Pa s
  at 21 degC).

Time runs from the start of mixing and the temperature is held: self-heating is not in here.
"""

from __future__ import annotations

import math
from functools import cache

from mouldgen.errors import InternalError
from mouldgen.physics.constants import GAS_CONSTANT
from mouldgen.physics.quadrature import integrate

GEL_CONVERSION = 0.577
START_RATE = 0.15  # k1/k2
ORDER_GROWTH = 0.9  # m
ORDER_DECAY = 1.6  # n
THICKENING_A = 1.5
THICKENING_B = 1.0
VISCOSITY_ENERGY = 48_000.0  # [J/mol]
TEN_DEGREES = 10.0  # [K]

# a = u^10 turns a^0.9 into u^9, so that the integrands are smooth at the start of the cure.
_POWER = 10
_POINTS = 48  # the integrals are then good to about 1e-10


def rate(conversion: float) -> float:
    """Rate of conversion in units of k2: ``(k1/k2 + a^m) (1 - a)^n``.

    conversion : share of the limiting groups that has reacted, 0 to 1.
    """
    growth: float = START_RATE + conversion**ORDER_GROWTH
    decay: float = (1.0 - conversion) ** ORDER_DECAY
    return growth * decay


def viscosity_growth(conversion: float) -> float:
    """How many times thicker than freshly mixed: ``(a_g/(a_g - a))^(A + B a)``; inf from the gel.

    conversion : share of the limiting groups that has reacted, 0 to 1.
    """
    if conversion >= GEL_CONVERSION:
        return math.inf
    left = GEL_CONVERSION / (GEL_CONVERSION - conversion)
    growth: float = left ** (THICKENING_A + THICKENING_B * conversion)
    return growth


def time_share_at(conversion: float) -> float:
    """Time to a conversion as a share of the gel time: ``integral da/rate``, scaled.

    conversion : share of the limiting groups that has reacted, 0 to the gel's.
    """
    return _duration(conversion) / _gel_duration()


def conversion_at(time_share: float) -> float:
    """Conversion at a time from mixing, given as a share of the gel time; inverts the above.

    time_share : time from mixing over the gel time, 0 to 1.

    Raises InternalError outside that range, where the calibration says nothing.
    """
    if not 0.0 <= time_share <= 1.0:
        raise InternalError(
            f"no conversion is known at {time_share:g} of the gel time", allowed="0 to 1"
        )
    if time_share in (0.0, 1.0):
        return time_share * GEL_CONVERSION
    wanted = time_share * _gel_duration()
    low, high, guess = 0.0, GEL_CONVERSION, time_share * GEL_CONVERSION
    for _ in range(60):
        excess = _duration(guess) - wanted
        low, high = (low, guess) if excess > 0.0 else (guess, high)
        step = excess * rate(guess)  # Newton: the derivative of the duration is 1/rate
        following = guess - step
        if not low < following < high:
            following = 0.5 * (low + high)
        if abs(following - guess) <= 1e-15:
            return following
        guess = following
    return guess


def gel_time_at(temperature: float, *, gel_time: float, gel_temperature: float) -> float:
    """Gel time at another temperature [s]: ``t 2^((T_sheet - T)/10)``, the makers' rule.

    temperature : of the shop [K].
    gel_time : of the data sheet [s].
    gel_temperature : at which the data sheet gives it [K].
    """
    return gel_time * math.exp2((gel_temperature - temperature) / TEN_DEGREES)


def mixing_viscosity_at(
    temperature: float, *, viscosity: float, reference_temperature: float
) -> float:
    """Viscosity on mixing at another temperature [Pa s]: ``mu exp(E/R (1/T - 1/T_sheet))``.

    temperature : of the shop [K].
    viscosity : of the data sheet, mixed [Pa s].
    reference_temperature : at which the data sheet gives it [K].
    """
    return viscosity * math.exp(
        VISCOSITY_ENERGY / GAS_CONSTANT * (1.0 / temperature - 1.0 / reference_temperature)
    )


def viscosity_at(time: float, *, gel_time: float, mixing_viscosity: float) -> float:
    """Viscosity at a time from mixing [Pa s]; inf from the gel on.

    time : from the start of mixing [s].
    gel_time : at this temperature [s].
    mixing_viscosity : at this temperature [Pa s].
    """
    if time >= gel_time:
        return math.inf
    return mixing_viscosity * viscosity_growth(conversion_at(time / gel_time))


def fluidity_integral(start: float, *, gel_time: float, mixing_viscosity: float) -> float:
    """``J = integral dt/mu`` from a time to the gel [1/Pa]; 0 where the gel has passed.

    Taken over the conversion, ``dt = da/rate``, so that no equation has to be stepped through.

    start : from the start of mixing [s].
    gel_time : at this temperature [s].
    mixing_viscosity : at this temperature [Pa s].
    """
    if start >= gel_time:
        return 0.0
    first = conversion_at(start / gel_time) ** (1.0 / _POWER)
    last = GEL_CONVERSION ** (1.0 / _POWER)
    share = integrate(_fluidity_in_u, first, last, points=_POINTS) / _gel_duration()
    return share * gel_time / mixing_viscosity


def _duration(conversion: float) -> float:
    """Time to a conversion in units of 1/k2."""
    return integrate(_slowness_in_u, 0.0, conversion ** (1.0 / _POWER), points=_POINTS)


@cache
def _gel_duration() -> float:
    return _duration(GEL_CONVERSION)


def _slowness_in_u(u: float) -> float:
    """``da/du / rate``."""
    slowness: float = _POWER * u ** (_POWER - 1) / rate(u**_POWER)
    return slowness


def _fluidity_in_u(u: float) -> float:
    """``da/du / (rate growth)``; the growth's own power of the distance left to the gel."""
    conversion = u**_POWER
    left = max(0.0, 1.0 - conversion / GEL_CONVERSION)  # rounding may step past the gel
    fluidity: float = left ** (THICKENING_A + THICKENING_B * conversion)
    return fluidity * _slowness_in_u(u)
