"""The resin at the shop's temperature, from the moment the mould is closed to its gel."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from mouldgen.physics.constants import ZERO_CELSIUS
from mouldgen.physics.cure import (
    fluidity_integral,
    gel_time_at,
    mixing_viscosity_at,
    viscosity_at,
)
from mouldgen.physics.mixture import mixed_density

if TYPE_CHECKING:
    from mouldgen.job.model import Pour, Resin


@dataclass(frozen=True, eq=False)
class ShopResin:
    """A resin in this shop.  Times run from the start of mixing.

    density_kg_m3 : mixed [kg/m3].
    gel_s : the gel time at the shop's temperature [s].
    close_s : when the mould is closed and under pressure [s].
    viscosity_pa_s : at that moment, inf once gelled [Pa s].
    fluidity_per_pa : integral dt/mu from that moment to the gel, 0 once gelled [1/Pa].
    """

    density_kg_m3: float
    gel_s: float
    close_s: float
    viscosity_pa_s: float
    fluidity_per_pa: float

    @property
    def gelled(self) -> bool:
        """Whether the gel comes before the mould is closed."""
        return self.close_s >= self.gel_s


@lru_cache(maxsize=64)  # every rule asks, and a conflict asks again for each remedy
def at_shop(resin: Resin, pour: Pour) -> ShopResin:
    """The resin as it is when the mould closes, from its data sheet and the shop's clock."""
    shop_k = pour.shop + ZERO_CELSIUS
    sheet_k = resin.gel_temperature + ZERO_CELSIUS
    gel_s = gel_time_at(shop_k, gel_time=resin.gel, gel_temperature=sheet_k)
    fresh = mixing_viscosity_at(shop_k, viscosity=resin.viscosity, reference_temperature=sheet_k)
    density = mixed_density(
        *resin.ratio,
        density_a=resin.density_a,
        density_b=resin.density_b,
        by_volume=resin.ratio_basis == "volume",
    )
    return ShopResin(
        density_kg_m3=1000.0 * density,
        gel_s=gel_s,
        close_s=pour.close,
        viscosity_pa_s=viscosity_at(pour.close, gel_time=gel_s, mixing_viscosity=fresh),
        fluidity_per_pa=fluidity_integral(pour.close, gel_time=gel_s, mixing_viscosity=fresh),
    )
