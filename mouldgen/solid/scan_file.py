"""Any mesh file as meshes in mm: which format it is, and one mesh of all it holds."""

from __future__ import annotations

import math

import numpy as np

from mouldgen.errors import MeshFileError
from mouldgen.solid.foreign import KINDS, read_foreign
from mouldgen.solid.mesh import Mesh
from mouldgen.solid.stl import read_stl, weld
from mouldgen.solid.threemf import read_3mf

FORMATS = "an STL, 3MF, OBJ, PLY, OFF or GLB file"


def read_any(
    data: bytes, *, name: str, unit_mm: float | None = None
) -> tuple[tuple[str, Mesh], ...]:
    """The solids that a file holds, each with its name, in mm; one may be empty.

    data : the whole file.
    name : of the file: its ending says what it is, and where it says nothing the content does.
    unit_mm : length of the file's unit [mm]; None for what the format says, which is mm but
        for GLB (metres) and 3MF (its own attribute).

    Raises MeshFileError where the file is of no format that is read or is damaged, and where a
    unit is stated for a 3MF, which states its own.
    """
    if unit_mm is not None and not (math.isfinite(unit_mm) and unit_mm > 0.0):
        raise MeshFileError(f"cannot be in a unit of {unit_mm!r} mm", where=name)
    kind = kind_of(data, name=name)
    if kind == "3mf":
        if unit_mm is not None:
            raise MeshFileError(
                "is a 3MF, which names its own unit", where=name, try_="State no unit for it."
            )
        return read_3mf(data, name=name)
    if kind == "stl":
        mesh = read_stl(data, name=name)
        if unit_mm is not None:
            with np.errstate(over="ignore"):
                scaled = mesh.vertices.astype(np.float64) * unit_mm
                mesh = weld(scaled, mesh.triangles, name=name)
        return (("", mesh),)
    return read_foreign(data, kind=kind, name=name, unit_mm=unit_mm)


def kind_of(data: bytes, *, name: str) -> str:
    """The format of a file: ``stl``, ``3mf``, ``obj``, ``ply``, ``off`` or ``glb``.

    Raises MeshFileError where it is none of them.
    """
    ending = name.rpartition(".")[2].casefold()
    if ending in {"stl", "3mf", *KINDS}:
        return ending
    for start, kind in ((b"PK", "3mf"), (b"glTF", "glb"), (b"ply\n", "ply"), (b"ply\r", "ply")):
        if data.startswith(start):
            return kind
    if data[:5].lower() == b"solid" or len(data) == _stl_size(data):
        return "stl"
    raise MeshFileError(
        "is of a format that is not read", where=name, allowed=FORMATS,
        try_="Export the part as STL or 3MF.",
    )  # fmt: skip


def joined(solids: tuple[tuple[str, Mesh], ...]) -> Mesh:
    """All that a file holds as one mesh, which is what a scan is.

    solids : as `read_any` gives them, one at least.
    """
    if len(solids) == 1:
        return solids[0][1]
    starts = np.cumsum([0, *(len(mesh.vertices) for _, mesh in solids)])
    corners = np.concatenate([mesh.vertices for _, mesh in solids])
    faces = [mesh.triangles + start for (_, mesh), start in zip(solids, starts, strict=False)]
    return weld(corners, np.concatenate(faces), name=solids[0][0])


def _stl_size(data: bytes) -> int:
    """How long a binary STL with this header is [bytes]; -1 for what is too short for one."""
    return 84 + 50 * int.from_bytes(data[80:84], "little") if len(data) >= 84 else -1
