"""OBJ, PLY, OFF and GLB, read with suspicion.

The reading itself is trimesh's, a general library, loaded when a file of these kinds is met
and at no other time.  It trusts what it reads; so counts, sizes and references are checked
before it is asked, and what it answers after.
"""

from __future__ import annotations

import io
import json
import logging
import warnings
from typing import Any

import numpy as np

from mouldgen.errors import MeshFileError
from mouldgen.solid.mesh import Mesh
from mouldgen.solid.obj_corners import counted_from_the_start
from mouldgen.solid.stl import MOST_SOLIDS, MOST_TEXT, MOST_TRIANGLES, weld

KINDS = ("obj", "ply", "off", "glb")
METRE = 1000.0  # mm; GLB is in metres by its specification (glTF 2.0, section 3.4)
GLB_HEAD = 12  # bytes: magic, version, length
CHUNK_HEAD = 8  # bytes: length, kind
MOST_NODES = 100_000
PLY_BYTES = {
    "char": 1, "int8": 1, "uchar": 1, "uint8": 1, "short": 2, "int16": 2, "ushort": 2,
    "uint16": 2, "int": 4, "int32": 4, "uint": 4, "uint32": 4, "float": 4, "float32": 4,
    "double": 8, "float64": 8,
}  # fmt: skip
_AGAIN = "Export or copy the file again."


def read_foreign(
    data: bytes, *, kind: str, name: str, unit_mm: float | None = None
) -> tuple[tuple[str, Mesh], ...]:
    """The solids in an OBJ, PLY, OFF or GLB, each with its name, in mm.

    data : the whole file.
    kind : one of `KINDS`.
    name : of the file, for messages.
    unit_mm : length of the file's unit [mm]; None for what the format says: GLB is in metres,
        the others name no unit and are taken to be in mm.

    Raises MeshFileError where the file is of another format, is cut short, lies about its
    counts, refers to other files, holds no triangle or a number that is not finite.
    """
    check = {"obj": _check_obj, "ply": _check_ply, "off": _check_off, "glb": _check_glb}[kind]
    claimed = check(data, name)
    if kind == "obj":
        data = counted_from_the_start(data, name=name)
    parts = _parts(data, kind, name)
    held = sum(len(faces) for _, _, faces in parts)
    if held < claimed:
        raise MeshFileError(
            f"claims {claimed} faces and holds {held}: it is cut short", where=name, try_=_AGAIN
        )
    if held > MOST_TRIANGLES:
        raise MeshFileError(
            f"holds {held} triangles", where=name, allowed=f"at most {MOST_TRIANGLES}"
        )
    if len(parts) > MOST_SOLIDS:
        raise MeshFileError(
            f"places {len(parts)} solids", where=name, allowed=f"at most {MOST_SOLIDS}"
        )
    scale = (METRE if kind == "glb" else 1.0) if unit_mm is None else unit_mm
    found = []
    for title, vertices, faces in parts:
        if len(faces) and (faces.min() < 0 or faces.max() >= len(vertices)):
            raise MeshFileError(
                "has a triangle that names a corner that is not there", where=name, try_=_AGAIN
            )
        with np.errstate(over="ignore", invalid="ignore"):
            scaled = np.asarray(vertices, np.float64) * scale
            used = np.unique(faces)
            number = np.zeros(len(scaled), np.int64)
            number[used] = np.arange(len(used))
            found.append((title, weld(scaled[used], number[faces], name=name)))
    if not found:
        raise MeshFileError("holds no triangle", where=name, try_="Export the part again.")
    return tuple(found)


