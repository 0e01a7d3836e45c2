"""Moulds that are used again: how many rounds of casting, and how long they take."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from mouldgen.finding import Finding

if TYPE_CHECKING:
    from mouldgen.job.material_tables import Resin

_DAY_S = 86400.0


def rounds(castings: int, *, moulds: int, resin: Resin) -> tuple[Finding, ...]:
    """A note on the rounds that all castings take.

    castings : in all.
    moulds : that are printed.
    resin : how long it stays in the mould.
    """
    times = math.ceil(castings / moulds)
    message = f"{castings} castings in {moulds} moulds are {times} rounds"
    if resin.demould is None:
        message += "; the resin's card does not say how long each stays in the mould."
    else:
        days = math.ceil(times * resin.demould / _DAY_S - 1e-9)
        message += (
            f", each {resin.demould / 3600.0:g} h in the mould: {days} days at least. [mould] sets"
            " prints more moulds."
        )
    return (
        Finding(
            id="reuse.rounds",
            rule="reuse",
            severity="note",
            message=message,
            measured=float(times),
            place="[mould] sets",
        ),
    )
