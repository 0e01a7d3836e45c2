"""The resin at the shop's temperature, from the end of mixing to its gel."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from mouldgen.job.mixed import mixed_g_ml
from mouldgen.physics.constants import ZERO_CELSIUS
from mouldgen.physics.cure import (
    fluidity_integral,
    gel_time_at,
    mixing_viscosity_at,
    viscosity_at,
)

if TYPE_CHECKING:
    from mouldgen.job.resin_numbers import CuringResin, ShopClock


@dataclass(frozen=True, eq=False)
class ShopResin:
    """A resin in this shop.  Times run from the start of mixing.

    density_kg_m3 : mixed [kg/m3].
    gel_s : the gel time at the shop's temperature [s].
    close_s : when the mould is closed and under pressure [s].
    viscosity_pa_s : at that moment, inf once gelled [Pa s].
    fluidity_per_pa : integral dt/mu from that moment to the gel, 0 once gelled [1/Pa].
    flow_per_pa : the same from the end of mixing to that moment: what may run while it is
        poured [1/Pa].
    """

    density_kg_m3: float
    gel_s: float
    close_s: float
    viscosity_pa_s: float
    fluidity_per_pa: float
    flow_per_pa: float

    @property
    def gelled(self) -> bool:
        """Whether the gel comes before the mould is closed."""
        return self.close_s >= self.gel_s


@lru_cache(maxsize=256)  # every rule asks, and a conflict asks again for each remedy
def at_shop(resin: CuringResin, pour: ShopClock) -> ShopResin:
    """The resin as it is when the mould closes, from its data sheet and the shop's clock."""
    shop_k = pour.shop + ZERO_CELSIUS
    sheet_k = resin.gel_temperature + ZERO_CELSIUS
    gel_s = gel_time_at(shop_k, gel_time=resin.gel, gel_temperature=sheet_k)
    if pour.batch is not None and pour.batch != resin.gel_mass:
        gel_s *= _batch_share(resin, pour.batch, pour.shop)
    fresh = mixing_viscosity_at(shop_k, viscosity=resin.viscosity, reference_temperature=sheet_k)
    still = fluidity_integral(pour.close, gel_time=gel_s, mixing_viscosity=fresh)
    mixed = fluidity_integral(pour.mix, gel_time=gel_s, mixing_viscosity=fresh)
    return ShopResin(
        density_kg_m3=1000.0 * mixed_g_ml(resin),
        gel_s=gel_s,
        close_s=pour.close,
        viscosity_pa_s=viscosity_at(pour.close, gel_time=gel_s, mixing_viscosity=fresh),
        fluidity_per_pa=still,
        flow_per_pa=max(0.0, mixed - still),
    )


@lru_cache(maxsize=64)  # of the batch alone: who looks for a close asks again for each
def _batch_share(resin: CuringResin, batch_g: float, shop_c: float) -> float:
    """By how much a batch gels later in its cup than the data sheet's, the least of the band."""
    from mouldgen.gap.heat import data_sheet, heat_j_kg
    from mouldgen.physics.belief import beliefs
    from mouldgen.physics.cup import gel_in_cup

    sheet, air = data_sheet(resin), shop_c + ZERO_CELSIUS
    shares = []
    for belief in beliefs(heat_j_kg(resin)):
        told = gel_in_cup(sheet, sheet.mass, belief=belief, air=air)
        own = gel_in_cup(sheet, batch_g / 1000.0, belief=belief, air=air)
        if math.isfinite(told):
            shares.append(own / told)
    share = min(shares, default=1.0)
    return share if math.isfinite(share) else 1.0
