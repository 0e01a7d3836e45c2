"""The files of a catalogue: a table with a row a variant, and a report."""

from __future__ import annotations

import contextlib
import csv
import io
import json
import os
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

import mouldgen
from mouldgen.catalogue.row import FIGURES, Row, cell
from mouldgen.files.folder import beside, told_of
from mouldgen.job.words import printable

SCHEMA = 1
TABLE, REPORT = "catalogue.csv", "report.json"


def write_files(folder: Path, rows: Mapping[str, Row], *, job: str, variants: int) -> None:
    """Put table and report into the folder, each whole or not at all.

    folder : of the catalogue; it is locked.
    rows : of the variants that are done, by their names, in the order of the table.
    job : its name.
    variants : how many there are to be.

    Raises SurroundingsError where they cannot be written.
    """
    data = report_data(rows, job=job, variants=variants)
    report = json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False) + "\n"
    for name, text in ((TABLE, table_text(list(rows.values()))), (REPORT, report)):
        with told_of(folder / name):
            _put(folder / name, text.encode())


def table_text(rows: Sequence[Row]) -> str:
    """The rows as CSV: name, what each sets, what came of it, and by which version.

    rows : in their order.
    """
    keys = columns_of(rows)
    out = io.StringIO()
    write = csv.writer(out, lineterminator="\n")
    write.writerow(["name", *keys, *FIGURES, "version"])
    for row in rows:
        said = dict(row.settings)
        told = [printable(cell(getattr(row, figure))) for figure in FIGURES]
        settings = [printable(said.get(key, "")) for key in keys]
        write.writerow([row.name, *settings, *told, mouldgen.__version__])
    return out.getvalue()


def columns_of(rows: Iterable[Row]) -> list[str]:
    """The keys that any of the rows sets, in the order in which they come up.

    rows : in their order.
    """
    return list(dict.fromkeys(key for row in rows for key, _ in row.settings))


def report_data(rows: Mapping[str, Row], *, job: str, variants: int) -> dict[str, Any]:
    """The report as JSON-ready data.

    rows, job, variants : as `write_files` takes them.
    """
    return {
        "schema": SCHEMA,
        "job": job,
        "version": mouldgen.__version__,
        "variants": variants,
        "done": len(rows),
        "ready": sum(row.ready for row in rows.values()),
        "failed": sum(bool(row.error) for row in rows.values()),
        "rows": [
            {
                "name": row.name,
                "settings": dict(row.settings),
                **{figure: _said(getattr(row, figure)) for figure in FIGURES},
            }
            for row in rows.values()
        ],
    }


def _said(value: Any) -> Any:
    """JSON has no empty answer: what was not said is null."""
    return None if value == "" and isinstance(value, str) else value


def _put(path: Path, data: bytes) -> None:
    fresh = beside(path)
    try:
        with fresh.open("wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        fresh.replace(path)
    finally:
        with contextlib.suppress(OSError):
            fresh.unlink(missing_ok=True)