def _parts(data: bytes, kind: str, name: str) -> list[tuple[str, Any, Any]]:
    """Name, corners and triangles of everything in the file that has triangles."""
    import trimesh

    # Its warnings would reach the terminal of somebody who did nothing wrong.
    logger = logging.getLogger("trimesh")
    if not logger.handlers:
        logger.addHandler(logging.NullHandler())
    try:
        with warnings.catch_warnings(), np.errstate(all="ignore"):
            warnings.simplefilter("ignore")
            warnings.filterwarnings("error", message="string or file could not be read")
            scene = trimesh.load_scene(
                io.BytesIO(data), file_type=kind, process=False, skip_materials=True
            )
            found = []
            for node in scene.graph.nodes_geometry:
                matrix, geometry = scene.graph[node]
                mesh = scene.geometry[geometry]
                faces = np.asarray(getattr(mesh, "faces", np.empty((0, 3))), np.int64)
                if not len(faces):
                    continue
                corners = np.asarray(mesh.vertices, np.float64) @ matrix[:3, :3].T + matrix[:3, 3]
                if np.linalg.det(matrix[:3, :3]) < 0.0:  # mirrored: the outside stays out
                    faces = faces[:, ::-1]
                found.append((str(geometry)[:200] if kind == "glb" else "", corners, faces))
    except MemoryError:
        raise MeshFileError("needs more memory than there is", where=name) from None
    except Exception:  # noqa: BLE001  a reader of many formats raises anything
        raise MeshFileError(
            f"is not {_article(kind)} that can be read, or is damaged", where=name, try_=_AGAIN
        ) from None
    return found


def _article(kind: str) -> str:
    return f"{'an' if kind in {'obj', 'off'} else 'a'} {kind.upper()}"


def _refuse(what: str, name: str) -> MeshFileError:
    return MeshFileError(what, where=name, try_=_AGAIN)


def _text(data: bytes, kind: str, name: str) -> None:
    """Refuse what is no text, and text that is too long."""
    if b"\0" in data[:4096]:
        raise _refuse(f"is not {_article(kind)}: it is no text", name)
    if len(data) > MOST_TEXT:
        raise MeshFileError(
            f"is {len(data) / 1e6:.0f} MB of text", where=name,
            allowed=f"at most {MOST_TEXT // 10**6} MB",
            try_="Export it as binary STL or PLY, or with fewer triangles.",
        )  # fmt: skip


def _check_obj(data: bytes, name: str) -> int:
    _text(data, "obj", name)
    lines = b"\n" + data
    if lines.count(b"\nv ") + lines.count(b"\nv\t") == 0:
        raise _refuse("is not an OBJ: no line of it gives a corner", name)
    return _few(lines.count(b"\nf ") + lines.count(b"\nf\t"), name)


def _check_off(data: bytes, name: str) -> int:
    _text(data, "off", name)
    lines = [line for raw in data[:65536].splitlines() if (line := raw.split(b"#")[0].strip())]
    first = lines[0].split() if lines else []
    if not first or first[0].upper() not in {b"OFF", b"COFF", b"NOFF"}:
        raise _refuse("is not an OFF: it does not start with that word", name)
    words = first[1:] or (lines[1].split() if len(lines) > 1 else [])
    try:
        corners, faces = int(words[0]), int(words[1])
    except (IndexError, ValueError):
        raise _refuse("is an OFF without the counts of its corners and faces", name) from None
    if min(corners, faces) < 0 or corners + faces > len(data):
        raise _refuse(
            f"claims {corners} corners and {faces} faces, more than fit into it:"
            " it is cut short, or damaged",
            name,
        )
    return _few(faces, name)


def _check_ply(data: bytes, name: str) -> int:
    """The header's counts against the bytes that follow it."""
    end = data.find(b"end_header", 0, 65536)
    if not data.startswith(b"ply") or end < 0:
        raise _refuse("is not a PLY: it has no such header", name)
    body = data[data.find(b"\n", end) + 1 :] if data.find(b"\n", end) >= 0 else b""
    words = [line.split() for line in data[:end].splitlines()]
    text = [b"format", b"ascii"] in [line[:2] for line in words]
    if text:
        _text(data, "ply", name)
    needed, faces = 0, 0
    count = 0
    for line in words:
        if line[:1] == [b"element"] and len(line) == 3:
            count = _whole(line[2], name)
            faces += count if line[1] == b"face" else 0
            needed += count if text else 0
        elif line[:1] == [b"property"] and len(line) >= 3 and not text:
            kind = line[2] if line[1] == b"list" else line[1]
            needed += count * PLY_BYTES.get(kind.decode("ascii", "replace"), 1)
    held = sum(1 for line in body.splitlines() if line.strip()) if text else len(body)
    if needed > held:
        raise _refuse(
            f"claims {needed} {'lines' if text else 'bytes or more'} of corners and faces and"
            f" holds {held}: it is cut short, or damaged",
            name,
        )
    return _few(faces, name)


