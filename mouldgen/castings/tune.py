"""What all castings say of the gap of one job."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from mouldgen.castings.design_columns import Design, JobFacts, design
from mouldgen.castings.foreseen import EvenCases, even_cases
from mouldgen.castings.least_cost import (
    Choices,
    GapCost,
    LeastCost,
    best_of,
    candidate_gaps,
    choices,
    costs_of_good,
)
from mouldgen.castings.load_luck import chance_in_new_load, luck_posterior
from mouldgen.castings.logistic import Posterior
from mouldgen.castings.luck import Luck, luck_of
from mouldgen.castings.prior import BELIEF, REPAIRS_SEEN, SCRAP_KEPT, SCRAP_LOST, Prior
from mouldgen.castings.records import Casting
from mouldgen.castings.shares import Share, jeffreys, share_of
from mouldgen.castings.shift import WRONG_SIGN, Shift, shift_of, wrong_way
from mouldgen.castings.surer import Surer, surer
from mouldgen.errors import InternalError

Floats = npt.NDArray[np.float64]

# From so many castings of so many loads on a job's gap moves, and from FULLY on it moves all the
# way; between them a part of the way, so that no single row throws it about.
LEAST_CASTINGS, FULLY, LEAST_LOADS = 8, 16, 2
HOPELESS = 0.5  # chance of a void at any gap: what no gap cures is no matter of the gap
RECENT = 10  # castings at least that the last loads hold together
CASES = 1024  # for what is foreseen
USUAL_LOAD = 8  # castings of a load, before there is one
_SCRAPS = 64  # values of the lost share that are spread over the draws


@dataclass(frozen=True, eq=False, kw_only=True)
class BandPoint:
    """Chance of a void at a gap.

    gap_mm : printed [mm].
    low, high : eight times in ten it is between them, over all loads to come.
    mean : of the next casting.
    """

    gap_mm: float
    low: float
    mean: float
    high: float


@dataclass(frozen=True, eq=False, kw_only=True)
class Recent:
    """The last loads.

    castings, voids, loads : in them, those with voids, and how many loads.
    """

    castings: int
    voids: int
    loads: int


@dataclass(frozen=True, eq=False, kw_only=True)
class Tuned:
    """What castings say of a job's gap.

    job : how it is poured.
    rows : that it rests on.
    prior : what was believed beforehand.
    posterior : of constant, slope, further columns and ln(tau).
    scrap : share of castings with a void that is lost.
    repairs : castings that the minutes of a repair were seen on.
    choices : the gaps that are compared.
    chance : of a void at each (draws, gaps).
    helped_chance : the same as costs are reckoned with: no narrower gap has fewer voids.
    cost : of a good piece at each (draws, gaps).
    now : the gap that the job has today, by itself.
    now_chance, now_cost : of a void, as costs are reckoned, and of a good piece there (draws,).
    """

    job: JobFacts
    rows: Design
    prior: Prior
    posterior: Posterior
    scrap: Share
    repairs: int
    choices: Choices
    chance: Floats
    helped_chance: Floats
    cost: Floats
    now: Choices
    now_chance: Floats
    now_cost: Floats

    @property
    def castings(self) -> int:
        """Rows that say something of the gap."""
        return len(self.rows.used)

    @property
    def voids(self) -> int:
        """Castings of them with a void that breaks the surface."""
        return int(self.rows.void.sum())

    @property
    def loads(self) -> int:
        """That they were poured in."""
        return self.rows.loads

    @property
    def columns(self) -> tuple[str, ...]:
        """What is told apart beside the gap."""
        return tuple(column.name for column in self.rows.columns)

    @cached_property
    def share(self) -> Share:
        """Of all castings, those with voids; Jeffreys' interval, whatever their gaps."""
        return jeffreys(self.voids, self.castings)

    @cached_property
    def recent(self) -> Recent:
        """The last loads that hold ten castings together, or all."""
        sizes = np.bincount(self.rows.load, minlength=self.loads)[::-1]
        enough = np.flatnonzero(np.cumsum(sizes) >= RECENT)
        loads = int(enough[0]) + 1 if len(enough) else self.loads
        castings = int(sizes[:loads].sum())
        voids = int(self.rows.void[len(self.rows.void) - castings :].sum())
        return Recent(castings=castings, voids=voids, loads=loads)

    @cached_property
    def shift(self) -> Shift:
        """How far the castings move the physics, and whether they speak against it."""
        return shift_of(self.posterior, self.prior, wide=self.rows.wide)

    @cached_property
    def luck(self) -> Luck:
        """How much loads differ."""
        return luck_of(self.rows.rows, self.posterior, self.prior)

    @cached_property
    def band(self) -> tuple[BandPoint, ...]:
        """Chance of a void at every gap that is compared."""
        low, high = self.posterior.interval(self.chance, 0.8)
        mean = self.posterior.weights @ self.chance
        rows = zip(self.choices.gap_mm, low, mean, high, strict=True)
        return tuple(
            BandPoint(gap_mm=float(gap), low=float(a), mean=float(b), high=float(c))
            for gap, a, b, c in rows
        )

    @cached_property
    def best(self) -> int:
        """Which of the gaps costs least in the mean."""
        return best_of(self.cost, self.posterior.weights)

    @cached_property
    def least(self) -> LeastCost:
        """The gap of least cost, and what it is against the gap of today."""
        gaps, weights = self.choices.gap_mm, self.posterior.weights
        low, high = self.posterior.interval(self._best_mm, 0.8)
        kept = 1.0 - self.scrap.mean
        rework = kept * float(weights @ self.helped_chance[:, self.best]) * self.rework_min
        now_rework = kept * float(weights @ self.now_chance) * float(self.now.minutes[0])
        return LeastCost(
            gap_mm=float(gaps[self.best]),
            low_mm=float(low),
            high_mm=float(high),
            cost_per_good=float(weights @ self.cost[:, self.best]),
            now_mm=float(self.now.gap_mm[0]),
            now_cost=float(weights @ self.now_cost),
            resin_ml_more=float(self.choices.resin_ml[self.best] - self.now.resin_ml[0]),
            minutes_less=now_rework - rework,
            at_least=self.best == 0,
            at_most=self.best == len(gaps) - 1,
        )

    @property
    def rework_min(self) -> float:
        """Of hands for a repair at the gap of least cost, as job and rows have it [min]."""
        return float(self.choices.minutes[self.best])

    @property
    def trust(self) -> float:
        """How much of the way the job's gap moves, 0 to 1.

        It grows with the castings (see `LEAST_CASTINGS`).  It falls where it is more likely than
        not that a wider gap has more voids, to 0 where that is said to speak against the physics;
        and it is 0 where it is `hopeless`.
        """
        if self.loads < LEAST_LOADS or self.hopeless:
            return 0.0
        seen = (self.castings - LEAST_CASTINGS + 1) / (FULLY - LEAST_CASTINGS + 1)
        right = (WRONG_SIGN - wrong_way(self.posterior)) / (WRONG_SIGN - 0.5)
        return min(max(seen, 0.0), 1.0) * min(max(right, 0.0), 1.0)

    @property
    def hopeless(self) -> bool:
        """Whether the best gap is a narrow one at which a void is more likely than not.

        It is best because the least is spent on resin there, which is no reason to narrow a gap:
        voids of that many castings have another cause.
        """
        return self.left_over > HOPELESS and self._wide < 0.0

    @property
    def left_over(self) -> float:
        """Chance of a void at the gap of least cost."""
        return float(self.posterior.weights @ self.helped_chance[:, self.best])

    @property
    def air_shift(self) -> float:
        """By which the air rule's value moves: ln of open gap over the rule's, in part."""
        return self.trust * self._wide

    @cached_property
    def surer(self) -> Surer:
        """What it takes to halve the range of the best gap."""
        gaps = self.choices.gap_mm
        ends = np.interp([self.least.low_mm, self.least.high_mm], gaps, np.arange(len(gaps)))
        tried = sorted({0, round(ends[0]), self.best, round(ends[1]), len(gaps) - 1})
        load_of = round(self.castings / self.loads) if self.loads else USUAL_LOAD
        cases = self.cases
        return surer(
            cases,
            best_mm=self._best_mm[cases.index],
            x=self.rows.at(self.job, gaps[tried]),
            gap_mm=gaps[tried],
            load_of=min(max(load_of, 2), 20),
        )

    @cached_property
    def cases(self) -> EvenCases:
        """Draws of equal weight."""
        return even_cases(self.posterior, CASES)

    @property
    def _wide(self) -> float:
        """ln of the best open gap over the air rule's."""
        return float(self.job.wide(self.choices.gap_mm[[self.best]])[0])

    @cached_property
    def _best_mm(self) -> Floats:
        """The gap that were the best in each draw (draws,) [mm]."""
        return np.asarray(self.choices.gap_mm[np.argmin(self.cost, axis=1)])


