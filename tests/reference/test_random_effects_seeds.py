"""Loads that share luck, against a published fit and against plain integration.

The germination data of 21 plates (M. J. Crowder, Appl. Statist. 27 (1978) 34, table 3) are the
usual example of a logistic regression with a normal effect of every plate.  Their maximum
likelihood is printed with the example "Seeds" of the MultiBUGS and OpenBUGS manuals, which found
it by data cloning: -0.5485 (0.168), 0.09685 (0.283), 1.337 (0.238), interaction -0.8105 (0.389),
standard deviation between plates 0.2364 (0.109); 256 copies, so that its own error is about
0.0001 to 0.0002.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.special import expit
from scipy.stats import binom, norm

from mouldgen.castings.load_luck import LoadRows, luck_posterior

GERMINATED = [10, 23, 23, 26, 17, 5, 53, 55, 32, 46, 10, 8, 10, 8, 23, 0, 3, 22, 15, 32, 3]
SEEDS = [39, 62, 81, 51, 39, 6, 74, 72, 51, 79, 13, 16, 30, 28, 45, 4, 12, 41, 30, 51, 7]
KIND = np.repeat([0.0, 1.0], [11, 10])
ROOT = np.repeat([0.0, 1.0, 0.0, 1.0], [5, 6, 5, 5])


def plates() -> LoadRows:
    return LoadRows(
        x=np.column_stack([np.ones(21), KIND, ROOT, KIND * ROOT]),
        voids=np.array(GERMINATED, dtype=float),
        castings=np.array(SEEDS, dtype=float),
        starts=np.arange(21),
    )


def test_the_summit_without_a_belief_is_the_published_maximum_likelihood() -> None:
    found = luck_posterior(plates(), prior_mean=np.zeros(5), prior_sd=np.full(5, 1e4), draws=256)
    assert found.mode[:4] == pytest.approx([-0.5485, 0.09685, 1.337, -0.8105], abs=3e-4)
    assert np.exp(found.mode[4]) == pytest.approx(0.2364, abs=3e-4)


def test_the_bell_at_the_summit_has_the_published_standard_errors() -> None:
    found = luck_posterior(plates(), prior_mean=np.zeros(5), prior_sd=np.full(5, 1e4), draws=256)
    errors = np.sqrt(np.diag(found.covariance))
    # Data cloning gives them to about 2 %: each is a standard deviation over 20 000 steps.
    assert errors[:4] == pytest.approx([0.168, 0.283, 0.238, 0.389], rel=0.025)
    # that of tau is sd(ln tau) times tau
    assert errors[4] * np.exp(found.mode[4]) == pytest.approx(0.109, rel=0.025)


def small() -> LoadRows:
    """Three loads, the middle one at two gaps."""
    return LoadRows(
        x=np.array([[1.0, -0.4], [1.0, 0.0], [1.0, 0.5], [1.0, 0.3]]),
        voids=np.array([5.0, 1.0, 0.0, 4.0]),
        castings=np.array([6.0, 4.0, 5.0, 7.0]),
        starts=np.array([0, 1, 3]),
    )


def integrated(b0: float, b1: float, tau: float) -> float:
    """Likelihood of `small` by adaptive quadrature over every load's luck."""
    rows, total = small(), 1.0
    for first, last in ((0, 1), (1, 3), (3, 4)):

        def inside(z: float, first: int = first, last: int = last) -> float:
            chance = expit(rows.x[first:last] @ [b0, b1] + tau * z)
            found = binom.pmf(rows.voids[first:last], rows.castings[first:last], chance)
            return float(np.prod(found) * norm.pdf(z))

        total *= quad(inside, -12.0, 12.0, epsabs=0.0, epsrel=1e-9, points=[-2.0, 0.0, 2.0])[0]
    return total


def test_means_and_spreads_are_those_of_a_grid_with_quadrature_for_the_luck() -> None:
    mean, sd = np.array([-1.75, -4.0, np.log(0.4)]), np.array([1.5, 2.0, 0.6])
    axes = [m + s * np.linspace(-4.5, 4.5, 21) for m, s in zip(mean, sd, strict=True)]
    grid = np.array(np.meshgrid(*axes, indexing="ij")).reshape(3, -1).T
    density = np.exp(-0.5 * np.sum(((grid - mean) / sd) ** 2, axis=1))
    nodes, weights = np.polynomial.hermite_e.hermegauss(60)
    rows = small()
    logit = grid[:, :2] @ rows.x.T
    at = logit[:, None, :] + np.exp(grid[:, 2])[:, None, None] * nodes[None, :, None]
    terms = binom.pmf(rows.voids, rows.castings, expit(at))
    for first, last in ((0, 1), (1, 3), (3, 4)):
        density *= terms[:, :, first:last].prod(axis=2) @ weights
    density /= density.sum()
    exact_mean = density @ grid
    exact_sd = np.sqrt(density @ (grid - exact_mean) ** 2)

    found = luck_posterior(rows, prior_mean=mean, prior_sd=sd, draws=4096)
    assert found.mean() == pytest.approx(exact_mean, abs=0.02 * exact_sd.max())
    assert np.abs(found.mean() - exact_mean).max() < 0.02 * exact_sd.min()
    assert found.sd() == pytest.approx(exact_sd, rel=0.02)


@pytest.mark.parametrize(
    ("first", "second"),
    [((-1.0, -3.0, 0.3), (-1.0, -3.0, 1.2)), ((-1.0, -3.0, 0.6), (0.5, -6.0, 2.0))],
)
def test_the_sum_over_lucks_is_the_integral(
    first: tuple[float, float, float], second: tuple[float, float, float]
) -> None:
    from mouldgen.castings.load_luck import _Target

    wide = np.full(3, 1e6)  # a belief that says nothing
    target = _Target(small(), np.zeros(3), wide, np.full(3, np.inf))
    logs = [target.value(np.array([b0, b1, np.log(tau)])) for b0, b1, tau in (first, second)]
    exact = np.log(integrated(*first)) - np.log(integrated(*second))
    # 4e-4 of the normal's weight lies beyond the last luck; more matters where tau is 2.
    assert logs[0] - logs[1] == pytest.approx(exact, abs=2e-3)
