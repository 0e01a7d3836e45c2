"""The solids that the page shows and turns, as arrays that a browser takes as they are.

Body or halves, lid, and the insert in each of its cells, all where they belong [mm], z up; with
each the way that it goes when the parts are moved apart.
"""

from __future__ import annotations

import hashlib
from base64 import b64encode
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any, Literal
from weakref import WeakKeyDictionary

import numpy as np

from mouldgen.mould.parts import BODIES
from mouldgen.page.air_mesh import air_mesh
from mouldgen.sheet.wire import sharp_edges
from mouldgen.units.beside import in_both

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from mouldgen.mould.parts import MouldParts
    from mouldgen.mould_set import MouldSet
    from mouldgen.solid.mesh import Mesh

Role = Literal["body", "lid", "insert", "other"]
Move = tuple[float, float, float]

MOST_AIR_FACES = 4000  # of one pocket in all its cells: a picture, not a measure
_APART = 0.15  # seen between two parts, of the bodies' height
_HERE = ((0.0, 0.0),)
_ASIDE = {"front": -1.0, "back": 1.0}  # which way along y a half goes

# Meshes come out of a store of steps, so an edit that makes none finds its edges here.
_EDGES: WeakKeyDictionary[Mesh, NDArray[np.float32]] = WeakKeyDictionary()


@dataclass(frozen=True, eq=False)
class Shown:
    """One part of the picture.

    name, role : of the part.
    mesh : of one of it.
    places : where each of it stands, as a move from where the mesh is [mm].
    move : where it goes when the parts are moved apart [mm].
    """

    name: str
    role: Role
    mesh: Mesh
    places: tuple[tuple[float, float], ...]
    move: Move

    @cached_property
    def arrays(self) -> tuple[NDArray[Any], ...]:
        """Positions (n, 3) float32 [mm], faces (m, 3) uint32, edges (k, 2, 3) float32 [mm]."""
        corners, edges = self.mesh.vertices, _edges(self.mesh)
        moves = np.array([(x, y, 0.0) for x, y in self.places], np.float32)
        steps = np.arange(len(moves), dtype=np.uint32)[:, None, None] * np.uint32(len(corners))
        return (
            (corners[None] + moves[:, None]).reshape(-1, 3),
            (self.mesh.triangles.astype(np.uint32)[None] + steps).reshape(-1, 3),
            (edges[None] + moves[:, None, None]).reshape(-1, 2, 3),
        )


@dataclass(frozen=True, eq=False)
class Solids:
    """What the picture shows.

    parts : of the mould and what stands in it.
    """

    parts: tuple[Shown, ...]

    @cached_property
    def key(self) -> str:
        """The same for the same picture, another for another; 32 hexadecimal digits."""
        state = hashlib.blake2b(digest_size=16)
        for part in self.parts:
            state.update(repr((part.name, part.role, part.places, part.move)).encode())
            state.update(part.mesh.vertices.tobytes())
            state.update(part.mesh.triangles.tobytes())
        return state.hexdigest()

    def head(self) -> dict[str, Any]:
        """What is told of the arrays: for each its first byte and how many numbers it has."""
        told, offset = [], 0
        for part in self.parts:
            runs = {}
            for name, array in zip(("positions", "faces", "edges"), part.arrays, strict=True):
                runs[name] = [offset, array.size]
                offset += array.nbytes
            told.append(
                {"name": part.name, "role": part.role, **runs, "move": part.move}
                | {"lift": part.move[2]}
            )
        return {
            "key": self.key,
            "parts": told,
            "air": [],
            "box": self._box(),
            "cut": self._cut(),
        }

    def arrays(self) -> Iterator[bytes]:
        """The arrays, one behind the other."""
        for part in self.parts:
            for array in part.arrays:
                yield array.tobytes()

    def _cut(self) -> dict[str, Any]:
        """Where a section goes: the axis across it, and where on that axis it lies [mm].

        Through the row of cells nearest the middle; halves are cut across their parting.
        """
        cells = next((part.places for part in self.parts if part.role == "insert"), _HERE)
        halves = any(part.name in _ASIDE for part in self.parts)
        axis = 0 if halves else 1
        return {"axis": "xy"[axis], "at": min((cell[axis] for cell in cells), key=abs)}

    def _box(self) -> list[list[float]]:
        """Lowest and highest x, y, z of all parts where they belong [mm]."""
        lows = [part.arrays[0].min(axis=0) for part in self.parts]
        highs = [part.arrays[0].max(axis=0) for part in self.parts]
        return [np.min(lows, axis=0).tolist(), np.max(highs, axis=0).tolist()]


