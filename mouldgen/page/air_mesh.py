"""A pocket of air as closed surfaces, so that it can be seen in the mould."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from mouldgen.pour.air_space import AirSpace
    from mouldgen.pour.pour import Pour
    from mouldgen.solid.mesh import Floats, Integers

# Corners of a box in the order of their bits x, y, z, and its twelve faces seen from outside.
_CORNERS = np.array([(at & 1, at >> 1 & 1, at >> 2) for at in range(8)])
_FACES = np.array(
    [
        (0, 2, 3), (0, 3, 1), (4, 5, 7), (4, 7, 6), (0, 1, 5), (0, 5, 4),
        (2, 6, 7), (2, 7, 3), (0, 4, 6), (0, 6, 2), (1, 3, 7), (1, 7, 5),
    ]
)  # fmt: skip


def air_mesh(pour: Pour, number: int, *, most_faces: int) -> tuple[Floats, Integers]:
    """The air of one pocket, corners (n, 3) [mm] and faces (m, 3) seen from outside.

    pour : upright, so that its runs lie along the mould's own axes.
    number : of the pocket.
    most_faces : of the mesh, at least twelve.

    As many bars as the pour has runs there, whose volume is the pocket's; where that is more
    than the faces allow, cubes on a coarser grid, as coarse as it must be, wherever a cube is
    at least half air.
    """
    air, at = pour.air, np.flatnonzero(pour.pocket == number)
    low, high = _bars(air, at)
    coarser = 1.0
    while len(low) * len(_FACES) > most_faces:
        coarser *= 2.0
        low, high = _cubes(*_bars(air, at), edge_mm=coarser * air.layer_mm)
    corners = low[:, None] + _CORNERS[None] * (high - low)[:, None]
    faces = _FACES[None] + 8 * np.arange(len(low))[:, None, None]
    return corners.reshape(-1, 3), faces.reshape(-1, 3)


def _bars(air: AirSpace, at: Integers) -> tuple[Floats, Floats]:
    """Lowest and highest corner of the bar of each run (n, 3) [mm]."""
    along = np.stack([air.start[at], air.end[at]]) * air.step_mm + air.origin_mm
    low = np.column_stack([along[0], air.row[at] * air.row_mm, air.layer[at] * air.layer_mm])
    size = np.column_stack(
        [along[1] - along[0], np.full(len(at), air.row_mm), np.full(len(at), air.layer_mm)]
    )
    return low, low + size


def _cubes(low: Floats, high: Floats, *, edge_mm: float) -> tuple[Floats, Floats]:
    """Cubes of a grid that bars fill by half or more; the one with the most where none is."""
    first, last = np.floor(low / edge_mm), np.floor(high / edge_mm)
    count = (last[:, 0] - first[:, 0]).astype(np.int64) + 1
    bar = np.repeat(np.arange(len(low)), count)
    step = np.arange(len(bar)) - np.repeat(np.cumsum(count) - count, count)
    # Bars are thinner than cubes, so each lies in one row and one layer of them.
    cell = np.floor((low[bar] + high[bar]) / 2.0 / edge_mm)
    cell[:, 0] = first[bar, 0] + step
    inside = np.minimum(high[bar, 0], (cell[:, 0] + 1.0) * edge_mm)
    inside -= np.maximum(low[bar, 0], cell[:, 0] * edge_mm)
    volume = np.maximum(inside, 0.0) * np.prod((high - low)[bar, 1:], axis=1)
    cells, name = np.unique(cell, axis=0, return_inverse=True)
    filled = np.bincount(name.ravel(), weights=volume)
    enough = filled >= 0.5 * edge_mm**3
    # Just one, also where air lies round the axis, as much of it in each of four cubes.
    kept = cells[enough] if enough.any() else cells[[filled.argmax()]]
    return kept * edge_mm, (kept + 1.0) * edge_mm
