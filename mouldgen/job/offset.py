"""A place beside the axis, as people write it: a length that may be on either side."""

from __future__ import annotations

from typing import Any

from mouldgen import units


def offset(value: Any, *, default: str | None = None) -> float:
    """Millimetres of a length with a sign before it, such as ``-6 mm`` [mm].

    value : text or a number, as `mouldgen.units.length` reads it.
    default : unit of a bare number, or None where it needs one.

    Raises UnitError.
    """
    if isinstance(value, str) and value.strip()[:1] in ("-", "\N{MINUS SIGN}"):
        return -units.length(value.strip()[1:], default=default)
    if isinstance(value, int | float) and not isinstance(value, bool) and value < 0:
        return -units.length(-value, default=default)
    return units.length(value, default=default)
