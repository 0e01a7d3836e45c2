"""The least number of castings that is enough: sums in floats, whole numbers where they tie.

Sums of floats tell a chance to a billionth.  Where the confidence lies within that, the chance of
too few good ones is summed by itself, which tells how near to certain a count is; and what is
still equal to a billionth of it is a tie, which whole numbers decide.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from fractions import Fraction
from itertools import islice

_LARGE = 1e250
_LOG_LARGE = math.log(_LARGE)
_DOUBT = 1e-9  # relative; rounding stays below it up to 100 000 castings


def least_enough(
    terms: Iterable[float],
    *,
    most: int,
    confidence: float,
    too_few: Callable[[int, float], float],
    exactly: Callable[[int], Fraction | None],
) -> int | None:
    """The smallest number of bad castings whose chance is the confidence or more.

    terms : chances that there are exactly 0, 1, ... bad ones before the last good one.
    most : bad ones that are thought of.
    confidence : above 0 and below 1; its decimals are meant as they stand.
    too_few : of bad ones and their term, the chance that too few are good among so many castings.
    exactly : of bad ones, the chance that enough are good; None where that would take long, and a
        tie then counts as enough.

    Returns None where it would be more than that.
    """
    known: list[float] = []
    rest = iter(terms)
    chance, doubt = 0.0, _DOUBT * confidence
    for bad, term in enumerate(islice(rest, most + 1)):
        known.append(term)
        chance += term
        if chance > confidence + doubt:
            return bad
        if chance >= confidence - doubt:
            break
    else:
        return None
    spare = float(1 - Fraction(repr(confidence)))

    def enough(bad: int) -> bool:
        known.extend(islice(rest, max(0, bad + 1 - len(known))))
        short = too_few(bad, known[bad])
        # Of a confidence under a half the sum itself was the surer side, and it ties.
        if confidence > 0.5 and abs(short - spare) > _DOUBT * spare:
            return short < spare
        found = exactly(bad)
        return found is None or found >= Fraction(repr(confidence))

    return _first(enough, start=bad, most=most)


def rising_terms(log_first: float, ratios: Iterable[float]) -> Iterator[float]:
    """Chances that begin below what floats hold and may still count for something.

    log_first : logarithm of the first.
    ratios : of each following one to the one before it.
    """
    shift = max(0.0, -log_first)  # a term is kept as term * exp(-shift)
    term = math.exp(log_first + shift)
    yield term * math.exp(-shift)
    for ratio in ratios:
        term *= ratio
        if term > _LARGE:
            term, shift = term / _LARGE, shift - _LOG_LARGE
        yield term * math.exp(-shift)


def _first(enough: Callable[[int], bool], *, start: int, most: int) -> int | None:
    """The first number from a start on that is enough, found by halving; every later one is."""
    low, high, step = start - 1, start, 1
    while not enough(high):
        if high == most:
            return None
        low, high, step = high, min(high + step, most), 2 * step
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if enough(middle) else (middle, high)
    return high


def descending(first: float, ratios: Iterator[float]) -> float:
    """A sum of a term and of those that follow, until nothing is added.

    first : term.
    ratios : of each following one to the one before it; they fall.
    """
    total = term = first
    for ratio in ratios:
        term *= ratio
        total += term
        if ratio < 1.0 and term < total * 1e-18 * (1.0 - ratio):
            break
    return total
