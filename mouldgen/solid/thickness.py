"""How thick the material of any closed mesh is, where two surfaces face away from each other.

Lines along x, y and z go through the part on a lattice.  Where a line enters through one face
and leaves through another that is turned nearly the opposite way, the two faces bound a wall, and
the run counts across the wall, along the mean of the two normals: exact between parallel planes,
whatever way they lean, and in a wedge for the middle of the run.  A raw length along a line would
mean nothing: it falls to zero at every edge.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from mouldgen.solid.lines import runs_along
from mouldgen.solid.mesh import Floats, Integers
from mouldgen.solid.surface import Surface

# A line along the axis that a normal leans to least meets the face at 55 degrees or less.
_DOMINANT = 1.0 / np.sqrt(3.0) - 1e-9


@dataclass(frozen=True, eq=False)
class Walls:
    """Thickness at many places.

    at : each place, half way through the material (n, 3) [mm].
    thick : across the wall (n,) [mm].
    turned : cosine of the angle by which the face behind misses the opposite way (n,).
    share : of the surface in front that a place stands for (n,) [mm2].
    front, back : the two faces (n,).
    """

    at: Floats
    thick: Floats
    turned: Floats
    share: Floats
    front: Integers
    back: Integers


def walls_of(surface: Surface, *, pitch_mm: float, turned: float) -> Walls:
    """Every place of a lattice where two faces bound a wall.

    surface : faces and edges of a closed mesh.
    pitch_mm : of the lattice; a wall that extends less than that may be stepped over [mm].
    turned : least cosine of the angle by which the two faces may miss the opposite way.
    """
    found: list[Walls] = []
    for axis in range(3):
        runs = runs_along(surface.mesh, axis, pitch_mm=pitch_mm)
        front, back = surface.normals[runs.enters], surface.normals[runs.leaves]
        facing = -np.einsum("ij,ij->i", front, back)
        lean = -front[:, axis]
        kept = np.flatnonzero((facing >= turned) & (lean >= _DOMINANT))
        step, at = runs.length[kept], runs.start[kept]
        at[:, axis] += 0.5 * step
        # Half the sum of the cosines at either end, over that of half the angle between.
        across = 0.5 * (lean[kept] + back[kept, axis]) / np.sqrt(0.5 * (1.0 + facing[kept]))
        found.append(
            Walls(
                at=at,
                thick=step * across,
                turned=facing[kept],
                share=pitch_mm**2 / lean[kept],
                front=runs.enters[kept],
                back=runs.leaves[kept],
            )
        )
    return Walls(
        *(
            np.concatenate([getattr(walls, name) for walls in found])
            for name in Walls.__dataclass_fields__
        )
    )
