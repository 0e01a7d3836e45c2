"""What castings teach beside two fits of statsmodels: the same numbers, and how long they take.

    python -m benchmarks.tune_and_statsmodels

Rows come from a shop with a known truth, in loads of twenty that share luck.  Three pairs:

- the likeliest coefficients without luck: `posterior` with next to no belief beside `Logit`, which
  agree to `SAME`.  Ours draws from what is believed besides, so that it takes longer;
- the same with luck of every load: `posterior_of` beside `BinomialBayesMixedGLM`, fitted by
  variational Bayes, an approximation with the same parameters;
- `tune`, which goes on to costs and to the gap of least cost: nothing there does that.

Exits 1 where the first pair differs, where the truth is not held within `SPREADS` standard
deviations by ours, or where a hundred thousand rows take longer than `BAR_S` of processor time.
"""

from __future__ import annotations

import argparse
import sys
import time
import warnings
from collections.abc import Callable
from typing import Any

import numpy as np

from benchmarks import figures
from mouldgen.castings.design_columns import design
from mouldgen.castings.logistic import posterior
from mouldgen.castings.records import Casting
from mouldgen.castings.tune import posterior_of, tune
from tests.casting_rows import Truth, job, peg_cost, poured

SAME = 1e-6
SPREADS = 4.0
BAR_S = 4.0
LOAD = 20
ROWS = (1_000, 10_000, 100_000)
MIXED_MOST = 10_000  # rows; the other's fit holds a matrix of rows times loads
FLAT = 1e6
TRUTH = Truth()
CONSTANT, SLOPE = TRUTH.at_rule, TRUTH.slope


def rows_of(count: int) -> list[Casting]:
    """Castings of a shop with that truth, each load at a gap of its own spread."""
    random = np.random.default_rng(1)
    return [
        one
        for load in range(count // LOAD)
        for one in poured(TRUTH, random.uniform(0.6, 2.0, LOAD).tolist(), load=load, random=random)
    ]


def compared(count: int) -> dict[str, Any]:
    """Every pair on so many rows."""
    castings = rows_of(count)
    x = np.column_stack([np.ones(count), [np.log(one.open_mm / one.air_mm) for one in castings]])
    y = np.array([one.result is not None and one.result.voids for one in castings], float)
    load = np.array([one.load for one in castings])
    # Nothing that is drawn from the belief tells in the likeliest coefficients.
    flat, flat_s = timed(lambda: posterior(x, y, prior_mean=[0, 0], prior_sd=[FLAT, FLAT]))
    logit, logit_s = timed(lambda: _logit(x, y))
    ours, ours_s = timed(lambda: posterior_of(design(castings)))
    tuned, tune_s = timed(
        lambda: tune(castings, job=job(), cost_at=peg_cost, least_mm=0.6, most_mm=4.0)
    )
    mean, sd = ours.mean(), ours.sd()
    away = np.abs(mean[:2] - [CONSTANT, SLOPE]) / sd[:2]
    told = {
        "rows": count, "posterior_s": flat_s, "logit_s": logit_s, "luck_s": ours_s,
        "tune_s": tune_s, "apart": float(np.abs(flat.mode / logit - 1.0).max()),
        "slope": float(mean[1]), "slope_sd": float(sd[1]), "spreads_away": float(away.max()),
        "gap_mm": tuned.least.gap_mm,
    }  # fmt: skip
    if count <= MIXED_MOST:
        (slope, slope_sd), seconds = timed(lambda: _mixed(x, y, load), runs=1)
        told |= {"mixed_s": seconds, "mixed_slope": slope, "mixed_slope_sd": slope_sd}
    return told


def timed(run: Callable[[], Any], *, runs: int = 2) -> tuple[Any, float]:
    """What comes of it, and the processor time of the quickest of some runs [s]."""
    spent = []
    for _ in range(runs):
        start = time.process_time()
        found = run()
        spent.append(time.process_time() - start)
    return found, min(spent)


def _logit(x: Any, y: Any) -> Any:
    from statsmodels.discrete.discrete_model import Logit

    return np.asarray(Logit(y, x).fit(method="newton", tol=1e-12, disp=0).params)


def _mixed(x: Any, y: Any, load: Any) -> tuple[float, float]:
    from scipy import sparse
    from statsmodels.genmod.bayes_mixed_glm import BinomialBayesMixedGLM

    number = np.unique(load, return_inverse=True)[1]
    luck = sparse.csr_matrix((np.ones(len(y)), (np.arange(len(y)), number)))
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of how far its search came
        model = BinomialBayesMixedGLM(y, x, luck, np.zeros(luck.shape[1], int))
        fit = model.fit_vb()
    return float(fit.fe_mean[1]), float(fit.fe_sd[1])


def main() -> int:
    """Print the figures, say whether every bar is met."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--keep", action="store_true", help="keep the figures for docs")
    asked = parser.parse_args()
    found = [compared(count) for count in ROWS]
    for told in found:
        print(
            f"{told['rows']} rows: posterior {told['posterior_s']:.3f} s, Logit"
            f" {told['logit_s']:.3f} s, apart by {told['apart']:.1e}"
        )
        beside = (
            f"; mixed model {told['mixed_s']:.2f} s, slope {told['mixed_slope']:.3f} +-"
            f" {told['mixed_slope_sd']:.3f}"
            if "mixed_s" in told
            else ""
        )
        print(
            f"  with luck of loads {told['luck_s']:.3f} s, slope {told['slope']:.3f} +-"
            f" {told['slope_sd']:.3f} where {SLOPE:g} is true{beside}"
        )
        print(f"  tune, with costs, {told['tune_s']:.3f} s: gap {told['gap_mm']:.2f} mm")
    if asked.keep:
        figures.keep("tune_and_statsmodels", {"rows": found})
    same = all(told["apart"] <= SAME for told in found)
    held = all(told["spreads_away"] <= SPREADS for told in found)
    return int(not (same and held and found[-1]["tune_s"] <= BAR_S))


if __name__ == "__main__":
    sys.exit(main())
