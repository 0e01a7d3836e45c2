"""The tables as queries name them, and rows as records; `migrations` makes the tables."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from peewee import Column, Table

from mouldgen.castings.drafts import CastingDraft, ResultDraft
from mouldgen.castings.records import Casting, Load, Result

Row = dict[str, Any]

LOAD_COLUMNS = ("id", "job", "number", "poured_at", "poured", "note", "mixed_g", "left_g")
CASTING_COLUMNS = (
    "id", "load_id", "number", "fingerprint", "mould_id", "gap_mm", "open_mm", "air_mm", "resin",
    "wood", "shop_c", "pressure_kpa", "close_min", "sequence", "pours",
)  # fmt: skip
RESULT_COLUMNS = (
    "casting_id", "voids", "worst_mm", "place", "rework_min", "outcome", "noted_at",
)  # fmt: skip

LOADS = Table("loads", LOAD_COLUMNS)
CASTINGS = Table("castings", CASTING_COLUMNS)
RESULTS = Table("results", RESULT_COLUMNS)
JOURNAL = Table("journal", ("id", "what", "changes"))

# The columns that rows are looked up by.
LOAD_ID = Column(LOADS, "id")
CASTING_ID = Column(CASTINGS, "id")
CASTING_LOAD_ID = Column(CASTINGS, "load_id")
RESULT_CASTING_ID = Column(RESULTS, "casting_id")
JOURNAL_ID = Column(JOURNAL, "id")


def by_column(table: Table, row: Row) -> dict[Column, Any]:
    """The same row for an update, which knows columns and not their names."""
    return {Column(table, name): value for name, value in row.items()}


def casting_row(draft: CastingDraft | Casting, *, load_id: int) -> Row:
    """A casting as a row, without its own id.

    draft : to be written.
    load_id : of its load in the file.
    """
    names = [name for name in CASTING_COLUMNS if name not in ("id", "load_id")]
    row = {name: getattr(draft, name) for name in names}
    return {**row, "load_id": load_id, "air_mm": _finite(draft.air_mm)}


def result_row(result: ResultDraft | Result, *, casting_id: int, noted_at: str) -> Row:
    """A result as a row.

    result : to be written.
    casting_id : of its casting in the file.
    noted_at : when it was written down.
    """
    return {
        "casting_id": casting_id,
        "voids": int(result.voids),
        "worst_mm": result.worst_mm,
        "place": result.place,
        "rework_min": result.rework_min,
        "outcome": result.outcome,
        "noted_at": noted_at,
    }


def loads_of(
    loads: Iterable[Row], castings: Iterable[Row], results: Iterable[Row]
) -> tuple[Load, ...]:
    """Rows of the three tables as loads, in the order of `loads`; castings by their numbers.

    loads, castings, results : with all their columns.
    """
    found = {row["casting_id"]: _result(row) for row in results}
    by_load: dict[int, list[Row]] = {}
    for row in castings:
        by_load.setdefault(row["load_id"], []).append(row)
    return tuple(_load(row, by_load.get(row["id"], ()), found) for row in loads)


def _load(row: Row, castings: Sequence[Row], results: Mapping[int, Result]) -> Load:
    mine = sorted(castings, key=lambda casting: casting["number"])
    return Load(**row, castings=tuple(_casting(one, row, results.get(one["id"])) for one in mine))


def _casting(row: Row, load: Row, result: Result | None) -> Casting:
    own = {name: value for name, value in row.items() if name != "load_id"}
    return Casting(
        **{**own, "air_mm": math.inf if row["air_mm"] is None else row["air_mm"]},
        load=load["id"],
        job=load["job"],
        poured_at=load["poured_at"],
        result=result,
    )


def _result(row: Row) -> Result:
    own = {name: value for name, value in row.items() if name != "casting_id"}
    return Result(**{**own, "voids": bool(row["voids"])})


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) else None
