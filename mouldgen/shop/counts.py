"""How many moulds to start so that enough pieces come out good."""

from __future__ import annotations

import math
from fractions import Fraction

from mouldgen.errors import JobError

MOST_MOULDS = 100_000
_DOUBT = 1e-9  # floats decide outside of this; whole numbers decide a tie
_LARGE = 1e250
_LOG_LARGE = math.log(_LARGE)


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
    log_term = pieces * math.log(yield_)  # of no bad casting at all
    shift = max(0.0, -log_term)  # sums are kept as total * exp(-shift)
    term = total = math.exp(log_term + shift)
    for bad in range(MOST_MOULDS - pieces + 1):
        if bad:
            term *= (pieces + bad - 1) / bad * (1.0 - yield_)
            total += term
            if total > _LARGE:
                term, total, shift = term / _LARGE, total / _LARGE, shift - _LOG_LARGE
        if _reached(pieces, bad, total * math.exp(-shift), yield_=yield_, confidence=confidence):
            return pieces + bad
    raise JobError(
        f"{pieces} good pieces at a yield of {yield_:g} would take more than {MOST_MOULDS} moulds",
        where="[order] yield",
        allowed="a yield that leaves the count reasonable",
        try_="Cast a few single moulds and give the share that came out good.",
    )


def _reached(pieces: int, bad: int, chance: float, *, yield_: float, confidence: float) -> bool:
    if abs(chance - confidence) > _DOUBT:
        return chance > confidence
    return _chance_exactly(pieces, bad, yield_) >= Fraction(repr(confidence))


def _chance_exactly(pieces: int, bad: int, yield_: float) -> Fraction:
    """``sum_k C(pieces - 1 + k, k) q^pieces (1 - q)^k`` up to k = bad, q as its decimal says.

    In whole numbers over the common denominator, innermost bracket first.
    """
    good = Fraction(repr(yield_))
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
