"""Circles as polygons: how many sides, and on which side of the true circle.

Round cavities and holes are drawn *around* the circle (every side touches it), so that the
narrowest place is the radius asked for.  All circles about one axis share their number of
sides and their phase, so that the wall between two of them is the wall asked for.
"""

from __future__ import annotations

import math

import numpy as np

from mouldgen.errors import KernelError
from mouldgen.solid.mesh import Floats

FEWEST = 12  # below this a round hole no longer reads as round, whatever the tolerance


def segments(radius_mm: float, *, chord_mm: float) -> int:
    """Sides of the polygon drawn around a circle, ``n = ceil(pi / acos(R / (R + t)))``.

    radius_mm : of the circle, R [mm].
    chord_mm : how far a corner may stand off the circle, t [mm].

    Raises KernelError where either is not a positive finite number.
    """
    need_positive(radius_mm=radius_mm, chord_mm=chord_mm)
    return max(FEWEST, math.ceil(math.pi / math.acos(radius_mm / (radius_mm + chord_mm))))


def around(radius_mm: float, *, sides: int) -> float:
    """Corner radius of the polygon whose sides touch the circle, ``R / cos(pi / n)`` [mm].

    radius_mm : of the circle [mm].
    sides : of the polygon.
    """
    return radius_mm / math.cos(math.pi / sides)


def excess(sides: int) -> float:
    """Area of the polygon drawn around a circle over the circle's, ``n tan(pi/n) / pi``.

    sides : of the polygon.  For the sides that `segments` picks this is at most about
        ``1 + 2 t / (3 R)``.
    """
    return sides * math.tan(math.pi / sides) / math.pi


def polygon(corner_mm: float, *, sides: int, centre: tuple[float, float] = (0.0, 0.0)) -> Floats:
    """A regular polygon, counter-clockwise, first corner on the x axis.  Shape (sides, 2) [mm].

    corner_mm : distance of the corners from the centre [mm].
    sides : at least 3.
    centre : x and y of the centre [mm].
    """
    need_positive(corner_mm=corner_mm)
    angle = np.arange(sides) * (2.0 * math.pi / sides)
    return np.stack(
        [centre[0] + corner_mm * np.cos(angle), centre[1] + corner_mm * np.sin(angle)], axis=1
    )


def need_positive(**named: float) -> None:
    """Raise KernelError naming the first value that is not finite and above zero."""
    for name, value in named.items():
        if not (math.isfinite(value) and value > 0.0):
            raise KernelError(f"{name} must be finite and above zero, not {value!r}")
