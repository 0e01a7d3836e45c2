"""Keys that a shell cannot be made with."""

from __future__ import annotations

from collections.abc import Iterator

from mouldgen.job.model import Job
from mouldgen.job.objection import Objection


def shell_objections(job: Job) -> Iterator[Objection]:
    """What a job asks of a shell that its wall has no room for."""
    if job.mould.family != "shell":
        return
    if job.mould.draft > 0.0:
        yield (
            "mould", "draft", "a shell follows the scan and has no draft", "0 deg",
            "Leave draft out, or take the family cup.",
        )  # fmt: skip
    if job.mould.vent_grooves:
        yield (
            "mould", "vent_grooves", "a shell follows the scan and has no vent grooves", "0",
            "Leave vent_grooves out, or take the family cup.",
        )  # fmt: skip
    if job.pour.sequence == "bottom-feed":
        yield (
            "pour", "sequence", "a shell is not made with a runner",
            'sequence = "resin-first" or "insert-first", or family = "cup"', "",
        )  # fmt: skip
