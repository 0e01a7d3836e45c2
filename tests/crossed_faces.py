"""Which triangles pass through each other: every edge tried against every triangle."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

DOUBTFUL = 1e-4  # share of an edge or a triangle by which a crossing may be missed or seen


def crossed_faces(corners: Floats) -> tuple[set[int], set[int]]:
    """Triangles that an edge of another passes through for certain, and those it perhaps does.

    corners : of triangles (m, 3, 3) [mm], those of one corner equal.  Every edge against every
        triangle, by the signed volumes of five tetrahedra (Segura and Feito 2001, from memory).
    """
    sure: set[int] = set()
    perhaps: set[int] = set()
    a, b, c = (corners[:, k][None] for k in range(3))
    normal = np.cross(b - a, c - a)
    twice = np.maximum(np.linalg.norm(normal, axis=2), 1e-300)
    shares = (corners[:, None, :, None] == corners[None, :, None, :]).all(axis=4)
    common = shares.any(axis=3).sum(axis=2)  # corners that two triangles have in common
    for k in range(3):
        p, q = corners[:, k][:, None], corners[:, (k + 1) % 3][:, None]
        long = np.maximum(np.linalg.norm(q - p, axis=2), 1e-300)
        here, there = (((x - a) * normal).sum(axis=2) / twice / long for x in (p, q))
        sides = [np.cross(q - p, x - p) for x in (a, b, c)]
        volumes = [
            (sides[i] * (point - p)).sum(axis=2) / twice / long
            for i, point in enumerate((b, c, a))
        ]  # fmt: skip
        apart = (common < 2) & ~shares[:, :, k].any(axis=2) & ~shares[:, :, (k + 1) % 3].any(axis=2)
        same = np.minimum(np.minimum(*volumes[:2]), volumes[2])
        other = -np.maximum(np.maximum(*volumes[:2]), volumes[2])
        inside = np.maximum(same, other)
        near = np.minimum(abs(here), abs(there))
        certain = apart & (here * there < 0.0) & (near > DOUBTFUL) & (inside > DOUBTFUL)
        doubtful = apart & ((here * there < 0.0) | (near < DOUBTFUL)) & (inside > -DOUBTFUL)
        sure.update(np.argwhere(certain).ravel().tolist())
        perhaps.update(np.argwhere(doubtful).ravel().tolist())
    return sure, perhaps
