"""What things cost as a maker writes it: ``38 per kg``, ``1.5 kg for 42``; no currency named."""

from __future__ import annotations

import re
from typing import Literal, cast

from mouldgen import units
from mouldgen.errors import UnitError
from mouldgen.job.words import one_line

PricePer = tuple[float, Literal["g", "ml"]]
PackPrice = tuple[float, Literal["g", "ml"], float]

ALLOWED = "an amount, per, and a unit of mass or volume, such as 38 per kg or 160 per US gal"
ALLOWED_PACK = "what both parts weigh or fill, for, and an amount, such as 1.5 kg for 42"
_PACK = re.compile(r"\s*(\S.*?)\s+for\s+(\d+(?:\.\d+)?|\.\d+)\s*", re.IGNORECASE)
_WRITTEN = re.compile(r"\s*(\d+(?:\.\d+)?|\.\d+)\s*(?:per\b|/)\s*(\S.*?)\s*", re.IGNORECASE)


def price(value: object, *, default: str | None = None) -> PricePer:
    """Money for a gram or for a millilitre of mixed resin, and which of the two.

    value : text such as ``38 per kg``.
    default : the file's unit of bare lengths; a price has none.

    Raises UnitError for what is no price.
    """
    del default
    found = _WRITTEN.fullmatch(value) if isinstance(value, str) else None
    if found is None or not float(found[1]) > 0.0:
        raise UnitError("that is not the price of a resin", allowed=ALLOWED)
    amount, unit = float(found[1]), f"1 {found[2]}"
    try:
        return amount / units.mass(unit), "g"
    except UnitError:
        pass
    try:
        return amount / units.volume(unit), "ml"
    except UnitError:
        raise UnitError(
            f"{one_line(found[2])} is neither a unit of mass nor of volume", allowed=ALLOWED
        ) from None


def pack(value: object, *, default: str | None = None) -> PackPrice:
    """What a pack of both parts holds, in g or in ml, which of the two, and its price.

    value : text such as ``1.5 kg for 42``.
    default : the file's unit of bare lengths; a pack has none.

    Raises UnitError for what is no pack.
    """
    del default
    found = _PACK.fullmatch(value) if isinstance(value, str) else None
    if found is None or not float(found[2]) > 0.0:
        raise UnitError("that is not a pack of resin and its price", allowed=ALLOWED_PACK)
    for read, unit in ((units.mass, "g"), (units.volume, "ml")):
        try:
            holds = read(found[1])
        except UnitError:
            continue
        if holds > 0.0:
            return holds, cast("Literal['g', 'ml']", unit), float(found[2])
    raise UnitError(f"{one_line(found[1])} is neither a mass nor a volume", allowed=ALLOWED_PACK)
