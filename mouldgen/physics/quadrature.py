"""Gauss-Legendre quadrature in plain Python, for integrands that cost little."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import cache


def integrate(
    function: Callable[[float], float], lower: float, upper: float, *, points: int
) -> float:
    """Integral of a smooth function over an interval, exact for polynomials of 2 points - 1.

    function : of one real number, any unit.
    lower, upper : ends of the interval, the function's own unit.
    points : how many places the function is evaluated at.
    """
    middle, half = 0.5 * (lower + upper), 0.5 * (upper - lower)
    return half * math.fsum(
        weight * function(middle + half * node) for node, weight in _rule(points)
    )


@cache
def _rule(points: int) -> tuple[tuple[float, float], ...]:
    """Nodes and weights on (-1, 1): Newton's method on the Legendre polynomial."""
    return tuple(_node(points, index) for index in range(points))


def _node(points: int, index: int) -> tuple[float, float]:
    x = math.cos(math.pi * (index + 0.75) / (points + 0.5))  # Tricomi's estimate of the root
    slope = 1.0
    for _ in range(8):  # quadratic from an estimate good to three digits: 4 suffice
        value, slope = _legendre(points, x)
        x -= value / slope
    return x, 2.0 / ((1.0 - x * x) * slope * slope)


def _legendre(degree: int, x: float) -> tuple[float, float]:
    """P_n(x) and its derivative, by the three-term recurrence."""
    before, value = 1.0, x
    for n in range(2, degree + 1):
        before, value = value, ((2 * n - 1) * x * value - (n - 1) * before) / n
    return value, degree * (x * value - before) / (x * x - 1.0)
