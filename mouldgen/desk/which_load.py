"""Which load of a job is poured: the one that is told, or the next that waits for it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from mouldgen.errors import UsageError

if TYPE_CHECKING:
    from mouldgen.castings.records import Load


def which_load(
    number: int | None,
    loads: Sequence[int],
    before: Mapping[int, Load],
    *,
    name: str,
    pours: int,
    again: bool,
) -> tuple[int, Load | None]:
    """The load on the card that is meant, and its row where this is a later pour of it.

    number : as typed; None for the next one.
    loads : on the pot card.
    before : the newest row of each load that was poured.
    name : of the job, as typed.
    pours : that a load is filled in.
    again : whether a load that was poured is cast once more.

    Raises UsageError where it cannot be told.
    """
    if number is None:
        number = _next_load(loads, before, name=name, pours=pours, again=again)
    if number not in loads:
        raise UsageError(
            f"the pot card of {name} has no load {number}",
            allowed=f"{name}:1 to {name}:{loads[-1]}" if len(loads) > 1 else f"{name}:1",
        )
    there = before.get(number)
    if there is None or again:
        return number, None
    if there.poured < pours:
        return number, there
    raise UsageError(
        f"{name}:{number} is written down already, as load {there.id}, poured"
        f" {there.poured_at[:16].replace('T', ' ')}",
        try_="Cast once more, it is a new load with --again. To change what was written last, take"
        " it back with mouldgen log undo.",
    )


def _next_load(
    loads: Sequence[int], before: Mapping[int, Load], *, name: str, pours: int, again: bool
) -> int:
    if len(loads) == 1:
        return loads[0]
    fresh = [load for load in loads if load not in before]
    waiting = [load for load in loads if load in before and before[load].poured < pours]
    if again or not (fresh or waiting):
        raise UsageError(
            "which load is cast again?" if again else f"all loads of {name} are written down",
            allowed=f"{name}:1 to {name}:{loads[-1]} --again",
        )
    if waiting and (fresh or len(waiting) > 1):
        kinds = [f"{name}:{load} for pour {before[load].poured + 1} of it" for load in waiting]
        kinds += [f"{name}:{load} for its first pour" for load in fresh[:1]]
        raise UsageError("which load was poured?", allowed="; ".join(kinds))
    return (waiting or fresh)[0]
