"""What one more colour, or one more member of a bundle, says before the maker has said a word."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from itertools import count
from typing import Any

from mouldgen import units
from mouldgen.errors import UnitError
from mouldgen.job.offset import offset

_APART_MM = 1.0  # between two members, so that they do not touch; any number above 0 would do
_FIRST_MM = 5.0  # across the first member of a bundle


def draft_of(table: str, old: Sequence[dict[str, Any]]) -> dict[str, Any]:
    """The keys of a new table in a list.

    table : ``colour`` or ``insert.member``.
    old : those that are there, as the file has them.
    """
    if table == "colour":
        share = _share(old[-1]) if old else Decimal(1)
        return {"name": _free_name(old), "share": float(share or 1)}
    if not old:
        return {"shape": "rod", "at": ["0 mm", "0 mm"], "diameter": f"{_FIRST_MM:g} mm"}
    try:
        right = max(offset(member["at"][0], default="mm") + _half_mm(member) for member in old)
        beside = right + _half_mm(old[-1]) + _APART_MM
    except (UnitError, KeyError, TypeError, IndexError):  # told where the job is read
        beside = 0.0
    return {**old[-1], "at": [f"{beside:.4g} mm", "0 mm"]}


def half_of_last(colours: Sequence[dict[str, Any]]) -> str:
    """What the last colour keeps of its share; empty where that is not to be told.

    colours : as the file has them.
    """
    share = _share(colours[-1]) if colours else None
    return "" if share is None else f"{share / 2:f}"


def made_up(colours: Sequence[dict[str, Any]], gone: int) -> tuple[int, str]:
    """Which colour gets the share of one that goes, and what it has then; empty for as before.

    colours : as the file has them.
    gone : the one that goes, from 0.
    """
    heir = gone - 1 if gone else 1
    shares = [_share(colour) for colour in colours]
    own, other = shares[gone], shares[heir] if heir < len(shares) else None
    if own is None or other is None:
        return heir, ""
    return heir, f"{own + other:f}"


def _free_name(colours: Sequence[dict[str, Any]]) -> str:
    """Such as ``colour 3`` for the third, or the next that no colour has."""
    taken = {str(colour.get("name")) for colour in colours}
    numbers = count(len(colours) + 1)
    return next(name for number in numbers if (name := f"colour {number}") not in taken)


def _share(colour: dict[str, Any]) -> Decimal | None:
    share = colour.get("share", 1.0)
    if isinstance(share, bool) or not isinstance(share, int | float):
        return None
    return Decimal(str(share))


def _half_mm(member: dict[str, Any]) -> float:
    """Half of the most that a member is across [mm]."""
    sizes = [member[key] for key in ("diameter", "width", "thickness") if key in member]
    return float(sum(units.length(size, default="mm") ** 2 for size in sizes) ** 0.5 / 2.0)
