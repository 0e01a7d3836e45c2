"""The clock of the shop."""

from __future__ import annotations

import datetime as dt


def now() -> dt.datetime:
    """The moment, with its offset."""
    return dt.datetime.now(dt.UTC).astimezone()
