"""Which end of a scan stands down: both are poured round, and the one that keeps less air goes."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from mouldgen.finding import Finding
from mouldgen.job.model import Job
from mouldgen.pour.attitudes import WORTH_IT_ML
from mouldgen.pour.pour import pour
from mouldgen.pour.slices import slice_air
from mouldgen.pour.space import Space

if TYPE_CHECKING:
    from mouldgen.job.scan import Scan
    from mouldgen.solid.mesh import Mesh

ROUND_MM = 2.0  # of space on every side of the scan while it is tried
LAYER_MM = 0.5
CHORD_MM = 0.1


def stood_up(job: Job) -> tuple[Job, tuple[Finding, ...]]:
    """The job with the end of its scan named that stands down, and all there is to say of the scan.

    job : with an insert of shape ``scan``.
    """
    insert = job.insert
    scan: Scan | None = insert.scan
    if scan is None:
        return job, ()
    if insert.end_down != "auto":
        return job, scan.findings
    heavy, light = shut_in_ml(scan)
    end = "light" if heavy - light >= WORTH_IT_ML else "heavy"
    stood = insert.model_copy(update={"end_down": end})
    return job.model_copy(update={"insert": stood}), (*scan.findings, _told(end, heavy, light))


@lru_cache(maxsize=4)  # every question about one job asks it anew
def shut_in_ml(scan: Scan) -> tuple[float, float]:
    """Air that stays under a scan on its heavier end down, and on its lighter [ml].

    scan : poured round upright, in a round with room on every side.
    """
    return _stays_ml(scan, "heavy"), _stays_ml(scan, "light")


def _stays_ml(scan: Scan, end: str) -> float:
    from mouldgen.solid.kernel import cylinder

    insert = scan.standing(end).moved(0.0, 0.0, ROUND_MM)
    top = insert.bounds[1][2] + ROUND_MM
    hollow: Mesh = cylinder(
        scan.radius_mm + ROUND_MM, bottom_mm=0.0, top_mm=top, chord_mm=CHORD_MM
    ).any_mesh()
    space = Space(hollow, (insert,), top - LAYER_MM)
    return pour(slice_air(space, layer_mm=LAYER_MM, row_mm=LAYER_MM)).shut_in_ml


def _told(end: str, heavy_ml: float, light_ml: float) -> Finding:
    kept, other = (heavy_ml, light_ml) if end == "heavy" else (light_ml, heavy_ml)
    stays = f"{kept:.2f} ml of air stay under it, and {other:.2f} ml the other way up"
    if max(kept, other) < WORTH_IT_ML:
        stays = "no air to speak of stays under it either way up"
    return Finding(
        id="scan.end-down",
        rule="scan",
        severity="note",
        message=(
            f"The scan stands on its {end_words(end)} end: poured round, {stays}."
            " [insert] end_down turns it over."
        ),
        measured=kept,
        limit=other,
        place="insert",
    )


def end_words(end: str) -> str:
    """``heavier`` or ``lighter``.

    end : ``heavy`` or ``light``.
    """
    return {"heavy": "heavier", "light": "lighter"}[end]
