"""At what pressure and for how long a load stays shut, as its card may tell it."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from mouldgen.job.model import Job


def pressure_kpa(job: Job) -> float | None:
    """The job's own pressure where the plate's rating is known and allows it [kPa]."""
    asked, rating = job.pour.pressure, None if job.pot is None else job.pot.rating
    return asked if asked is not None and rating is not None and asked <= rating else None


def hold_s(job: Job, *, last: bool) -> tuple[float | None, float | None]:
    """How long the pot stays shut from mixing, and what the job itself asks for [s]."""
    if job.pot is None:
        return None, None
    if not last:  # vented once the window for the next pour opens
        return (None if job.resin.recoat is None else job.resin.recoat[0]), None
    return job.pot.hold or job.resin.demould, job.pot.hold


def not_before_s(time_s: float | None, hold_s: float | None) -> float | None:
    """Nothing comes out of a pot that is still shut [s]."""
    return None if time_s is None else max(time_s, hold_s or 0.0)
