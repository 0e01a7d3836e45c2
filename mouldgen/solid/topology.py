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
    flat : triangles without area; those that lost a corner have no edges and count in nothing else.
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
    count = len(mesh.vertices)
    every = mesh.triangles.astype(np.int64)
    a, b, c = every.T
    whole = (a != b) & (b != c) & (c != a)
    if not whole.all():
        a, b, c = every[whole].T
    start, end = np.concatenate([a, b, c]), np.concatenate([b, c, a])
    # Each side of a triangle as one number: its edge, and in the last bit which way it goes.
    side = (np.minimum(start, end) * count + np.maximum(start, end)) * 2 + (start < end)
    # Triangles in order leave long runs in order, which the stable way is quicker with.
    side = np.sort(side, kind="stable")
    edge = side >> 1
    first = np.flatnonzero(np.diff(edge, prepend=-1))
    uses = np.diff(first, append=len(edge))
    forward = np.add.reduceat(side & 1, first)
    faulty = (uses != 2) | (forward != 1)
    low, high = np.divmod(edge[first], count)
    shell_of = components(count, low, high)
    # numpy's own unique would load its masked arrays, six milliseconds of every start.
    used = np.zeros(count, bool)
    used[start] = True
    shells = int((used & (shell_of == np.arange(count))).sum())
    euler = int(used.sum()) - len(first) + len(a)
    worst = int(np.argmax(faulty)) if faulty.any() else None
    corners = mesh.vertices.astype(np.float64)
    x, y, z = normals_of(corners, every)
    volumes = _volumes(corners, every, (x, y, z))
    shell_volumes = np.bincount(shell_of[every[:, 0]], volumes, minlength=count)
    return Topology(
        open_edges=int((uses == 1).sum()),
        crowded_edges=int((uses > 2).sum()),
        turned_edges=int(((uses == 2) & (forward != 1)).sum()),
        shells=shells,
        genus=shells - euler // 2,
        inward=int((shell_volumes < 0.0).sum()),
        flat=int(((x == 0.0) & (y == 0.0) & (z == 0.0)).sum()),
        first_open=None if worst is None else _middle(mesh, int(low[worst]), int(high[worst])),
    )


def components(count: int, a: Integers, b: Integers) -> Integers:
    """The smallest member of each thing's component.

    count : how many things there are.
    a, b : pairs of things that belong together.
    """
    name = np.arange(count)
    while True:
        apart = name[a] != name[b]
        if not apart.any():
            return name
        a, b = a[apart], b[apart]
        one, other = name[a], name[b]
        np.minimum.at(name, np.maximum(one, other), np.minimum(one, other))
        while True:
            further = name[name]
            if np.array_equal(further, name):
                break
            name = further


def normals_of(corners: Floats, faces: Integers) -> tuple[Floats, Floats, Floats]:
    """Of each triangle its normal, twice its area long, a column each (m,).

    corners : (n, 3) [mm].
    faces : (m, 3).
    """
    a, b, c = faces.T
    columns = [np.ascontiguousarray(column) for column in corners.T]  # quicker than rows
    first = [column.take(a) for column in columns]
    ux, uy, uz = (column.take(b) - start for column, start in zip(columns, first, strict=True))
    vx, vy, vz = (column.take(c) - start for column, start in zip(columns, first, strict=True))
    return uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx


def _volumes(corners: Floats, faces: Integers, normals: tuple[Floats, ...]) -> Floats:
    """Six times what each triangle spans with a corner of the mesh (m,) [mm3]."""
    spanned = np.zeros(len(faces))
    # From a corner of the mesh's own, so that a far-off mesh loses no digits.
    for column, normal in zip(corners.T, normals, strict=True):
        spanned += (column - column[:1]).take(faces[:, 0]) * normal
    return spanned


def _middle(mesh: Mesh, a: int, b: int) -> tuple[float, float, float]:
    x, y, z = (mesh.vertices[a].astype(float) + mesh.vertices[b]) / 2.0
    return float(x), float(y), float(z)
