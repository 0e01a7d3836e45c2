"""Which pockets of shut-in air reach into a tube about the mould's axis."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from mouldgen.pour.air_space import AirSpace, Bools
from mouldgen.pour.pour import Pocket, Pour
from mouldgen.solid.mesh import Floats

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

# A run is thin; samples this close along it meet a wall of half a millimetre.
_STEP_MM = 0.1


def pockets_in(
    poured: Pour,
    *,
    between_mm: tuple[float, float],
    heights_mm: tuple[float, float],
    about: ArrayLike | None = None,
) -> list[tuple[Pocket, float]]:
    """The pockets that reach into a tube about the mould's axis, each with what lies there [ml].

    poured : a pour in any attitude; pockets above its level do not count.
    between_mm : inner and outer radius of the tube [mm].
    heights_mm : over the mould's floor, from where to where [mm].
    about : a turn and a move (3, 4) that takes the tube from about the mould's axis to where it is
        [mm]; None where it stays there.

    Each run is sampled along its middle, so what lies in the tube is known to about a run's
    section; a pocket that only touches is not told.
    """
    air = poured.air
    found = []
    for pocket in poured.pockets:
        runs = poured.pocket == pocket.number
        shared = _shared_ml(air, runs, between_mm, heights_mm, about)
        if shared > 0.0:
            found.append((pocket, shared))
    return found


def _shared_ml(
    air: AirSpace,
    runs: Bools,
    between_mm: tuple[float, float],
    heights_mm: tuple[float, float],
    about: ArrayLike | None,
) -> float:
    start = air.start[runs] * air.step_mm + air.origin_mm
    end = air.end[runs] * air.step_mm + air.origin_mm
    if not len(start):
        return 0.0
    across = (air.row[runs] + 0.5) * air.row_mm
    up = (air.layer[runs] + 0.5) * air.layer_mm
    counts = np.maximum(1, np.ceil((end - start) / _STEP_MM)).astype(np.int64)
    of = np.repeat(np.arange(len(counts)), counts)
    place = np.arange(len(of)) - np.repeat(np.cumsum(counts) - counts, counts)
    step = ((end - start) / counts)[of]
    along: Floats = start[of] + (place + 0.5) * step
    points = np.column_stack([along, across[of], up[of]]) @ air.attitude.turn
    if about is not None:
        turn, move = np.asarray(about, float)[:, :3], np.asarray(about, float)[:, 3]
        points = (points - move) @ turn
    radius = np.hypot(points[:, 0], points[:, 1])
    inside = (radius >= between_mm[0]) & (radius <= between_mm[1])
    inside &= (points[:, 2] >= heights_mm[0]) & (points[:, 2] <= heights_mm[1])
    return float(step[inside].sum() * air.row_mm * air.layer_mm / 1000.0)
