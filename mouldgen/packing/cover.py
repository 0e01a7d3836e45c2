"""The fewest of the plates that were ever built which together hold what is asked for.

A set cover: each plate built is a column of counts, and an integer programme says how often each
is made.  Its relaxation gives a value to one piece of each kind, which tells a search what a new
plate would have to hold; its optimum, rounded up, says what mixing these plates can reach at
best.  That is no bound on other plates.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from mouldgen.packing.area import Spot
from mouldgen.packing.outline import Floats
from mouldgen.packing.plates import Plate, Plates, covered, held, in_order

_NODES = 500  # of the integer programme; a count, so that the clock decides nothing
_TIE = 1e-6  # per place in the pool, so that among equally few plates the earlier ones are made
_SLACK = 1e-6  # of the relaxation's optimum


@dataclass(frozen=True, eq=False)
class Relaxed:
    """The optimum of the relaxation.

    optimum : plates, parts of them allowed.
    values : of one piece of each kind, in plates.
    """

    optimum: float
    values: tuple[float, ...]

    @property
    def plates(self) -> int:
        """How many it takes at least of the plates at hand."""
        return math.ceil(self.optimum - _SLACK)


class Pool:
    """Plates with different counts, in the order in which they were built."""

    def __init__(self, demand: Sequence[int]) -> None:
        """
        demand : how many of each kind are asked for.
        """
        self._demand = np.array(demand, dtype=np.float64)
        self._plates: dict[tuple[int, ...], Plate] = {}

    def __len__(self) -> int:
        return len(self._plates)

    def add(self, plate: Sequence[Spot]) -> tuple[int, ...]:
        """Take a plate in, unless one with its counts is there; its counts."""
        counts = held(plate, len(self._demand))
        if any(counts):
            self._plates.setdefault(counts, tuple(plate))
        return counts

    def relaxed(self) -> Relaxed:
        """How few plates would do if parts of a plate could be made."""
        from scipy.optimize import linprog

        found = linprog(
            np.ones(len(self._plates)), A_ub=-self._columns(), b_ub=-self._demand, method="highs"
        )
        values = tuple(float(-value) for value in found.ineqlin.marginals)
        return Relaxed(float(found.fun), values)

    def at_most(self, most: int, relaxed: Relaxed) -> Plates | None:
        """So many plates or fewer, what they hold too much taken off; None where none were found.

        relaxed : the optimum of the relaxation over the same plates.  A plate that is worth so
            little that making it once costs more than `most` allows is left out: it is in no
            such cover.
        """
        from scipy.optimize import Bounds, LinearConstraint, milp

        columns = self._columns()
        spare = most - relaxed.optimum + _SLACK
        rich = np.flatnonzero(1.0 - np.array(relaxed.values) @ columns <= spare)
        if not len(rich):
            return None
        columns = columns[:, rich]
        found = milp(
            1.0 + _TIE * np.arange(len(rich)),
            constraints=LinearConstraint(columns, lb=self._demand),
            integrality=np.ones(len(rich)),
            bounds=Bounds(0.0, np.inf),
            options={"node_limit": _NODES, "mip_rel_gap": 0.0},
        )
        if found.x is None:
            return None
        built = list(self._plates.values())
        plates = [
            built[int(column)]
            for column, times in zip(rich, found.x, strict=True)
            for _ in range(round(float(times)))
        ]
        return self._trimmed(plates) if len(plates) <= most else None

    def _columns(self) -> Floats:
        return np.array(list(self._plates), dtype=np.float64).T

    def _trimmed(self, plates: Sequence[Plate]) -> Plates | None:
        """Without the pieces that are over, taken off the emptiest plates first."""
        kinds = len(self._demand)
        over = [-int(count) for count in self._demand]
        for plate in plates:
            over = [have + more for have, more in zip(over, held(plate, kinds), strict=True)]
        if min(over) < 0:
            return None
        kept = []
        for plate in sorted(plates, key=covered):
            spots = []
            for spot in sorted(plate, key=lambda spot: (-spot.y, -spot.x)):
                if over[spot.shape.kind] > 0:
                    over[spot.shape.kind] -= 1
                else:
                    spots.append(spot)
            kept.append(tuple(spots))
        return in_order([plate for plate in kept if plate])
