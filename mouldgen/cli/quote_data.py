"""A quote as one JSON object."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from mouldgen.cli.quote import Reckoned
    from mouldgen.shop.cost import Range
    from mouldgen.shop.quote import Bring


def quote_data(found: Reckoned) -> dict[str, Any]:
    """Everything that a quote tells; money in whatever currency the prices are in."""
    from mouldgen.files.report import learned_data

    quote = found.quote
    cost = quote.cost
    each = cost.price(cost.piece)
    mean = cost.mean_good_piece
    return {
        "job": found.answer.job.name,
        "pieces": cost.needs.pieces,
        "castings": cost.needs.castings,
        "trials": cost.needs.trials,
        "expected_good": round(cost.expected_good, 3),
        "price_piece": _range(each),
        "price_order": _range(each.times(cost.needs.pieces)),
        "cost_piece": _range(cost.piece),
        "cost_good_piece": _range(cost.good_piece),
        "mean_good_piece": round(mean, 4) if math.isfinite(mean) else None,
        "cost_order": _range(cost.order),
        "lost_casting": round(cost.lost, 4),
        "parts": {name: round(money, 4) for name, money in cost.parts.items()},
        "hours": round(cost.hours, 3),
        "made": quote.made.isoformat(),
        "valid_until": quote.valid_until.isoformat(),
        "due": None if quote.due is None else quote.due.isoformat(),
        "ready": None if quote.ready is None else quote.ready.isoformat(),
        "late": quote.late,
        "no_day": found.no_day,
        "bring": _bring(quote.bring),
        "left_out": list(quote.leaves_out),
        "taken": [
            {"key": each.key, "value": each.value, "basis": each.basis} for each in quote.taken
        ],
        "taken_of_the_order": list(found.taken),
        "solids": found.solids,
        "must_fix": [finding.message for finding in found.findings],
        "learned": learned_data(found.answer.question.learned),
    }


def _range(cost: Range) -> dict[str, float]:
    return {
        "middle": round(cost.middle, 4),
        "p10": round(cost.low, 4),
        "p90": round(cost.high, 4),
    }


def _bring(bring: Bring) -> dict[str, Any]:
    return {
        "inserts": bring.inserts,
        "spares": bring.spares,
        "sticks": bring.sticks,
        "rough_mm": None if bring.rough_mm is None else [round(mm, 3) for mm in bring.rough_mm],
        "square_mm": bring.square_mm,
        "wood": bring.wood,
        "density_g_ml": bring.density_g_ml,
        "most_moisture": bring.most_moisture,
        "thread": bring.thread,
        "hole_mm": bring.hole_mm,
        "no_spares": None
        if bring.no_spares is None
        else {
            "tests": bring.no_spares.tests,
            "all_good": round(bring.no_spares.all_good, 4),
        },
    }
