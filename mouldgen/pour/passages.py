"""Which runs of air are joined: within a layer, and from a layer to the next.

Air passes between two runs that share some length.  Runs that meet in a point, or bars that
touch along an edge, are not joined.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from mouldgen.pour.air_space import LEAST_STEPS, AirSpace
from mouldgen.solid.mesh import Integers
from mouldgen.solid.topology import components


class Rooms(NamedTuple):
    """The parts of each layer within which air moves level.

    of_run : the room of each run (n,), numbered upward by layer.
    layer : of each room (m,).
    lower, upper : pairs of rooms joined through the face between two layers (k,), sorted.
    """

    of_run: Integers
    layer: Integers
    lower: Integers
    upper: Integers


def rooms_of(air: AirSpace) -> Rooms:
    """The rooms of an air space and the passages between them.

    air : its runs, at least one.
    """
    count = len(air.layer)
    # An empty line after each layer, so that the next row is never the next layer's first.
    rows = int(air.row.max() - air.row.min()) + 2
    line = air.layer * rows + air.row - air.row.min()
    span = int(air.end.max()) + 2 * LEAST_STEPS
    line -= line[0]
    start, end = line * span + air.start, line * span + air.end
    name = components(count, *_overlaps(start, end, span))
    first = name == np.arange(count)
    of_run = (np.cumsum(first) - 1)[name]
    a, b = _overlaps(start, end, rows * span)
    lower, upper = _distinct(of_run[a], of_run[b], int(first.sum()))
    return Rooms(of_run, air.layer[first], lower, upper)


def _overlaps(start: Integers, end: Integers, ahead: int) -> tuple[Integers, Integers]:
    """Pairs of runs, the second one `ahead`, that share at least the least length."""
    first = np.searchsorted(end, start + (ahead + LEAST_STEPS))
    behind = np.searchsorted(start, end + (ahead - LEAST_STEPS), side="right")
    count = behind - first
    a = np.repeat(np.arange(len(start)), count)
    ends = np.cumsum(count)
    b = np.arange(len(a)) - np.repeat(ends - count - first, count)
    return a, b


def _distinct(a: Integers, b: Integers, count: int) -> tuple[Integers, Integers]:
    """Pairs of rooms, each once, sorted."""
    key = np.sort(a * count + b, kind="stable")  # nearly in order, which it makes use of
    once = np.ones(len(key), bool)
    once[1:] = key[1:] != key[:-1]
    lower, upper = np.divmod(key[once], count)
    return lower, upper
