"""Binary STL: written with a fixed header, read with suspicion.

Layout: 80 bytes of header, a little-endian uint32 count, then 50 bytes a triangle (normal,
three corners, two spare bytes).
"""

from __future__ import annotations

import io
import re
from array import array
from typing import TYPE_CHECKING, Any

import numpy as np

from mouldgen.errors import MeshFileError
from mouldgen.solid.mesh import Mesh, differ

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from numpy.typing import ArrayLike, NDArray

HEADER_BYTES = 80
RECORD = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("spare", "<u2")])
_CORNER = re.compile(rb"(?<!\S)vertex(?!\S)(?:\s+(\S+))?(?:\s+(\S+))?(?:\s+(\S+))?", re.IGNORECASE)
MOST_TRIANGLES = 10_000_000
MOST_TEXT = 300_000_000  # bytes of a format whose numbers are text; reading takes several times it
MOST_SOLIDS = 1000  # in one file, of a format that holds many: each is looked at for itself


def stl_bytes(meshes: Sequence[Mesh], *, made_by: str = "mouldgen binary STL") -> bytes:
    """One binary STL that holds all the meshes, in order; the same meshes, the same bytes.

    made_by : begins the header, in ASCII; what does not fit is left out.
    """
    return _file(meshes, (_records(mesh) for mesh in meshes), made_by)


def stl_of_places(
    places: Sequence[tuple[Mesh, float, float]], *, made_by: str = "mouldgen binary STL"
) -> bytes:
    """One binary STL of parts that lie on a bed, in order.

    places : each a part and its move (x, y) [mm], a multiple of the mesh grid.
    made_by : as `stl_bytes` takes it.

    Raises KernelError where a move is off the grid or out of the reach of float32.
    """
    return _file([mesh for mesh, _, _ in places], _moved_records(places), made_by)


def _moved_records(places: Sequence[tuple[Mesh, float, float]]) -> Iterator[NDArray[Any]]:
    """The records of each part where it lies; the next one may overwrite them."""
    # A move changes nothing but corners, and a bed repeats its parts many times.
    records = {id(mesh): _records(mesh) for mesh in {id(m): m for m, _, _ in places}.values()}
    for mesh, x, y in places:
        block = records[id(mesh)]
        block["corners"] = mesh.moved(x, y).corners
        yield block


def _file(meshes: Sequence[Mesh], blocks: Iterable[NDArray[Any]], made_by: str) -> bytes:
    out = io.BytesIO()
    header = f"{made_by}, millimetres".encode("ascii", "replace")[:HEADER_BYTES]
    count = np.uint32(sum(len(mesh.triangles) for mesh in meshes))
    out.write(header.ljust(HEADER_BYTES) + count.tobytes())
    for block in blocks:
        out.write(block.data)
    return out.getvalue()


def _records(mesh: Mesh) -> NDArray[Any]:
    corners = mesh.corners
    wide = corners.astype(np.float64)
    normal = np.cross(wide[:, 1] - wide[:, 0], wide[:, 2] - wide[:, 0])
    length = np.linalg.norm(normal, axis=1, keepdims=True)
    block = np.zeros(len(corners), RECORD)
    block["normal"] = np.divide(normal, length, out=np.zeros_like(normal), where=length > 0)
    block["corners"] = corners
    return block


def read_stl(data: bytes, *, name: str) -> Mesh:
    """The mesh in a binary or text STL, corners that agree to the bit made one.

    data : the whole file.
    name : of the file, for messages.

    Raises MeshFileError where the file is not an STL, is cut short, lies about its count or
    holds a number that is not finite.
    """
    if data[:5].lower() == b"solid" and b"facet" in data[:4096].lower():
        corners = _text_corners(data, name)
    else:
        corners = _binary_corners(data, name)
    return weld(corners.reshape(-1, 3), np.arange(len(corners) * 3).reshape(-1, 3), name=name)


def weld(vertices: ArrayLike, triangles: ArrayLike, *, name: str) -> Mesh:
    """Make corners one that agree to the bit of float32; nothing is moved or dropped.

    vertices : (n, 3) [mm].
    triangles : (m, 3) corner indices.
    name : of the file, for messages.

    Raises MeshFileError where there is no triangle or a corner is not finite.
    """
    faces = np.asarray(triangles)
    if not len(faces):
        raise MeshFileError("holds no triangle", where=name, try_="Export the part again.")
    # What is too large becomes infinite, and is refused; so is what is no number.
    with np.errstate(over="ignore", invalid="ignore"):
        corners = np.ascontiguousarray(vertices, np.float32) + np.float32(0.0)  # -0.0 becomes 0.0
    if not np.isfinite(corners).all():
        raise MeshFileError(
            "has a corner that is not a finite number", where=name, try_="Export the part again."
        )
    order = np.lexsort((corners[:, 2], corners[:, 1], corners[:, 0]))
    ordered = corners.take(order, axis=0)
    new = np.r_[True, differ(ordered)]
    index = np.empty(len(corners), np.int32)
    index[order] = np.cumsum(new) - 1
    return Mesh(ordered[new], np.ascontiguousarray(index[faces], np.int32))


def _binary_corners(data: bytes, name: str) -> NDArray[Any]:
    if len(data) < 84:
        raise MeshFileError(
            f"is {len(data)} bytes long, too short for an STL, which starts with 84",
            where=name,
            try_="Export the part again.",
        )
    count = int(np.frombuffer(data, "<u4", 1, 80)[0])
    held = (len(data) - 84) // RECORD.itemsize
    if count > held:
        raise MeshFileError(
            f"claims {count} triangles and holds {held}: it is cut short, or not an STL",
            where=name,
            try_="Export or copy the file again.",
        )
    if count > MOST_TRIANGLES:
        raise MeshFileError(
            f"holds {count} triangles", where=name, allowed=f"at most {MOST_TRIANGLES}"
        )
    if len(data) != 84 + count * RECORD.itemsize:
        raise MeshFileError(
            f"claims {count} triangles and goes on after them for"
            f" {len(data) - 84 - count * RECORD.itemsize} bytes",
            where=name,
            try_="Export or copy the file again.",
        )
    return np.frombuffer(data, RECORD, count, 84)["corners"]


def _text_corners(data: bytes, name: str) -> NDArray[Any]:
    if len(data) > MOST_TEXT:
        raise MeshFileError(
            f"is {len(data) / 1e6:.0f} MB of text",
            where=name,
            allowed=f"at most {MOST_TEXT // 10**6} MB",
            try_="Export it as binary STL, or with fewer triangles.",
        )
    numbers, whole = array("d"), True  # one by one: a list of all words takes ten times the file
    try:
        for corner in _CORNER.finditer(data):
            if corner[3] is None:
                whole = False
                break
            numbers.extend([float(corner[1]), float(corner[2]), float(corner[3])])
    except ValueError:
        raise MeshFileError(
            "is a text STL with a corner that is not three numbers",
            where=name,
            try_="Export the part again.",
        ) from None
    if not whole or not len(numbers) or len(numbers) % 9:
        raise MeshFileError(
            f"is a text STL with {len(numbers) // 3} whole corners, which make no whole triangles:"
            " it is cut short",
            where=name,
            try_="Export or copy the file again.",
        )
    with np.errstate(over="ignore"):
        return np.array(numbers).astype(np.float32).reshape(-1, 3, 3)
