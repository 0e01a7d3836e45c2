"""Hollows that nothing can reach: gas and resin stay out, and the pot's pressure stays on."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from mouldgen.solid.surface import Surface
from mouldgen.solid.topology import components


@dataclass(frozen=True, eq=False)
class Hollow:
    """One sealed hollow.

    volume_mm3 : that it encloses [mm3].
    at : the middle of the box round it [mm].
    """

    volume_mm3: float
    at: tuple[float, float, float]


def hollows(surface: Surface) -> tuple[Hollow, ...]:
    """Every sealed hollow, the largest first.

    surface : faces and edges of a closed mesh, wound outward: a shell that encloses a negative
        volume is the wall of a hollow.
    """
    shell_of = components(len(surface.corners), surface.a, surface.b)
    a, b, c = (surface.corners[corner] - surface.corners[0] for corner in surface.mesh.triangles.T)
    spanned = np.einsum("ij,ij->i", a, np.cross(b, c)) / 6.0
    volumes = np.bincount(shell_of[surface.mesh.triangles[:, 0]], spanned)
    found = []
    for shell in np.flatnonzero(volumes < 0.0):
        corners = surface.corners[shell_of == shell]
        x, y, z = map(float, 0.5 * (corners.min(axis=0) + corners.max(axis=0)))
        found.append(Hollow(-float(volumes[shell]), (x, y, z)))
    return tuple(sorted(found, key=lambda hollow: -hollow.volume_mm3))
