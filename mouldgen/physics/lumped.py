"""A cup of resin at one temperature: a cure that is fast enough for certain, found at once.

The ball of `mouldgen.physics.cup` has a skin cooler than its mean and a middle hotter than it.
Were it at its mean all through, it would lose more heat and its middle would gel later.  To gel
in the data sheet's time it then needs a faster cure than the ball with its cells does: the rate
found here is never less than the calibrated one.  A bound from above on the heat that a resin
gives needs no more than that, and costs a fiftieth.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import lru_cache

from mouldgen.physics.belief import Belief
from mouldgen.physics.cure import GEL_CONVERSION
from mouldgen.physics.data_sheet import DataSheet
from mouldgen.physics.glass import GLASS
from mouldgen.physics.in_cup import InCup, in_cup
from mouldgen.physics.kinetics import Kinetics, calibrated
from mouldgen.physics.material import resin

SLOWEST = -8.0  # three thousand times slower than without heat: more than any resin needs
_POWER = 10  # a = u^10 makes the start of the curve smooth, as in mouldgen.physics.kinetics
_STEPS = 48
_ERROR = 1e-3  # of the logarithm of the gel time
_ROUNDS = 40
_TRACE = 1.005  # over what the steps and the search may be off
_STIFF = 30.0  # times that a cup cools in its gel time; explicit steps would need to be shorter


def fastest_cure(sheet: DataSheet, belief: Belief) -> Kinetics:
    """A cure at least as fast [1/s] as the one that `mouldgen.physics.cup.calibrate` finds.

    sheet : of the resin.
    belief : heat, energy and film.
    """
    return _fastest(in_cup(sheet, belief))


def slowed(late: Callable[[float], float], *, error: float) -> float | None:
    """How much slower than its isothermal reading a cure is, a logarithm [1]; None for no rate.

    late : how late the cup gels at a factor, both as logarithms; it falls with the factor.
    error : of the logarithm of the gel time.
    """
    before, late_before = 0.0, late(0.0)
    if late_before >= 0.0:  # hardly heats itself
        return 0.0
    low, high, guess = SLOWEST, 0.0, late_before  # the gel time goes about as the inverse rate
    for _ in range(_ROUNDS):
        missed = late(guess)
        if abs(missed) < error:
            return guess
        low, high = (guess, high) if missed > 0.0 else (low, guess)
        bend = missed - late_before
        step = missed * (guess - before) / bend if math.isfinite(bend) and bend else 0.0
        before, late_before = guess, missed
        guess = guess - step if low < guess - step < high else 0.5 * (low + high)
    return None


@lru_cache(maxsize=64)
def _fastest(asked: InCup) -> Kinetics:
    gel_time, mass, temperature, density, heat, energy, film = asked
    start = calibrated(gel_time, temperature=temperature, energy=energy, glass=GLASS)
    radius = (3.0 * mass / (4.0 * math.pi * density)) ** (1.0 / 3.0)
    stored = resin(density).stored
    gain, loss = density * heat / stored, 3.0 * film / (radius * stored)
    if loss * gel_time > _STIFF:
        return start  # it hardly heats itself, and no slower cure is certain

    def late(factor: float) -> float:
        cure = start.scaled(math.exp(factor))
        return math.log(_gel(cure, gain=gain, loss=loss, air=temperature) / gel_time)

    factor = slowed(late, error=_ERROR)
    return start if factor is None else start.scaled(min(1.0, math.exp(factor) * _TRACE))


def _gel(cure: Kinetics, *, gain: float, loss: float, air: float) -> float:
    """When a cup at one temperature gels [s].

    Over the conversion, ``dt/da = 1/w`` and ``d theta/da = gain - loss theta/w``, by the classical
    Runge-Kutta method in u, ``a = u^10``.

    gain : rise if all the heat stayed [K].
    loss : of the rise over the air [1/s].
    """
    end = GEL_CONVERSION ** (1.0 / _POWER)
    h = end / _STEPS

    def slope(u: float, rise: float) -> tuple[float, float]:
        a = u**_POWER
        wide = _POWER * u ** (_POWER - 1)
        rate = cure.rate(a, air + rise)
        return wide / rate, wide * (gain - loss * rise / rate)

    time = rise = 0.0
    for k in range(_STEPS):
        u = k * h
        t1, r1 = slope(u, rise)
        t2, r2 = slope(u + 0.5 * h, rise + 0.5 * h * r1)
        t3, r3 = slope(u + 0.5 * h, rise + 0.5 * h * r2)
        t4, r4 = slope(u + h, rise + h * r3)
        time += h / 6.0 * (t1 + 2.0 * (t2 + t3) + t4)
        rise += h / 6.0 * (r1 + 2.0 * (r2 + r3) + r4)
    return time
