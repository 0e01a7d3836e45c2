"""Answers as people type them, read one kind a function; each raises with a plain sentence."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence
from dataclasses import dataclass

from mouldgen import units
from mouldgen.errors import UsageError
from mouldgen.job.day import read_day
from mouldgen.job.values_in_line import values_in
from mouldgen.job.words import NAME_ALLOWED, is_name, is_reserved, nearest, printable

MOST_PIECES = 10_000
_UNIT = re.compile(r"[^\W\d_]+\.?$|[\"″”]$")  # behind a length
BETWEEN = re.compile(r"[x×*]|\bby\b", re.IGNORECASE)
_PIECES = re.compile(r"^([0-9]+)\s*(?:good\s+)?(?:pieces?|pcs?\.?)(?![a-z])", re.IGNORECASE)
_BEFORE_DAY = re.compile(r"\s*[,;]?\s*\b(?:by|until|before|on)\b\s*|\s*[,;]\s*|\s+", re.IGNORECASE)
SLIP = 0.20  # as in a job file: a reading farther off is of something else


@dataclass(frozen=True, eq=False)
class Measure:
    """A length as it was typed, and what it is [mm]."""

    text: str
    mm: float


@dataclass(frozen=True, eq=False)
class Wanted:
    """How many good pieces, and the day that they are due, if any."""

    pieces: int
    due: dt.date | None = None


@dataclass(frozen=True, eq=False)
class Title:
    """What is made: the name of its job, and the words it was told in."""

    name: str
    told: str


@dataclass(frozen=True, eq=False)
class Tint:
    """One colour and its share of the resin."""

    name: str
    share: float


def read_title(text: str) -> Title:
    """A name for the job: the words, small and with hyphens between."""
    name = re.sub(r"[^a-z0-9]+", "-", text.casefold()).strip("-")
    if not is_name(name) or is_reserved(name):
        raise UsageError(f'"{text}" cannot be the name of a job', allowed=NAME_ALLOWED)
    return Title(name, " ".join(printable(text).split()))


def read_wanted(text: str) -> Wanted:
    """Pieces, and a day behind them: ``18``, ``18 by 2026-12-18``, ``18 by 18 Dec 2026``."""
    parts = _BEFORE_DAY.split(_PIECES.sub(r"\1", text), maxsplit=1)
    return Wanted(_pieces(parts[0]), _date(parts[1]) if len(parts) > 1 and parts[1] else None)


def _pieces(text: str) -> int:
    number = int(text) if re.fullmatch(r"[0-9]{1,9}", text) else 0
    if not 1 <= number <= MOST_PIECES:
        raise UsageError(
            f'"{text}" is not a number of pieces', allowed=f"a whole number, 1 to {MOST_PIECES}"
        )
    return number


def _date(text: str) -> dt.date:
    found = read_day(text)
    if found is None:
        raise UsageError(
            f'"{text}" is not a date',
            allowed="year-month-day, such as 2026-12-18, or 18 December 2026",
        )
    return found


def read_size(text: str, *, sides: Sequence[str]) -> tuple[Measure, ...]:
    """Lengths with an x between; where one unit is written it goes for all.

    sides : what each is, such as diameter and length.
    """
    parts = [part.strip() for part in BETWEEN.split(text)]
    if len(parts) != len(sides):
        raise UsageError(
            f'"{text}" is not {" x ".join(sides)}',
            allowed=f"{len(sides)} lengths with an x between, such as"
            f" {' x '.join(['30 mm', '20 mm', '70 mm'][-len(sides) :])}",
        )
    return measures(parts)


def read_readings(text: str, *, nominal_mm: float) -> tuple[Measure, ...]:
    """Calliper readings with commas between, or with spaces where all are plain numbers.

    nominal_mm : what was said to be measured [mm].
    """
    parts = values_in(text)
    if not parts:
        raise UsageError(f'"{text}" holds no reading', allowed="such as 29.8, 30.1, 30.0 mm")
    readings = measures(parts)
    for reading in readings:
        if abs(reading.mm - nominal_mm) > SLIP * nominal_mm:
            raise UsageError(
                f"{reading.text} is more than a fifth off the {nominal_mm:g} mm you gave",
                allowed=f"{(1 - SLIP) * nominal_mm:.1f} to {(1 + SLIP) * nominal_mm:.1f} mm",
                try_="Look for a slip of the pen, or a comma for a point.",
            )
    return readings


def measures(parts: Sequence[str], *, least_mm: float = 1e-6) -> tuple[Measure, ...]:
    """Lengths; where all units written are the same, they go for bare numbers too.

    least_mm : what is shorter is refused [mm].

    Raises UnitError for what is no length, UsageError for one that is too short.
    """
    written = {unit[0] for part in parts if (unit := _UNIT.search(part))}
    found = []
    for part in parts:
        bare = len(written) == 1 and not _UNIT.search(part)
        text = f"{part} {next(iter(written))}" if bare else part
        mm = units.length(text)
        if mm < least_mm:
            raise UsageError(f'"{text}" is nothing', allowed="more than 0 mm")
        found.append(Measure(text, mm))
    return tuple(found)


def read_choice(text: str, *, names: Sequence[str], what: str) -> str:
    """One of some names, by its number in the list, in full, or nearly.

    what : is chosen, for messages.
    """
    if _in_list(text, names):
        return names[int(text) - 1]
    slug = "-".join(text.casefold().split())
    if slug in names:
        return slug
    near = nearest(slug, names)
    raise UsageError(
        f'there is no {what} "{text}"',
        allowed=f"{', '.join(names)}, or a number from 1 to {len(names)}",
        try_=f"Did you mean {near}?" if near else "",
    )


def _in_list(text: str, names: Sequence[str]) -> bool:
    return re.fullmatch(r"[0-9]{1,3}", text) is not None and 1 <= int(text) <= len(names)


def read_wood(text: str, *, names: Sequence[str]) -> tuple[str, str]:
    """The key and value of a wood: ``wood`` and its name, or ``density`` and what was typed.

    names : of the list that is shown, whose numbers will do.
    """
    if re.match(r"[0-9.]", text) and not _in_list(text, names):
        if units.density(text) <= 0.0:
            raise UsageError(f'"{text}" weighs nothing', allowed="more than 0 g/ml")
        return "density", text
    name = read_choice(text, names=names, what="wood")
    return "wood", name.replace("-", " ")


def read_tints(text: str) -> tuple[Tint, ...]:
    """Colours with commas between, each with its share or all alike: ``smoke 70, amber 30``."""
    parts = [part.strip() for part in re.split(r"[,;]|\band\b", text) if part.strip()]
    found = [re.fullmatch(r"(.*?\D)\s*([0-9.]+)?\s*%?", part) for part in parts]
    names = [match[1].strip(" :=") for match in found if match]
    if not parts or len(names) < len(parts) or not all(names) or not text.isprintable():
        raise UsageError(
            f'"{text}" names no colour', allowed="such as smoke, or smoke 70, amber 30"
        )
    told = [match[2] for match in found if match]
    if not any(told):
        return tuple(
            Tint(name, share) for name, share in zip(names, _alike(len(names)), strict=True)
        )
    try:
        shares = [float(share) for share in told]
    except (TypeError, ValueError):
        raise UsageError(
            f'"{text}" gives a share to some colours only', allowed="a share for each, or for none"
        ) from None
    total = sum(shares)
    if not min(shares) > 0.0 or min(abs(total - 1.0), abs(total - 100.0) / 100.0) > 0.005:
        raise UsageError(
            f"the shares add up to {total:g}", allowed="shares above 0 that make 1, or 100 %"
        )
    return tuple(Tint(n, round(s / total, 6)) for n, s in zip(names, shares, strict=True))


def _alike(number: int) -> list[float]:
    share = round(1.0 / number, 6)
    return [*[share] * (number - 1), round(1.0 - share * (number - 1), 6)]
