"""How many moulds to start so that enough pieces come out good."""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction
from itertools import count

from mouldgen.errors import JobError
from mouldgen.shop.enough import descending, least_enough, rising_terms

MOST_MOULDS = 100_000
_MOST_BITS = 2**17  # of whole numbers that decide a tie: a second's work


def moulds_to_start(
    pieces: int, *, yield_: float, confidence: float, customers_wood: bool = False
) -> int:
    """The smallest n with ``P(Bin(n, q) >= pieces) >= confidence``.

    The number of castings until the last good piece has a negative binomial distribution, whose
    terms are summed until they reach the confidence; nothing is approximated.

    pieces : good ones wanted, at least 1.
    yield_ : q, chance that one casting is good, above 0 up to 1.
    confidence : of having enough, above 0 and below 1.
    customers_wood : there is no wood for spares: one mould a piece.

    Raises JobError where a number is out of range or more than 100 000 moulds would be started.
    """
    _validate(pieces, yield_=yield_, confidence=confidence)
    if customers_wood or yield_ == 1.0:
        return pieces
    found = least_enough(
        _terms(pieces, yield_),
        most=MOST_MOULDS - pieces,
        confidence=confidence,
        too_few=lambda bad, term: _too_few(pieces, bad, term, yield_),
        exactly=lambda bad: _chance_exactly(pieces, bad, yield_),
    )
    if found is not None:
        return pieces + found
    raise JobError(
        f"{pieces} good pieces at a yield of {yield_:g} would take more than {MOST_MOULDS} moulds",
        where="[order] yield",
        allowed="a yield that leaves the count reasonable",
        try_="Cast a few single moulds and give the share that came out good.",
    )


def _terms(pieces: int, yield_: float) -> Iterator[float]:
    """Chances that the last good piece comes after exactly 0, 1, ... bad castings."""
    ratios = ((pieces + bad - 1) / bad * (1.0 - yield_) for bad in count(1))
    return rising_terms(pieces * math.log(yield_), ratios)


def _too_few(pieces: int, bad: int, term: float, yield_: float) -> float:
    """The chance of fewer good ones than pieces among pieces and so many bad castings."""
    castings, odds = pieces + bad, (1.0 - yield_) / yield_
    first = term * castings / (bad + 1) * odds  # of one piece too few
    return descending(
        first, (good / (castings - good + 1) * odds for good in range(pieces - 1, 0, -1))
    )


def _chance_exactly(pieces: int, bad: int, yield_: float) -> Fraction | None:
    """``sum_k C(pieces - 1 + k, k) q^pieces (1 - q)^k`` up to k = bad, q as its decimal says.

    In whole numbers over the common denominator, innermost bracket first; None of long ones.
    """
    good = Fraction(repr(yield_))
    if (pieces + bad) * good.denominator.bit_length() > _MOST_BITS:
        return None
    spoilt, whole = good.denominator - good.numerator, good.denominator
    total, binomial, power = 0, 1, 1
    for k in range(bad + 1):
        total = total * whole + binomial * power
        binomial = binomial * (pieces + k) // (k + 1)
        power *= spoilt
    return Fraction(total * good.numerator**pieces, whole ** (pieces + bad))


def _validate(pieces: int, *, yield_: float, confidence: float) -> None:
    if pieces < 1:
        raise JobError(f"{pieces} pieces", where="[order] pieces", allowed="1 or more")
    if not 0.0 < yield_ <= 1.0:
        raise JobError(f"a yield of {yield_:g}", where="[order] yield", allowed="above 0, up to 1")
    if not 0.0 < confidence < 1.0:
        raise JobError(
            f"a confidence of {confidence:g}",
            where="[order] confidence",
            allowed="above 0 and below 1",
        )
