"""Spaces to pour into whose shut-in air is known in closed form, and a slow second opinion."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from mouldgen.pour.air_space import Bools
from mouldgen.pour.pour import Pour
from mouldgen.pour.space import Space
from mouldgen.solid.circle import around, polygon, segments
from mouldgen.solid.kernel import Solid, cylinder, loft

CHORD = 0.002
OPEN = 2.0  # mm of the hollow above its rim, so that layers of up to 2 mm find it open
SIX = ndimage.generate_binary_structure(3, 1)


def rod(radius: float, bottom: float, top: float, *, centre: tuple[float, float] = (0, 0)) -> Solid:
    return cylinder(radius, bottom_mm=bottom, top_mm=top, chord_mm=CHORD, centre=centre)


def disc_mm2(radius: float) -> float:
    """Area of the polygon that `rod` draws around its circle."""
    sides = segments(radius, chord_mm=CHORD)
    return sides * math.tan(math.pi / sides) * radius**2


def space(hollow: Solid, *solids: Solid) -> Space:
    """A hollow that is open over the last `OPEN` mm of its height."""
    mesh = hollow.any_mesh()
    return Space(mesh, tuple(s.any_mesh() for s in solids), mesh.bounds[1][2] - OPEN)


def blind_hole(radius: float, depth: float, *, at: float, facing_up: bool = False) -> Space:
    """A block standing in a round hollow, with a blind hole from its foot, at `at`, or its top."""
    top = at + depth + 6.0
    low, high = (top - depth, top + 1.0) if facing_up else (at - 1.0, at + depth)
    return space(rod(20.0, 0.0, 50.0), rod(12.0, at, top) - rod(radius, low, high))


def tilted_hole_ml(radius: float, depth: float, tilt_deg: float) -> float:
    """Air that a blind hole facing down keeps when its axis leans [ml].

    Heights along the axis, s, and towards the lean, u.  Air is shut in where it stands higher
    than the mouth's highest point: ``s cos(t) + u sin(t) > r sin(t)``, or ``s > (r - u) tan(t)``.
    Over the disc that leaves ``V = integral max(0, d - (r - u) tan(t)) dA``.  With
    ``c = 1 - d / (r tan(t))``, where the plane through the mouth's highest point meets the end:
    for c <= -1 (it does not) ``V = pi r^2 (d - r tan(t))``, else
    ``V = r^3 tan(t) (2/3 (1 - c^2)^1.5 - c (acos(c) - c sqrt(1 - c^2)))``.
    """
    tan = math.tan(math.radians(tilt_deg))
    c = 1.0 - depth / (radius * tan) if tan else -math.inf
    if c <= -1.0:
        return math.pi * radius**2 * (depth - radius * tan) / 1000.0
    left = math.acos(c) - c * math.sqrt(1.0 - c * c)
    return radius**3 * tan * (2.0 / 3.0 * (1.0 - c * c) ** 1.5 - c * left) / 1000.0


def helix(radius: float, groove: float, *, turns: float, bottom: float, top: float) -> Solid:
    """A rod with one round groove that winds round it."""
    sides = 96
    ring = polygon(around(radius, sides=sides), sides=sides)
    depth = np.maximum(0.0, groove - np.hypot(ring[:, 0] - radius, ring[:, 1]))
    ring *= (1.0 - depth / np.hypot(*ring.T))[:, None]
    levels = []
    for share in np.linspace(0.0, 1.0, int(36 * turns) + 1):
        angle = 2.0 * math.pi * turns * share
        c, s = math.cos(angle), math.sin(angle)
        levels.append((ring @ np.array([[c, s], [-s, c]]), bottom + (top - bottom) * share))
    return loft(levels)


def trapped_voxels(found: Pour, shape: tuple[int, ...]) -> Bools:
    """The shut-in air of a pour into voxels, as an array of their shape (z, y, x)."""
    changes = np.zeros((shape[0], shape[1], shape[2] + 1), np.int64)
    air = found.air
    shut = found.pocket > 0
    steps = round(air.row_mm / air.step_mm)
    at = air.layer[shut], air.row[shut]
    np.add.at(changes, (*at, air.start[shut] // steps), 1)
    np.add.at(changes, (*at, air.end[shut] // steps), -1)
    return np.cumsum(changes, axis=2)[:, :, :-1] > 0


def reconstruction(air: Bools, opens: Bools) -> Bools:
    """Shut-in voxels by plain grey reconstruction: geodesic dilations until nothing changes.

    Each voxel's value is the height of the best way from open air, the lowest place of which is
    as high as can be; air whose best way dips below itself is shut in.
    """
    height = np.where(air, np.arange(1, len(air) + 1)[:, None, None], 0)
    reached = np.where(opens, height, 0)
    while True:
        grown = np.minimum(ndimage.grey_dilation(reached, footprint=SIX), height)
        if np.array_equal(grown, reached):
            return air & (reached < height)
        reached = grown


def reconstruction_by_thresholds(air: Bools, opens: Bools) -> Bools:
    """The same by labelling what lies above each height, several times as fast."""
    shut = air.copy()
    for k in range(len(air)):
        label, count = ndimage.label(air[k:], SIX)
        free = np.zeros(count + 1, bool)
        free[label[opens[k:]]] = True
        shut[k] &= ~free[label[0]]
    return shut


def cup_voxels(pitch_mm: float = 0.5) -> NDArray[np.bool_]:
    """A cup of 40 x 40 x 100 mm with a drilled, grooved stick in it (z, y, x).

    pitch_mm : of a voxel, a share of 40 mm.
    """
    wide = round(40.0 / pitch_mm)
    # Middles in halves of a millimetre, that of the first voxel at 0 where it is half one wide.
    z, y, x = (np.mgrid[0 : round(100.0 / pitch_mm), 0:wide, 0:wide] + 0.5) * 2.0 * pitch_mm - 0.5
    away, turn = np.hypot(x - 39.5, y - 39.5), np.arctan2(y - 39.5, x - 39.5)
    stick = (away < 33 + 2.5 * np.cos(6 * turn)) & (z >= 4) & (z < 180)
    drilled = (away < 6) & (z < 120)
    return (away < 39) & (~stick | drilled)
