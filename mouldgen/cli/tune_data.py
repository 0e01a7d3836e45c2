"""What castings teach, as one JSON object; keys carry their unit."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from mouldgen.castings.words import first_sentence, further_sentences
from mouldgen.files.report import learned_data

if TYPE_CHECKING:
    from mouldgen.castings.tune import Tuned
    from mouldgen.cli.tune import Lesson, NextTrial


def tune_data(lesson: Lesson) -> dict[str, Any]:
    """All that the command tells; money in whatever currency the prices are in."""
    taught, tuned = lesson.taught, lesson.taught.tuned
    good, loss = taught.good, taught.loss
    return {
        "job": lesson.job.name,
        "castings_file": str(lesson.file),
        "why_not": taught.why_not or None,
        "gap_mm": lesson.gap.gap_mm,
        "set_by": lesson.gap.set_by,
        "gap_written": taught.written,
        "gap_without_castings_mm": taught.answer.gap.gap_mm,
        "tuned": None if tuned is None else _tuned(tuned),
        "yield": {
            "share": None if good is None else round(good.mean, 6),
            "low": None if good is None else round(good.low, 6),
            "high": None if good is None else round(good.high, 6),
            "castings": taught.noted,
            "seen_gap_mm": None if taught.seen_gap_mm is None else round(taught.seen_gap_mm, 4),
            "without_castings": lesson.job.order.yield_,
            "used": taught.loaded.job.order.yield_,
        },
        "fills": {
            "without_castings": lesson.job.order.fills,
            "used": taught.loaded.job.order.fills,
        },
        "loss": {
            "share": round(loss.share, 6),
            "loads": loss.loads,
            "without_castings": lesson.job.resin.loss,
            "used": taught.loaded.job.resin.loss,
        },
        "learned": learned_data(taught.loaded.learned),
        "prices": _prices(lesson),
        "trial": None if lesson.trial is None else _trial(lesson.trial),
    }


def _tuned(tuned: Tuned) -> dict[str, Any]:
    least, shift, recent = tuned.least, tuned.shift, tuned.recent
    return {
        "says": [first_sentence(tuned), *further_sentences(tuned)],
        "castings": tuned.castings,
        "voids": tuned.voids,
        "loads": tuned.loads,
        "left_out": tuned.rows.left_out,
        "recent": {"castings": recent.castings, "voids": recent.voids, "loads": recent.loads},
        "air_mm": round(tuned.job.air_mm, 6),
        "take_up_mm": round(tuned.job.taken_mm, 6),
        "least_cost": {
            "gap_mm": round(least.gap_mm, 4),
            "low_mm": round(least.low_mm, 4),
            "high_mm": round(least.high_mm, 4),
            "cost_per_good": round(least.cost_per_good, 4),
            "now_mm": round(least.now_mm, 4),
            "now_cost_per_good": round(least.now_cost, 4),
            "resin_more_ml": round(least.resin_ml_more, 4),
            "rework_less_min": round(least.minutes_less, 4),
            "at_least": least.at_least,
            "at_most": least.at_most,
        },
        "shift": {
            "middle": _finite(shift.middle),
            "low": _finite(shift.low),
            "high": _finite(shift.high),
            "wrong_way": round(shift.wrong_way, 6),
            "contradicts": shift.contradicts or None,
        },
        "trust": round(tuned.trust, 6),
        "surer": {
            "castings": tuned.surer.castings,
            "gap_mm": round(tuned.surer.gap_mm, 4),
            "width_mm": round(tuned.surer.width_mm, 4),
            "tried": tuned.surer.tried,
        },
        "told_apart": list(tuned.columns),
        "loads_differ": None if tuned.luck.ratio is None else round(tuned.luck.ratio, 4),
        "scrap_of_voids": round(tuned.scrap.mean, 6),
        "repair_min": round(tuned.rework_min, 4),
        "gaps": _gaps(tuned),
        "rows": _rows(tuned),
    }


def _gaps(tuned: Tuned) -> list[dict[str, float]]:
    found = tuned.choices
    return [
        {
            "gap_mm": round(point.gap_mm, 4),
            "void_low": round(point.low, 6),
            "void_mean": round(point.mean, 6),
            "void_high": round(point.high, 6),
            "casting_cost": round(float(found.casting[i]), 4),
            "resin_ml": round(float(found.resin_ml[i]), 4),
            "repair_cost": round(float(found.repair[i]), 4),
            "repair_min": round(float(found.minutes[i]), 4),
        }
        for i, point in enumerate(tuned.band)
    ]


def _rows(tuned: Tuned) -> list[dict[str, Any]]:
    from mouldgen.castings.seen import gaps_seen

    return [
        {
            "load": casting.load,
            "number": casting.number,
            "gap_mm": round(casting.gap_mm, 4),
            "stands_for_gap_mm": round(gap, 4),
            "void": bool(void),
        }
        for casting, gap, void in zip(
            tuned.rows.used, gaps_seen(tuned), tuned.rows.void, strict=True
        )
    ]


def _prices(lesson: Lesson) -> dict[str, Any] | None:
    costs = lesson.taught.costs
    if costs is None:
        return None
    return {
        "resin_g": round(costs.resin.gram, 6),
        "resin_believed": not costs.resin.given,
        "plastic_g": round(costs.plastic.gram, 6),
        "plastic_believed": not costs.plastic.given,
        "trial_set_up": round(costs.set_up, 4),
    }


def _trial(trial: NextTrial) -> dict[str, Any]:
    told = trial.found if trial.found.worth_it else trial.found.best or trial.found
    return {
        "worth_it": trial.found.worth_it,
        "gaps_mm": list(trial.gaps_mm),
        "castings_each": told.each,
        "costs": round(told.costs, 4),
        "saves": round(told.saves, 4),
        "pieces": told.pieces,
        "make": trial.make or None,
        "pour": trial.pour or None,
    }


def _finite(value: float) -> float | None:
    return round(value, 6) if math.isfinite(value) else None
