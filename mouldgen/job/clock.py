"""A time of day as a shop writes it: ``8:00``, ``17:30``."""

from __future__ import annotations

import datetime as dt
import re

from mouldgen.errors import UnitError

_WRITTEN = re.compile(r"\s*(\d{1,2}):(\d{2})\s*")


def clock(value: object, *, default: str | None = None) -> float:
    """Seconds after midnight.

    value : text such as ``8:00``, or a time of TOML such as 08:00:00.
    default : the file's unit of bare lengths; a time of day has none.

    Raises UnitError for what is no time of day.
    """
    del default
    if isinstance(value, dt.time):
        return value.hour * 3600.0 + value.minute * 60.0 + value.second
    found = _WRITTEN.fullmatch(value) if isinstance(value, str) else None
    if found is None or not (int(found[1]) < 24 and int(found[2]) < 60):
        raise UnitError(
            "that is not a time of day",
            allowed="hours and minutes from 0:00 to 23:59, such as 8:00",
        )
    return int(found[1]) * 3600.0 + int(found[2]) * 60.0
