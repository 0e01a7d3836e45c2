"""Between which bounds a share lies of which some castings have been seen.

Sources: Wilson's score interval as in Newcombe, Statistics in Medicine 17 (1998) 857, without
correction for continuity; Jeffreys' as in Brown, Cai & DasGupta, Statistical Science 16 (2001)
101, with their rule for the ends.
"""

from __future__ import annotations

import math

from mouldgen.errors import InternalError
from mouldgen.physics.beta import beta_quantile


def wilson(hits: int, seen: int, *, confidence: float = 0.95) -> tuple[float, float]:
    """Wilson's interval of a share.

    hits : how many of them it was.
    seen : how many were looked at, at least 1.
    confidence : of both sides together, above 0 and below 1.

    Raises InternalError where a number is out of range.
    """
    _require(hits, seen, confidence)
    from statistics import NormalDist  # late: it loads more than this sum needs

    z = NormalDist().inv_cdf(0.5 + 0.5 * confidence)
    middle = 2.0 * hits + z * z
    spread = z * math.sqrt(z * z + 4.0 * hits * (seen - hits) / seen)
    whole = 2.0 * (seen + z * z)
    return (
        0.0 if hits == 0 else (middle - spread) / whole,
        1.0 if hits == seen else (middle + spread) / whole,
    )


def jeffreys(hits: int, seen: int, *, confidence: float = 0.95) -> tuple[float, float]:
    """Jeffreys' interval of a share: equal tails of Beta(hits + 1/2, seen - hits + 1/2).

    With no hit at all the lower end is 0, with nothing else the upper end is 1.

    hits : how many of them it was.
    seen : how many were looked at, at least 1.
    confidence : of both sides together, above 0 and below 1.

    Raises InternalError where a number is out of range.
    """
    _require(hits, seen, confidence)
    a, b, tail = hits + 0.5, seen - hits + 0.5, 0.5 - 0.5 * confidence
    return (
        0.0 if hits == 0 else beta_quantile(tail, a=a, b=b),
        1.0 if hits == seen else beta_quantile(1.0 - tail, a=a, b=b),
    )


def _require(hits: int, seen: int, confidence: float) -> None:
    if not (seen >= 1 and 0 <= hits <= seen and 0.0 < confidence < 1.0):
        raise InternalError(
            f"no interval of {hits} in {seen} at a confidence of {confidence:g}",
            allowed="0 to all of 1 or more, and a confidence between 0 and 1",
        )
