"""Liquid driven along the ring between a round insert and its round bore, at rest and coaxial.

``Q = K dP/(mu L)`` with the conductance (Bird, Stewart & Lightfoot, Transport Phenomena, 2nd ed.,
eqs 2.4-14 and 2.4-17)

    K = pi R^4/8 [(1 - k^4) - (1 - k^2)^2/ln(1/k)],    k = a/R.

dP is the drop of the modified pressure: the weight of the column, rho g L, is part of it.
Creeping or laminar flow, far from the ends.

As k goes to 1 the bracket loses its digits.  With ``w = ln(R/a) = log1p(h/a)`` it is
``4 k^2 sinh w (cosh w - sinh w/w)``, and a series gives the last factor where that would still
cancel.  To first order in the gap K is that of a slot as long as the mean perimeter,
``2 pi r_m h^3/12``, too small by 0.8 percent at k = 0.5 and by 0.02 percent at 0.9.
"""

from __future__ import annotations

import math

# cosh w - sinh w/w: coefficients of its powers of w^2, after w^2 itself.
EXCESS_SERIES = tuple(2 * n / math.factorial(2 * n + 1) for n in range(1, 10))
EXCESS_SERIES_BELOW = 1.0  # the first term left out is then 2e-18 of the sum


def conductance(radius: float, gap: float) -> float:
    """Conductance of the ring, exact [m4].

    radius : a, of the insert, above 0 [m].
    gap : h = R - a [m].
    """
    w = math.log1p(gap / radius)
    return 0.5 * math.pi * (radius * (radius + gap)) ** 2 * math.sinh(w) * _excess(w)


def thin_conductance(radius: float, gap: float) -> float:
    """Conductance of the ring to first order in its gap [m4]: ``2 pi r_m h^3/12``.

    radius : a, of the insert [m].
    gap : h, well below the radius [m].
    """
    return 2.0 * math.pi * (radius + 0.5 * gap) * gap**3 / 12.0


def flow(radius: float, gap: float, *, length: float, pressure: float, viscosity: float) -> float:
    """Volume that passes in a second [m3/s]: ``Q = K dP/(mu L)``.

    radius : of the insert, above 0 [m].
    gap : on every side [m].
    length : of the ring along its axis [m].
    pressure : drop of the modified pressure along it [Pa].
    viscosity : of the liquid [Pa s].
    """
    return conductance(radius, gap) * pressure / (viscosity * length)


def _excess(w: float) -> float:
    """``cosh w - sinh w/w``."""
    if w >= EXCESS_SERIES_BELOW:
        return math.cosh(w) - math.sinh(w) / w
    square, total = w * w, 0.0
    for coefficient in reversed(EXCESS_SERIES):
        total = coefficient + square * total
    return total * square
