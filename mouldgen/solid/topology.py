"""Is a mesh closed, which way is it wound, how many shells and handles has it?"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from mouldgen.solid.mesh import Floats, Integers, Mesh


@dataclass(frozen=True, eq=False)
class Topology:
    """What a mesh is made of.

    open_edges : edges with a face on one side only.
    crowded_edges : edges that more than two faces share.
    turned_edges : edges whose two faces are wound against each other.
    shells : connected pieces of surface.
    genus : handles, all shells together, from Euler's formula V - E + F = 2 (shells - genus).
        Meaningful for a closed mesh only.
    inward : shells that enclose a negative volume, that is, hollows.
    flat : triangles without area.
    first_open : middle of one faulty edge (x, y, z) [mm], or None.
    """

    open_edges: int
    crowded_edges: int
    turned_edges: int
    shells: int
    genus: int
    inward: int
    flat: int
    first_open: tuple[float, float, float] | None

    @property
    def closed(self) -> bool:
        """Every edge has two faces, and they are wound alike."""
        return not (self.open_edges or self.crowded_edges or self.turned_edges)


def topology_of(mesh: Mesh) -> Topology:
    """Count edges, shells and handles of a mesh."""
    faces = mesh.triangles.astype(np.int64)
    count = len(mesh.vertices)
    start, end = faces.ravel(), faces[:, [1, 2, 0]].ravel()
    low, high = np.minimum(start, end), np.maximum(start, end)
    key = low * count + high
    order = np.argsort(key, kind="stable")
    sorted_key = key[order]
    first = np.flatnonzero(np.r_[True, sorted_key[1:] != sorted_key[:-1]])
    uses = np.diff(np.r_[first, len(sorted_key)])
    forward = np.add.reduceat((start < end)[order].astype(np.int64), first)
    faulty = (uses != 2) | (forward != 1)
    shell_of = _shells(count, low[order[first]], high[order[first]])
    # numpy's own unique would load its masked arrays, six milliseconds of every start.
    used = np.zeros(count, bool)
    used[faces] = True
    roots = used & (shell_of == np.arange(count))
    shells = int(roots.sum())
    shell_of = (np.cumsum(roots) - 1)[shell_of]
    euler = int(used.sum()) - len(first) + len(faces)
    worst = order[first[np.argmax(faulty)]] if faulty.any() else None
    return Topology(
        open_edges=int((uses == 1).sum()),
        crowded_edges=int((uses > 2).sum()),
        turned_edges=int(((uses == 2) & (forward != 1)).sum()),
        shells=shells,
        genus=shells - euler // 2,
        inward=int((_shell_volumes(mesh, shell_of, shells) < 0.0).sum()),
        flat=int((_twice_areas(mesh) == 0.0).sum()),
        first_open=None if worst is None else _middle(mesh, low[worst], high[worst]),
    )


def _shells(count: int, a: Integers, b: Integers) -> Integers:
    """Name each corner by the lowest corner that edges connect it to."""
    name = np.arange(count)
    while True:
        lower = np.minimum(name[a], name[b])
        following = name.copy()
        np.minimum.at(following, name[a], lower)
        np.minimum.at(following, name[b], lower)
        following = following[following]  # pointer jumping: long chains shorten by half
        if np.array_equal(following, name):
            return name
        name = following


def _shell_volumes(mesh: Mesh, shell_of: Integers, shells: int) -> Floats:
    corners = mesh.vertices.astype(np.float64)
    a, b, c = (corners[mesh.triangles[:, i]] - corners[0] for i in range(3))
    six = np.einsum("ij,ij->i", a, np.cross(b, c))
    volumes: Floats = np.zeros(shells)
    np.add.at(volumes, shell_of[mesh.triangles[:, 0]], six)
    return volumes


def _twice_areas(mesh: Mesh) -> Floats:
    corners = mesh.vertices.astype(np.float64)
    a, b, c = (corners[mesh.triangles[:, i]] for i in range(3))
    areas: Floats = np.linalg.norm(np.cross(b - a, c - a), axis=1)
    return areas


def _middle(mesh: Mesh, a: int, b: int) -> tuple[float, float, float]:
    x, y, z = (mesh.vertices[a].astype(float) + mesh.vertices[b]) / 2.0
    return float(x), float(y), float(z)
