"""Lucks that a load may have, evenly spaced, and how likely each is.

An integral over a standard normal variable becomes a sum over them: for a smooth integrand that
vanishes at its ends the trapezoidal rule converges exponentially (Trefethen & Weideman, SIAM
Review 56 (2014) 385).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]

LAST = 3.5  # 5 in 10 000 are beyond


@dataclass(frozen=True, eq=False, kw_only=True)
class Lucks:
    """Points of a standard normal variable.

    at : rising, even (lucks,).
    share : adding up to 1 (lucks,).
    """

    at: Floats
    share: Floats


@lru_cache(maxsize=8)
def lucks(count: int) -> Lucks:
    """So many lucks from -3.5 to 3.5.

    count : at least 8, steps of 1; 15 are steps of a half.
    """
    at = np.linspace(-LAST, LAST, count)
    share = np.exp(-0.5 * at**2)
    share /= share.sum()
    at.flags.writeable = share.flags.writeable = False
    return Lucks(at=at, share=share)
