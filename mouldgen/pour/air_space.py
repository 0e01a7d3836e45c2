"""An air space as runs: level lines through the air, from one wall to the next.

A run is what a line parallel to x sees of the air.  The lines lie `row_mm` apart in y, their
layers `layer_mm` apart in z, each in the middle of its row and its layer; along x a run is
exact.  A run stands for a bar of air one row wide and one layer high.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from mouldgen.errors import InputError
from mouldgen.pour.space import UPRIGHT, Attitude
from mouldgen.solid.mesh import Floats, Integers

Bools = NDArray[np.bool_]

# What is shorter than this, or overlaps by less, is neither air nor a passage.  Two walls that
# touch come out of the rounding up to one step apart; this is a micrometre on a mesh's grid.
LEAST_STEPS = 16
_VOXEL_STEPS = 1024


@dataclass(frozen=True, eq=False)
class AirSpace:
    """Runs of air, sorted by layer, row and start; no two of one line touch.

    layer, row : of each run (n,); layer k lies between ``k`` and ``k + 1`` times `layer_mm`.
    start, end : of each run (n,), in steps from `origin_mm`.
    opens : which runs reach open air (n,).
    layer_mm, row_mm : height of a layer, width of a row [mm].
    step_mm : length of a step along x [mm].
    origin_mm : x at which the steps begin [mm].
    attitude : in which the runs lie level.
    """

    layer: Integers
    row: Integers
    start: Integers
    end: Integers
    opens: Bools
    layer_mm: float
    row_mm: float
    step_mm: float
    origin_mm: float
    attitude: Attitude

    @property
    def run_ml(self) -> Floats:
        """Volume that each run stands for (n,) [ml]."""
        bar = self.step_mm * self.row_mm * self.layer_mm / 1000.0
        volume: Floats = (self.end - self.start).astype(np.float64) * bar
        return volume

    @property
    def volume_ml(self) -> float:
        """Volume of all air [ml]."""
        return float(self.run_ml.sum())


def runs_of_voxels(
    air: ArrayLike, *, voxel_mm: float = 0.5, opens: ArrayLike | None = None
) -> AirSpace:
    """The runs of a boolean array (z, y, x), true where there is air.

    voxel_mm : edge of a voxel [mm].
    opens : which voxels are open air, an array of the same shape; by default the air of the
        top layer.

    Raises InputError where an array does not have three axes, or the two differ in shape.
    """
    voxels = np.asarray(air, bool)
    if voxels.ndim != 3:
        raise InputError(f"voxels come as an array (z, y, x), not {voxels.shape}")
    open_air = np.zeros_like(voxels) if opens is None else np.asarray(opens, bool)
    if open_air.shape != voxels.shape:
        raise InputError(f"open air {open_air.shape} and air {voxels.shape} differ in shape")
    if opens is None:
        open_air[-1:] = True
    wide = voxels.shape[2] + 1  # a wall after each line, so that no run goes round the corner
    lines = np.zeros((*voxels.shape[:2], wide), np.int8)
    lines[:, :, :-1] = voxels
    change = np.diff(lines.ravel(), prepend=np.int8(0))
    start, end = np.flatnonzero(change == 1), np.flatnonzero(change == -1)
    line = start // wide
    reach = np.zeros(lines.size + 1, np.int64)
    np.cumsum(np.pad(voxels & open_air, ((0, 0), (0, 0), (0, 1))).ravel(), out=reach[1:])
    return AirSpace(
        layer=line // voxels.shape[1],
        row=line % voxels.shape[1],
        start=(start % wide) * _VOXEL_STEPS,
        end=(end - line * wide) * _VOXEL_STEPS,
        opens=reach[end] > reach[start],
        layer_mm=voxel_mm,
        row_mm=voxel_mm,
        step_mm=voxel_mm / _VOXEL_STEPS,
        origin_mm=0.0,
        attitude=UPRIGHT,
    )
