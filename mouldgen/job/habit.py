"""How the maker of a job writes lengths, read off the file itself.

Asked where a refusal is to be told: then there is no `Job` to ask, or no longer one, so the file
is read once more.  That costs nothing where all goes well.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from mouldgen.errors import MouldgenError, UnitError
from mouldgen.job.load import layers_of
from mouldgen.job.merge import Layer
from mouldgen.units import length

_READ_AS_TOLD = ("mm", "millimetre", "millimetres", "millimeter", "millimeters")


@dataclass(frozen=True, eq=False)
class Habit:
    """How a maker writes.

    inches : whether the job is in inches.
    written : lengths [mm] that are given in another unit than mm, and how; the last of two that
        are alike.
    """

    inches: bool = False
    written: Mapping[float, str] = field(default_factory=dict)


def habit_of(source: str | Path, *, sets: Sequence[str] = ()) -> Habit:
    """How the maker of a job writes; that of mm for a file that cannot be read so far.

    source, sets : as `mouldgen.job.load.load_job` takes them.
    """
    try:
        layers = layers_of(source, sets=sets)
    except MouldgenError:
        return Habit()
    return habit_in(layers)


def habit_in(layers: Iterable[Layer]) -> Habit:
    """How the maker of files writes.

    layers : of a job, the lowest first.
    """
    unit: Any = None
    written: dict[float, str] = {}
    for layer in layers:
        unit = layer.data.get("unit", unit)
        for text in _texts(layer.data):
            try:
                written[length(text)] = text
            except UnitError:  # no length: a name, a time, a list that is a text
                continue
    return Habit(unit == "in", written)


def _texts(value: Any) -> Iterator[str]:
    """Every text in tables and lists that is given in another unit than mm."""
    if isinstance(value, str):
        if not value.rstrip().casefold().endswith(_READ_AS_TOLD):
            yield value.strip()
        return
    inner = value.values() if isinstance(value, dict) else value
    if isinstance(inner, (list, tuple)) or isinstance(value, dict):
        for one in inner:
            yield from _texts(one)
