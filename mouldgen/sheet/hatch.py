"""The hatching of a section: which pixels lie on its lines."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from mouldgen.sheet.raster import Floats, Ints

_LINES = 60  # across the shorter side of a picture, so that small and large ones look alike
_CLOSEST = 10  # [pixels]
_WIDTH_SHARE = 0.125  # of the distance between two lines
_THINNEST = 2  # [pixels]


def hatched(
    pixels: Ints, *, width: int, height: int, leans: Ints, apart: Floats
) -> NDArray[np.bool_]:
    """Which pixels lie on lines at 45 degrees.

    pixels : counted row by row from the top (n,).
    width, height : of the picture [pixels].
    leans : 1 where the lines rise to the right, -1 where to the left (n,).
    apart : from line to line along a row, as a share of the usual distance (n,).
    """
    usual = max(_CLOSEST, round(min(width, height) / _LINES))
    along = pixels % width + leans * (pixels // width)
    thick = max(_THINNEST, round(usual * _WIDTH_SHARE))
    on: NDArray[np.bool_] = along % np.maximum(np.rint(usual * apart), 1).astype(np.int64) < thick
    return on
