"""A maker's words for numbers and severities, the same in every command."""

from mouldgen.sheet.plain_words import (
    SEVERITY,
    count,
    either,
    gap,
    hours,
    length,
    percent,
    strict_gap,
    volume,
)

__all__ = [
    "SEVERITY",
    "count",
    "either",
    "gap",
    "hours",
    "length",
    "percent",
    "strict_gap",
    "volume",
]
