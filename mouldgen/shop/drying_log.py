"""The log of weighings that a maker keeps while wood dries: one line of text a weighing.

::

    piece,when,weight
    # oven on at six
    A1,2026-11-20 18:30,412.3 g
    A1,2026-11-21,398

A weight without a unit is in grams, a day without a time is taken at noon, a line that begins
with ``#`` is a comment.
"""

from __future__ import annotations

import csv
import datetime as dt
import io
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise

from mouldgen import units
from mouldgen.errors import InputError, UnitError

COLUMNS = ("piece", "when", "weight")
EXAMPLE = "piece,when,weight, such as A1,2026-11-20 18:30,412.3 g"
WHEN_ALLOWED = "a day, or a day and a time, such as 2026-11-20 18:30"
_NOON = dt.time(12)
_LONGEST_NAME = 40
_WHEN = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})(?:[ T]+(\d{1,2}):(\d{2})(?::(\d{2}))?)?")
_GRAMS = re.compile(r"\d+(?:\.(\d*))?\s*(?:g|gram|grams)?", re.IGNORECASE)


@dataclass(frozen=True, eq=False)
class Weighing:
    """One piece on the scale.

    piece : its name.
    when : day and time as the maker's clock shows them.
    timed : whether the time was told; else it is noon.
    mass_g : what the scale showed [g].
    digit_g : the last place that was written [g]; None where it was not in grams.
    line : of the log, from 1.
    """

    piece: str
    when: dt.datetime
    timed: bool
    mass_g: float
    digit_g: float | None
    line: int


def read_log(text: str, *, name: str) -> Mapping[str, tuple[Weighing, ...]]:
    """The weighings of each piece, the earliest first; pieces in the order of the log.

    text : the whole log.
    name : of the file, for messages.

    Raises InputError with the number of the line that cannot be read, and where it cannot be told
    which of two weighings of a piece came first.
    """
    pieces: dict[str, list[Weighing]] = {}
    for weighing in _weighings(text.removeprefix("\ufeff"), name):
        pieces.setdefault(weighing.piece, []).append(weighing)
    return {piece: _in_order(weighings, name) for piece, weighings in pieces.items()}


def log_line(piece: str, when: str, weight: str) -> str:
    """A line of the log, without its end.

    piece, when, weight : as they are to be read again; a bare weight gets its unit.
    """
    out = io.StringIO()
    told = weight if re.search(r"[^\d.\s]", weight) else f"{weight} g"
    csv.writer(out, lineterminator="").writerow([piece, when, told])
    return out.getvalue()


def read_when(text: str) -> tuple[dt.datetime, bool]:
    """Day and time, and whether the time was told.

    text : such as ``2026-11-20 18:30``.

    Raises UnitError for what is neither.
    """
    found = _WHEN.fullmatch(text.strip())
    try:
        if found is None:
            raise ValueError
        day = dt.date(*(int(part) for part in found.groups()[:3]))
        if found[4] is None:
            return dt.datetime.combine(day, _NOON), False
        time = dt.time(int(found[4]), int(found[5]), int(found[6] or 0))
        return dt.datetime.combine(day, time), True
    except ValueError:
        raise UnitError(f'"{text}" is neither a day nor a time', allowed=WHEN_ALLOWED) from None


def read_mass(text: str) -> tuple[float, float | None]:
    """A weight and the last place it was written to, both in g; None for that in other units.

    text : such as ``412.3 g``; a bare number is in grams.

    Raises UnitError for what is no weight above zero.
    """
    plain = text.strip()
    bare = re.fullmatch(r"[\d.]+", plain) is not None
    mass = units.mass(f"{plain} g" if bare else plain)
    if not mass > 0.0:
        raise UnitError(f'"{plain}" is no weight', allowed="a weight above zero, such as 412.3 g")
    grams = _GRAMS.fullmatch(plain)
    return mass, 10.0 ** -len(grams[1] or "") if grams else None


def _weighings(text: str, name: str) -> Iterator[Weighing]:
    first = True
    for number, line in enumerate(text.splitlines(), start=1):
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        fields = _fields(line, number, name)
        if first and tuple(field.casefold() for field in fields) == COLUMNS:
            first = False
            continue
        first = False
        yield _weighing(fields, number, name)


def _fields(line: str, number: int, name: str) -> list[str]:
    try:
        return [field.strip() for field in next(csv.reader([line], skipinitialspace=True))]
    except csv.Error as problem:
        raise InputError(str(problem), where=f"{name}, line {number}", allowed=EXAMPLE) from None


def _weighing(fields: list[str], number: int, name: str) -> Weighing:
    where = f"{name}, line {number}"
    if len(fields) != len(COLUMNS):
        many = "1 field" if len(fields) == 1 else f"{len(fields)} fields"
        raise InputError(
            f"the line has {many} and not 3",
            where=where,
            allowed=EXAMPLE,
            try_="Decimals have a point, never a comma."
            if len(fields) > len(COLUMNS)
            else "Put commas between them."
            if any(";" in field or "\t" in field for field in fields)
            else "",
        )
    piece = fields[0]
    if not 0 < len(piece) <= _LONGEST_NAME or not piece.isprintable():
        raise InputError(
            "the piece has no name that can be used",
            where=where,
            allowed=f"1 to {_LONGEST_NAME} signs, such as A1",
        )
    try:
        when, timed = read_when(fields[1])
        mass, digit = read_mass(fields[2])
    except UnitError as problem:
        raise problem.at(where) from None
    return Weighing(piece, when, timed, mass, digit, number)


def _in_order(weighings: Iterable[Weighing], name: str) -> tuple[Weighing, ...]:
    ordered = sorted(weighings, key=lambda weighing: weighing.when)
    days: dict[dt.date, Weighing] = {}
    for before, after in pairwise(ordered):
        if before.when == after.when:
            raise _not_told(before, after, "at one time", name)
    for weighing in ordered:
        other = days.setdefault(weighing.when.date(), weighing)
        if other is not weighing and not (other.timed and weighing.timed):
            raise _not_told(other, weighing, "on one day, and not both have a time", name)
    return tuple(ordered)


def _not_told(one: Weighing, other: Weighing, how: str, name: str) -> InputError:
    lines = sorted((one.line, other.line))
    return InputError(
        f"{one.piece} is weighed twice {how}, which line {lines[0]} says too",
        where=f"{name}, line {lines[1]}",
        allowed="for each piece one weighing at a time",
        try_="Write the times, or take one of the two lines out.",
    )