def tune(
    castings: Sequence[Casting],
    *,
    job: JobFacts,
    cost_at: Callable[[float], GapCost],
    least_mm: float,
    most_mm: float,
    now_mm: float | None = None,
    prior: Prior = BELIEF,
    draws: int = 2048,
) -> Tuned:
    """What castings say of a job's gap; with none, what is believed beforehand.

    castings : rows of the file; those without a result are passed over.
    job : how its castings will be poured.
    cost_at : what a casting costs at a printed gap; asked once for each gap compared.
    least_mm, most_mm : what the rules other than air leave for the gap [mm].
    now_mm : the gap that the job has today; where None the air rule's, or the least if that is
        wider [mm].
    prior : what is believed beforehand.
    draws : of the posterior, a power of two from 256 to 2^20.

    Raises InternalError where the least gap is closed by what is taken up, or no gap is left.
    """
    today = max(job.air_mm + job.taken_mm, least_mm) if now_mm is None else now_mm
    if not (min(least_mm, today) > job.taken_mm and 0.0 < job.air_mm < math.inf):
        raise InternalError(
            f"no open gap from {min(least_mm, today):g} mm on with {job.taken_mm:g} mm taken up"
            f" and an air gap of {job.air_mm:g} mm"
        )
    rows = design(castings)
    found = posterior_of(rows, prior=prior, draws=draws)
    scrap, (minutes, repairs) = _lost(rows), _repairs(rows)
    lost = _spread_over(scrap, len(found.weights))
    helped = _where_wider_helps(found.coefficients, rows)

    def at(gaps: Floats) -> tuple[Choices, Floats, Floats]:
        options = choices(gaps, cost_at=cost_at, repair_factor=_factor(minutes, repairs))
        chance = chance_in_new_load(helped, rows.at(job, gaps))
        return options, chance, costs_of_good(options, chance=chance, scrap=lost)

    options, helped_chance, cost = at(candidate_gaps(least_mm, most_mm))
    now, now_chance, now_cost = at(np.array([today]))
    return Tuned(
        job=job,
        rows=rows,
        prior=prior,
        posterior=found,
        scrap=scrap,
        repairs=repairs,
        choices=options,
        chance=chance_in_new_load(found.coefficients, rows.at(job, options.gap_mm)),
        helped_chance=helped_chance,
        cost=cost,
        now=now,
        now_chance=now_chance[:, 0],
        now_cost=now_cost[:, 0],
    )


