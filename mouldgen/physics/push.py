"""Pushing a round insert into a closed round bore full of resin.

The displaced resin comes back up through the gap.  Creeping flow, insert and bore coaxial, as in
the falling-cylinder viscometer (Lohrenz, Swift & Kurata 1960; Bird, Stewart & Lightfoot,
Transport Phenomena, Problem 2C.4; both from memory, checked by numerical integration):

    F = mu U L C,    C = 2 pi / [ln(1/k) - (1 - k^2)/(1 + k^2)],    k = a/R

With ``w = ln(R/a) = log1p(h/a)`` the bracket is ``w - tanh w``, which a series gives without
cancellation as k goes to 1.  Leading order ``6 pi (a/h)^3``, 15 % low at k = 0.9; to second
order ``6 pi (a/h)^3 (1 + 3h/(2a))``.  An insert that leans to one side meets less resistance,
down to 1/2.5 of it.
"""

from __future__ import annotations

import math

from mouldgen.physics.annulus import conductance

# tanh w = w - w^3/3 + 2 w^5/15 - ...: coefficients of w - tanh w in w^2, after w^3/3.
_SERIES = (
    1.0 / 3.0,
    -2.0 / 15.0,
    17.0 / 315.0,
    -62.0 / 2835.0,
    1382.0 / 155925.0,
    -21844.0 / 6081075.0,
)
_SERIES_BELOW = 0.1  # the first term left out is then 4e-15 of the sum
_LARGEST_LOG = 700.0  # exp overflows a little above


def drag_factor(radius: float, gap: float) -> float:
    """``C`` of the formula above, dimensionless.

    radius : a, of the insert [m].
    gap : h = R - a, above 0 [m].
    """
    return 2.0 * math.pi / _bracket(math.log1p(gap / radius))


def grooved_drag_factor(
    radius: float, gap: float, *, grooves: float, carried: float = 0.0, shear: float = 0.0
) -> float:
    """``C`` where grooves in insert or bore carry resin past as well, dimensionless.

    ``(pi a^2 + M + m)^2/(K + G) + 2 pi/w - d``, with K of the ring, G, m and d of the grooves and
    ``M = pi a R (sinh w - cosh w + sinh w/w)`` that the moving wall drags along; exact with none.

    radius : a, of the round that encloses the insert [m].
    gap : h = R - a, above 0 [m].
    grooves : G, conductance of all of them together [m4].
    carried : m, what they add to the resin that is displaced or dragged along, below 0 for
        grooves in the insert [m2].
    shear : d, drag of the ring that is missing where they open [1].
    """
    if grooves == 0.0:
        return drag_factor(radius, gap)
    w = math.log1p(gap / radius)
    passed = conductance(radius, gap)
    square = radius * (radius + gap)
    dragged = math.pi * square * math.sinh(w) - 2.0 * passed / (square * math.sinh(w))
    moved = math.pi * radius**2 + dragged + carried
    return moved**2 / (passed + grooves) + 2.0 * math.pi / w - shear


def push_force(
    radius: float, gap: float, *, length: float, speed: float, viscosity: float
) -> float:
    """Force that drives the insert at a speed [N]: ``F = mu U L C``.

    radius : of the insert [m].
    gap : on every side [m].
    length : of the insert that is in the bore [m].
    speed : of the insert [m/s].
    viscosity : of the resin [Pa s].
    """
    return viscosity * speed * length * drag_factor(radius, gap)


def push_time(radius: float, gap: float, *, length: float, force: float, viscosity: float) -> float:
    """Time to push the insert home from its first touch [s]: ``t = C mu L^2 / (2 F)``.

    radius : of the insert [m].
    gap : on every side [m].
    length : of the insert [m].
    force : constant [N].
    viscosity : of the resin [Pa s].
    """
    return drag_factor(radius, gap) * viscosity * length**2 / (2.0 * force)


def least_gap(
    radius: float, *, length: float, force: float, time: float, viscosity: float
) -> float:
    """Narrowest gap through which an insert goes home in the time there is [m].

    Inverts `push_time`; inf where the gap would leave the range of floats or the resin is solid.

    radius : of the insert [m].
    length : of the insert [m].
    force : constant [N].
    time : there is [s].
    viscosity : of the resin [Pa s].
    """
    log_ratio = _solve_bracket(math.pi * viscosity * length**2 / (force * time))
    return radius * math.expm1(log_ratio) if log_ratio < _LARGEST_LOG else math.inf


def _bracket(w: float) -> float:
    """``w - tanh w``."""
    if w >= _SERIES_BELOW:
        return w - math.tanh(w)
    square, total = w * w, 0.0
    for coefficient in reversed(_SERIES):
        total = coefficient + square * total
    return total * w * square


def _solve_bracket(wanted: float) -> float:
    """The w at which ``w - tanh w`` has a value, by Newton's method from above.

    The bracket is increasing and convex, so that the steps never pass the root; they start from
    ``w^3/5 <= w - tanh w`` below 1 and from ``w - 1 <= w - tanh w`` beyond.
    """
    if math.isinf(wanted):
        return math.inf
    start: float = (5.0 * wanted) ** (1.0 / 3.0)
    w = start if start <= 1.0 else wanted + 1.0
    for _ in range(60):
        step = (_bracket(w) - wanted) / math.tanh(w) ** 2
        w -= step
        if abs(step) <= 1e-15 * w:
            break
    return w
