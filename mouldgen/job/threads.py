"""Threads by the names that people write, read from ``presets/threads``."""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, TypeVar

from mouldgen import units
from mouldgen.errors import PresetError, UnitError
from mouldgen.job.presets import find_card, names, read_card
from mouldgen.job.words import is_name, nearest, one_line

T = TypeVar("T")

_INCH_MM = 25.4
_KEYED = str.maketrans(
    {"/": "-", ".": "-", "\N{FRACTION SLASH}": "-", "\N{MULTIPLICATION SIGN}": "x"}
)


@dataclass(frozen=True, eq=False)
class Thread:
    """An internal thread.

    name : as people write it, such as ``M6`` or ``1/4-20``.
    series : ``UNC``, ``metric coarse``, ``metric fine``, ``lamp``.
    metric : whether its pitch is given in mm.
    major_mm : largest diameter [mm].
    pitch_mm : from one turn to the next [mm].
    drill_mm : of the tap drill [mm].
    drill_name : what people call that drill: ``no. 7``, ``letter F``, ``5 mm``.
    """

    name: str
    series: str
    metric: bool
    major_mm: float
    pitch_mm: float
    drill_mm: float
    drill_name: str


def thread_of(name: str) -> Thread:
    """A thread by its name.

    name : such as ``M6``, ``M6 x 1``, ``#8-32`` or ``1/4-20 UNC``.

    Raises PresetError with the nearest name where no card describes it, or where one is broken.
    """
    card = thread_card(name)
    if card is None:
        near = nearest_thread(name)
        raise PresetError(
            f'there is no thread "{one_line(name)}"',
            where="presets threads",
            allowed=", ".join(thread_names()),
            try_=f"Did you mean {near}?" if near else "",
        )
    return _thread(card)


def thread_card(name: str) -> str | None:
    """The card of a thread, or None where there is none.

    name : as `thread_of` takes it.
    """
    slug = _slug(name)
    if _is_card(slug):
        return slug
    # M6 x 1 says in full what M6 leaves to the coarse series.
    size, _, pitch = slug.rpartition("x")
    if re.fullmatch(r"\d+(-\d+)?", pitch) and _is_card(size):
        thread = _thread(size)
        if thread.metric and math.isclose(thread.pitch_mm, float(pitch.replace("-", "."))):
            return size
    return None


def thread_names() -> tuple[str, ...]:
    """The names of all threads as people write them, inch threads first, by their size."""
    threads = [_thread(card) for card in names("threads")]
    threads.sort(key=lambda thread: (thread.metric, thread.major_mm, -thread.pitch_mm))
    return tuple(thread.name for thread in threads)


def nearest_thread(name: str) -> str | None:
    """The known thread whose name is most like this one, or None where none is."""
    slug = _slug(name)
    size = re.match(r"m(\d+)(?!\d)", slug)
    if size is None:
        known = {_slug(thread): thread for thread in thread_names()}
        near = nearest(slug, known)
        return known[near] if near else None
    # Names one figure apart are no nearer to each other than any two: go by the size.
    metric = [thread for thread in map(_thread, names("threads")) if thread.metric]
    metric.sort(key=lambda t: (abs(t.major_mm - float(size[1])), t.major_mm, -t.pitch_mm))
    return metric[0].name if metric else None


def _slug(name: str) -> str:
    """The name as a file can have it: ``1/4-20 UNC`` is ``1-4-20``, ``M10x1.25`` ``m10x1-25``."""
    plain = unicodedata.normalize("NFKC", name).casefold()
    text = "".join(plain.split()).removeprefix("#").removeprefix("no.").removesuffix("unc")
    return text.translate(_KEYED)


def _is_card(slug: str) -> bool:
    if not is_name(slug):
        return False
    try:
        find_card("threads", slug)
    except PresetError:
        return False
    return True


def _thread(card: str) -> Thread:
    data = read_card("threads", card)
    where = f"threads/{card}.toml"
    metric = "pitch" in data
    if metric:
        pitch = _read(data, "pitch", units.length, where)
    else:
        pitch = _INCH_MM / _read(data, "per_inch", _count, where)
    thread = Thread(
        name=_read(data, "title", _text, where),
        series=_read(data, "series", _text, where),
        metric=metric,
        major_mm=_read(data, "major", units.length, where),
        pitch_mm=pitch,
        drill_mm=_read(data, "drill", units.length, where),
        drill_name=_read(data, "drill_name", _text, where),
    )
    if not 0.0 < thread.drill_mm < thread.major_mm or not 0.0 < pitch < thread.major_mm:
        raise PresetError(
            f"a drill of {thread.drill_mm:g} mm and a pitch of {pitch:g} mm do not make a thread"
            f" of {thread.major_mm:g} mm",
            where=where,
            allowed="a drill and a pitch above 0 and below the major diameter",
        )
    return thread


def _count(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0 < value < 200:
        raise UnitError(f"{value} is no number of turns in an inch", allowed="such as 20")
    return float(value)


def _text(value: object) -> str:
    if not isinstance(value, str) or not value:
        raise UnitError("this is no text", allowed='text in quotes, such as "1/4-20"')
    return value


def _read(data: dict[str, Any], key: str, reader: Callable[[object], T], where: str) -> T:
    if key not in data:
        raise PresetError(f"the key {key} is missing", where=where)
    try:
        return reader(data[key])
    except UnitError as problem:
        raise PresetError(problem.what, where=f"{where} {key}", allowed=problem.allowed) from None
