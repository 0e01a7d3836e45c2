"""One surface as a file of any format that is read, in one of the many ways there are to write it.

Written here from the formats' own descriptions and not by the library that reads them.
"""

from __future__ import annotations

import io
import json
import struct
import zipfile
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from random import Random

Floats = NDArray[np.float32]
Faces = NDArray[np.int64]

KINDS = ("stl", "3mf", "obj", "ply", "off", "glb")
CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
UNITS_MM = {"millimeter": 1.0, "centimeter": 10.0, "inch": 25.4, "meter": 1000.0, "micron": 0.001}


@dataclass(frozen=True, eq=False)
class Written:
    """A file and the corners that it says.

    kind : its format.
    text : whether it is text all through.
    data : its bytes.
    corners : as they are to be understood (n, 3) [mm].
    """

    kind: str
    text: bool
    data: bytes
    corners: Floats


def written(corners: Floats, faces: Faces, *, rng: Random) -> Written:
    """A surface as a file.

    corners : (n, 3) [mm].
    faces : (m, 3); they may name corners that are not there.
    rng : chooses the format and how it is written.
    """
    kind = rng.choice(KINDS)
    if kind == "stl":
        return _stl(corners, faces, rng)
    make = {"3mf": _threemf, "obj": _obj, "ply": _ply, "off": _off, "glb": _glb}[kind]
    return make(corners, faces, rng)


def _word(number: np.float32) -> str:
    return (
        np.format_float_scientific(number) if not 1e-4 < abs(number) < 1e6 else repr(float(number))
    )


def _stl(corners: Floats, faces: Faces, rng: Random) -> Written:
    # No corners are named in it: what is not there has no place, and stands for not a number.
    known = np.vstack([corners, np.full((1, 3), np.nan, np.float32)])
    inside = (faces >= 0) & (faces < len(corners))
    soup = known[np.where(inside, faces, len(corners))]
    if rng.random() < 0.5:
        head = rng.choice([b"", b"solid of something", b"\xff" * 80, b"COLOR=\x00\x00"])
        rows = np.zeros(len(soup), [("n", "<f4", 3), ("c", "<f4", (3, 3)), ("s", "<u2")])
        rows["c"] = soup
        rows["n"] = rng.choice([0.0, 1.0, float("nan")])
        rows["s"] = rng.choice([0, 7, 65535])
        data = head[:80].ljust(80, b"\0") + struct.pack("<I", len(soup)) + rows.tobytes()
        return Written("stl", False, data, corners)
    indent = rng.choice(["", " ", "\t", "    "])
    lines = [f"solid {rng.choice(['', 'part', 'a part of two words', 'facet'])}"]
    for triangle in soup:
        lines += [f"{indent}facet normal 0 0 0", f"{indent * 2}outer loop"]
        lines += [f"{indent * 3}vertex {' '.join(map(_word, point))}" for point in triangle]
        lines += [f"{indent * 2}endloop", f"{indent}endfacet"]
    text = "\n".join([*lines, "endsolid", ""])
    return Written("stl", True, (text.upper() if rng.random() < 0.1 else text).encode(), corners)


def _obj(corners: Floats, faces: Faces, rng: Random) -> Written:
    style = rng.choice(["plain", "texture", "normal", "both", "backward"])
    lines = ["# a comment", "o part"] if rng.random() < 0.5 else []
    lines += [f"v {' '.join(map(_word, point))}" for point in corners]
    if style in {"texture", "both"}:
        lines += ["vt 0 0"]
    if style in {"normal", "both"}:
        lines += ["vn 0 0 1"]
    tail = {"plain": "", "texture": "/1", "normal": "//1", "both": "/1/1", "backward": ""}[style]
    if style == "backward":
        faces = np.where(faces < len(corners), faces - len(corners) - 1, faces)
    lines += [f"f {' '.join(f'{i + 1}{tail}' for i in face)}" for face in faces.tolist()]
    return Written("obj", True, ("\n".join(lines) + "\n").encode(), corners)


def _off(corners: Floats, faces: Faces, rng: Random) -> Written:
    counts = f"{len(corners)} {len(faces)} {rng.choice([0, 3 * len(faces) // 2])}"
    lines = rng.choice([["OFF", counts], ["OFF", "# a comment", counts], [f"OFF {counts}"]])
    lines = [*lines, *(" ".join(map(_word, point)) for point in corners)]
    lines += [f"3 {a} {b} {c}" for a, b, c in faces.tolist()]
    return Written("off", True, ("\n".join(lines) + "\n").encode(), corners)


