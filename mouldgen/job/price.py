"""What a resin costs, as a maker writes it: ``38 per kg``, ``45 per l``; no currency is named."""

from __future__ import annotations

import re
from typing import Literal

from mouldgen import units
from mouldgen.errors import UnitError

PricePer = tuple[float, Literal["g", "ml"]]

ALLOWED = "an amount, per, and a unit of mass or volume, such as 38 per kg or 160 per US gal"
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
            f"{found[2]} is neither a unit of mass nor of volume", allowed=ALLOWED
        ) from None
