"""What a gram of resin and a gram of plastic cost in a job, and where the price comes from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.job.mixed import mixed_g_ml
from mouldgen.mix.buy import ResinPurchase, cheapest_packs

if TYPE_CHECKING:
    from mouldgen.job.costs import Costs
    from mouldgen.job.material_tables import Plastic, Resin


@dataclass(frozen=True, eq=False)
class MaterialPrice:
    """Money for a gram.

    gram : of it.
    says : where it comes from, a clause.
    given : whether card or job say it; else it is belief.
    packs : of resin that would be bought for the order, or None.
    """

    gram: float
    says: str
    given: bool
    packs: ResinPurchase | None = None


def resin_price(
    resin: Resin, costs: Costs, *, need_g: float, by_price: bool = False
) -> MaterialPrice:
    """Of mixed resin: by its packs, or by its price, or at the usual price of a kilogram.

    Packs are bought whole.  The order pays for what it uses at the price of the dearest pack, and
    never more than all its packs cost; the rest stays on the shelf.  So a larger need never costs
    less.

    resin : its card.
    costs : with the usual price.
    need_g : mixed resin of the order, loss included [g].
    by_price : take the price where there is one, though there are packs too.
    """
    priced = resin.price is not None and (by_price or not resin.packs)
    if resin.packs and need_g > 0.0 and not priced:
        density = mixed_g_ml(resin)
        bought = cheapest_packs(need_g, resin.packs, density_g_ml=density)
        dearest = max(
            money / (holds if unit == "g" else holds * density)
            for holds, unit, money in resin.packs
        )
        gram = min(dearest, bought.cost / need_g)
        return MaterialPrice(
            gram, f"{1000.0 * gram:.4g} a kg, from the packs of the card", given=True, packs=bought
        )
    if resin.price is not None:
        amount, per = resin.price
        gram = amount if per == "g" else amount / mixed_g_ml(resin)
        return MaterialPrice(gram, f"{1000.0 * gram:.4g} a kg, as [resin] price says", given=True)
    gram = costs.resin_kg / 1000.0
    return MaterialPrice(gram, f"{costs.resin_kg:g} a kg, the usual one", given=False)


def plastic_price(plastic: Plastic, costs: Costs) -> MaterialPrice:
    """Of plastic: the card's price, or the usual one.

    plastic : its card.
    costs : with the usual price.
    """
    if plastic.price is not None:
        amount, per = plastic.price
        gram = amount if per == "g" else amount / plastic.density
        return MaterialPrice(gram, f"{1000.0 * gram:.4g} a kg, as [plastic] price says", given=True)
    gram = costs.plastic_kg / 1000.0
    return MaterialPrice(gram, f"{costs.plastic_kg:g} a kg, the usual one", given=False)
