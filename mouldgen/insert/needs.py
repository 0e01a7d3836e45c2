"""A key that one insert shape cannot do without."""

from __future__ import annotations

from mouldgen.errors import JobError
from mouldgen.job.model import Insert


def need(insert: Insert, key: str) -> float:
    """The value of a key; JobError naming it where the job file left it out."""
    value = getattr(insert, key)
    if value is None:
        raise JobError(
            f'an insert of shape "{insert.shape}" needs its {key.replace("_", " ")}',
            where=f"[insert] {key}",
        )
    return float(value)
