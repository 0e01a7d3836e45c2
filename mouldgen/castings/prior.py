"""What is believed of voids before any casting is seen; every number here is belief.

With s the logarithm of the open gap over the gap that the air rule asks for, a casting of a load
has a void that breaks the surface with the chance ::

    logit P = b0 + b1 s + columns + tau z,   z standard normal, one for each load

- b0: at the rule's own gap about one casting in seven, eight times in ten between 1 in 40 and
  more than half.  The rule asks for twice the height, so a void is the exception there; but its
  viscosity and its curve of the cure are belief themselves.  A t distribution of four degrees of
  freedom, whose tails are heavy: where castings speak against it, it gives way, and not the slope.
- b1: twice the gap has a sixteenth of the odds, two times in three between a quarter of that
  step and four times it.  Wider is better, most probably, and one time in 44 it is not: then
  voids come from something else than air that was shut in.
- columns: a step of two standard deviations of pressure, temperature, sequence or pours changes
  the odds threefold or less, two times in three, either way.
- tau: what a load shares, such as a warm mix.  A load of ordinary bad luck has one and a half
  times the odds; eight times in ten between 1.15 times and three times.
- of castings with a void one in four is lost, as surely as if four had been seen; repairing one
  takes what the job says, as surely as if four had been repaired.

`docs/tuning.md` gives the reasons, and what becomes of shops of which none of it is true.
"""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True, eq=False, kw_only=True)
class Prior:
    """Means and standard deviations of normal beliefs, and a t distribution for the first.

    intercept, intercept_scale, intercept_freedom : b0, the logit of a void's chance where s is 0:
        middle, scale and degrees of freedom.
    slope, slope_sd : b1, by which it changes where the gap is e times as wide.
    column_sd : of every other column, about 0.
    log_luck, log_luck_sd : of the logarithm of tau, the standard deviation between loads.
    """

    intercept: float = -1.75
    intercept_scale: float = 1.25
    intercept_freedom: float = 4.0
    slope: float = -4.0
    slope_sd: float = 2.0
    column_sd: float = 1.0
    log_luck: float = math.log(0.4)
    log_luck_sd: float = 0.8


BELIEF = Prior()

SCRAP_LOST, SCRAP_KEPT = 1.0, 3.0  # castings with a void, lost and not, that are believed seen
REPAIRS_SEEN = 4.0  # that the job's minutes for a void count for
YIELD_SEEN = 12.0  # castings that the job's yield counts for; as in presets/cost.toml
LOSS_SEEN = 3.0  # loads that the job's loss counts for
