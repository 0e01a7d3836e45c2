"""When wood that loses ever less will be at constant weight.

The end of drying goes as ``w = end + lost exp(-k t)``: diffusion out of a piece leaves one
exponential after the first hours.  For each rate k, end and lost follow from least squares; the
rates that agree with the readings as well as the scale can tell give a band.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from mouldgen.physics.student import t_quantile

LEAST_READINGS = 3
FARTHEST = 10.0  # times the hours that were weighed; farther ahead nothing can be said
_CHANCE = 0.975  # each side; the band is one of 95 %
_NORMAL = 1.959963984540054  # that many standard deviations
_GRID = 400
_IN_BAND = 60


@dataclass(frozen=True, eq=False)
class Ready:
    """When the loss has become small, in hours on the clock of the readings.

    earliest_h, likely_h, latest_h : the band of 95 %, with the best fit inside [h].
    """

    earliest_h: float
    likely_h: float
    latest_h: float


@dataclass(frozen=True, eq=False)
class _Line:
    """Least squares at one rate; squares are of what is left, spread is of the regressor."""

    rate: float
    lost_g: float  # at the first reading
    end_g: float
    squares: float
    spread: float


@dataclass(frozen=True, eq=False)
class _Readings:
    at: tuple[float, ...]  # hours from the first
    grams: tuple[float, ...]

    def line(self, rate: float) -> _Line:
        x = [math.exp(-rate * hour) for hour in self.at]
        many = len(x)
        mean_x, mean_g = math.fsum(x) / many, math.fsum(self.grams) / many
        spread = math.fsum((value - mean_x) ** 2 for value in x)
        pairs = list(zip(x, self.grams, strict=True))
        lost = math.fsum((value - mean_x) * (g - mean_g) for value, g in pairs) / spread
        end = mean_g - lost * mean_x
        squares = math.fsum((g - end - lost * value) ** 2 for value, g in pairs)
        return _Line(rate, lost, end, squares, spread)


def ready(
    hours: Sequence[float],
    grams: Sequence[float],
    *,
    digit_g: float,
    limit_g: float,
    over_h: float,
) -> Ready | None:
    """When the loss within some hours will have fallen to a limit, told at the end of those hours.

    hours, grams : the readings, at least three, the earliest first [h] and [g].
    digit_g : the scale's smallest digit; half of it is taken as a reading's standard error [g].
    limit_g : the most that may be lost [g].
    over_h : within so many hours [h].

    None where the readings do not bend as an exponential does, or do not tell how far ahead it is.
    """
    if len(hours) < LEAST_READINGS:
        return None
    readings = _Readings(tuple(hour - hours[0] for hour in hours), tuple(grams))
    span = readings.at[-1]
    slow = 1e-3 / span
    fast = 20.0 / min(after - before for before, after in pairwise(readings.at))
    grid = [slow * (fast / slow) ** (i / (_GRID - 1)) for i in range(_GRID)]
    lines = [readings.line(rate) for rate in grid]
    at = min(range(_GRID), key=lambda i: lines[i].squares)
    if at in {0, _GRID - 1}:
        return None  # straight, or a step
    best = _refined(grid[at - 1], grid[at + 1], readings)
    if best.lost_g <= 0.0 or best.end_g <= 0.0:
        return None  # it gains, or it would end below nothing
    most = best.squares + _allowed(best, len(hours), digit_g)
    rates = _band(lines, best, most, readings)
    if not rates:
        return None
    earliest, latest = math.inf, -math.inf
    for line in map(readings.line, rates):
        swing = math.sqrt(max(0.0, most - line.squares) / line.spread)
        earliest = min(earliest, _time(line.lost_g - swing, line.rate, limit_g, over_h))
        latest = max(latest, _time(line.lost_g + swing, line.rate, limit_g, over_h))
    likely = _time(best.lost_g, best.rate, limit_g, over_h)
    if latest > span * (1.0 + FARTHEST):
        return None
    return Ready(*(max(span, hour) + hours[0] for hour in (earliest, likely, latest)))


def _time(lost_g: float, rate: float, limit_g: float, over_h: float) -> float:
    """End of the first such hours in which no more than the limit is lost [h]."""
    first = lost_g * -math.expm1(-rate * over_h)
    return over_h + math.log(first / limit_g) / rate if first > limit_g else over_h


def _refined(low: float, high: float, readings: _Readings) -> _Line:
    """The best rate between two, by golden section on its logarithm."""
    shrink = 0.5 * (math.sqrt(5.0) - 1.0)
    a, b = math.log(low), math.log(high)
    for _ in range(60):
        c, d = b - shrink * (b - a), a + shrink * (b - a)
        left, right = (readings.line(math.exp(y)).squares for y in (c, d))
        a, b = (a, d) if left <= right else (c, b)
    return readings.line(math.exp(0.5 * (a + b)))


def _allowed(best: _Line, readings: int, digit_g: float) -> float:
    """By how much the squares may grow before a curve no longer agrees with the readings."""
    of_scale = (_NORMAL * 0.5 * digit_g) ** 2
    free = readings - LEAST_READINGS
    if free < 1:
        return of_scale
    return max(of_scale, t_quantile(_CHANCE, free) ** 2 * best.squares / free)


def _band(lines: Sequence[_Line], best: _Line, most: float, readings: _Readings) -> list[float]:
    """Rates that agree, from the slowest to the fastest; none where the slowest is not known.

    A curve that ends below nothing is none of wood.
    """

    def agrees(line: _Line) -> bool:
        return line.squares <= most and line.end_g > 0.0

    def edge(outside: float) -> float:
        inside = best.rate
        for _ in range(60):
            middle = math.sqrt(inside * outside)
            if agrees(readings.line(middle)):
                inside = middle
            else:
                outside = middle
        return inside

    slower = [line.rate for line in lines if line.rate < best.rate and not agrees(line)]
    faster = [line.rate for line in lines if line.rate > best.rate and not agrees(line)]
    if not slower:
        return []
    low = edge(slower[-1])
    high = edge(faster[0]) if faster else lines[-1].rate
    return [low * (high / low) ** (i / (_IN_BAND - 1)) for i in range(_IN_BAND)]
