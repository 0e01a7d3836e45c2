"""What a maker tells of a pour, read."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable
from dataclasses import dataclass, field

from mouldgen import units
from mouldgen.errors import MouldgenError, UsageError
from mouldgen.job.day import read_day
from mouldgen.job.words import printable

_MOST = 10_000
_WHEN = 'such as "2026-11-20 18:30", or "18:30" for today'
_CLOCK = re.compile(r"(?:(?P<day>.*\S)\s+)?(?P<hour>\d{1,2}):(?P<minute>\d{2})")
_LONGEST_NOTE = 2000
# A load is written down on its day, or in the week of it; a year's last digit or two is what a
# finger misses, and in January the year itself: common practice, no source.
_LONG_AGO = dt.timedelta(days=300)


@dataclass(frozen=True, eq=False, kw_only=True)
class PourSaid:
    """What was said of a pour, as typed; None and empty for what the card says.

    shop, close, pressure, when : of the day.
    gap : ``0.9 mm`` or ``1-4=0.9 mm``, each.
    moulds : numbers of those that were poured.
    mixed, left : masses.
    note : anything else.
    """

    shop: str | None = None
    close: str | None = None
    pressure: str | None = None
    when: str | None = None
    gap: tuple[str, ...] = ()
    moulds: str | None = None
    mixed: str | None = None
    left: str | None = None
    note: str | None = None


@dataclass(frozen=True, eq=False, kw_only=True)
class Told:
    """What was told; None and empty for what the card says.

    when : ISO 8601 with its offset; now where it was not told.
    shop_c : temperature of the shop [C].
    close_s : from mixing to pressure [s].
    pressure_kpa : gauge [kPa].
    gap_mm : of all moulds [mm].
    gaps_mm : of those numbers that have another [mm].
    moulds : numbers of those that were poured.
    mixed_g, left_g : masses [g].
    note : in the maker's words.
    doubts : what looks like a slip of the keys, a question each; it is taken as it was said.
    """

    when: str
    shop_c: float | None = None
    close_s: float | None = None
    pressure_kpa: float | None = None
    gap_mm: float | None = None
    gaps_mm: dict[int, float] = field(default_factory=dict)
    moulds: tuple[int, ...] = ()
    mixed_g: float | None = None
    left_g: float | None = None
    note: str = ""
    doubts: tuple[str, ...] = ()


def read_told(said: PourSaid, *, unit: str | None, now: dt.datetime) -> Told:
    """What was said, read.

    unit : of the job's bare lengths, or None.
    now : the moment, with its offset.

    Raises UnitError and UsageError with the option's name.
    """
    gap_mm, gaps_mm = _gaps(said.gap, unit)
    close_s = _read("--close", said.close, units.time)
    mixed_g = _read("--mixed", said.mixed, units.mass)
    left_g = _read("--left", said.left, units.mass)
    if close_s is not None and close_s <= 0.0:
        raise UsageError("a mould is shut after mixing began", where="--close", allowed="above 0")
    if mixed_g is not None and mixed_g <= 0.0:
        raise UsageError("nothing was weighed out", where="--mixed", allowed="above 0")
    if left_g is not None and mixed_g is not None and left_g > mixed_g:
        raise UsageError(
            "more was left over than was weighed out", where="--left", allowed="up to --mixed"
        )
    when = read_when(said.when, now=now)
    doubt = long_ago(when, now=now)
    return Told(
        when=when,
        shop_c=_read("--shop", said.shop, units.temperature),
        close_s=close_s,
        pressure_kpa=_read("--pressure", said.pressure, units.pressure),
        gap_mm=gap_mm,
        gaps_mm=gaps_mm,
        moulds=() if said.moulds is None else read_numbers(said.moulds, where="--moulds"),
        mixed_g=mixed_g,
        left_g=left_g,
        note=read_note(said.note),
        doubts=(doubt,) if doubt else (),
    )


def read_when(text: str | None, *, now: dt.datetime) -> str:
    """A moment of the shop's clock, ISO 8601 with its offset; now for None.

    text : ``2026-11-20 18:30``, ``20 Nov 2026 18:30``, or ``18:30`` for today.
    now : the moment, with its offset.

    Raises UsageError for what is none, and for one that lies ahead.
    """
    if text is None:
        return now.isoformat(timespec="seconds")
    plain, clock = text.strip(), _CLOCK.fullmatch(text.strip())
    try:
        said = clock["day"] if clock else plain
        day = now.date() if said is None else read_day(said)
        if clock and day:
            time = dt.time(int(clock["hour"]), int(clock["minute"]))
            moment = dt.datetime.combine(day, time)
        elif day:
            raise UsageError("the time of day is missing", where="--when", allowed=_WHEN)
        else:
            moment = dt.datetime.fromisoformat(plain)
        if moment.tzinfo is None:
            moment = moment.astimezone()  # as the clock of the shop had it on that day
    except (ValueError, OverflowError) as problem:
        if isinstance(problem, UsageError):
            raise
        raise UsageError(
            f'"{printable(plain)}" is no moment', where="--when", allowed=_WHEN
        ) from None
    if moment > now + dt.timedelta(minutes=1):
        raise UsageError(f'"{printable(plain)}" lies ahead', where="--when", allowed=_WHEN)
    return moment.isoformat(timespec="seconds")


def long_ago(when: str, *, now: dt.datetime) -> str:
    """Whether the year of a pour is right, a question; empty where it is not long ago.

    when : as `read_when` gives it.
    now : the moment, with its offset.
    """
    ago = now - dt.datetime.fromisoformat(when)
    if ago < _LONG_AGO:
        return ""
    days = ago.days
    told = f"{days} days" if days < 730 else f"{days / 365.25:.0f} years"
    return f"A pour on {when[:10]} was {told} ago: is the year in --when right?"


def read_numbers(text: str, *, where: str) -> tuple[int, ...]:
    """Numbers such as ``1-4, 7``, rising.

    where : the option, for messages.

    Raises UsageError for what is none, and for one that is there twice.
    """
    numbers: list[int] = []
    for part in re.split(r"[,\s]+(?:and\s+)?", re.sub(r"\s*[-–]\s*", "-", text.strip())):
        found = re.fullmatch(r"(\d{1,6})(?:-(\d{1,6}))?", part)
        first = int(found[1]) if found else 0
        last = int(found[2] or first) if found else 0
        if not 1 <= first <= last <= _MOST:
            raise UsageError(
                f'"{printable(text)}" names no castings',
                where=where,
                allowed="numbers on the pot card, such as 1-4, 7",
            )
        numbers += range(first, last + 1)
    if len(set(numbers)) != len(numbers):
        raise UsageError(f'"{printable(text)}" names a casting twice', where=where)
    return tuple(sorted(numbers))


def read_note(text: str | None) -> str:
    """A note in one line.

    Raises UsageError for one that is very long.
    """
    plain = " ".join(printable(text or "").split())
    if len(plain) > _LONGEST_NOTE:
        raise UsageError(
            "that is too long for a note", where="--note", allowed=f"{_LONGEST_NOTE} characters"
        )
    return plain


def _gaps(texts: tuple[str, ...], unit: str | None) -> tuple[float | None, dict[int, float]]:
    """The gap of all, and those of some."""
    whole: float | None = None
    some: dict[int, float] = {}
    for text in texts:
        numbers, equals, gap = text.rpartition("=")
        gap_mm = _read("--gap", gap, lambda one: units.length(one, default=unit)) or 0.0
        if gap_mm <= 0.0:
            raise UsageError(f'"{printable(text)}" is no gap', where="--gap", allowed="above 0 mm")
        named = read_numbers(numbers, where="--gap") if equals else ()
        if (not equals and whole is not None) or some.keys() & set(named):
            raise UsageError(
                f'"{printable(text)}" speaks of a casting for the second time', where="--gap"
            )
        if equals:
            some.update(dict.fromkeys(named, gap_mm))
        else:
            whole = gap_mm
    return whole, some


def _read(where: str, text: str | None, read: Callable[[str], float]) -> float | None:
    if text is None:
        return None
    try:
        return read(text)
    except MouldgenError as problem:
        raise problem.at(where) from None
