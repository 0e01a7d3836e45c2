"""Which faces of a surface share which edge, and which things hang together.

The ground of everything that looks at a scan: it holds for any triangles, closed or not, and
says nothing about where they lie.  scipy is loaded when a function is called: nothing on the
road from a plain job to its files comes here.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from mouldgen.solid.mesh import Integers


@dataclass(frozen=True, eq=False)
class Edges:
    """The edges of a surface.

    A *side* is one of the three edges of one face: number ``3 face + k`` goes from the face's
    corner k to its corner k + 1.

    low, high : the two corners of each edge (e,), the smaller first.
    uses : how many sides lie on it (e,).
    first : where its sides start in `sides` (e,).
    sides : all sides, those of one edge together (3 m,).
    forward : whether each of `sides` goes from low to high (3 m,).
    """

    low: Integers
    high: Integers
    uses: Integers
    first: Integers
    sides: Integers
    forward: NDArray[np.bool_]

    @property
    def pairs(self) -> tuple[Integers, Integers, NDArray[np.bool_]]:
        """The two sides of every edge that has two, and whether they run alike (p,).

        Two faces that are wound alike run along their edge in opposite directions.
        """
        at = self.first[self.uses == 2]
        return self.sides[at], self.sides[at + 1], self.forward[at] == self.forward[at + 1]

    @property
    def uses_of_faces(self) -> Integers:
        """Of each face's three edges, how many sides lie on them (m, 3)."""
        uses = np.empty(len(self.sides), np.int64)
        uses[self.sides] = np.repeat(self.uses, self.uses)
        return uses.reshape(-1, 3)


def edges_of(triangles: Integers) -> Edges:
    """The edges of some triangles.

    triangles : (m, 3) corner indices, no corner twice in one of them.
    """
    faces = np.asarray(triangles, np.int64)
    start, end = faces.ravel(), faces[:, [1, 2, 0]].ravel()
    low, high = np.minimum(start, end), np.maximum(start, end)
    key = low * (int(faces.max(initial=0)) + 1) + high
    sides = np.argsort(key, kind="stable")
    ordered = key[sides]
    first = np.flatnonzero(np.diff(ordered, prepend=-1))
    lead = sides[first]
    return Edges(
        low=low[lead],
        high=high[lead],
        uses=np.diff(first, append=len(sides)),
        first=first,
        sides=sides,
        forward=(start < end)[sides],
    )


def together(count: int, a: Integers, b: Integers) -> Integers:
    """The number of each thing's component, from 0 (count,).

    count : how many things there are.
    a, b : pairs of things that belong together.
    """
    if not count:
        return np.empty(0, np.int64)
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    links = coo_array((np.ones(len(a), np.int8), (a, b)), shape=(count, count))
    return np.asarray(connected_components(links, directed=False)[1], np.int64)


def there_before(triangles: Integers) -> NDArray[np.bool_]:
    """Which triangles lie over the same three corners as an earlier one, wound either way (m,).

    triangles : (m, 3) corner indices.
    """
    key = np.sort(triangles, axis=1)
    order = np.lexsort((key[:, 2], key[:, 1], key[:, 0]))  # stable: the earlier comes first
    again = np.zeros(len(triangles), bool)
    again[order[1:]] = (key[order][1:] == key[order][:-1]).all(axis=1)
    return again
