"""The demo's plan as plain numbers, for programs that make its body and lid without mouldgen.

    python -m benchmarks.ways.numbers FILE

JSON, so that a program of another environment reads it; lengths in mm, angles in degrees.
"""

from __future__ import annotations

import json
import sys
from dataclasses import asdict
from pathlib import Path
from typing import Any

from mouldgen.answer import answer_job
from mouldgen.finding import NOTHING_LEARNED
from mouldgen.job.load import load_job
from mouldgen.job.model import Job
from mouldgen.made import plan_first
from mouldgen.mould.label import Label, letter_rings
from mouldgen.mould.plan import ENGRAVING, FILL_LINE, LEAD, RELIEF, CupPlan
from mouldgen.solid.kernel import OVERSHOOT

DEMO = "boathouse-pegs"


def demo_plan() -> tuple[CupPlan, Job]:
    """The plan of the shipped demo, and its job."""
    job = load_job(DEMO).job
    answer = answer_job(job, learned=NOTHING_LEARNED)
    if answer.size is None:
        raise RuntimeError(f"{DEMO} has no gap")
    plan = plan_first(answer, answer.size)  # its riser is enough: there is no second line
    if not isinstance(plan, CupPlan):
        raise TypeError(f"{DEMO} is no cup")
    return plan, job


def numbers_of(plan: CupPlan) -> dict[str, Any]:
    """What is needed to make body and lid of a plain cup.

    plan : straight, with ribs at either end, one fill line, legs, vents and a port in the middle.
    """
    size, sockets = plan.size, plan.sockets
    plain = sockets.lower and sockets.upper == "wall" and size.slope == 0.0
    if not plain or plan.features or plan.body_label is None or len(plan.lines) != 1:
        raise ValueError("the other programs make plain, lettered cups with one fill line only")
    return {
        **{name: getattr(plan, name) for name in ("sides", "chord_mm", "groove_angles")},
        **{name: getattr(plan, name) for name in ("pips", "legs", "vents", "port", "centre_pip")},
        "insert_foot_mm": plan.insert_foot_mm,
        "insert_top_mm": plan.insert_top_mm,
        "question": asdict(plan.question),
        "size": {
            **{name: getattr(size, name) for name in ("gap_mm", "rim_mm", "level_mm", "wall_mm")},
            "bore_mm": size.bore_mm(0.0),
            "reach_mm": size.reach_mm,
            "lid_reach_mm": size.lid_reach_mm,
        },
        "sockets": asdict(sockets),
        "line_mm": plan.lines[0].height_mm,
        "body_rings": _rings(plan.body_label),
        "lid_rings": [_rings(label) for label in plan.lid_labels],
        "relief_mm": RELIEF,
        "engraving_mm": ENGRAVING,
        "lead_mm": LEAD,
        "fill_line_mm": FILL_LINE,
        "over_mm": OVERSHOOT,
    }


def _rings(label: Label) -> list[list[list[float]]]:
    return [ring.tolist() for ring in letter_rings(label)]


if __name__ == "__main__":
    Path(sys.argv[1]).write_text(json.dumps(numbers_of(demo_plan()[0])), encoding="utf-8")
