"""How much loads differ from one another, beyond what chance alone would have."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from mouldgen.castings.load_luck import LoadRows
from mouldgen.castings.logistic import Posterior, posterior
from mouldgen.castings.prior import Prior
from mouldgen.castings.rows import chances


@dataclass(frozen=True, eq=False, kw_only=True)
class Luck:
    """What castings of one load share.

    sd : of the logit between loads, as likely too low as too high.
    low, high : eight times in ten it is between them.
    ratio : Pearson's sum of squares of the loads' voids over its degrees of freedom, without any
        luck in the model: about 1 where loads differ as chance has it.  None under two loads.
    """

    sd: float
    low: float
    high: float
    ratio: float | None


def luck_of(rows: LoadRows, found: Posterior, prior: Prior) -> Luck:
    """What loads share, as measured and as believed.

    rows : of all loads.
    found : the posterior, ln(tau) last.
    prior : what was believed beforehand.
    """
    low, middle, high = (
        float(np.exp(found.quantile(found.coefficients[:, -1], share))) for share in (0.1, 0.5, 0.9)
    )
    return Luck(sd=middle, low=low, high=high, ratio=_ratio(rows, prior))


def _ratio(rows: LoadRows, prior: Prior) -> float | None:
    if len(rows.starts) < 2:
        return None
    more = rows.x.shape[1] - 2
    alike = posterior(
        rows.x,
        rows.voids,
        prior_mean=[prior.intercept, prior.slope, *[0.0] * more],
        prior_sd=[prior.intercept_scale, prior.slope_sd, *[prior.column_sd] * more],
        trials=rows.castings,
        draws=256,
    )
    at = chances(rows.x @ alike.mode)
    expected = np.add.reduceat(rows.castings * at.chance, rows.starts)
    variance = np.add.reduceat(rows.castings * at.spread, rows.starts)
    voids = np.add.reduceat(rows.voids, rows.starts)
    return float(np.sum((voids - expected) ** 2 / variance) / (len(rows.starts) - 1))
