"""What sawing, drilling and tapping ask for, read from ``presets/lathe.toml``."""

from __future__ import annotations

from dataclasses import dataclass

from mouldgen import units
from mouldgen.errors import UnitError
from mouldgen.job.data_tables import data_tables


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
    value = data_tables("lathe").value
    return Lathe(
        grip_mm=value("blank", "grip", units.length),
        kerf_mm=value("blank", "kerf", units.length),
        wall_mm=value("hole", "wall", units.length),
        boss=value("hole", "boss", _number),
        floor_mm=value("hole", "floor", units.length),
        deeper=value("hole", "deeper", _times),
        point_deg=value("hole", "point", _point),
        lead=value("hole", "lead", _number),
        engaged=value("hole", "engaged", _number),
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
