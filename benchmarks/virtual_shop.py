"""Let shops with a hidden truth find their gap in several ways, and say what each way cost.

    python -m benchmarks.virtual_shop [shops]

A shop casts ten batches of twenty, each in two pot loads.  Nobody in it knows how voids really
follow the gap; it sees its castings.  What counts is the cost of a good piece at the gaps it cast,
under the hidden truth, over that at the best gap; and after how many batches it came within 10 %
of the best to stay.  Seeds are fixed.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

from mouldgen.castings.design_columns import JobFacts
from mouldgen.castings.least_cost import GapCost
from mouldgen.castings.next_trial import next_trial
from mouldgen.castings.records import Casting
from mouldgen.castings.tune import Tuned, tune
from tests.casting_rows import TAKEN_MM, Truth, job, peg_cost, poured

BATCHES, BATCH, LOADS = 10, 20, 2
LEAST_MM, MOST_MM = 0.7, 6.0
# physics.md 15: air gaps of four resins at two temperatures; the trade's gap for the resin and a
# piece of 25 to 60 mm.
RESINS = ((0.46, 3.0), (0.55, 3.0), (1.69, 3.0), (2.57, 2.0))
NEAR = 0.35  # of ln(gap): the truth is at most this far from the physics
DRAWS = 512
TRIAL_BATCHES, SET_UP = 2, 3.0  # batches in which a trial is thought of; money for its moulds


@dataclass(frozen=True)
class Shop:
    """A shop and what it does not know.

    air_mm : what the air rule asks for.
    habit_mm : the trade's gap.
    truth : of its voids.
    off : ln of how many times wider a gap it takes than the physics says.
    dear : whether its resin costs five times as much, and all else of a casting half.
    """

    air_mm: float
    habit_mm: float
    truth: Truth
    off: float
    dear: bool

    @property
    def rule_mm(self) -> float:
        """The gap without anything learned."""
        return max(LEAST_MM, self.air_mm + TAKEN_MM)

    @property
    def job(self) -> JobFacts:
        return job(self.air_mm)

    def cost_at(self, gap_mm: float) -> GapCost:
        plain = peg_cost(gap_mm)
        if not self.dear:
            return plain
        return GapCost(
            per_casting=4.0 + 0.15 * 1.1 * plain.resin_ml,
            resin_ml=plain.resin_ml,
            rework_per_void=plain.rework_per_void,
            minutes_per_void=plain.minutes_per_void,
        )

    def true_cost(self, gap_mm: float) -> float:
        """Of a good piece at a gap, in the long run."""
        cost, truth = self.cost_at(gap_mm), self.truth
        chance = float(truth.mean_chance(np.log((gap_mm - TAKEN_MM) / self.air_mm)))
        repair = cost.rework_per_void * truth.repair_min / cost.minutes_per_void
        lost = chance * truth.scrap
        return (cost.per_casting + (chance - lost) * repair) / (1.0 - lost)

    @cached_property
    def best_cost(self) -> float:
        """Of a good piece at the best gap."""
        return min(self.true_cost(float(g)) for g in np.geomspace(LEAST_MM, MOST_MM, 200))


def shop_of(seed: int) -> Shop:
    """A shop with a truth of its own."""
    random = np.random.default_rng([2026, seed])
    air_mm, habit_mm = RESINS[int(random.integers(len(RESINS)))]
    off = float(random.normal(0.0, 0.5))  # of ln(gap) by which the physics is wrong
    slope = -float(np.exp(random.normal(np.log(4.0), 0.4)))
    return Shop(
        air_mm=air_mm,
        habit_mm=habit_mm,
        off=off,
        dear=bool(random.random() < 0.5),
        truth=Truth(
            at_rule=-1.75 - slope * off,
            slope=slope,
            luck=float(np.exp(random.normal(np.log(0.4), 0.5))),
            floor=float(random.choice([0.0, 0.0, 0.05])),
            scrap=float(random.beta(1.5, 4.0)),
            repair_min=float(random.choice([3.0, 5.0, 12.0])),
        ),
    )


Gaps = Sequence[float]
Way = Callable[[Shop, list[list[Casting]], Gaps], Gaps]


def fixed_habit(shop: Shop, _: list[list[Casting]], __: Gaps) -> Gaps:
    """The trade's gap, always."""
    return [shop.habit_mm] * BATCH


