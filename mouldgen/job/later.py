"""Keys that a job may give although the rule that needs them is still to come."""

from __future__ import annotations

from collections.abc import Iterable

from mouldgen.job.model import Job

_LATER = frozenset(
    {
        "order.due",
        "shop.hours",
        "shop.wage",
        "colour",
    }
)


def not_used_yet(job: Job, given: Iterable[str]) -> tuple[str, ...]:
    """The given keys that change no number yet, in the order given.

    job : the job.
    given : keys such as ``order.due``, as `LoadedJob.given` holds them.
    """
    priced = {"resin.price"} if job.order.resin_budget is None else set()
    return tuple(key for key in given if key in _LATER | priced)
