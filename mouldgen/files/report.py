"""``report.json``: everything a set says, as plain data.  Keys are only ever added."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from mouldgen.answer import Answer
from mouldgen.check.held import Hold
from mouldgen.files.report_piece import piece_data
from mouldgen.files.report_prints import part_print_data, print_time_data
from mouldgen.finding import Bound, Finding, Learned
from mouldgen.gap.budget import Gap
from mouldgen.mould.families.release import release_of
from mouldgen.mould_set import MouldSet

SCHEMA = 1


def report_of(found: MouldSet, *, files: Sequence[str] = ()) -> dict[str, Any]:
    """The report of a set as JSON-ready data; keys carry their unit.

    files : paths of what was written, relative to the set's folder.
    """
    import mouldgen

    return {
        "schema": SCHEMA,
        "job": found.answer.job.name,
        "fingerprint": found.fingerprint,
        "version": mouldgen.__version__,
        "gap": gap_data(found.answer.gap, measured_least_mm=found.measured_least_mm),
        "learned": learned_data(found.answer.question.learned),
        "volume": _volume(found),
        "mould": _mould(found),
        **_reuse(found),
        **_rubber(found),
        "pour": _pour(found),
        "hold": _hold(found.hold),
        "piece": piece_data(found),
        "filament_g": _round(found.filament_g, 1),
        "print_time": print_time_data(found),
        "parts": _parts(found),
        **_extras(found),
        "beds": _beds(found),
        "findings": [finding_data(finding) for finding in found.findings],
        "files": list(files),
    }


def gap_data(gap: Gap, *, measured_least_mm: float | None = None) -> dict[str, Any]:
    """The gap, what set it, and every bound.

    measured_least_mm : the least gap measured on the solids, or None [mm].
    """
    return {
        "gap_mm": gap.gap_mm,
        "set_by": gap.set_by,
        "measured_least_mm": _round(measured_least_mm, 4),
        "take_up_mm": _round(gap.take_up_mm, 4),
        "bounds": [_bound(bound) for bound in gap.bounds],
        "conflict": gap.conflict,
        "sequence": gap.sequence,
        "remedies": [
            {
                "text": remedy.text,
                "gap_mm": remedy.gap_mm,
                "changes": [list(change) for change in remedy.changes],
            }
            for remedy in gap.remedies
        ],
    }


def learned_data(learned: Learned) -> dict[str, Any]:
    """What castings have taught a job; null where they teach nothing."""
    return {
        "air_shift": round(learned.air_shift, 6) or None,
        "of_the_way": round(learned.of_the_way, 6) if learned.air_shift else None,
        "castings": learned.castings,
        "voids": learned.voids,
        "loads": learned.loads,
        "yield": learned.yield_,
        "yield_castings": learned.yield_castings,
        "fills": learned.fills,
        "seen_gap_mm": _round(learned.seen_gap_mm, 4),
        "loss": learned.loss,
        "loss_loads": learned.loss_loads,
        "castings_not_read": learned.unread or None,
    }


def conflict_data(answer: Answer) -> dict[str, Any]:
    """What a command says of a job without a gap."""
    return {
        "job": answer.job.name,
        "conflict": answer.gap.conflict,
        "learned": learned_data(answer.question.learned),
    }


def finding_data(finding: Finding) -> dict[str, Any]:
    """One finding as JSON-ready data."""
    return {
        "id": finding.id,
        "rule": finding.rule,
        "severity": finding.severity,
        "measured": _round(finding.measured, 6),
        "limit": _round(finding.limit, 6),
        "place": finding.place,
        "message": finding.message,
    }


def _bound(bound: Bound) -> dict[str, Any]:
    return {
        "rule": bound.rule,
        "kind": bound.kind,
        "value_mm": _round(bound.value_mm, 4),
        "why": bound.why,
        "source": bound.source,
        "relax": list(bound.relax),
    }


def _volume(found: MouldSet) -> dict[str, Any] | None:
    size, resin = found.answer.size, found.amounts
    if size is None or resin is None:
        return None
    return {
        "cavity_ml": _round(size.cavity_ml, 3),
        "insert_ml": _round(size.insert_ml, 3),
        "net_ml": _round(size.net_ml, 3),
        "riser_ml": _round(size.riser_ml, 3),
        **({} if size.blanks == 1 else {"blanks": size.blanks}),
        "features_ml": _round(resin.features_ml, 3),
        "per_mould_ml": _round(resin.per_mould_ml, 3),
        "moulds": resin.moulds,
        "total_ml": _round(resin.total_ml, 2),
        "total_g": resin.total_g,
        "a_g": resin.a_g,
        "b_g": resin.b_g,
    }


def _mould(found: MouldSet) -> dict[str, Any]:
    """The family, and how the blank comes out."""
    mould = found.answer.job.mould
    return {"family": mould.family, "release": release_of(mould)}


def _rubber(found: MouldSet) -> dict[str, Any]:
    """The rubber that moulds are cast in; no key where they are printed."""
    rubber = found.rubber
    if rubber is None:
        return {}
    return {
        "rubber": {
            "box_ml": _round(rubber.box_ml, 2),
            "plugs_ml": _round(rubber.plugs_ml, 2),
            "one_ml": _round(rubber.one_ml, 2),
            "one_g": rubber.one_g,
            "total_g": rubber.total_g,
            "up": rubber.up,
            "sets": rubber.sets,
            "rounds": rubber.rounds,
        }
    }


def _reuse(found: MouldSet) -> dict[str, Any]:
    """Castings and moulds, where a mould is used again; no key where each is cast once."""
    answer = found.answer
    if not answer.reused:
        return {}
    return {
        "reuse": {
            "castings": answer.moulds,
            "moulds": answer.printed,
            "casts_each": -(-answer.moulds // answer.printed),
        }
    }


def _pour(found: MouldSet) -> dict[str, Any] | None:
    size, tried, sinks = found.answer.size, found.tried, found.riser
    if size is None or tried is None or sinks is None:
        return None
    upright = tried.pours[0]
    pressure_kpa = found.answer.job.pour.pressure or 0.0
    return {
        "fill_mm": _round(size.fill_mm, 2),
        "level_mm": _round(size.level_mm, 2),
        "shut_in_ml": _round(upright.shut_in_ml, 3),
        "attitude": tried.reason,
        "pockets": [
            {
                "volume_ml": _round(pocket.volume_ml, 3),
                "under_pressure_ml": _round(pocket.under(pressure_kpa).volume_ml, 3),
                "place_mm": [_round(along, 1) for along in pocket.place_mm],
                "height_mm": _round(pocket.height_mm, 2),
            }
            for pocket in upright.pockets
        ],
        "sinks_ml": _round(sinks.needed_ml, 2),
        "second_pour_ml": _round(sinks.second_ml, 2),
        **_lines(found),
    }


def _lines(found: MouldSet) -> dict[str, Any]:
    """The lines inside, the lowest first; no key where there is one only."""
    if found.plan is None or len(found.plan.lines) < 2:
        return {}
    return {
        "lines": [
            {"height_mm": _round(line.height_mm, 2), "last": line.last} for line in found.plan.lines
        ]
    }


def _hold(found: Hold | None) -> dict[str, Any] | None:
    if found is None:
        return None
    return {
        **({} if found.method == "lid" else {"method": found.method}),
        "lift_n": _round(found.lift_n, 3),
        "hold_n": _round(found.hold_n, 3),
        "push_n": _round(found.push_n, 1),
        "ways": [
            {"way": way.name, "grams" if way.holds_n == 0.0 else "count": many}
            for way, many in found.ways
        ],
        "off_axis_mm": [_round(off, 3) for off in found.off_mm],
        "lean_deg": _round(found.lean_deg, 2),
    }


def _parts(found: MouldSet) -> list[dict[str, Any]]:
    if found.parts is None:
        return []
    return [
        {
            "name": part.name,
            "file_stl": part_path(part.name, "stl", stopped=found.stopped),
            "file_3mf": part_path(part.name, "3mf", stopped=found.stopped),
            "count": found.answer.printed if part.count is None else part.count,
            "triangles": len(part.mesh.triangles),
            "volume_ml": _round(part.mesh.volume_mm3 / 1000.0, 3),
            "genus": part.genus,
            # A part that were not closed would carry a finding of that rule.
            "closed": not any(
                f.rule == "sound" and f.severity == "stop" and f.place.startswith(part.name)
                for f in found.findings
            ),
            "prints": prints,
        }
        for part, prints in zip(found.printed, part_print_data(found), strict=True)
    ]


def _extras(found: MouldSet) -> dict[str, Any]:
    """What is printed beside the moulds; no key where nothing is asked for."""
    if not found.extras:
        return {}
    return {
        "extras": [
            {"name": made.extra.name, "count": made.extra.count, **made.extra.figures()}
            for made in found.extras
        ]
    }


def _beds(found: MouldSet) -> list[dict[str, Any]]:
    return [
        {
            "file_3mf": bed_path(bed.number, "3mf", stopped=found.stopped),
            "file_stl": bed_path(bed.number, "stl", stopped=found.stopped),
            "picture": bed_path(bed.number, "svg", stopped=found.stopped),
            "items": [
                {"part": item.part, "x_mm": item.x_mm, "y_mm": item.y_mm, "turned": item.turned}
                for item in bed.items
            ],
            "used_fraction": _round(bed.used_fraction, 4),
        }
        for bed in found.beds
    ]


def part_path(name: str, ending: str, *, stopped: bool) -> str:
    """Where a part is written, relative to the set's folder."""
    return f"parts/{name}{_mark(stopped)}.{ending}"


def bed_path(number: int, ending: str, *, stopped: bool) -> str:
    """Where a bed is written, relative to the set's folder."""
    return f"beds/bed-{number}{_mark(stopped)}.{ending}"


def picture_path(file: str, *, stopped: bool) -> str:
    """Where a picture is written, relative to the set's folder."""
    stem, _, ending = file.rpartition(".")
    return f"{stem}{_mark(stopped)}.{ending}"


def _mark(stopped: bool) -> str:
    # A set that must be fixed says so wherever its files go.
    return "-MUST-FIX" if stopped else ""


def _round(value: float | None, digits: int) -> float | None:
    """JSON has no infinity: a bound that does not bind is null, and its sentence says why."""
    if value is None or not math.isfinite(value):
        return None
    return round(value, digits)
