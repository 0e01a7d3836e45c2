"""From a job and the day as it was to the rows of a load.

The air rule is asked as if nothing had been learned, with the temperature and the minutes of the
day: what its answer is worth is what the rows are there to tell.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from mouldgen.castings.drafts import CastingDraft, LoadDraft
from mouldgen.gap.aging import at_shop
from mouldgen.gap.air import air_gap_mm

if TYPE_CHECKING:
    from mouldgen.castings.on_card import JobCard
    from mouldgen.gap.aging import ShopResin


@dataclass(frozen=True, eq=False)
class Poured:
    """How a load was really poured.

    poured_at : ISO 8601 with its offset.
    shop_c : temperature of the shop [C].
    close_s : from the start of mixing to pressure, or to shutting the mould [s].
    pressure_kpa : gauge; 0 without a pot [kPa].
    gap_mm : of the moulds, as printed [mm].
    gaps_mm : of those numbers that have another gap [mm].
    mould_id : lettered on the moulds of that gap; empty where that is not known.
    sequence : resin-first, insert-first or bottom-feed.
    note : in the maker's words.
    mixed_g, left_g : weighed out, and left over; None where not written down [g].
    """

    poured_at: str
    shop_c: float
    close_s: float
    pressure_kpa: float
    gap_mm: float
    gaps_mm: Mapping[int, float]
    mould_id: str
    sequence: str
    note: str = ""
    mixed_g: float | None = None
    left_g: float | None = None


def resin_as_poured(card: JobCard, poured: Poured) -> ShopResin:
    """The resin as it was when the mould was shut on that day."""
    return at_shop(card.resin, replace(card.clock, shop=poured.shop_c, close=poured.close_s))


def load_as_poured(
    card: JobCard,
    poured: Poured,
    *,
    load: int,
    numbers: Sequence[int],
) -> LoadDraft:
    """The rows of a load.

    card : what the job's pot cards say.
    poured : how it really was.
    load : its number on the pot card.
    numbers : of the moulds or fillings that were poured, rising.
    """
    resin = resin_as_poured(card, poured)
    air_mm = math.inf if resin.gelled else air_gap_mm(card.layer_mm, resin)
    castings = []
    for number in numbers:
        gap_mm = poured.gaps_mm.get(number, poured.gap_mm)
        own = number not in poured.gaps_mm
        castings.append(
            CastingDraft(
                number=number,
                fingerprint=card.fingerprint,
                mould_id=poured.mould_id if own else "",
                gap_mm=gap_mm,
                open_mm=gap_mm - card.taken_mm,
                air_mm=air_mm,
                resin=card.resin_name,
                wood=card.wood,
                shop_c=poured.shop_c,
                pressure_kpa=poured.pressure_kpa,
                close_min=poured.close_s / 60.0,
                sequence=poured.sequence,
                pours=card.pours,
            )
        )
    return LoadDraft(
        job=card.job,
        number=load,
        poured_at=poured.poured_at,
        castings=tuple(castings),
        note=poured.note,
        mixed_g=poured.mixed_g,
        left_g=poured.left_g,
    )
