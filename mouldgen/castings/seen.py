"""The castings as if all had been poured for one job: at gaps as wide against what air asks."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.castings.design_columns import JobFacts, design
from mouldgen.castings.shift import LEAST_SPREAD

if TYPE_CHECKING:
    from mouldgen.castings.records import Casting
    from mouldgen.castings.tune import Tuned


@dataclass(frozen=True, eq=False, kw_only=True)
class SeenAt:
    """Castings near one gap of a job.

    gap_mm : printed [mm].
    castings, voids : how many, and how many of them had voids.
    beyond : of the castings, those that lie outside of all gaps that were asked for, further than
        half way to the next one.
    """

    gap_mm: float
    castings: int
    voids: int
    beyond: int


def gaps_seen(tuned: Tuned) -> tuple[float, ...]:
    """The printed gap of the job that each casting stands for (castings,) [mm].

    A casting twice as wide as air asked for stands for the gap of the job that is so.

    tuned : what castings say of the job's gap.
    """
    job = tuned.job
    return tuple(job.taken_mm + job.air_mm * math.exp(wide) for wide in tuned.rows.wide)


def seen_elsewhere_mm(castings: Sequence[Casting], *, job: JobFacts, gap_mm: float) -> float | None:
    """The printed gap of the job that castings stand for, where the job has another [mm].

    A share of castings that come good holds at gaps like theirs.  The middle of ln(open/air) is
    told where the job's own lies further from it than their standard deviation, or than castings
    of one gap differ anyway.

    castings : rows of the file; those that say nothing of the gap are passed over.
    job : how it will be poured.
    gap_mm : that the job has, printed [mm].
    """
    wide = design(castings).wide
    open_mm = gap_mm - job.taken_mm
    if not len(wide) or open_mm <= 0.0 or not math.isfinite(job.air_mm):
        return None
    middle = float(wide.mean())
    apart = abs(math.log(open_mm / job.air_mm) - middle)
    if apart <= max(float(wide.std()), LEAST_SPREAD):
        return None
    return job.taken_mm + job.air_mm * math.exp(middle)


def seen_at(tuned: Tuned, gaps_mm: Sequence[float]) -> tuple[SeenAt, ...]:
    """Castings counted at the nearest of some gaps, by ratio of what is open.

    tuned : what castings say of the job's gap.
    gaps_mm : at least one, more than what is taken up [mm].
    """
    opens = [math.log(gap - tuned.job.taken_mm) for gap in gaps_mm]
    counted = [[0, 0, 0] for _ in gaps_mm]
    order = sorted(opens)
    least = order[0] - 0.5 * (order[min(1, len(order) - 1)] - order[0])
    most = order[-1] + 0.5 * (order[-1] - order[max(0, len(order) - 2)])
    for gap, void in zip(gaps_seen(tuned), tuned.rows.void, strict=True):
        at = math.log(gap - tuned.job.taken_mm)
        place = min(range(len(opens)), key=lambda i: abs(opens[i] - at))
        counted[place][0] += 1
        counted[place][1] += int(void)
        counted[place][2] += int(not least <= at <= most)
    return tuple(
        SeenAt(gap_mm=gap, castings=castings, voids=voids, beyond=beyond)
        for gap, (castings, voids, beyond) in zip(gaps_mm, counted, strict=True)
    )
