"""How hot a resin gets in its mould and in its mixing cup, and how long the cup lasts.

Bands, not degrees: see `mouldgen.physics.bands`.  Nothing here is needed for the moulds, so it is
reckoned only when asked for.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.gap.heat import (
    SOFTENS_LESS_K,
    data_sheet,
    heat_j_kg,
    resin_limit_c,
    section,
    softens_c,
)
from mouldgen.physics.bands import Band, Bands, batch_for_time, cup_bands, mould_bands
from mouldgen.physics.constants import ZERO_CELSIUS

if TYPE_CHECKING:
    from mouldgen.gap.question import GapQuestion

_ROUND_G = (10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10_000, 20_000, 50_000)
_FEWEST, _MOST = 6, 8  # rows of the table


@dataclass(frozen=True, eq=False)
class Cup:
    """A batch left standing in its cup.

    mass_g : of both parts [g].
    gel : when the first place gels, from the start of mixing [s].
    peak : hottest place of the resin [K].
    """

    mass_g: float
    gel: Band
    peak: Band


@dataclass(frozen=True, eq=False)
class CureHeat:
    """The heat of one job.

    shop_c : where all starts [C].
    gap_mm : that the mould was reckoned with; None where it could not be [mm].
    mould : the resin in the mould, or None.
    cups : by rising mass; the batch for all moulds and the maker's own among them.
    one_g, total_g : to mix for one mould and for all, or None [g].
    batch_g : that the maker mixes at once, or None [g].
    needed_s : that a cup must last: until the mould is closed, from the start of mixing [s].
    largest_g : the largest batch that lasts so long on the early side of its band; 0 where none
        does, inf where any does [g].
    softens_c : where the plastic, or the rubber, gives way [C].
    wall_limit_c, resin_limit_c : not to be passed [C].
    """

    shop_c: float
    gap_mm: float | None
    mould: Bands | None
    cups: tuple[Cup, ...]
    one_g: float | None
    total_g: float | None
    batch_g: float | None
    needed_s: float
    largest_g: float
    softens_c: float
    wall_limit_c: float
    resin_limit_c: float

    @property
    def batches(self) -> int | None:
        """In how many cups to mix for all moulds, each for whole moulds; None where none would do.

        None as well where the amounts are not known.
        """
        if self.total_g is None or self.one_g is None or self.largest_g == 0.0:
            return None
        at_once = min(self.largest_g, self.batch_g or math.inf)
        if math.isinf(at_once):
            return 1
        a_cup = math.floor(at_once / self.one_g + 1e-9)
        return math.ceil(self.total_g / (a_cup * self.one_g) - 1e-9) if a_cup else None

    @property
    def fullest(self) -> Cup:
        """The maker's own batch, else that for all moulds; the largest where none is known."""
        wanted = self.batch_g or self.total_g
        return next((cup for cup in self.cups if cup.mass_g == wanted), self.cups[-1])


def cure_heat(
    question: GapQuestion, *, gap_mm: float | None, one_g: float | None, total_g: float | None
) -> CureHeat:
    """The resin in the mould at a gap, and batches of several sizes in their cups.

    question : the facts of the job.
    gap_mm : of the mould; None reckons the cups alone [mm].
    one_g, total_g : to mix for one mould and for all, or None [g].
    """
    batch_g = question.pour.batch
    sheet, heat = data_sheet(question.resin), heat_j_kg(question.resin)
    air = question.pour.shop + ZERO_CELSIUS
    mould = None
    if gap_mm is not None:
        mould = mould_bands(sheet, section(question, gap_mm), heat=heat, air=air)
    cups = []
    for mass in masses_g(one_g=one_g, total_g=total_g, batch_g=batch_g):
        bands = cup_bands(sheet, mass / 1000.0, heat=heat, air=air)
        cups.append(Cup(mass, bands.gel, bands.peak))
    return CureHeat(
        shop_c=question.pour.shop,
        gap_mm=gap_mm,
        mould=mould,
        cups=tuple(cups),
        one_g=one_g,
        total_g=total_g,
        batch_g=batch_g,
        needed_s=question.pour.close,
        largest_g=1000.0 * batch_for_time(sheet, question.pour.close, heat=heat, air=air),
        softens_c=softens_c(question),
        wall_limit_c=softens_c(question) - SOFTENS_LESS_K,
        resin_limit_c=resin_limit_c(question.resin),
    )


def masses_g(
    *, one_g: float | None, total_g: float | None, batch_g: float | None = None
) -> tuple[float, ...]:
    """Five to eight batches from about one mould to about twice all of them, those told included.

    one_g, total_g : to mix for one mould and for all, or None [g].
    batch_g : that the maker mixes at once, or None [g].
    """
    low, high = one_g or 50.0, 2.0 * (total_g or 1000.0)
    rows = [float(mass) for mass in _ROUND_G if 0.5 * low <= mass <= high]
    around = [float(mass) for mass in _ROUND_G if mass > (rows[-1] if rows else high)]
    before = [float(mass) for mass in reversed(_ROUND_G) if mass < (rows[0] if rows else high)]
    while len(rows) < _FEWEST - 1 and (around or before):
        if before and (not around or len(rows) % 2):
            rows.insert(0, before.pop(0))
        else:
            rows.append(around.pop(0))
    told = {float(mass) for mass in (total_g, batch_g) if mass}
    return tuple(sorted({*rows[-(_MOST - len(told)) :], *told}))
