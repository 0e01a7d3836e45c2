"""How the parts print in ``report.json``: what was measured, filament, time and its basis."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from mouldgen.check.prints import PrintCheck
from mouldgen.shop.print_time import PrintTime, basis

if TYPE_CHECKING:
    from mouldgen.mould_set import MouldSet


def print_data(check: PrintCheck) -> dict[str, Any]:
    """What was measured on one part as JSON-ready data; null where there is nothing to measure.

    check : of the part.
    """
    figures = check.figures
    walls, under, stands = figures.walls, figures.overhang, figures.standing
    return {
        "thinnest_wall_mm": _round(walls.thinnest.mm, 4),
        "thinnest_at_mm": _place(walls.thinnest.at),
        "thin_mm2": _round(walls.thin_mm2 + walls.thin_floor_mm2, 1),
        "feather_edges": [
            {
                "length_mm": _round(feather.length_mm, 2),
                "angle_deg": _round(feather.angle_deg, 1),
                "at_mm": _place(feather.at),
            }
            for feather in walls.feathers
        ],
        "steep_mm2": _round(under.steep_mm2, 2),
        "hanging_mm2": _round(under.hanging_mm2, 2),
        "bridge_mm": _round(under.bridge_mm, 2),
        "foot_mm2": _round(stands.foot_mm2, 1),
        "foot_mm": _round(stands.foot_mm, 2),
        "height_mm": _round(stands.height_mm, 2),
        "tips_at_deg": _round(stands.tips_at_deg, 1),
        "sealed_hollows": [
            {"volume_mm3": _round(hollow.volume_mm3, 2), "at_mm": _place(hollow.at)}
            for hollow in figures.hollows
        ],
    }


def part_print_data(found: MouldSet) -> list[dict[str, Any]]:
    """Of each part what was measured, its filament and its time.

    found : the set.
    """
    density = found.answer.job.plastic.density
    return [
        {**print_data(check), **_time(time, density)}
        for check, time in zip(found.prints, found.part_times, strict=True)
    ]


def print_time_data(found: MouldSet) -> dict[str, Any] | None:
    """What printing all beds takes, and what that is reckoned from; None without a bed.

    found : the set.
    """
    if found.print_time is None:
        return None
    job = found.answer.job
    return {
        **_time(found.print_time, job.plastic.density),
        "flow_mm3_s": job.printer.flow,
        "layer_change_s": job.printer.layer_change,
        "basis": basis(job.printer),
    }


def _time(time: PrintTime, density_g_ml: float) -> dict[str, Any]:
    return {
        "filament_g": _round(time.grams(density_g_ml), 1),
        "filament_m": _round(time.filament_m, 2),
        "layers": time.layers,
        "time_s": _round(time.seconds, 0),
    }


def _place(at: tuple[float, ...]) -> list[float] | None:
    return [round(along, 2) for along in at] if all(map(math.isfinite, at)) else None


def _round(value: float, digits: int) -> float | None:
    return round(value, digits) if math.isfinite(value) else None
