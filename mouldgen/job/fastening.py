"""Sizes of what fastens an insert or a lid, and of a tenon: ``presets/fastening.toml``."""

from __future__ import annotations

from mouldgen import units
from mouldgen.errors import PresetError, UnitError
from mouldgen.job.data_tables import data_tables


def fastening(name: str, *keys: str) -> tuple[float, ...]:
    """Numbers of one table, in the order of the keys: lengths in mm, bare numbers as they are.

    name : of the table, such as ``screw`` or ``M3``.
    keys : of the numbers.

    Raises PresetError where the table lacks one or it cannot be read.
    """
    data = data_tables("fastening")
    if not isinstance(data.tables.get(name), dict):
        raise PresetError(f"there is no table [{name}]", where="fastening.toml")
    return tuple(data.value(name, key, _size) for key in keys)


def _size(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise UnitError("this is no number")
    found = units.length(value) if isinstance(value, str) else float(value)
    if not 0.0 < found < 1000.0:
        raise UnitError(f"{value} is not a number that fits", allowed="above 0")
    return found
