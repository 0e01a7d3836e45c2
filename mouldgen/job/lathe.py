"""What sawing, drilling and tapping ask for, read from ``presets/lathe.toml``."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from mouldgen import units
from mouldgen.errors import PresetError, UnitError
from mouldgen.job.presets import read_table


@dataclass(frozen=True, eq=False)
class Lathe:
    """Habits at saw and lathe, each with its basis in the preset file.

    grip_mm : of the blank's end that a chuck holds; 0 between centres or on a screw chuck [mm].
    kerf_mm : that a cut turns to dust [mm].
    wall_mm : least between the hole or the thread's largest diameter and the outline [mm].
    boss : least outside diameter round a thread, in its diameters.
    floor_mm : least between the drill's point and the other end [mm].
    deeper : drilled depth over depth of thread.
    point_deg : angle of the drill's point [degrees].
    lead : pitches that a taper tap cuts short.
    engaged : least depth of a thread, in its diameters.
    """

    grip_mm: float
    kerf_mm: float
    wall_mm: float
    boss: float
    floor_mm: float
    deeper: float
    point_deg: float
    lead: float
    engaged: float


def lathe_habits() -> Lathe:
    """The habits of the presets.

    Raises PresetError where the file lacks a key or one cannot be read.
    """
    data = read_table("lathe")
    return Lathe(
        grip_mm=_read(data, "blank", "grip", units.length),
        kerf_mm=_read(data, "blank", "kerf", units.length),
        wall_mm=_read(data, "hole", "wall", units.length),
        boss=_read(data, "hole", "boss", _number),
        floor_mm=_read(data, "hole", "floor", units.length),
        deeper=_read(data, "hole", "deeper", _times),
        point_deg=_read(data, "hole", "point", _point),
        lead=_read(data, "hole", "lead", _number),
        engaged=_read(data, "hole", "engaged", _number),
    )


def _number(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0.0 <= value < 1000.0:
        raise UnitError(f"{value} is not a number that fits", allowed="a number from 0")
    return float(value)


def _times(value: object) -> float:
    if _number(value) < 1.0:
        raise UnitError("no hole is drilled less deep than its thread", allowed="1 or more")
    return _number(value)


def _point(value: object) -> float:
    angle = units.angle(value)
    if not 30.0 <= angle <= 180.0:
        raise UnitError(f"{angle:g} degrees is no drill's point", allowed="30 to 180 deg")
    return angle


def _read(data: dict[str, Any], table: str, key: str, reader: Callable[[object], float]) -> float:
    where = f"lathe.toml [{table}] {key}"
    row = data.get(table)
    if not isinstance(row, dict) or key not in row:
        raise PresetError(f"the key {key} is missing", where=where)
    try:
        return reader(row[key])
    except UnitError as problem:
        raise PresetError(problem.what, where=where, allowed=problem.allowed) from None