def posterior_of(rows: Design, *, prior: Prior = BELIEF, draws: int = 2048) -> Posterior:
    """What is believed of constant, slope, further columns and ln(tau) after the rows.

    rows : of the castings file.
    prior : what is believed beforehand.
    draws : a power of two from 256 to 2^20.
    """
    more = len(rows.columns)
    return luck_posterior(
        rows.rows,
        prior_mean=np.array([prior.intercept, prior.slope, *[0.0] * more, prior.log_luck]),
        prior_sd=np.array(
            [prior.intercept_scale, prior.slope_sd, *[prior.column_sd] * more, prior.log_luck_sd]
        ),
        freedom=np.array([prior.intercept_freedom, *[math.inf] * (more + 2)]),
        draws=draws,
    )


def _where_wider_helps(coefficients: Floats, rows: Design) -> Floats:
    """Coefficients that costs are reckoned with (draws, columns + 1).

    Air leaves a narrow gap no sooner than a wide one.  Where a draw has more voids in wide gaps,
    they come from something that the gap does not cure: it is taken to have as many in any gap as
    it has in the middle of those that were cast, so that no gap is narrowed to be rid of voids.
    """
    against = coefficients[:, 1] > 0.0
    middle = float(rows.wide.mean()) if len(rows.wide) else 0.0
    helped = coefficients.copy()
    helped[against, 0] += middle * coefficients[against, 1]
    helped[against, 1] = 0.0
    return helped


def _lost(rows: Design) -> Share:
    outcomes = [one.result.outcome for one in rows.used if one.result and one.result.voids]
    return share_of(outcomes.count("scrapped"), len(outcomes), yes=SCRAP_LOST, no=SCRAP_KEPT)


def _repairs(rows: Design) -> tuple[float, int]:
    """Minutes of all repairs of castings with voids that were not lost, and how many those are."""
    taken = [
        one.result.rework_min
        for one in rows.used
        if one.result and one.result.voids and one.result.outcome != "scrapped"
    ]
    return math.fsum(taken), len(taken)


def _factor(minutes: float, repairs: int) -> Callable[[float], float]:
    """By which rows move the job's minutes for a repair, and with them its money."""

    def factor(believed_min: float) -> float:
        if believed_min <= 0.0:
            return 1.0
        mean = (REPAIRS_SEEN * believed_min + minutes) / (REPAIRS_SEEN + repairs)
        return mean / believed_min

    return factor


def _spread_over(share: Share, draws: int) -> Floats:
    """Values of a share over the draws, in an order that has nothing to do with theirs."""
    order = np.random.default_rng(0).permutation(np.arange(draws) % _SCRAPS)
    return np.asarray(share.points(_SCRAPS)[order])
