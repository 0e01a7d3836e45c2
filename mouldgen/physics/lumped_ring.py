"""A ring of resin at one temperature: how hot it gets while its heat runs out, found at once.

The whole ring is as hot as its hottest place, passes nothing into the insert and stores nothing
in the wall; what it passes on meets the steady resistances of ring, wall and film.  Against a ring
with its cells that errs to the hot side wherever the heat has time to leave, which is wherever
the answer is a low one: a burst too quick for that comes near to the whole heat of the cure.
This is no theorem; the tests hold it against histories over the domain.
"""

from __future__ import annotations

import math

from mouldgen.physics.kinetics import Kinetics

_STEPS = 60
_LAST = 0.97  # the rest of the conversion gives hardly any heat, and that slowly
_POWER = 3  # a = u^3 puts the steps where the cure starts
_TRACE = 1.05  # over the error of the steps, which is worst just short of a runaway


def ring_rise(
    cure: Kinetics, *, gain: float, to_air: float, stored: float, air: float, most: float
) -> float:
    """The highest rise over the air of a ring at one temperature; inf above `most` [K].

    ``d theta/da = gain - theta/(R C w)``, each step relaxed exactly toward its own balance, which
    no stiffness upsets; second order through the rate at the middle of the step.

    cure : how fast the resin reacts.
    gain : rise if all the heat stayed [K].
    to_air : rise of the hottest place for a unit of heat given everywhere, steady [K m3/W].
    stored : heat capacity of a cubic metre of resin [J/(m3 K)].
    air : temperature of air and resin at the start [K].
    most : give up above this rise [K].
    """
    loss = 1.0 / (to_air * stored)
    rise = peak = conversion = 0.0
    for k in range(1, _STEPS + 1):
        following = _LAST * (k / _STEPS) ** _POWER
        step, middle = following - conversion, 0.5 * (conversion + following)
        end = rise
        for _ in range(2):
            cooling = loss * step / cure.rate(middle, air + 0.5 * (rise + end))
            kept = -math.expm1(-cooling) / cooling if cooling > 0.0 else 1.0
            end = rise * math.exp(-cooling) + gain * step * kept
        rise, conversion = end, following
        peak = max(peak, rise)
        if peak * _TRACE > most:
            return math.inf
    return peak * _TRACE
