"""Sizes of what fastens an insert or a lid, and of a tenon: ``presets/fastening.toml``."""

from __future__ import annotations

from typing import Any

from mouldgen import units
from mouldgen.errors import PresetError, UnitError
from mouldgen.job.presets import read_table


def fastening(name: str, *keys: str) -> tuple[float, ...]:
    """Numbers of one table, in the order of the keys: lengths in mm, bare numbers as they are.

    name : of the table, such as ``screw`` or ``M3``.
    keys : of the numbers.

    Raises PresetError where the table lacks one or it cannot be read.
    """
    row = read_table("fastening").get(name)
    if not isinstance(row, dict):
        raise PresetError(f"there is no table [{name}]", where="fastening.toml")
    return tuple(_read(row, name, key) for key in keys)


def _read(row: dict[str, Any], table: str, key: str) -> float:
    where = f"fastening.toml [{table}] {key}"
    if key not in row:
        raise PresetError(f"the key {key} is missing", where=where)
    value = row[key]
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise PresetError("this is no number", where=where)
    try:
        found = units.length(value) if isinstance(value, str) else float(value)
    except UnitError as problem:
        raise PresetError(problem.what, where=where, allowed=problem.allowed) from None
    if not 0.0 < found < 1000.0:
        raise PresetError(f"{value} is not a number that fits", where=where, allowed="above 0")
    return found
