"""Castings to start where the yield itself is only believed.

A believed yield is a beta distribution, as if so many good and so many bad castings had been
seen.  How many of the next ones come good then has a beta-binomial distribution, which is wider
than the binomial at the same mean: whoever takes the mean for certain starts too few.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate, count

from mouldgen.errors import InternalError, JobError, PresetError
from mouldgen.shop.counts import MOST_MOULDS
from mouldgen.shop.enough import descending, least_enough, rising_terms

_MOST_TERMS = 400  # in fractions that decide a tie: a second's work


@dataclass(frozen=True, eq=False)
class Belief:
    """A share that is not known for certain, as Beta(good, bad).

    good, bad : castings of either kind that it counts for, both above 0; they may be fractions.
    """

    good: float
    bad: float

    def __post_init__(self) -> None:
        if not (0.0 < self.good < math.inf and 0.0 < self.bad < math.inf):
            raise InternalError(
                f"no belief is held on {self.good:g} good and {self.bad:g} bad castings",
                allowed="both above 0",
            )

    @property
    def mean(self) -> float:
        """The chance that the next casting is good."""
        return self.good / (self.good + self.bad)

    def seen(self, good: int, bad: int) -> Belief:
        """The same after more castings.

        good, bad : how many of either kind came out of the mould.
        """
        return Belief(self.good + good, self.bad + bad)

    def all_good(self, castings: int) -> float:
        """The chance that this many castings all come good.

        castings : how many, 0 or more.
        """
        whole = self.good + self.bad
        return math.exp(math.fsum(_log_steps(self.good, whole, castings)))


def believed(share: float, *, on: float) -> Belief | None:
    """A share as believed on so many castings; None for a share that is certain, 0 or 1.

    share : from 0 to 1.
    on : castings that it counts for.

    Raises PresetError where that is not above 0.
    """
    if not on > 0.0:
        raise PresetError(
            f"nothing is believed on {on:g} castings",
            where="cost.toml [spread]",
            allowed="a number above 0; the larger, the surer",
        )
    return Belief(share * on, (1.0 - share) * on) if 0.0 < share < 1.0 else None


def castings_to_start(pieces: int, belief: Belief, *, confidence: float) -> int:
    """The smallest n with ``P(K >= pieces) >= confidence``, K of n beta-binomial.

    The casting that brings the last good piece has a beta negative binomial distribution, whose
    terms are summed until they reach the confidence; nothing is approximated.

    pieces : good ones wanted, at least 1.
    belief : of the yield.
    confidence : of having enough, above 0 and below 1.

    Raises JobError where a number is out of range or more than 100 000 would be started.
    """
    if pieces < 1:
        raise JobError(f"{pieces} pieces", where="[order] pieces", allowed="1 or more")
    if not 0.0 < confidence < 1.0:
        raise JobError(
            f"a confidence of {confidence:g}",
            where="[order] confidence",
            allowed="above 0 and below 1",
        )
    found = least_enough(
        _terms(pieces, belief),
        most=MOST_MOULDS - pieces,
        confidence=confidence,
        too_few=lambda bad, term: _too_few(pieces, bad, term, belief),
        exactly=lambda bad: _chance_exactly(pieces, bad, belief),
    )
    if found is not None:
        return pieces + found
    raise JobError(
        f"{pieces} good pieces at a yield believed to be {belief.mean:.3g} would take more than"
        f" {MOST_MOULDS} castings to be that sure",
        where="[order] confidence",
        allowed="a confidence and a yield that leave the count reasonable",
        try_="Cast a few single moulds and give the share that came out good.",
    )


def share_counts(castings: int, share: float, *, on: float | None = None) -> tuple[float, ...]:
    """Chances that 0, 1, ... and all of some castings are of a kind.

    castings : how many, 0 or more.
    share : of them that are of the kind, from 0 to 1.
    on : castings that the share is believed on; None where it is certain.
    """
    if share in {0.0, 1.0}:
        return tuple(float(k == round(share * castings)) for k in range(castings + 1))
    belief = None if on is None else believed(share, on=on)
    if belief is None:
        yes = [k * math.log(share) for k in range(castings + 1)]
        no = [k * math.log1p(-share) for k in range(castings + 1)]
        whole = 0.0
    else:
        yes, no = (_log_rising(x, castings) for x in (belief.good, belief.bad))
        whole = _log_rising(belief.good + belief.bad, castings)[-1]
    ways = _log_rising(1.0, castings)  # of 1: the factorials
    return tuple(
        math.exp(ways[-1] - ways[k] - ways[castings - k] + yes[k] + no[castings - k] - whole)
        for k in range(castings + 1)
    )


def _log_rising(start: float, steps: int) -> list[float]:
    """Logarithms of ``start (start + 1) ...``, of 0 up to so many factors."""
    return list(accumulate((math.log(start + i) for i in range(steps)), initial=0.0))


def _log_steps(part: float, whole: float, steps: int) -> list[float]:
    return [math.log((part + i) / (whole + i)) for i in range(steps)]


def _terms(pieces: int, belief: Belief) -> Iterator[float]:
    """Chances that the last good piece comes after exactly 0, 1, ... bad castings."""
    whole = belief.good + belief.bad
    ratios = (
        (pieces + bad - 1) / bad * (belief.bad + bad - 1) / (whole + pieces + bad - 1)
        for bad in count(1)
    )
    return rising_terms(math.fsum(_log_steps(belief.good, whole, pieces)), ratios)


def _too_few(pieces: int, bad: int, term: float, belief: Belief) -> float:
    """The chance of fewer good ones than pieces among pieces and so many bad castings."""
    castings = pieces + bad
    first = term * castings / (bad + 1) * (belief.bad + bad) / (belief.good + pieces - 1)
    return descending(
        first,
        (
            good / (castings - good + 1) * (belief.bad + castings - good) / (belief.good + good - 1)
            for good in range(pieces - 1, 0, -1)
        ),
    )


def _chance_exactly(pieces: int, bad: int, belief: Belief) -> Fraction | None:
    """The same sum in fractions, the belief's numbers as their decimals say; None of many."""
    if pieces + bad > _MOST_TERMS:
        return None
    good, spoilt = Fraction(repr(belief.good)), Fraction(repr(belief.bad))
    whole = good + spoilt
    term = Fraction(1)
    for i in range(pieces):
        term *= (good + i) / (whole + i)
    total = term
    for k in range(1, bad + 1):
        term *= Fraction(pieces + k - 1, k) * (spoilt + k - 1) / (whole + pieces + k - 1)
        total += term
    return total
