"""Liquid driven through a round hole or a slot: ports, feeds and vents.

``Q = K dP/(mu L)`` with the conductance K of the section: ``pi r^4/8`` for a round hole
(Hagen & Poiseuille), ``w h^3/12 f`` for a rectangle.  Laminar flow in a passage much longer than
it is wide: the loss at the entrance is not in here.
"""

from __future__ import annotations

import math

# sum over odd n of 1/n^5 = 31/32 zeta(5)
_ODD_FIFTHS = 1.0045237627951387
_TERMS = 12  # odd n up to 23; what is left out is below exp(-25 pi)


def tube_conductance(radius: float) -> float:
    """Conductance of a round hole [m4].

    radius : of the hole [m].
    """
    return math.pi * radius**4 / 8.0


def tube_flow(radius: float, *, length: float, pressure: float, viscosity: float) -> float:
    """Volume that passes a round hole in a second [m3/s].

    radius : of the hole [m].
    length : of the hole [m].
    pressure : drop of the modified pressure along it [Pa].
    viscosity : of the liquid [Pa s].
    """
    return tube_conductance(radius) * pressure / (viscosity * length)


def slot_factor(width: float, gap: float) -> float:
    """What the two short sides leave of a wide slot's flow, 0 to 1.

    ``f = 1 - sum_odd 192 h/(pi^5 w) tanh(n pi w/(2h))/n^5``

    width : w, the longer side [m].
    gap : h, the shorter side [m].
    """
    ratio = width / gap
    left = math.fsum(
        2.0 / (n**5 * (math.exp(n * math.pi * ratio) + 1.0))
        for n in range(1, 2 * _TERMS, 2)
        if n * math.pi * ratio < 700.0  # exp overflows a little above
    )
    return 1.0 - 192.0 / math.pi**5 / ratio * (_ODD_FIFTHS - left)


def wide_slot_factor(width: float, gap: float) -> float:
    """`slot_factor` for a slot at least twice as wide as thin, within 0.2 percent.

    ``1 - 0.630 h/w``; 12 percent low for a square.

    width : w, the longer side [m].
    gap : h, the shorter side [m].
    """
    return 1.0 - 0.630 * gap / width


def slot_conductance(width: float, gap: float) -> float:
    """Conductance of a rectangle, whichever side is the longer [m4].

    width : one side [m].
    gap : the other side [m].
    """
    short, long = min(width, gap), max(width, gap)
    return long * short**3 / 12.0 * slot_factor(long, short)


def slot_flow(
    width: float, gap: float, *, length: float, pressure: float, viscosity: float
) -> float:
    """Volume that passes a rectangular hole in a second [m3/s].

    width : one side [m].
    gap : the other side [m].
    length : of the hole [m].
    pressure : drop of the modified pressure along it [Pa].
    viscosity : of the liquid [Pa s].
    """
    return slot_conductance(width, gap) * pressure / (viscosity * length)
