"""Fewer plates than filling one after the other finds: new plates, and a set cover over all.

Every plate ever built is kept as a column of a set cover.  Its relaxation says what a piece of
each kind is worth; plates are then built after recipes drawn at random, good recipes are varied,
and what comes out richer than the plates at hand lets the cover do with fewer.  An iterated local
search, in other words, whose goal changes with what was found.

The same seed gives the same plates: the work is counted, and the clock only stops a search that
would take too long on a slow machine, which is reported.
"""

from __future__ import annotations

import math
import random
import time
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from mouldgen.packing.area import Spot
from mouldgen.packing.cover import Pool, Relaxed
from mouldgen.packing.discs_on_beds import spread_discs
from mouldgen.packing.plates import Plate, Plates
from mouldgen.packing.portfolio import Portfolio
from mouldgen.packing.raster import SWEEPS, Sweep

# Units of work are cells of maps looked at; about 1e-9 s each on a machine of 2020.
_WORK = {"usual": 5.0e9, "thorough": 3.0e10}
_RELAXED = 2.0e7  # what one look at the relaxation costs
_COVERED = 5.0e8  # and one set cover
_LONGEST_S = {"usual": 20.0, "thorough": 55.0}
# Discs let go when they are spread, for each number of them; shared by the kinds.
_DISCS = {"usual": 6_000, "thorough": 40_000}

_BATCH = 24  # plates between two looks at the cover
_GROWN = 1.3  # growth of the pool between two covers
_ELITE = 10  # recipes that are varied
_NEW = 0.4  # share of recipes drawn anew


@dataclass(frozen=True, eq=False)
class Found:
    """What a search came to.

    plates : the fewest found, or those given where it found none.
    effort : the least effort that reaches them.
    cut_short : whether the clock stopped it.
    """

    plates: Plates
    effort: Literal["usual", "thorough"]
    cut_short: bool


@dataclass(frozen=True, eq=False)
class _Recipe:
    """How one plate is filled.

    sweep : which free position comes first.
    quotas : kind and how many of it, in this order.
    start : kind and how many of its pattern are there before; None for an empty plate.
    """

    sweep: Sweep
    quotas: tuple[tuple[int, int], ...]
    start: tuple[int, int] | None


def search(
    portfolio: Portfolio,
    counts: Sequence[int],
    best: Plates,
    seen: Sequence[Plate],
    *,
    bound: int,
    effort: Literal["usual", "thorough"],
    seed: int,
) -> Found:
    """The fewest plates that a search of this effort finds.

    portfolio : the ways of filling a plate.
    counts : how many of each kind are asked for.
    best : the plates to do with fewer than.
    seen : every plate built before, those of `best` among them.
    bound : plates at which to stop.
    seed : of the random numbers.
    """
    return _Search(portfolio, counts, best, seen, bound=bound, effort=effort, seed=seed).run()


