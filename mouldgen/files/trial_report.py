"""A trial as ``trial.json`` and as a table, one line a rung."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Sequence
from typing import Any

from mouldgen.files.report import SCHEMA, bed_path, finding_data, gap_data, part_path
from mouldgen.finding import Bound
from mouldgen.trial import Rung, Trial

_TOLD = {"stop": "must fix", "warn": "look at"}


def trial_data(trial: Trial, *, files: Sequence[str] = ()) -> dict[str, Any]:
    """A trial as JSON-ready data; keys carry their unit.

    files : paths of what was written, relative to the trial's folder.
    """
    import mouldgen

    stopped = any(rung.found.stopped for rung in trial.made)
    return {
        "schema": SCHEMA,
        "job": trial.job.name,
        "fingerprint": trial.fingerprint,
        "version": mouldgen.__version__,
        "castings_each": trial.each,
        "resin_g": trial.resin_g,
        "rungs": [_rung(rung, made=rung in trial.made) for rung in trial.rungs],
        "beds": [
            {
                "file_3mf": bed_path(bed.number, "3mf", stopped=stopped),
                "file_stl": bed_path(bed.number, "stl", stopped=stopped),
                "picture": bed_path(bed.number, "svg", stopped=stopped),
                "items": [
                    {"part": item.part, "x_mm": item.x_mm, "y_mm": item.y_mm, "turned": item.turned}
                    for item in bed.items
                ],
                "used_fraction": round(bed.used_fraction, 4),
            }
            for bed in trial.beds
        ],
        "files": list(files),
    }


def trial_csv(trial: Trial) -> str:
    """One line a rung: what each rule asks for and whether the gap meets it, resin, findings.

    A rule's number is empty where no gap meets it and ``inf`` where it does not bind.
    """
    import mouldgen

    rules = list(dict.fromkeys(bound.rule for rung in trial.rungs for bound in rung.bounds))
    out = io.StringIO()
    write = csv.writer(out, lineterminator="\n")
    write.writerow(
        ["rung", "gap_mm", "measured_least_mm", "printed",
         *(column for rule in rules for column in (f"{rule}_mm", f"{rule}_says")),
         "voids", "net_ml", "resin_g", "resin_all_g", "resin_cost", "must_fix", "look_at",
         "fingerprint", "version"]
    )  # fmt: skip
    for rung in trial.rungs:
        cells = _cells(rung, rules, printed=rung in trial.made)
        write.writerow([*cells, rung.found.fingerprint, mouldgen.__version__])
    return out.getvalue()


def _cells(rung: Rung, rules: Sequence[str], *, printed: bool) -> list[str]:
    found = rung.found
    bounds = {bound.rule: bound for bound in rung.bounds}
    resin = found.amounts
    cells = [rung.letter, f"{rung.gap_mm:.4g}", _cell(found.measured_least_mm, 4)]
    cells.append("yes" if printed else "no")
    for rule in rules:
        bound = bounds.get(rule)
        cells += ["", ""] if bound is None else [_cell(bound.value_mm, 4), says(rung, bound)]
    cells += [
        "expected" if rung.voids else "not expected",
        "" if resin is None else f"{resin.net_ml:.3f}",
        "" if resin is None else f"{resin.one.total_g:g}",
        "" if resin is None else f"{resin.total_g:g}",
        _cell(rung.cost, 2),
    ]
    for severity in _TOLD:
        told = [f.message for f in found.findings if f.severity == severity]
        cells.append(" ".join(" ".join(told).split()))
    return cells


def says(rung: Rung, bound: Bound) -> str:
    """What a rule says of a rung's gap: ``met``, ``broken``, or ``advice`` where it only advises.

    bound : one of the rung's.
    """
    if bound.kind == "advice":
        return "advice"
    return "broken" if bound in rung.broken else "met"


def _rung(rung: Rung, *, made: bool) -> dict[str, Any]:
    found = rung.found
    gap = gap_data(found.answer.gap, measured_least_mm=found.measured_least_mm)
    resin, plastic = found.amounts, found.answer.job.plastic
    solid_ml = math.fsum(part.mesh.volume_mm3 for part in rung.parts) / 1000.0
    return {
        "rung": rung.letter,
        "gap_mm": rung.gap_mm,
        "measured_least_mm": gap["measured_least_mm"],
        "printed": made,
        "fingerprint": found.fingerprint,
        "rules": [
            {**data, "says": says(rung, bound)}
            for bound, data in zip(rung.bounds, gap["bounds"], strict=True)
        ],
        "voids_expected": bool(rung.voids),
        "voids_because": [finding.id for finding in rung.voids],
        "net_ml": None if resin is None else round(resin.net_ml, 3),
        "per_mould_ml": None if resin is None else round(resin.per_mould_ml, 3),
        "resin_g": None if resin is None else resin.one.total_g,
        "resin_all_g": None if resin is None else resin.total_g,
        "resin_cost": None if rung.cost is None else round(rung.cost, 2),
        "moulds": found.answer.moulds,
        "filament_g": round(solid_ml * plastic.density, 1),
        "parts": [
            {
                "name": part.name,
                "file_stl": part_path(part.name, "stl", stopped=found.stopped),
                "file_3mf": part_path(part.name, "3mf", stopped=found.stopped),
                "volume_ml": round(part.mesh.volume_mm3 / 1000.0, 3),
                "genus": part.genus,
            }
            for part in (rung.parts if made else ())
        ],
        "findings": [finding_data(finding) for finding in found.findings],
    }


def _cell(value: float | None, places: int) -> str:
    return "" if value is None else f"{value:.{places}f}"
