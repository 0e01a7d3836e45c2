"""How often bands of voids hold the truth, over many shops with truths of their own."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from mouldgen.castings.design_columns import Design, design
from mouldgen.castings.load_luck import chance_in_new_load
from mouldgen.castings.logistic import Posterior, posterior
from mouldgen.castings.prior import BELIEF
from mouldgen.castings.records import Casting
from mouldgen.castings.tune import posterior_of
from tests.casting_rows import Truth, counted

Floats = npt.NDArray[np.float64]

WIDE = np.array([-0.3, 0.0, 0.3, 0.7])  # ln(open/air) at which bands are looked at
NAMES = ("at -0.3", "at the rule's gap", "at 0.3", "at 0.7", "constant", "slope", "ln luck")
DRAWS = 512


def of_the_prior(random: np.random.Generator) -> Truth:
    """A truth as it is believed beforehand."""
    return Truth(
        at_rule=BELIEF.intercept
        + BELIEF.intercept_scale * float(random.standard_t(BELIEF.intercept_freedom)),
        slope=float(random.normal(BELIEF.slope, BELIEF.slope_sd)),
        luck=float(np.exp(random.normal(BELIEF.log_luck, BELIEF.log_luck_sd))),
    )


def castings_of(truth: Truth, random: np.random.Generator) -> list[Casting]:
    """Twenty to sixty castings of three to six loads, at two to four gaps."""
    loads, total = int(random.integers(3, 7)), int(random.integers(20, 61))
    gaps = np.sort(np.exp(random.uniform(-0.5, 0.8, int(random.integers(2, 5)))))
    rows: list[Casting] = []
    for load in range(loads):
        luck = random.standard_normal()
        parts = random.multinomial(total // loads, np.full(len(gaps), 1.0 / len(gaps)))
        for gap, castings in zip(gaps, parts, strict=True):
            if castings:
                chance = float(truth.chance(np.log(gap), luck))
                voids = int(random.binomial(castings, chance))
                rows += counted(load + 1, float(gap), voids, int(castings))
    return rows


def large_file_of(truth: Truth, random: np.random.Generator) -> list[Casting]:
    """Six loads of 21 castings at three gaps: their luck is what the bands turn on."""
    rows: list[Casting] = []
    for load in range(6):
        luck = random.standard_normal()
        for gap in (0.75, 1.0, 1.35):
            chance = float(truth.chance(np.log(gap), luck))
            rows += counted(load + 1, gap, int(random.binomial(7, chance)), 7)
    return rows


@dataclass(frozen=True)
class Coverage:
    """Share of shops whose truth a band held, by `NAMES`, and the bands' mean widths."""

    share: Floats
    width: Floats


def coverage(
    shops: int,
    truth_of: Callable[[np.random.Generator], Truth],
    *,
    seed: int,
    share: float = 0.9,
    with_luck: bool = True,
    file_of: Callable[[Truth, np.random.Generator], list[Casting]] = castings_of,
) -> Coverage:
    """Of bands that are said to hold so much of what is believed."""
    held, widths = np.zeros(len(NAMES)), np.zeros(len(NAMES))
    for shop in range(shops):
        random = np.random.default_rng([seed, shop])
        truth = truth_of(random)
        found = _posterior(design(file_of(truth, random)), with_luck=with_luck)
        x = np.column_stack([np.ones(len(WIDE)), WIDE])
        values = np.hstack([chance_in_new_load(found.coefficients, x), found.coefficients])
        low, high = found.interval(values, share)
        true = np.array([*truth.mean_chance(WIDE), truth.at_rule, truth.slope, np.log(truth.luck)])
        held += (low <= true) & (true <= high)
        widths += high - low
    return Coverage(held / shops, widths / shops)


def _posterior(rows: Design, *, with_luck: bool) -> Posterior:
    if with_luck:
        return posterior_of(rows, draws=DRAWS)
    found = posterior(
        rows.rows.x,
        rows.rows.voids,
        prior_mean=[BELIEF.intercept, BELIEF.slope],
        prior_sd=[math.sqrt(2.0) * BELIEF.intercept_scale, BELIEF.slope_sd],  # t's own, of 4
        trials=rows.rows.castings,
        draws=DRAWS,
    )
    no_luck = np.full((len(found.weights), 1), -30.0)
    return Posterior(
        coefficients=np.hstack([found.coefficients, no_luck]),
        weights=found.weights,
        mode=found.mode,
        covariance=found.covariance,
        effective=found.effective,
        refitted=found.refitted,
    )
