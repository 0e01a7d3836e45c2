"""What castings that are not poured yet may show, and what would then be believed.

Draws of the posterior serve twice: as truths, of which castings come, and as what is believed:
all are weighed anew by how likely they made what came out.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from mouldgen.castings.logistic import Posterior
from mouldgen.castings.lucks import lucks
from mouldgen.castings.rows import chances, softplus

Floats = npt.NDArray[np.float64]

FEW_LUCKS = 8  # steps of 1: the integrand of a load of a few castings is broad


@dataclass(frozen=True, eq=False, kw_only=True)
class EvenCases:
    """Cases of equal weight, drawn from a posterior.

    index : of each among the posterior's draws (cases,).
    coefficients : (cases, columns + 1).
    """

    index: npt.NDArray[np.intp]
    coefficients: Floats

    def linear(self, x: Floats) -> Floats:
        """Linear predictors (cases, castings).

        x : columns (castings, columns).
        """
        return np.asarray(self.coefficients[:, :-1] @ x.T)

    @property
    def spread(self) -> Floats:
        """tau of each (cases,)."""
        return np.exp(self.coefficients[:, -1])


def even_cases(found: Posterior, count: int) -> EvenCases:
    """Cases by systematic sampling along the weights, the same every time.

    found : the posterior.
    count : of cases.
    """
    upto = np.cumsum(found.weights)
    ranks = (np.arange(count) + 0.5) / count * upto[-1]
    index = np.searchsorted(upto, ranks).clip(max=len(upto) - 1)
    return EvenCases(index=index, coefficients=found.coefficients[index])


def load_likelihood(linear: Floats, spread: Floats, *, voids: Floats, castings: Floats) -> Floats:
    """Logarithm of the chance of what a load shows, in every case (outcomes, cases).

    linear : predictors at the load's gaps (cases, gaps).
    spread : tau (cases,).
    voids : castings with any, at each gap (outcomes, gaps).
    castings : at each gap (gaps,).
    """
    few = lucks(FEW_LUCKS)
    terms = np.empty((FEW_LUCKS, len(voids), len(linear)))
    for k, luck in enumerate(few.at):
        at = linear + luck * spread[:, np.newaxis]
        terms[k] = voids @ at.T - softplus(at) @ castings
    top = terms.max(axis=0)
    return np.asarray(top + np.log(np.tensordot(few.share, np.exp(terms - top), axes=1)))


def outcome_chances(linear: Floats, spread: Floats, *, each: int) -> Floats:
    """Chance of everything that a load can show, in every case (cases, outcomes).

    An outcome is how many castings have voids at the first gap, at the second, and so on.

    linear : predictors at the load's gaps (cases, gaps).
    spread : tau (cases,).
    each : castings at every gap.
    """
    few, counts = lucks(FEW_LUCKS), np.arange(each + 1)
    ways = np.array([float(math.comb(each, count)) for count in counts])
    found = np.zeros((len(linear), len(counts) ** linear.shape[1]))
    for luck, share in zip(few.at, few.share, strict=True):
        chance = chances(linear + luck * spread[:, np.newaxis]).chance[:, :, np.newaxis]
        by_gap = ways * chance**counts * (1.0 - chance) ** (each - counts)
        load = np.full((len(linear), 1), share)
        for gap in range(linear.shape[1]):
            load = (load[:, :, np.newaxis] * by_gap[:, gap, np.newaxis, :]).reshape(len(load), -1)
        found += load
    return found
