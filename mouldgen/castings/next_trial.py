"""Which trial casting, if any, is worth what it costs.

A trial is a load of a few castings at two to five gaps.  Everything that it can show is gone
through, each outcome as often as is believed; after each the gap of least cost is found again.
What a good piece then costs less, in the mean, over the pieces still to be made, is what the trial
is worth (expected value of sample information; Raiffa & Schlaifer, Applied Statistical Decision
Theory, 1961).  What it costs is its castings, less the good ones at what a good piece costs
otherwise, if they can be sold.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from mouldgen.castings.foreseen import EvenCases, even_cases, outcome_chances

if TYPE_CHECKING:
    from mouldgen.castings.tune import Tuned

Floats = npt.NDArray[np.float64]

PIECES = 100  # good pieces still to be made, where nobody says
LADDER = 7  # gaps that a trial chooses from
EACH = (2, 3, 4)
MOST_GAPS = 5
CASES = 128  # to look through all trials
FINALISTS, FINAL_CASES = 5, 4096  # to weigh the best of them again
BLOCK = 256  # cases at a time: four castings at each of five gaps have 3125 outcomes


@dataclass(frozen=True, eq=False, kw_only=True)
class Trial:
    """A trial, and what it is worth.

    gaps_mm : printed, rising; empty where no trial is worth it [mm].
    each : castings at every gap.
    costs : money for it with its set-up, less its good pieces where they are sold.
    saves : money that is expected to be saved over `pieces`.
    pieces : good ones still to be made.
    sold : whether the trial's good pieces are.
    best : the trial that comes nearest where none is worth it; itself otherwise.
    """

    gaps_mm: tuple[float, ...]
    each: int
    costs: float
    saves: float
    pieces: int
    sold: bool
    best: Trial | None = None

    @property
    def worth_it(self) -> bool:
        """Whether it saves more than it costs."""
        return bool(self.gaps_mm)


@dataclass(frozen=True, eq=False)
class _Plan:
    """Places among the gaps compared, and castings at each."""

    places: tuple[int, ...]
    each: int


def next_trial(
    tuned: Tuned,
    *,
    pieces: int = PIECES,
    sold: bool = True,
    set_up: float = 0.0,
    most: int = MOST_GAPS,
    each: Sequence[int] = EACH,
) -> Trial:
    """The trial that is worth most, or none.

    tuned : what is believed, with the gaps and their costs.
    pieces : good ones still to be made.
    sold : whether the trial's good pieces are sold, or used for the order.
    set_up : money for the trial itself, such as a load and a mix of its own.
    most : gaps of a trial, 2 or more.
    each : castings at every gap that are thought of.
    """
    plans = _plans(len(tuned.choices.gap_mm), most, each)
    if not plans:
        return Trial(gaps_mm=(), each=0, costs=0.0, saves=0.0, pieces=pieces, sold=sold)
    rough = _Scene(tuned, CASES)
    values = [pieces * rough.gain(plan) - rough.price(plan, sold=sold) for plan in plans]
    ranked = sorted(range(len(plans)), key=lambda i: -values[i])[:FINALISTS]
    fine = _Scene(tuned, FINAL_CASES)
    trials = [
        Trial(
            gaps_mm=tuple(float(tuned.choices.gap_mm[i]) for i in plans[k].places),
            each=plans[k].each,
            costs=set_up + fine.price(plans[k], sold=sold),
            saves=pieces * fine.gain(plans[k]),
            pieces=pieces,
            sold=sold,
        )
        for k in ranked
    ]
    best = max(trials, key=lambda trial: trial.saves - trial.costs)
    if best.saves > best.costs:
        return best
    return Trial(gaps_mm=(), each=0, costs=0.0, saves=0.0, pieces=pieces, sold=sold, best=best)


def _plans(gaps: int, most: int, each: Sequence[int]) -> list[_Plan]:
    """Evenly spaced ladders of gaps."""
    steps = np.unique(np.round(np.linspace(0, gaps - 1, LADDER)).astype(int))
    ladders = {
        tuple(int(steps[i]) for i in np.unique(np.round(np.linspace(low, high, count)).astype(int)))
        for low in range(len(steps))
        for high in range(low + 1, len(steps))
        for count in range(2, min(most, high - low + 1) + 1)
    }
    return [_Plan(places, castings) for places in sorted(ladders) for castings in each]


class _Scene:
    """Cases that all trials are tried on, the same for each."""

    def __init__(self, tuned: Tuned, cases: int) -> None:
        self.cases: EvenCases = even_cases(tuned.posterior, cases)
        self.linear = self.cases.linear(tuned.rows.at(tuned.job, tuned.choices.gap_mm))
        self.cost = tuned.cost[self.cases.index]
        self.chance = tuned.chance[self.cases.index]
        self.scrap, self.choices = tuned.scrap.mean, tuned.choices
        self.today = int(np.argmin(self.cost.mean(axis=0)))

    def gain(self, plan: _Plan) -> float:
        """Money that a good piece is expected to cost less after a trial."""
        linear, spread = self.linear[:, list(plan.places)], self.cases.spread
        costs = np.zeros(((plan.each + 1) ** len(plan.places), self.cost.shape[1]))
        for first in range(0, len(linear), BLOCK):
            some = slice(first, first + BLOCK)
            costs += outcome_chances(linear[some], spread[some], each=plan.each).T @ self.cost[some]
        # Of every outcome and gap: the cost times the chance of the outcome.
        after = float(costs.min(axis=1).sum()) / len(linear)
        return float(self.cost[:, self.today].mean()) - after

    def price(self, plan: _Plan, *, sold: bool) -> float:
        """Money for a trial, less its good pieces where they are sold."""
        places = list(plan.places)
        chance = self.chance[:, places].mean(axis=0)
        repair = chance * (1.0 - self.scrap) * self.choices.repair[places]
        money = self.choices.casting[places] + repair
        if sold:
            money = money - (1.0 - chance * self.scrap) * self.cost.mean(axis=0)[self.today]
        return plan.each * float(money.sum())
