"""Ways to hold a lid down, read from ``presets/holding.toml``."""

from __future__ import annotations

from dataclasses import dataclass

from mouldgen import units
from mouldgen.errors import PresetError, UnitError
from mouldgen.job.presets import read_table


@dataclass(frozen=True, eq=False)
class Holding:
    """One way to hold a lid down.

    name : of its table.
    title, plural : one of them, and several.
    holds_n : what one is trusted with [N]; 0 for a weight, which is counted in grams.
    """

    name: str
    title: str
    plural: str
    holds_n: float


def holdings() -> tuple[Holding, ...]:
    """Every way in the presets, in the order of the file.

    Raises PresetError where a table lacks a key or its force cannot be read.
    """
    rows = read_table("holding").items()
    return tuple(_holding(name, row) for name, row in rows if name != "basis")


def _holding(name: str, row: dict[str, str]) -> Holding:
    try:
        return Holding(name, row["title"], row["plural"], units.force(row["holds"]))
    except (KeyError, TypeError, UnitError) as error:
        raise PresetError(
            f"the table [{name}] cannot be used: {error}",
            where="holding.toml",
            allowed='title, plural and holds, such as holds = "4 N"',
        ) from None
