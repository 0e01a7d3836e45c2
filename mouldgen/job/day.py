"""A day as people write it: year-month-day, or with the month by its name.

``18.12.2026`` and ``12/18/2026`` are no days here: which is the month differs from shop to shop.
"""

from __future__ import annotations

import datetime as dt
import re

_MONTHS = (
    "january", "february", "march", "april", "may", "june", "july", "august", "september",
    "october", "november", "december",
)  # fmt: skip
_SHORTEST = 3  # letters of a month
_NAMED = (  # compiled once they are asked for: most pours and jobs name no day
    r"(?P<day>[0-9]{1,2})(?:st|nd|rd|th|\.)?\s+(?P<month>[a-z]+)\.?,?\s+(?P<year>[0-9]{4})",
    r"(?P<month>[a-z]+)\.?\s+(?P<day>[0-9]{1,2})(?:st|nd|rd|th)?,?\s+(?P<year>[0-9]{4})",
)


def read_day(text: str) -> dt.date | None:
    """A day such as ``2026-12-18``, ``18 Dec 2026`` or ``December 18, 2026``; None for no day.

    text : as it was typed.
    """
    plain = text.strip().casefold()
    found = next((match for form in _NAMED if (match := re.fullmatch(form, plain))), None)
    try:
        if found is None:
            return dt.date.fromisoformat(plain.upper())
        return dt.date(int(found["year"]), _month(found["month"]), int(found["day"]))
    except ValueError:
        return None


def _month(name: str) -> int:
    """From 1; 0 for no month."""
    if len(name) < _SHORTEST:
        return 0
    wanted = "sep" if name == "sept" else name
    return next((at for at, month in enumerate(_MONTHS, 1) if month.startswith(wanted)), 0)
