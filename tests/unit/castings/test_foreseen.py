"""What a load may show, against quadrature over its luck."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from scipy.special import expit
from scipy.stats import binom

from mouldgen.castings.foreseen import load_likelihood, outcome_chances

LINEAR = np.array([[1.0, -0.5, -2.5], [0.3, 0.1, -0.2], [-3.0, -4.0, -6.0]])
SPREAD = np.array([0.4, 1.1, 0.05])
EACH = 3


def by_quadrature(voids: tuple[int, ...]) -> np.ndarray:
    """Chance in every case, by Gauss and Hermite with 60 nodes."""
    nodes, weights = np.polynomial.hermite_e.hermegauss(60)
    chance = expit(LINEAR[:, :, None] + SPREAD[:, None, None] * nodes)
    terms = binom.pmf(np.array(voids)[None, :, None], EACH, chance).prod(axis=1)
    return np.asarray(terms @ weights / weights.sum())


def test_outcomes_are_as_likely_as_quadrature_has_them() -> None:
    found = outcome_chances(LINEAR, SPREAD, each=EACH)
    exact = np.column_stack([by_quadrature(voids) for voids in product(range(EACH + 1), repeat=3)])
    # eight lucks in steps of 1; 5 in 10 000 lie beyond the last
    assert found == pytest.approx(exact, abs=4e-4)
    assert found.sum(axis=1) == pytest.approx(1.0, abs=1e-12)


def test_a_likelihood_is_the_chance_less_the_ways_to_come_by_it() -> None:
    voids = np.array(list(product(range(EACH + 1), repeat=3)), dtype=float)
    ways = np.array([1.0, 3.0, 3.0, 1.0])[voids.astype(int)].prod(axis=1)
    logs = load_likelihood(LINEAR, SPREAD, voids=voids, castings=np.full(3, float(EACH)))
    chances = outcome_chances(LINEAR, SPREAD, each=EACH)
    assert ways[:, None] * np.exp(logs) == pytest.approx(chances.T, rel=1e-9)
