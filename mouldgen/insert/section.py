"""The section of an insert that is no round, as distances from its axis."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from mouldgen.errors import InternalError

if TYPE_CHECKING:
    from mouldgen.solid.mesh import Floats


def radii(corners_mm: tuple[tuple[float, float], ...], *, steps: int) -> Floats:
    """Distance of the surface from the axis at equal steps of angle once round, (steps,) [mm].

    corners_mm : of the section, in order; every line from the axis leaves it once [mm].
    steps : how many angles.

    Raises InternalError where the axis is not inside.
    """
    import numpy as np

    start = np.asarray(corners_mm, dtype=np.float64)
    side = np.roll(start, -1, axis=0) - start
    angle = 2.0 * math.pi * np.arange(steps)[:, None] / steps
    x, y = np.cos(angle), np.sin(angle)
    # The ray t (x, y) meets start + s side: Cramer's rule, a row an angle, a column a side.
    across = x * side[:, 1] - y * side[:, 0]
    with np.errstate(divide="ignore", invalid="ignore"):
        along = (start[:, 0] * side[:, 1] - start[:, 1] * side[:, 0]) / across
        share = (start[:, 0] * y - start[:, 1] * x) / across
    # A ray through a corner may miss both of its sides by a rounding.
    met = np.isfinite(along) & (along > 0.0) & (share > -1e-9) & (share < 1.0 + 1e-9)
    if not np.all(met.any(axis=1)):
        raise InternalError("the axis is not inside of the section")
    return np.asarray(np.where(met, along, 0.0).max(axis=1))
