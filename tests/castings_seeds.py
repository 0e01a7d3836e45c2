"""Castings files with loads of pegs that have their results."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from mouldgen.castings.records import Casting, Load, Result
from mouldgen.castings.store import castings_file
from tests.castings_drafts import casting_draft, load_draft, result_draft

PEG_AIR_MM = 0.458  # open, of boathouse-pegs by the physics alone
PEG_TAKEN_MM = 0.42

# Loads of pegs: open gap [mm], castings with voids, castings.
TIGHT_AND_WIDE = ((0.46, 4, 10), (0.46, 3, 10), (0.9, 0, 8))


def seed(path: Path, loads: Sequence[tuple[float, int, int]], **changes: Any) -> Path:
    """Write loads with results into a file and say where.

    loads : open gap [mm], castings with voids, castings.
    changes : of every load's draft.
    """
    with castings_file(path) as file:
        for number, (open_mm, voids, castings) in enumerate(loads, 1):
            drafts = [
                casting_draft(k, gap_mm=open_mm + PEG_TAKEN_MM, open_mm=open_mm)
                for k in range(1, castings + 1)
            ]
            at = f"2026-11-{number:02d}T12:00:00+01:00"
            facts = {"number": number, "poured_at": at, "castings": tuple(drafts), **changes}
            load = file.pour(load_draft(**facts))
            good = {"voids": False, "worst_mm": None, "place": "", "rework_min": 0.0}
            results = [
                result_draft(k) if k <= voids else result_draft(k, outcome="good", **good)
                for k in range(1, castings + 1)
            ]
            file.result(load.id, results, noted_at="2026-11-20T12:00:00+01:00")
    return path


def pegs(
    loads: Sequence[tuple[float, int, int]], *, scrapped: int = 0, **changes: Any
) -> tuple[Load, ...]:
    """The same loads without a file.

    scrapped : of each load's castings with voids, so many are.
    changes : of every load.
    """
    return tuple(
        _load(number, open_mm, voids, castings, scrapped=scrapped, **changes)
        for number, (open_mm, voids, castings) in enumerate(loads, 1)
    )


def _load(
    number: int, open_mm: float, voids: int, castings: int, *, scrapped: int, **changes: Any
) -> Load:
    rows = []
    for k in range(1, castings + 1):
        draft = casting_draft(k, gap_mm=open_mm + PEG_TAKEN_MM, open_mm=open_mm)
        own = {name: getattr(draft, name) for name in draft.__dataclass_fields__}
        void = k <= voids
        result = Result(
            voids=void,
            worst_mm=None,
            place="",
            rework_min=10.0 if scrapped < k <= voids else 0.0,
            outcome="scrapped" if k <= min(scrapped, voids) else "repaired" if void else "good",
            noted_at="2026-11-20T12:00:00+01:00",
        )
        rows.append(
            Casting(
                id=1000 * number + k,
                load=number,
                job="pegs",
                poured_at=f"2026-11-{number:02d}T12:00:00+01:00",
                result=result,
                **own,
            )
        )
    facts: dict[str, Any] = {
        "id": number,
        "job": "pegs",
        "number": number,
        "poured_at": rows[0].poured_at,
        "castings": tuple(rows),
        "note": "",
    }
    return Load(**{**facts, **changes})
