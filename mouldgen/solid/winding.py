"""Which faces are wound against their neighbours.

Every face is put twice into one graph, once as it is and once turned; two neighbours that run
alike are linked as they are, others crosswise.  A piece of surface then falls apart into two
components, one for each way of winding it, and one that does not has only one side.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from mouldgen.solid.sides import Edges, together

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from mouldgen.solid.mesh import Integers


@dataclass(frozen=True, eq=False)
class Winding:
    """How the faces of a surface would be wound alike.

    piece : the number of each face's piece of surface, joined over edges of two faces (m,).
    turned : faces that run against the most of their piece (m,).
    one_sided : faces of pieces that cannot be wound alike, as a strip with half a twist (m,).
    """

    piece: Integers
    turned: NDArray[np.bool_]
    one_sided: NDArray[np.bool_]


def winding_of(edges: Edges, count: int) -> Winding:
    """The winding of a surface.

    edges : of its faces.
    count : how many faces there are.
    """
    one, other, against = edges.pairs
    f, g = one // 3, other // 3
    cross = np.where(against, count, 0)
    label = together(
        2 * count,
        np.concatenate([f, f + count]),
        np.concatenate([g + cross, g + count - cross]),
    )
    here, there = label[:count], label[count:]
    piece = np.unique(np.minimum(here, there), return_inverse=True)[1]
    second = here > there
    total = np.bincount(piece)
    few = 2 * np.bincount(piece, second) > total
    return Winding(piece=piece, turned=second ^ few[piece], one_sided=here == there)