def fixed_rule(shop: Shop, _: list[list[Casting]], __: Gaps) -> Gaps:
    """The rules' gap without anything learned, always."""
    return [shop.rule_mm] * BATCH


def wider_from(start: Callable[[Shop], float]) -> Way:
    """A bit wider after each batch with voids."""

    def way(shop: Shop, batches: list[list[Casting]], last: Gaps) -> Gaps:
        if not batches:
            return [start(shop)] * BATCH
        bad = any(one.result is not None and one.result.voids for one in batches[-1])
        return [min(last[-1] * (1.15 if bad else 1.0), MOST_MM)] * BATCH

    return way


def tuned_of(shop: Shop, batches: list[list[Casting]]) -> Tuned:
    """What the shop's castings say so far."""
    rows = [one for batch in batches for one in batch]
    return tune(
        rows, job=shop.job, cost_at=shop.cost_at, least_mm=LEAST_MM, most_mm=MOST_MM, draws=DRAWS
    )


def learned_gap(shop: Shop, batches: list[list[Casting]], _: Gaps) -> Gaps:
    """The gap that a build with the castings file would take."""
    if not batches:
        return [shop.rule_mm] * BATCH
    tuned = tuned_of(shop, batches)
    gap = max(LEAST_MM, shop.air_mm * float(np.exp(tuned.air_shift)) + TAKEN_MM)
    return [gap] * BATCH


def believed_gap(shop: Shop, _: list[list[Casting]], __: Gaps) -> Gaps:
    """Least cost by what is believed beforehand, always: costs without castings."""
    return [tuned_of(shop, []).least.gap_mm] * BATCH


def shifted_gap(shop: Shop, batches: list[list[Casting]], _: Gaps) -> Gaps:
    """The physics' own chance of a void, whatever it costs."""
    if not batches:
        return [shop.rule_mm] * BATCH
    shift = float(np.clip(tuned_of(shop, batches).shift.middle, -2.0, 2.0))
    return [min(max(LEAST_MM, shop.air_mm * np.exp(shift) + TAKEN_MM), MOST_MM)] * BATCH


def ladder_first(shop: Shop, batches: list[list[Casting]], last: Gaps) -> Gaps:
    """The first batch at four gaps, then what was learned."""
    if batches:
        return learned_gap(shop, batches, last)
    rungs = np.clip(shop.air_mm * np.exp([-0.3, 0.0, 0.3, 0.6]) + TAKEN_MM, LEAST_MM, MOST_MM)
    return [float(rungs[i % 4]) for i in range(BATCH)]


def with_trials(shop: Shop, batches: list[list[Casting]], last: Gaps) -> Gaps:
    """What was learned, with a trial in an early batch where it is worth its set-up."""
    gaps = list(learned_gap(shop, batches, last))
    if len(batches) >= TRIAL_BATCHES:
        return gaps
    left = BATCH * (BATCHES - len(batches))
    trial = next_trial(tuned_of(shop, batches), pieces=left, set_up=SET_UP)
    if trial.worth_it:
        cast = [gap for gap in trial.gaps_mm for _ in range(trial.each)]
        gaps[: len(cast)] = cast
        # a trial is spread over both loads
        gaps = [gaps[i] for i in np.argsort(np.arange(BATCH) % LOADS, kind="stable")]
    return gaps


