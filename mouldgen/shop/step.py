"""One step of the work as the plan and the calendar see it, and batches cut into steps."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from mouldgen.shop.activity import Activity, Stage

LONGEST_BATCH_S = 7200  # a pot can be unloaded between two parts of a batch; our own choice


@dataclass(frozen=True, eq=False)
class Step:
    """An activity with what the calendar tells of it.

    activity : for the scheduler.
    count : how many are worked on.
    of : of what, in the singular, such as ``mould``.
    """

    activity: Activity
    count: int
    of: str


def whole_s(seconds: float) -> int:
    """Whole seconds, rounded up: a plan adds them exactly [s]."""
    return math.ceil(seconds - 1e-6)


def batch(
    what: str,
    count: int,
    *,
    of: str,
    each_s: float,
    setup_s: float = 0.0,
    after: Sequence[str] = (),
) -> Iterator[Step]:
    """The same work on many, set up once, cut into parts of two hours at most, one after another.

    what : in words, which names the activities.
    count : how many are worked on; 0 gives nothing.
    of : of what, in the singular.
    each_s : of hands for each [s].
    setup_s : of hands before the first one [s].
    after : names of activities that must be over before.

    A single one that takes longer than two hours is a part of its own.
    """
    if count < 1 or setup_s + count * each_s <= 0.0:
        return
    parts = _parts(count, each_s, setup_s)
    for number, many in enumerate(parts, start=1):
        name = what if len(parts) == 1 else f"{what}, {number} of {len(parts)}"
        hands = many * each_s + (setup_s if number == 1 else 0.0)
        stage = Stage(what, whole_s(hands), by_day=True)
        yield Step(Activity(name, (stage,), tuple(after)), many, of)
        after = (name,)


def _parts(count: int, each_s: float, setup_s: float) -> list[int]:
    parts: list[int] = []
    room = LONGEST_BATCH_S - setup_s
    while count:
        many = count if each_s <= 0.0 else max(1, min(count, math.floor(room / each_s + 1e-9)))
        parts.append(many)
        count -= many
        room = LONGEST_BATCH_S
    return parts


def names(steps: Sequence[Step]) -> tuple[str, ...]:
    """The last activity of a batch, which is over when all of it is; nothing for no batch."""
    return (steps[-1].activity.name,) if steps else ()
