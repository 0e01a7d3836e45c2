"""Write the shipped scan anew: ``python -m docs.make_scan``.

A burl that no tree grew: a ball of 8 n^2 triangles with knobs and dents, drawn out, and turned in
space as a scanner would hand it over.  The same numbers give the same bytes.
"""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np

from mouldgen.solid.mesh import Floats, Integers, Mesh, canonical
from mouldgen.solid.stl import stl_bytes

FILE = Path(__file__).parent.parent / "presets" / "scans" / "burl-knob.stl"
STEPS = 11  # 968 triangles, 48 kB
HALF_MM = (18.5, 17.0, 29.0)  # of the drawn-out ball, before its knobs
SEED = 11
BUMPS = 14


def burl(
    *, steps: int = STEPS, seed: int = SEED, half_mm: tuple[float, float, float] = HALF_MM
) -> Mesh:
    """A burl as a closed mesh of ``8 steps^2`` triangles.

    steps : pieces that each edge of an octahedron is cut into.
    seed : of its knobs and dents, and of how it is turned.
    half_mm : lengths from the middle of the ball, before its knobs [mm].
    """
    rng = np.random.default_rng(seed)
    ways, triangles = _ball(steps)
    middles = rng.normal(size=(BUMPS, 3))
    middles /= np.linalg.norm(middles, axis=1)[:, None]
    heights = rng.uniform(-0.09, 0.13, BUMPS)
    sharp = rng.uniform(5.0, 22.0, BUMPS)
    # A knob is as high as its height where it points, and dies away with the angle from there.
    radius = 1.0 + np.exp(sharp * (ways @ middles.T - 1.0)) @ heights
    points = ways * radius[:, None] * np.array(half_mm)
    turn, _ = np.linalg.qr(rng.normal(size=(3, 3)))
    turn *= math.copysign(1.0, float(np.linalg.det(turn)))
    return canonical(points @ turn.T, triangles)


def _ball(steps: int) -> tuple[Floats, Integers]:
    """Directions and triangles of an octahedron, each face cut into steps^2."""
    ways: list[Floats] = []
    triangles: list[list[int]] = []
    for signs in np.array(np.meshgrid([1, -1], [1, -1], [1, -1])).T.reshape(-1, 3):
        start = len(ways)
        rows = [(i, j) for i in range(steps + 1) for j in range(steps + 1 - i)]
        number = {place: start + k for k, place in enumerate(rows)}
        ways += [signs * np.array([i, j, steps - i - j]) for i, j in rows]
        way = int(signs.prod())
        for i, j in rows:
            if i + j < steps:
                triangles.append([number[i, j], number[i + 1, j], number[i, j + 1]][::way])
            if i + j < steps - 1:
                corners = [number[i + 1, j], number[i + 1, j + 1], number[i, j + 1]]
                triangles.append(corners[::way])
    every, name = np.unique(np.array(ways), axis=0, return_inverse=True)
    return every / np.linalg.norm(every, axis=1)[:, None], name.ravel()[np.array(triangles)]


if __name__ == "__main__":
    FILE.write_bytes(stl_bytes([burl()]))
