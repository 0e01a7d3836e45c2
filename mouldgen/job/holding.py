"""Ways to hold a lid or an insert down, read from ``presets/holding.toml``."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from mouldgen import units
from mouldgen.errors import PresetError, UnitError
from mouldgen.job.presets import read_table


@dataclass(frozen=True, eq=False)
class Holding:
    """One way to hold a lid or an insert down.

    name : of its table.
    title, plural : one of them, and several.
    holds_n : what one is trusted with [N]; 0 for a weight, which is counted in grams.
    wide_mm : how wide one is that is trusted with so much, 0 where that does not matter [mm].
    built : whether it needs a mould that is built for it.
    """

    name: str
    title: str
    plural: str
    holds_n: float
    wide_mm: float = 0.0
    built: bool = False


def holdings() -> tuple[Holding, ...]:
    """Every way in the presets, in the order of the file.

    Raises PresetError where a table lacks a key or its force cannot be read.
    """
    rows = read_table("holding").items()
    return tuple(_holding(name, row) for name, row in rows if name != "basis")


def _holding(name: str, row: dict[str, Any]) -> Holding:
    try:
        return Holding(
            name,
            row["title"],
            row["plural"],
            units.force(row["holds"]),
            wide_mm=units.length(row["wide"]) if "wide" in row else 0.0,
            built=row.get("built") is True,
        )
    except (KeyError, TypeError, UnitError) as error:
        raise PresetError(
            f"the table [{name}] cannot be used: {error}",
            where="holding.toml",
            allowed='title, plural and holds, such as holds = "4 N"',
        ) from None
