"""How fast a two-part resin reacts, at any temperature, and the heat that it gives.

``da/dt = (k1 + k2 a^m)(1 - a)^n``, ``k_i = A_i exp(-E_i/(R T))`` (Kamal & Sourour, Polym. Eng.
Sci. 13 (1973) 59).

No complete published set of constants was found for a resin that cures at room temperature, so
none is given.  `calibrated` takes the shape of the curve from `mouldgen.physics.cure`, one
activation energy for both constants, and sets the one rate constant that is left so that the gel
falls where the data sheet says.  That is a calibration, not a property of the resin.  The energy
is belief: 55 kJ/mol, 45 to 60 (aliphatic amines are told to lie between 44 and 60; the makers'
rule of half the time for each 10 K is 51 at room temperature).

Cure at room temperature stops when the resin turns to glass.  The rate is multiplied by
``1/(1 + exp(C (a - a_c)))`` (the form of Chern & Poehlein 1987, from memory), where a_c is the
conversion at which the glass transition has come `OVER_CURE` above the resin's temperature.  C
and that excess are belief; up to the gel the factor is nearly 1.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache

from mouldgen.errors import InternalError
from mouldgen.physics.constants import GAS_CONSTANT
from mouldgen.physics.cure import GEL_CONVERSION, ORDER_DECAY, ORDER_GROWTH, START_RATE
from mouldgen.physics.glass import Glass
from mouldgen.physics.quadrature import integrate

ENERGY = 55_000.0  # [J/mol]
LEAST_ENERGY = 45_000.0  # [J/mol]
MOST_ENERGY = 60_000.0  # [J/mol]
EPOXIDE_HEAT = 105_000.0  # [J/mol]; 100 to 110 kJ for each mole of epoxide, from memory
FREEZING_SHARPNESS = 50.0  # C
OVER_CURE = 20.0  # [K]

_POWER = 10  # a = u^10 makes the start of the curve smooth, as in mouldgen.physics.cure
_POINTS = 48
_SEARCH = 400


@dataclass(frozen=True, eq=False)
class Kinetics:
    """The rate of a cure as a function of conversion and temperature.

    start_factor, growth_factor : A1 and A2 [1/s].
    start_energy, growth_energy : E1 and E2 [J/mol].
    growth_order, decay_order : m and n.
    glass : stops the cure where it vitrifies; None lets it run to the end.
    """

    start_factor: float
    start_energy: float
    growth_factor: float
    growth_energy: float
    growth_order: float = ORDER_GROWTH
    decay_order: float = ORDER_DECAY
    glass: Glass | None = None

    def constants(self, temperature: float) -> tuple[float, float]:
        """k1 and k2 [1/s].

        temperature : of the resin [K].
        """
        return (
            self.start_factor * math.exp(-self.start_energy / (GAS_CONSTANT * temperature)),
            self.growth_factor * math.exp(-self.growth_energy / (GAS_CONSTANT * temperature)),
        )

    def rate(self, conversion: float, temperature: float) -> float:
        """Rate of conversion [1/s].

        conversion : share of the limiting groups that has reacted, 0 to 1.
        temperature : of the resin [K].
        """
        start, growth = self.constants(temperature)
        rate: float = (start + growth * conversion**self.growth_order) * (
            1.0 - conversion
        ) ** self.decay_order
        return rate if self.glass is None else rate * _mobility(self.glass, conversion, temperature)

    def fastest(self, temperature: float) -> float:
        """The largest rate that any conversion has at a temperature, vitrified or not [1/s].

        temperature : of the resin [K].
        """
        start, growth = self.constants(temperature)
        return growth * _peak(start / growth, self.growth_order, self.decay_order)

    def scaled(self, factor: float) -> Kinetics:
        """The same cure, so many times as fast.

        factor : above 0.
        """
        return replace(
            self,
            start_factor=self.start_factor * factor,
            growth_factor=self.growth_factor * factor,
        )


def calibrated(
    gel_time: float,
    *,
    temperature: float,
    energy: float = ENERGY,
    gel: float = GEL_CONVERSION,
    glass: Glass | None = None,
) -> Kinetics:
    """The cure whose gel falls at a time where the temperature is held: a calibration.

    gel_time : [s].
    temperature : at which it was read [K].
    energy : of activation, of both constants [J/mol].
    gel : conversion at the gel.
    glass : stops the cure where it vitrifies, or None.

    Raises InternalError where the resin turns to glass before it gels.
    """
    factor = math.exp(energy / (GAS_CONSTANT * temperature))
    unit = Kinetics(
        start_factor=START_RATE * factor,
        start_energy=energy,
        growth_factor=factor,
        growth_energy=energy,
        glass=glass,
    )
    return unit.scaled(duration(unit, gel, temperature=temperature) / gel_time)


def duration(kinetics: Kinetics, conversion: float, *, temperature: float) -> float:
    """Time to a conversion where the temperature is held [s]: ``integral da/rate``.

    kinetics : with a rate above 0 at the start.
    conversion : from 0 to below 1.
    temperature : of the resin [K].

    Raises InternalError where the resin turns to glass before it comes so far.
    """
    if kinetics.glass is not None and conversion > _ceiling(kinetics.glass, temperature):
        raise InternalError(
            f"at {temperature:.0f} K the resin turns to glass before a conversion of"
            f" {conversion:g}",
            try_="Warm the shop.",
        )
    end = conversion ** (1.0 / _POWER)
    return integrate(
        lambda u: _POWER * u ** (_POWER - 1) / kinetics.rate(u**_POWER, temperature),
        0.0,
        end,
        points=_POINTS,
    )


def unit_orders_conversion(time: float, *, start: float, growth: float) -> float:
    """Conversion for m = n = 1, in closed form: ``(e^(K t) - 1)/(e^(K t) + k2/k1)``, K = k1 + k2.

    time : [s].
    start, growth : k1 and k2 [1/s].
    """
    grown = math.expm1((start + growth) * time)
    return grown / (grown + 1.0 + growth / start)


def unit_orders_time(conversion: float, *, start: float, growth: float) -> float:
    """Time for m = n = 1 [s]: ``ln[(1 + (k2/k1) a)/(1 - a)]/K``; inverts the above.

    conversion : 0 to below 1.
    start, growth : k1 and k2 [1/s].
    """
    return math.log((1.0 + growth / start * conversion) / (1.0 - conversion)) / (start + growth)


def heat_of_reaction(
    epoxide_weight: float, hydrogen_weight: float, *, epoxide_heat: float = EPOXIDE_HEAT
) -> float:
    """Heat of a stoichiometric epoxy and amine [J/kg]: heat of an epoxide over what carries it.

    Thinned and softened casting resins give less.

    epoxide_weight : EEW, resin for each mole of epoxide [kg/mol].
    hydrogen_weight : AHEW, hardener for each mole of active hydrogen [kg/mol].
    epoxide_heat : of one mole of epoxide [J/mol].
    """
    return epoxide_heat / (epoxide_weight + hydrogen_weight)


def rate_ratio(warm: float, cold: float, *, energy: float) -> float:
    """How many times faster the warm resin reacts, a pure number [1]: Arrhenius.

    warm, cold : temperatures [K].
    energy : of activation [J/mol].
    """
    return math.exp(energy / GAS_CONSTANT * (1.0 / cold - 1.0 / warm))


def energy_of_rule(factor: float, *, warm: float, cold: float) -> float:
    """The activation energy that a rule of thumb stands for [J/mol].

    factor : how many times faster the warm resin reacts.
    warm, cold : temperatures that the rule is read between [K].
    """
    return GAS_CONSTANT * math.log(factor) / (1.0 / cold - 1.0 / warm)


@lru_cache(maxsize=256)
def _peak(ratio: float, growth_order: float, decay_order: float) -> float:
    """The largest value of ``(k1/k2 + a^m)(1 - a)^n``, or a trace more."""
    steps = (i / _SEARCH for i in range(_SEARCH))
    peak: float = max((ratio + a**growth_order) * (1.0 - a) ** decay_order for a in steps)
    return peak * (1.0 + 1e-4)  # so much of a round top may lie between two steps


def _ceiling(glass: Glass, temperature: float) -> float:
    """Conversion at which the coming glass has halved the rate."""
    return glass.conversion(temperature + OVER_CURE)


def _mobility(glass: Glass, conversion: float, temperature: float) -> float:
    over = FREEZING_SHARPNESS * (conversion - _ceiling(glass, temperature))
    return 1.0 / (1.0 + math.exp(min(over, 700.0)))