def solids_of(found: MouldSet) -> Solids | None:
    """The solids of a set; None in a conflict.

    found : early or whole.

    A mould of rubber is shown as it is used, not the box that it is cast in.
    """
    parts = found.parts
    if parts is None:
        return None
    bodies, lid = parts.bodies, parts.part("lid").assembled
    aside = any(part.name in _ASIDE for part in bodies)
    low, top = _span([part.assembled for part in bodies])
    clear = _APART * (top - low)
    # Halves go aside and leave the insert standing; out of a whole body it must be lifted.
    rise = 0.0 if aside else top + clear - parts.insert.bounds[0][2]
    over = max(parts.insert.bounds[1][2] + rise, top)
    return Solids(
        (
            *(
                Shown(part.name, "body", part.assembled, _HERE, _way(part.name, parts, clear))
                for part in bodies
            ),
            Shown("insert", "insert", parts.insert, parts.places, (0.0, 0.0, rise)),
            Shown("lid", "lid", lid, _HERE, (0.0, 0.0, over + clear - lid.bounds[0][2])),
        )
    )


def air_of(found: MouldSet) -> list[dict[str, Any]]:
    """Pockets of air that stay shut in, as JSON tells them; none where nothing was poured.

    found : a whole set.

    Each has its mesh in each cell, arrays as base64 (``positions`` float32, ``faces`` uint32), its
    volume in one cell ``ml`` before any pressure, and the sheet's sentence ``words``; pockets too
    small for a sentence are left out.
    """
    if found.tried is None or found.parts is None:
        return []
    upright, inches = found.tried.pours[0], found.answer.job.unit == "in"
    told = {finding.id: finding.message for finding in found.findings}
    shown = []
    for pocket in upright.pockets:
        words = told.get(f"pour.pocket.{pocket.number}")
        if words is None:
            continue
        most = MOST_AIR_FACES // len(found.parts.places)
        corners, faces = air_mesh(upright, pocket.number, most_faces=most)
        positions, triangles = _repeated(corners, faces, found.parts.places)
        shown.append(
            {
                "positions": b64encode(positions.tobytes()).decode("ascii"),
                "faces": b64encode(triangles.tobytes()).decode("ascii"),
                "ml": pocket.volume_ml,
                "words": in_both(words, inches=inches),
            }
        )
    return shown


def _span(meshes: Sequence[Mesh]) -> tuple[float, float]:
    return min(m.bounds[0][2] for m in meshes), max(m.bounds[1][2] for m in meshes)


def _way(name: str, parts: MouldParts, clear: float) -> Move:
    """Where a body goes when the parts are moved apart [mm]."""
    if name in _ASIDE:
        half = parts.part(name).assembled
        return 0.0, _ASIDE[name] * (0.5 * (half.bounds[1][1] - half.bounds[0][1]) + clear), 0.0
    if name != "body":  # a disc in the floor of the body
        disc, body = parts.part(name).assembled, parts.part(BODIES[0]).assembled
        return 0.0, 0.0, body.bounds[0][2] - clear - disc.bounds[1][2]
    return 0.0, 0.0, 0.0


def _edges(mesh: Mesh) -> NDArray[np.float32]:
    """Both ends of each sharp edge (k, 2, 3) [mm]."""
    found = _EDGES.get(mesh)
    if found is None:
        corners = mesh.vertices.astype(np.float64)
        a, b, c = (corners.take(mesh.triangles[:, i], axis=0) for i in range(3))
        normals = np.cross(b - a, c - a)
        normals /= np.maximum(np.linalg.norm(normals, axis=1, keepdims=True), 1e-300)
        sharp = sharp_edges(mesh.triangles.astype(np.int64), normals, vertices=corners)
        found = _EDGES[mesh] = mesh.vertices.take(sharp, axis=0)
    return found


def _repeated(
    corners: NDArray[np.float64], faces: NDArray[np.int64], places: Sequence[tuple[float, float]]
) -> tuple[NDArray[np.float32], NDArray[np.uint32]]:
    """One mesh in each of its places."""
    moved = [corners + np.array((x, y, 0.0)) for x, y in places]
    steps = [faces + len(corners) * at for at in range(len(places))]
    return np.concatenate(moved).astype(np.float32), np.concatenate(steps).astype(np.uint32)