class _Search:
    """The state of one search."""

    def __init__(
        self,
        portfolio: Portfolio,
        counts: Sequence[int],
        best: Plates,
        seen: Sequence[Plate],
        *,
        bound: int,
        effort: Literal["usual", "thorough"],
        seed: int,
    ) -> None:
        self._portfolio = portfolio
        self._counts = counts
        self._bound = bound
        self._effort = effort
        self._seed = seed
        self._dice = random.Random(seed)
        self._pool = Pool(counts)
        for plate in seen:
            self._pool.add(plate)
        self._elite: list[tuple[_Recipe, tuple[int, ...]]] = []
        self._best = best
        self._worth: tuple[float, ...] = ()
        self._work = 0.0
        self._stop = time.thread_time() + _LONGEST_S[effort]

    def run(self) -> Found:
        """Search with each effort up to the one asked for."""
        reached: Literal["usual", "thorough"] = "usual"
        stages: tuple[Literal["usual", "thorough"], ...] = ("usual", "thorough")
        for stage in stages[: stages.index(self._effort) + 1]:
            before = len(self._best)
            cut_short = self._stage(stage)
            if len(self._best) != before:
                reached = stage
            if cut_short or self._done():
                return Found(self._best, reached, cut_short)
        return Found(self._best, reached, False)

    def _done(self) -> bool:
        return len(self._best) <= self._bound

    def _stage(self, stage: Literal["usual", "thorough"]) -> bool:
        """Work until this stage's count is used up; whether the clock stopped it."""
        self._add_patterns(stage)
        limit = _WORK[stage]
        covered = 0
        while True:
            relaxed = self._pool.relaxed()
            self._work += _RELAXED
            self._worth = relaxed.values
            last = self._work >= limit
            if last or len(self._pool) >= _GROWN * covered:
                covered = len(self._pool)
                self._cover(relaxed)
            if last or self._done():
                return False
            if time.thread_time() > self._stop:
                return True
            for _ in range(_BATCH):
                self._try()

    def _cover(self, relaxed: Relaxed) -> None:
        """Fewer plates out of those at hand, if the relaxation leaves room for it."""
        if relaxed.plates < len(self._best):
            self._work += _COVERED
            plates = self._pool.at_most(len(self._best) - 1, relaxed)
            if plates is not None:
                self._best = plates

    def _add_patterns(self, stage: Literal["usual", "thorough"]) -> None:
        """The best plate of each kind alone, discs spread out where that holds more."""
        discs = sum(ways[0].is_disc for ways in self._portfolio.shapes)
        for kind, ways in enumerate(self._portfolio.shapes):
            over = len(self._portfolio.pattern(kind))
            if ways[0].is_disc and over < self._counts[kind]:
                more = spread_discs(
                    ways[0], self._portfolio.area, over=over, wanted=self._counts[kind],
                    seed=self._seed, tries=max(_DISCS[stage] // (discs * (over + 1)), 1),
                )  # fmt: skip
                if more:
                    self._portfolio.improve(kind, more)
            self._pool.add(self._portfolio.pattern(kind)[: self._counts[kind]])

    def _try(self) -> None:
        """Build one plate, keep it, and remember its recipe if it is worth much."""
        recipe = self._drawn()
        raster = self._portfolio.raster(recipe.sweep)
        left = list(self._counts)
        start: list[Spot] = []
        if recipe.start is not None:
            kind, most = recipe.start
            start = self._portfolio.pattern(kind)[: min(most, left[kind])]
            left[kind] -= len(start)
        before = raster.work
        spots = raster.by_quota(left, recipe.quotas, start=start)
        self._work += raster.work - before
        counts = self._pool.add(spots)
        self._elite.append((recipe, counts))
        self._elite.sort(key=lambda entry: -self._value(entry[1]))
        del self._elite[_ELITE:]

    def _value(self, counts: Sequence[int]) -> float:
        """What a plate is worth, in plates: over 1 it makes the others do with less."""
        return round(sum(v * n for v, n in zip(self._worth, counts, strict=True)), 9)

    def _drawn(self) -> _Recipe:
        if not self._elite or self._dice.random() < _NEW:
            return self._fresh()
        return self._varied(self._dice.choice(self._elite)[0])

    def _fresh(self) -> _Recipe:
        """A mix in which each kind gets a share of the plate, then whatever finds a place."""
        dice = self._dice
        kinds = list(range(len(self._counts)))
        style = dice.randrange(3)
        rank = [self._rank(kind, style) for kind in kinds]
        order = sorted(kinds, key=lambda kind: -rank[kind])
        few = dice.sample(kinds, dice.randint(1, min(4, len(kinds))))
        shares = [dice.expovariate(1.0) if kind in few else 0.0 for kind in kinds]
        whole = sum(shares) / dice.uniform(0.8, 1.1)
        quotas = [(kind, self._quota(kind, shares[kind] / whole)) for kind in order]
        fill_up = sorted(kinds, key=lambda kind: -self._rank(kind, 1))
        quotas += [(kind, self._counts[kind]) for kind in fill_up]
        return _Recipe(dice.choice(SWEEPS), tuple(quotas), self._start())

    def _rank(self, kind: int, style: int) -> float:
        """Worth for its area, size, or anything; each with some chance in it."""
        shape = self._portfolio.shapes[kind][0]
        area = 4 * shape.half_x * shape.half_y
        chance = math.exp2(self._dice.uniform(-0.7, 0.7))
        if style == 0:
            return self._worth[kind] / area * chance
        return area * chance if style == 1 else chance

    def _quota(self, kind: int, share: float) -> int:
        """How many of a kind take this share of a plate."""
        alone = max(len(self._portfolio.pattern(kind)), 1)
        return min(round(share * alone), self._counts[kind])

    def _start(self) -> tuple[int, int] | None:
        if self._dice.random() < 0.8:
            return None
        kind = self._dice.randrange(len(self._counts))
        return kind, self._dice.randint(1, max(len(self._portfolio.pattern(kind)), 1))

    def _varied(self, recipe: _Recipe) -> _Recipe:
        """The same recipe with one or two things changed."""
        dice = self._dice
        for _ in range(dice.choice((1, 1, 2))):
            change = dice.random()
            quotas = list(recipe.quotas)
            shared = len(self._counts)  # behind them come those that fill up
            one = dice.randrange(shared)
            if change < 0.1:
                recipe = replace(recipe, sweep=dice.choice(SWEEPS))
            elif change < 0.2:
                recipe = replace(recipe, start=self._start())
            elif change < 0.4:
                other = dice.randrange(shared)
                quotas[one], quotas[other] = quotas[other], quotas[one]
            elif change < 0.5:
                end = len(quotas) - 1
                first, second = dice.randint(shared, end), dice.randint(shared, end)
                quotas[first], quotas[second] = quotas[second], quotas[first]
            else:
                kind, most = quotas[one]
                most = max(0, min(most + dice.choice((-2, -1, 1, 2)), self._counts[kind]))
                quotas[one] = (kind, most)
            recipe = replace(recipe, quotas=tuple(quotas))
        return recipe
