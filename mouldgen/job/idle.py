"""Keys that a job gives and that the rest of it leaves without effect: told, not refused.

A shop file may well say which bolt the shop has, though this mould takes none.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from mouldgen.job.model import Job


def idle_keys(job: Job, given: Iterable[str]) -> tuple[tuple[str, str], ...]:
    """The given keys that change nothing in this job, each with why, in the order given.

    job : the job.
    given : keys such as ``mould.bolt``, as `LoadedJob.given` holds them.
    """
    idle = dict(_idle(job))
    found = ((_whole(key, idle), idle) for key in given)
    return tuple(dict.fromkeys((key, idle[key]) for key, idle in found if key in idle))


def _whole(key: str, idle: dict[str, str]) -> str:
    """The key, or its table where that is idle as a whole."""
    table = key.partition(".")[0]
    return table if table in idle else key


def _idle(job: Job) -> Iterator[tuple[str, str]]:
    """Keys, and tables as a whole, that nothing asks for."""
    mould = job.mould
    for key in ("screw", "dowel"):
        if mould.hold != key:
            yield f"mould.{key}", f'the insert is held otherwise, with hold = "{mould.hold}"'
    if not mould.lid_screws:
        yield "mould.bolt", "nothing is bolted without lid_screws"
    if mould.tenon is None:
        yield "mould.tenon_length", "there is no tenon"
    if mould.family == "tray" and mould.vent_grooves:
        yield "mould.vent_grooves", "the pockets of a tray have none"
    if mould.family != "master":
        yield "rubber", f"a {mould.family} mould is not cast in rubber"
    if job.extras is not None and not job.extras.catch_moulds:
        yield "extras.catch_volume", "catch_moulds asks for none"
    if job.order.customers_wood:
        yield "order.confidence", "with the customer's own wood there are no spares to reckon"
