"""How long the resin of a mix lasts: in the mixing cup, split into cups, and tinted.

A batch gels sooner the more of it stands in one cup (`mouldgen.physics.bands`).  What has been
used up of its life before it is split is gone; after that each cup lives on as its own mass.  The
shares of the lives used up one after another are added (the rule of the used-up life; belief: it
is exact where the rate depends on temperature and conversion alone and the cups were held at
theirs).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from mouldgen.gap.heat import data_sheet, heat_j_kg
from mouldgen.physics.constants import ZERO_CELSIUS

if TYPE_CHECKING:
    from mouldgen.job.material_tables import Resin

# A cup is reckoned as the next mass up of these, so that few histories are run: never too long.
RUNGS = 24  # a factor of ten
RESERVE_SHARE = 0.1  # of the gel time, where the maker gives none; belief


@dataclass(frozen=True, eq=False)
class CupLife:
    """When one cup gels, and until when it may be poured; from the start of its mixing.

    gel_s : early side of its band, inf where it does not gel [s].
    stop_s : less the reserve [s].
    """

    gel_s: float
    stop_s: float


def gel_s(resin: Resin, *, shop_c: float, mass_g: float) -> float:
    """When a batch left in its cup gels, on the early side of its band [s].

    resin : as its card tells it.
    shop_c : temperature of the shop [C].
    mass_g : of both parts; taken as up to a tenth more [g].
    """
    rung = math.ceil(RUNGS * math.log10(mass_g) - 1e-9)
    return _gel_of_rung(resin, shop_c, rung)


@lru_cache(maxsize=1024)
def _gel_of_rung(resin: Resin, shop_c: float, rung: int) -> float:
    from mouldgen.physics.bands import gel_band  # late: the histories need numpy

    mass_kg = 10.0 ** (rung / RUNGS) / 1000.0
    air = shop_c + ZERO_CELSIUS
    return gel_band(data_sheet(resin), mass_kg, heat=heat_j_kg(resin), air=air).low


def cup_life(
    gel: Callable[[float], float],
    *,
    mix_g: float,
    cup_g: float,
    split_s: float,
    tint_s: float,
    gel_factor: float,
    reserve_s: float | None,
) -> CupLife:
    """The life of one cup.

    gel : when a mass [g], left in its cup, gels [s].
    mix_g : of the whole mix, until it is split [g].
    cup_g : of this cup [g].
    split_s : when this cup has its share; 0 where the mix stays whole [s].
    tint_s : when its tint goes in [s].
    gel_factor : gel time with the tint over that without.
    reserve_s : kept free before the gel; None for `RESERVE_SHARE` of it [s].
    """
    whole, own = gel(mix_g), gel(cup_g)
    used = split_s / whole + (tint_s - split_s) / own
    gelled = tint_s + max(0.0, 1.0 - used) * own * gel_factor
    if used >= 1.0:
        gelled = min(tint_s, whole)
    reserve = RESERVE_SHARE * gelled if reserve_s is None else reserve_s
    return CupLife(gelled, gelled if math.isinf(gelled) else gelled - reserve)