WAYS: dict[str, Way] = {
    "trade's gap, fixed": fixed_habit,
    "rule's gap, fixed": fixed_rule,
    "15 % wider, from the trade's": wider_from(lambda shop: shop.habit_mm),
    "15 % wider, from the rule's": wider_from(lambda shop: shop.rule_mm),
    "belief and costs, no castings": believed_gap,
    "shifted to the rule's voids": shifted_gap,
    "learned": learned_gap,
    "learned, first batch a ladder": ladder_first,
    "learned, with trials": with_trials,
}


@dataclass(frozen=True)
class Run:
    """What a way cost a shop: over the best, for all batches and in the last; batch of arrival."""

    over: float
    last: float
    arrived: int  # batches cast before all later ones are within 10 %


def run(shop: Shop, way: Way, seed: int) -> Run:
    """One shop going one way."""
    random = np.random.default_rng([7, seed])
    batches: list[list[Casting]] = []
    gaps: Gaps = ()
    over = []
    for batch in range(BATCHES):
        gaps = way(shop, batches, gaps)
        costs = {gap: shop.true_cost(gap) for gap in set(gaps)}
        over.append(float(np.mean([costs[gap] for gap in gaps])) / shop.best_cost - 1.0)
        rows: list[Casting] = []
        for load, part in enumerate(np.array_split(np.asarray(gaps), LOADS)):
            rows += poured(
                shop.truth,
                (part - TAKEN_MM).tolist(),
                load=LOADS * batch + load + 1,
                random=random,
                air_mm=shop.air_mm,
            )
        batches.append(rows)
    late = [i for i, each in enumerate(over) if each > 0.10]
    return Run(float(np.mean(over)), over[-1], late[-1] + 1 if late else 0)


def table(name: str, shops: list[Shop], runs: dict[str, list[Run]], keep: Any) -> None:
    """Print the means of some of the shops."""
    chosen = [i for i, shop in enumerate(shops) if keep(shop)]
    if not chosen:
        return
    print(f"\n{name}: {len(chosen)} shops")
    print(f"{'':32} over the best   worst tenth   last batch   batches to 10 %   never")
    for way, all_runs in runs.items():
        mine = [all_runs[i] for i in chosen]
        over = np.array([one.over for one in mine])
        arrived = np.array([one.arrived for one in mine])
        print(
            f"{way:32} {100 * over.mean():10.1f} %  {100 * np.quantile(over, 0.9):10.1f} %"
            f" {100 * np.mean([one.last for one in mine]):10.1f} %"
            f" {arrived.mean():12.1f} {100 * np.mean(arrived >= BATCHES):12.0f} %"
        )


def losses(runs: dict[str, list[Run]]) -> None:
    """Print in how many shops what was learned cost more than another way, by 1 % and more."""
    mine = np.array([one.over for one in runs["learned"]])
    print("\nshops in which learned cost more by at least 1 % than")
    for way, others in runs.items():
        more = mine - np.array([one.over for one in others]) >= 0.01
        print(f"{way:32} {100 * more.mean():5.1f} %")


def main(arguments: Sequence[str]) -> int:
    """Print the figures."""
    count = int(arguments[0]) if arguments else 200
    start = time.process_time()
    shops = [shop_of(i) for i in range(count)]
    runs = {name: [run(shop, way, i) for i, shop in enumerate(shops)] for name, way in WAYS.items()}
    table("all", shops, runs, lambda _: True)
    table("truth near the physics", shops, runs, lambda shop: abs(shop.off) <= NEAR)
    table("more voids than the physics", shops, runs, lambda shop: shop.off > NEAR)
    table("fewer voids than the physics", shops, runs, lambda shop: shop.off < -NEAR)
    table("a floor of 5 %", shops, runs, lambda shop: shop.truth.floor > 0.0)
    table("dear resin", shops, runs, lambda shop: shop.dear)
    table("cheap resin", shops, runs, lambda shop: not shop.dear)
    losses(runs)
    print(f"\n{time.process_time() - start:.0f} s of processor time")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
