"""From the vents downward: which rooms of air still reach open air when resin comes to them.

When the resin stands at the foot of a layer, the air of that layer leaves if it is joined to
open air through itself and the layers above.  So the layers are taken from the top down, their
rooms joined to a forest, and each room is judged once its whole layer has been joined.
"""

from __future__ import annotations

import numpy as np

from mouldgen.pour.air_space import Bools
from mouldgen.pour.passages import Rooms
from mouldgen.solid.mesh import Integers
from mouldgen.solid.topology import components


def vented(rooms: Rooms, opens: Bools) -> Bools:
    """Which rooms the air leaves before the resin fills them (m,).

    rooms : of the layers, and the passages between them.
    opens : which rooms hold open air (m,).
    """
    head = list(range(len(rooms.layer)))
    free = opens.tolist()
    judged = [False] * len(head)
    lower, upper = rooms.lower.tolist(), rooms.upper.tolist()
    pair = len(lower)
    for first, behind in _layers_downward(rooms.layer):
        while pair and lower[pair - 1] >= first:
            pair -= 1
            a, b = _root(head, lower[pair]), _root(head, upper[pair])
            if a != b:
                head[b] = a
                free[a] = free[a] or free[b]
        # Judged now: a vent that is met further down frees nothing above it.
        judged[first:behind] = [free[_root(head, room)] for room in range(first, behind)]
    return np.array(judged, bool)


def pockets_of(rooms: Rooms, shut: Bools) -> Integers:
    """The pocket that each room belongs to, named by its lowest room (m,).

    rooms : of the layers, and the passages between them.
    shut : which rooms keep their air (m,).
    """
    both = shut[rooms.lower] & shut[rooms.upper]
    return components(len(shut), rooms.lower[both], rooms.upper[both])


def _layers_downward(layer: Integers) -> list[tuple[int, int]]:
    """The first room of each layer and the one behind its last, from the top layer down."""
    firsts = [0, *(np.flatnonzero(np.diff(layer)) + 1).tolist(), len(layer)]
    return [(firsts[k], firsts[k + 1]) for k in range(len(firsts) - 2, -1, -1)]


def _root(head: list[int], room: int) -> int:
    while head[room] != room:
        head[room] = head[head[room]]
        room = head[room]
    return room
