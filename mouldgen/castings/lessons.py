"""What the castings file hands to a build beside the gap: a yield, fills, a loss of resin."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from mouldgen.castings.prior import LOSS_SEEN, YIELD_SEEN
from mouldgen.castings.records import Casting, Load, Result
from mouldgen.castings.shares import Share, share_of
from mouldgen.errors import InternalError


@dataclass(frozen=True, eq=False, kw_only=True)
class LearnedLoss:
    """Resin that stays in cups and on sticks.

    share : of what was poured into moulds.
    loads : that were weighed.
    """

    share: float
    loads: int


def learned_yield(castings: Sequence[Casting], *, believed: float, on: float = YIELD_SEEN) -> Share:
    """Share of castings that come good; a repaired one is good.

    castings : rows of the file; those without a result are passed over.
    believed : the job's own yield, above 0 and below 1.
    on : castings that it counts for.

    Raises InternalError where the belief is certain or counts for nothing.
    """
    return _share(castings, lambda result: result.outcome != "scrapped", believed, on)


def learned_fills(castings: Sequence[Casting], *, believed: float, on: float) -> Share:
    """Share of castings with a void that is filled, out of all castings.

    castings : rows of the file; those without a result are passed over.
    believed : the job's own share of fills, above 0 and below 1.
    on : castings that it counts for.

    Raises InternalError where the belief is certain or counts for nothing.
    """
    return _share(castings, lambda result: result.outcome == "repaired", believed, on)


def _share(
    castings: Sequence[Casting], counts: Callable[[Result], bool], believed: float, on: float
) -> Share:
    if not (0.0 < believed < 1.0 and on > 0.0):
        raise InternalError(f"no share is learned from a belief of {believed:g} on {on:g}")
    noted = [one.result for one in castings if one.result is not None]
    yes = sum(counts(result) for result in noted)
    return share_of(yes, len(noted), yes=believed * on, no=(1.0 - believed) * on)


def learned_loss(
    loads: Sequence[Load], *, poured_g: Callable[[Load], float], believed: float
) -> LearnedLoss:
    """Resin lost over resin poured, from the loads that were weighed.

    The job's own loss counts as so many loads of the mean size as `prior.LOSS_SEEN` says.  A load
    may seem to have lost less than nothing, where its moulds took less than was reckoned; all
    together may not.

    loads : of the file.
    poured_g : what a load's moulds take [g].
    believed : the job's own loss, 0 or more.

    Raises InternalError where a load takes nothing or the belief is below 0.
    """
    weighed = [load for load in loads if load.mixed_g is not None and load.left_g is not None]
    taken = [poured_g(load) for load in weighed]
    if believed < 0.0 or not all(0.0 < each < math.inf for each in taken):
        raise InternalError("a loss below 0, or a load whose moulds take nothing")
    if not weighed:
        return LearnedLoss(share=believed, loads=0)
    lost = [
        (load.mixed_g or 0.0) - (load.left_g or 0.0) - each
        for load, each in zip(weighed, taken, strict=True)
    ]
    usual = LOSS_SEEN * math.fsum(taken) / len(taken)
    share = (believed * usual + math.fsum(lost)) / (usual + math.fsum(taken))
    return LearnedLoss(share=max(share, 0.0), loads=len(weighed))
