"""How often the bands of voids hold the truth, where the beliefs are true and where they are not.

    python -m benchmarks.void_bands [shops]

Bands are said to hold nine in ten.  Seeds are fixed.
"""

from __future__ import annotations

import math
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np

from mouldgen.castings.prior import BELIEF
from tests.casting_bands import NAMES, coverage, of_the_prior
from tests.casting_rows import Truth

TruthOf = Callable[[np.random.Generator], Truth]


def changed(**changes: float) -> TruthOf:
    """Truths of the prior, some of their numbers fixed."""
    return lambda random: replace(of_the_prior(random), **changes)


# t variables of 4 degrees of freedom have a variance of 2
SD_OF_CONSTANT = math.sqrt(2.0) * BELIEF.intercept_scale

TRUTHS: dict[str, TruthOf] = {
    "as believed": of_the_prior,
    "voids 2 sd up": changed(at_rule=BELIEF.intercept + 2.0 * SD_OF_CONSTANT),
    "voids 2 sd down": changed(at_rule=BELIEF.intercept - 2.0 * SD_OF_CONSTANT),
    "slope of -1": changed(slope=-1.0),
    "slope of 0": changed(slope=0.0),
    "slope of -10": changed(slope=-10.0),
    "floor of 5 %": changed(floor=0.05),
    "floor of 15 %": changed(floor=0.15),
    "luck of 1.5": changed(luck=1.5),
}


def main(arguments: Sequence[str]) -> int:
    """Print the figures."""
    shops = int(arguments[0]) if arguments else 2000
    start = time.process_time()
    print(f"{'':28}" + "".join(f"{name:>18}" for name in NAMES))
    for name, truth_of in TRUTHS.items():
        for luck in (True, False) if name in {"as believed", "luck of 1.5"} else (True,):
            found = coverage(shops, truth_of, seed=11, with_luck=luck)
            told = name if luck else f"{name}, no luck"
            print(f"{told:28}" + "".join(f"{100.0 * each:16.1f} %" for each in found.share))
    print(f"{shops} shops each, {time.process_time() - start:.0f} s of processor time")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
