"""Parts and beds as STL and 3MF: the very triangles that were checked, where the plan puts them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from functools import cache

import numpy as np

import mouldgen
from mouldgen.errors import InternalError
from mouldgen.fingerprint import made_by
from mouldgen.layout.beds import BedPlan
from mouldgen.solid.mesh import Mesh
from mouldgen.solid.stl import read_stl, stl_bytes, stl_of_places
from mouldgen.solid.threemf import Item, read_3mf, threemf_bytes


def part_files(name: str, mesh: Mesh, *, title: str, fingerprint: str) -> dict[str, bytes]:
    """A part alone, by the ending of the file's name.

    name : of the part.
    mesh : in its printing pose.
    title : of the 3MF.
    fingerprint : of the job that it is of.

    Raises InternalError where a file does not read back as it was meant.
    """
    stl = stl_bytes([mesh], made_by=made_by(fingerprint))
    package = _package([Item(name, mesh)], title, fingerprint)
    _must_read_back(name, mesh, stl, package)
    return {"stl": stl, "3mf": package}


def bed_files(
    bed: BedPlan, meshes: Mapping[str, Mesh], *, title: str, fingerprint: str
) -> dict[str, bytes]:
    """Every part where it lies, by the ending of the file's name.

    Parts are moved by multiples of the mesh grid and turned by whole quarters, so exactly.

    meshes : of the parts by name, each in its printing pose.
    title : of the 3MF.
    fingerprint : of the job that it is of.
    """
    return {
        "stl": _bed_stl(bed, meshes, fingerprint),
        "3mf": _package(_lying(bed, meshes), title, fingerprint),
    }


def _package(items: Sequence[Item], title: str, fingerprint: str) -> bytes:
    return threemf_bytes(
        items,
        title=title,
        application=f"mouldgen {mouldgen.__version__}",
        description=made_by(fingerprint),
    )


def _bed_stl(bed: BedPlan, meshes: Mapping[str, Mesh], fingerprint: str) -> bytes:
    @cache  # a bed repeats its parts many times
    def lying(name: str, turned: int) -> Mesh:
        return _turned(meshes[name], turned)

    return stl_of_places(
        [(lying(item.part, item.turned), item.x_mm, item.y_mm) for item in bed.items],
        made_by=made_by(fingerprint),
    )


def _lying(bed: BedPlan, meshes: Mapping[str, Mesh]) -> list[Item]:
    # The format's writer knows one turn of 90 degrees: what is turned further comes as a mesh.
    places: dict[tuple[str, int], tuple[list[tuple[float, float]], ...]] = defaultdict(
        lambda: ([], [])
    )
    for item in bed.items:
        halves, quarters = divmod(item.turned, 2)
        places[item.part, 2 * halves][quarters].append((item.x_mm, item.y_mm))
    return [
        Item(name, _turned(meshes[name], turned), tuple(straight), tuple(quarter))
        for (name, turned), (straight, quarter) in places.items()
    ]


def _must_read_back(name: str, mesh: Mesh, stl: bytes, package: bytes) -> None:
    """The files hold the very triangles that were checked, so they are as closed."""
    meant = mesh.corners
    (_, from_package), *more = read_3mf(package, name=f"{name}.3mf")
    from_stl = read_stl(stl, name=f"{name}.stl")
    for kind, back in (("STL", from_stl), ("3MF", from_package)):
        same = np.array_equal(back.corners, meant)
        if more or not same:
            raise InternalError(f"the {kind} of {name} does not read back as it was meant")


def _turned(mesh: Mesh, quarters: int) -> Mesh:
    """A mesh turned by so many times 90 degrees, counter-clockwise."""
    for _ in range(quarters):
        mesh = mesh.turned_quarter()
    return mesh
