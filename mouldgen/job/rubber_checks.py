"""What cannot be meant together about moulds that are cast in rubber."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from mouldgen.job.objection import Objection

if TYPE_CHECKING:
    from mouldgen.job.model import Job

_HAVE_SETS = ("master", "split", "tray")


def rubber_objections(job: Job) -> Iterator[Objection]:
    """Keys of a rubber mould without rubber, and what a block of rubber cannot have."""
    if job.mould.family == "master":
        yield from _in_rubber(job)
        return
    family = job.mould.family
    if job.mould.up is not None:
        yield "mould", "up", f"a {family} mould has no up", 'up with family = "master"', ""
    if job.mould.sets is not None and family not in _HAVE_SETS:
        allowed = " or ".join(f'"{name}"' for name in _HAVE_SETS)
        yield "mould", "sets", f"a {family} mould has no sets", f"sets with family = {allowed}", ""


def _in_rubber(job: Job) -> Iterator[Objection]:
    if job.rubber is None:
        yield (
            "rubber", "", "a master mould is cast in rubber, and the job names none",
            'a [rubber], such as card = "tin-cure-silicone"', "",
        )  # fmt: skip
    if job.pour.sequence == "bottom-feed":
        yield (
            "pour", "sequence", "a mould of rubber is made without a runner to feed it from below",
            '"auto", "resin-first" or "insert-first"', "",
        )  # fmt: skip
    for key in ("drip_tray", "pot_rack"):
        if job.extras is not None and getattr(job.extras, key):
            yield (
                "extras", key, "its seats are for round moulds, and a rubber mould is a block",
                f"{key} with a round mould", f"Leave {key} out.",
            )  # fmt: skip