def _whole(word: bytes, name: str) -> int:
    try:
        number = int(word)
    except ValueError:
        number = -1
    if number < 0:
        shown = word[:30].decode("ascii", "replace")
        raise _refuse(f"has a count that is no number: {shown!r}", name)
    return number


def _few(faces: int, name: str) -> int:
    if faces > MOST_TRIANGLES:
        raise MeshFileError(
            f"claims {faces} faces", where=name, allowed=f"at most {MOST_TRIANGLES}"
        )
    return faces


# ---------------------------------------------------------------------------- GLB


def _check_glb(data: bytes, name: str) -> int:
    """The container, and in its JSON everything that could make the reader run away."""
    if data[:4] != b"glTF" or len(data) < GLB_HEAD + CHUNK_HEAD:
        raise _refuse("is not a GLB: it does not start like one", name)
    version, length = (int(n) for n in np.frombuffer(data, "<u4", 2, 4))
    if version != 2:
        raise MeshFileError(f"is a GLB of version {version}", where=name, allowed="version 2")
    if length != len(data):
        raise _refuse(f"claims {length} bytes and holds {len(data)}: it is cut short", name)
    size = int(np.frombuffer(data, "<u4", 1, GLB_HEAD)[0])
    if size > len(data) - GLB_HEAD - CHUNK_HEAD:
        raise _refuse("is a GLB whose first part is longer than the file", name)
    start = GLB_HEAD + CHUNK_HEAD
    try:
        head = json.loads(data[start : start + size])
        _check_gltf(head, len(data), name)
    except MeshFileError:
        raise
    # Whatever shape the JSON has that the format does not allow.
    except (ValueError, TypeError, KeyError, IndexError, AttributeError, RecursionError):
        raise _refuse("is a GLB whose description is damaged", name) from None
    return 0


def _check_gltf(head: dict[str, Any], size: int, name: str) -> None:
    required = head.get("extensionsRequired", [])
    packed = [word for word in required if "compression" in str(word)]
    if packed:
        raise MeshFileError(
            f"is a compressed GLB ({', '.join(map(str, packed))})", where=name,
            try_="Export it without compression.",
        )  # fmt: skip
    if any("uri" in buffer for buffer in head.get("buffers", [])):
        raise MeshFileError(
            "is a GLB that keeps its numbers in other files", where=name,
            try_="Export it with everything in one file.",
        )  # fmt: skip
    accessors = head.get("accessors", [])
    for accessor in accessors:
        if "bufferView" not in accessor or "sparse" in accessor:
            raise MeshFileError(
                "is a GLB with numbers left out", where=name, try_="Export it as STL or OBJ."
            )
        if not 0 <= int(accessor["count"]) <= size:
            raise _refuse(f"claims {accessor['count']} numbers in {size} bytes", name)
    _check_tree(head.get("nodes", []), name)
    triangles = [
        sum(_triangles(primitive, accessors) for primitive in mesh["primitives"])
        for mesh in head.get("meshes", [])
    ]
    held = [triangles[node["mesh"]] for node in head.get("nodes", []) if "mesh" in node]
    if len(held) > MOST_SOLIDS:
        raise MeshFileError(
            f"places {len(held)} solids", where=name, allowed=f"at most {MOST_SOLIDS}"
        )
    _few(sum(held), name)


def _triangles(primitive: dict[str, Any], accessors: list[dict[str, Any]]) -> int:
    at = primitive.get("indices", primitive["attributes"].get("POSITION"))
    return 0 if at is None else int(accessors[at]["count"]) // 3


def _check_tree(nodes: list[dict[str, Any]], name: str) -> None:
    """Every node below one other at most, none below itself: else a few place things for ever."""
    if len(nodes) > MOST_NODES:
        raise MeshFileError(f"has {len(nodes)} nodes", where=name, allowed=f"at most {MOST_NODES}")
    above: dict[int, int] = {}
    for number, node in enumerate(nodes):
        for child in node.get("children", []):
            if child in above or not 0 <= child < len(nodes):
                raise _refuse("is a GLB that places a node twice, or one that is not there", name)
            above[child] = number
    # Each has one above it at most, so a ring is what no root leads to.
    reached = [number for number in range(len(nodes)) if number not in above]
    for number in reached:
        reached.extend(nodes[number].get("children", []))
    if len(reached) != len(nodes):
        raise _refuse("is a GLB that places a node within itself", name)