def _ply(corners: Floats, faces: Faces, rng: Random) -> Written:
    order = rng.choice(["ascii", "binary_little_endian", "binary_big_endian"])
    number = rng.choice(["float", "float32", "double"])
    extra = rng.random() < 0.3
    head = ["ply", f"format {order} 1.0", f"element vertex {len(corners)}"]
    head += [f"property {number} {axis}" for axis in "xyz"]
    head += ["property uchar red"] if extra else []
    head += [f"element face {len(faces)}", "property list uchar int vertex_indices", "end_header"]
    if order == "ascii":
        more = " 7" if extra else ""
        rows = [" ".join(map(_word, point)) + more for point in corners]
        rows += [f"3 {a} {b} {c}" for a, b, c in faces.tolist()]
        return Written("ply", True, ("\n".join([*head, *rows]) + "\n").encode(), corners)
    end = "<" if "little" in order else ">"
    size = "f8" if number == "double" else "f4"
    columns = [("at", end + size, 3)] + ([("red", "u1")] if extra else [])
    points = np.zeros(len(corners), columns)
    points["at"] = corners
    listed = np.zeros(len(faces), [("n", "u1"), ("i", end + "i4", 3)])
    listed["n"] = 3
    listed["i"] = faces
    body = points.tobytes() + listed.tobytes()
    return Written("ply", False, ("\n".join(head) + "\n").encode() + body, corners)


def _threemf(corners: Floats, faces: Faces, rng: Random) -> Written:
    unit = rng.choice(list(UNITS_MM))
    with np.errstate(all="ignore"):
        numbers = corners.astype(np.float64) / UNITS_MM[unit]
        said = (numbers * UNITS_MM[unit]).astype(np.float32)
    gap = rng.choice(["", "\n", "\n  "])
    vertices = gap.join(f'<vertex x="{x!r}" y="{y!r}" z="{z!r}"/>' for x, y, z in numbers.tolist())
    triangles = gap.join(
        f'<triangle v1="{a}" v2="{b}" v3="{c}"/>' for a, b, c in faces.tolist()
    )  # fmt: skip
    mesh = f"<mesh><vertices>{vertices}</vertices><triangles>{triangles}</triangles></mesh>"
    objects = f'<object id="1" type="model" name="peg">{mesh}</object>'
    placed = "1"
    if rng.random() < 0.3:
        objects += '<object id="2"><components><component objectid="1"/></components></object>'
        placed = "2"
    model = (
        f'<?xml version="1.0" encoding="UTF-8"?>\n<model unit="{unit}" xmlns="{CORE}">'
        f'<resources>{objects}</resources><build><item objectid="{placed}"/></build></model>'
    )
    out = io.BytesIO()
    how = rng.choice([zipfile.ZIP_DEFLATED, zipfile.ZIP_STORED])
    with zipfile.ZipFile(out, "w", how) as package:
        for name, content in (("[Content_Types].xml", "<Types/>"), ("3D/3dmodel.model", model)):
            # An entry of its own bears no clock, so that a seed draws the same bytes.
            package.writestr(zipfile.ZipInfo(name), content, how)
    return Written("3mf", False, out.getvalue(), said)


def _glb(corners: Floats, faces: Faces, rng: Random) -> Written:
    with np.errstate(all="ignore"):
        metres = (corners.astype(np.float64) / 1000.0).astype("<f4")
        said = (metres.astype(np.float64) * 1000.0).astype(np.float32)
    most = int(faces.max(initial=0))
    wide = rng.choice(["<u2", "<u4"] if most < 2**16 else ["<u4"])
    numbers = metres.tobytes()
    named = (faces % 2**32).astype(wide).tobytes()
    box = {"min": metres.min(axis=0).tolist(), "max": metres.max(axis=0).tolist()}
    head = {
        "asset": {"version": "2.0"}, "scene": 0, "scenes": [{"nodes": [0]}],
        "nodes": [{"mesh": 0, "name": "peg"}],
        "meshes": [{"primitives": [{"attributes": {"POSITION": 0}, "indices": 1}]}],
        "accessors": [
            {"bufferView": 0, "componentType": 5126, "count": len(corners), "type": "VEC3"}
            | (box if np.isfinite(metres).all() else {}),
            {
                "bufferView": 1, "componentType": 5123 if wide == "<u2" else 5125,
                "count": faces.size, "type": "SCALAR",
            },
        ],
        "bufferViews": [
            {"buffer": 0, "byteOffset": 0, "byteLength": len(numbers)},
            {"buffer": 0, "byteOffset": len(numbers), "byteLength": len(named)},
        ],
        "buffers": [{"byteLength": len(numbers) + len(named)}],
    }  # fmt: skip
    return Written("glb", False, glb_of(json.dumps(head).encode(), numbers + named), said)


def glb_of(head: bytes, body: bytes) -> bytes:
    """A GLB of its description and its numbers."""
    head += b" " * (-len(head) % 4)
    body += b"\0" * (-len(body) % 4)
    chunks = struct.pack("<I4s", len(head), b"JSON") + head
    chunks += struct.pack("<I4s", len(body), b"BIN\0") + body
    return struct.pack("<4sII", b"glTF", 2, 12 + len(chunks)) + chunks
