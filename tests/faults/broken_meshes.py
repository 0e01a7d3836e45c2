"""Mesh files that cannot be read, and what the one sentence about each must say."""

from __future__ import annotations

import io
import json
import struct
import zipfile

CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
CORNERS = ((0, 0, 0), (10, 0, 0), (0, 10, 0), (0, 0, 10))
FACES = ((0, 2, 1), (0, 1, 3), (1, 2, 3), (0, 3, 2))
TETRA = (
    "<mesh><vertices>"
    + "".join(f'<vertex x="{x}" y="{y}" z="{z}"/>' for x, y, z in CORNERS)
    + "</vertices><triangles>"
    + "".join(f'<triangle v1="{a}" v2="{b}" v3="{c}"/>' for a, b, c in FACES)
    + "</triangles></mesh>"
)


def stl(*, faces: int = 4, claims: int | None = None, corner: float = 10.0) -> bytes:
    """A tetrahedron of 10 mm as binary STL, or what is left of it.

    faces : how many of its four are written.
    claims : the count in the header; the true one where None.
    corner : written for the x of its second corner.
    """
    out = bytearray(80) + struct.pack("<I", faces if claims is None else claims)
    for face in FACES[:faces]:
        corners = [CORNERS[i] if i != 1 else (corner, 0, 0) for i in face]
        out += struct.pack("<12f", 0, 0, 0, *(float(x) for point in corners for x in point))
        out += b"\0\0"
    return bytes(out)


def package(model: str | bytes, *, name: str = "3D/3dmodel.model") -> bytes:
    """A zip with one file."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as file:
        file.writestr(name, model)
    return out.getvalue()


def model(resources: str, *, build: str = '<item objectid="1"/>', head: str = "") -> bytes:
    """A 3MF with these objects."""
    return package(
        f'{head}<model unit="millimeter" xmlns="{CORE}"><resources>{resources}</resources>'
        f"<build>{build}</build></model>"
    )


def one(mesh: str = TETRA, **named: str) -> bytes:
    """A 3MF with one object."""
    return model(f'<object id="1">{mesh}</object>', **named)


def nested(levels: int) -> bytes:
    """A small 3MF whose build places ten objects of ten objects of ten objects …"""
    made = [f'<object id="1">{TETRA}</object>']
    made += [
        f'<object id="{level}"><components>'
        + f'<component objectid="{level - 1}"/>' * 10
        + "</components></object>"
        for level in range(2, levels + 1)
    ]
    return model("".join(made), build=f'<item objectid="{levels}"/>')


TEXT = (
    b"solid t\n facet normal 0 0 -1\n  outer loop\n   vertex 0 0 0\n   vertex 0 10 0\n"
    b"   vertex 10 0 0\n  endloop\n endfacet\nendsolid t\n"
)

PICTURE = b"\x89PNG\r\n\x1a\n" + bytes(80)
OBJ = "".join(
    [f"v {x} {y} {z}\n" for x, y, z in CORNERS]
    + [f"f {a + 1} {b + 1} {c + 1}\n" for a, b, c in FACES]
).encode()
_ROWS = "".join(
    [f"{x} {y} {z}\n" for x, y, z in CORNERS] + [f"3 {a} {b} {c}\n" for a, b, c in FACES]
)
OFF = f"OFF\n4 4 0\n{_ROWS}".encode()
PLY = (
    "ply\nformat ascii 1.0\nelement vertex 4\nproperty float x\nproperty float y\n"
    "property float z\nelement face 4\nproperty list uchar int vertex_indices\nend_header\n" + _ROWS
).encode()


def glb(
    *,
    head: bytes | None = None,
    version: int = 2,
    count: int = 12,
    corner: float = 0.01,
    **more: object,
) -> bytes:
    """The tetrahedron as GLB, in metres, or what is left of it.

    head : its description, as it stands in the file.
    count : how many corner numbers it claims.
    corner : written for the x of its second corner [m].
    more : keys of the description.
    """  # fmt: skip
    points = [[x / 1000.0 for x in point] for point in CORNERS]
    points[1][0] = corner
    numbers = struct.pack("<12f", *(x for point in points for x in point))
    numbers += struct.pack("<12H", *(i for face in FACES for i in face))
    description = {
        "asset": {"version": "2.0"},
        "scene": 0,
        "scenes": [{"nodes": [0]}],
        "nodes": [{"mesh": 0}],
        "meshes": [{"name": "peg", "primitives": [{"attributes": {"POSITION": 0}, "indices": 1}]}],
        "accessors": [
            {"bufferView": 0, "componentType": 5126, "count": 4, "type": "VEC3"},
            {"bufferView": 1, "componentType": 5123, "count": count, "type": "SCALAR"},
        ],
        "bufferViews": [
            {"buffer": 0, "byteOffset": 0, "byteLength": 48},
            {"buffer": 0, "byteOffset": 48, "byteLength": 24},
        ],
        "buffers": [{"byteLength": 72}],
    } | more
    text = json.dumps(description).encode() if head is None else head
    text += b" " * (-len(text) % 4)
    body = struct.pack("<I4s", len(text), b"JSON") + text
    body += struct.pack("<I4s", len(numbers), b"BIN\0") + numbers
    return struct.pack("<4sII", b"glTF", version, 12 + len(body)) + body


GOOD_FOREIGN = {"obj": OBJ, "off": OFF, "ply": PLY, "glb": glb()}

# name of the case, name of the file, its bytes, what the message says
BROKEN: list[tuple[str, str, bytes, str]] = [
    ("empty", "a.stl", b"", r"is empty"),
    ("empty-3mf", "a.3mf", b"", r"is empty"),
    ("short", "a.stl", stl()[:83], r"83 bytes long, too short for an STL"),
    ("cut-short", "a.stl", stl()[:-1], r"claims 4 triangles and holds 3: it is cut short"),
    ("cut-in-half", "a.stl", stl()[:150], r"claims 4 triangles and holds 1"),
    ("claims-more", "a.stl", stl(claims=5), r"claims 5 triangles and holds 4"),
    ("claims-billions", "a.stl", stl(claims=4_000_000_000), r"claims 4000000000 triangles"),
    ("claims-fewer", "a.stl", stl(claims=3), r"goes on after them for 50 bytes"),
    ("claims-none", "a.stl", stl(faces=0), r"holds no triangle"),
    ("nan", "a.stl", stl(corner=float("nan")), r"not a finite number"),
    ("inf", "a.stl", stl(corner=float("-inf")), r"not a finite number"),
    ("prose", "a.stl", b"Dear customer, here is your part. " * 9, r"cut short, or not an STL"),
    ("text-cut", "a.stl", TEXT[:-60], r"no whole triangles|not three numbers"),
    ("text-word", "a.stl", TEXT.replace(b"10 0", b"ten 0", 1), r"not three numbers"),
    ("text-nan", "a.stl", TEXT.replace(b"10 0 0", b"nan 0 0"), r"not a finite number"),
    ("text-empty", "a.stl", b"solid t\n facet\nendsolid t\n" + b" " * 80, r"0 whole corners"),
    ("no-zip", "a.3mf", stl(), r"is not a 3MF"),
    ("zip-cut", "a.3mf", one()[:-30], r"is not a 3MF"),
    ("zip-flipped", "a.3mf", one().replace(b"PK\x03\x04", b"PK\x03\x07", 1), r"is not a 3MF"),
    ("other-zip", "a.3mf", package("hello", name="letter.txt"), r"is not a 3MF"),
    ("other-xml", "a.3mf", package("<html/>"), r"whose model is not 3MF"),
    ("no-xml", "a.3mf", package("{}"), r"is not a 3MF"),
    ("xml-cut", "a.3mf", package(f'<model xmlns="{CORE}"><resources>'), r"is not a 3MF"),
    ("doctype", "a.3mf", one(head='<!DOCTYPE x [<!ENTITY a "b">]>'), r"declares XML entities"),
    ("bomb", "a.3mf", package(b" " * (512 * 1024**2 + 1)), r"unpacks to too much"),
    ("nested", "a.3mf", nested(14), r"places too many triangles"),
    ("in-itself", "a.3mf", model('<object id="1"><components><component objectid="1"/>'
     "</components></object>"), r"or nests it"),
    ("no-object", "a.3mf", one(build='<item objectid="7"/>'), r"'7' that is not there"),
    ("nothing-placed", "a.3mf", one(build=""), r"places nothing"),
    ("no-mesh", "a.3mf", one(mesh=""), r"without a mesh"),
    ("bad-index", "a.3mf", one(TETRA.replace('v1="1"', 'v1="9"')), r"corner that is not there"),
    ("below-zero", "a.3mf", one(TETRA.replace('v1="1"', 'v1="-1"')), r"corner that is not there"),
    ("word", "a.3mf", one(TETRA.replace('x="10"', 'x="wide"')), r"without its numbers"),
    ("nan-3mf", "a.3mf", one(TETRA.replace('x="10"', 'x="nan"')), r"not a finite number"),
    ("transform", "a.3mf", one(build='<item objectid="1" transform="1 0"/>'), r"12 numbers"),
    ("other-format", "a.step", b"ISO-10303-21;\nHEADER;\n", r"format that is not read"),
    ("no-ending", "part", PICTURE, r"format that is not read"),
    ("picture-obj", "a.obj", PICTURE, r"is not an OBJ: it is no text"),
    ("picture-ply", "a.ply", PICTURE, r"is not a PLY: it has no such header"),
    ("picture-off", "a.off", PICTURE, r"is not an OFF: it is no text"),
    ("picture-glb", "a.glb", PICTURE, r"is not a GLB: it does not start like one"),
    ("obj-prose", "a.obj", b"Dear customer,\n" * 9, r"no line of it gives a corner"),
    ("obj-no-face", "a.obj", OBJ.split(b"f ")[0], r"holds no triangle"),
    ("obj-bad-index", "a.obj", OBJ + b"f 1 2 9\n", r"that can be read|not there"),
    ("obj-nan", "a.obj", OBJ.replace(b"v 0 0 0", b"v nan 0 0"), r"not a finite number"),
    ("obj-cut", "a.obj", OBJ[:-4], r"that can be read|it is cut short"),
    ("off-no-word", "a.off", OFF[4:], r"does not start with that word"),
    ("off-no-counts", "a.off", b"OFF\nfour four\n", r"without the counts"),
    ("off-cut", "a.off", OFF[:-9], r"claims 4 faces and holds 3: it is cut short"),
    ("off-cut-corners", "a.off", OFF[:25], r"that can be read"),
    ("off-claims-billions", "a.off", OFF.replace(b"4 4", b"4 4000000000"), r"more than fit"),
    ("off-below-zero", "a.off", OFF.replace(b"4 4", b"4 -4"), r"more than fit"),
    ("off-bad-index", "a.off", OFF.replace(b"3 0 2 1", b"3 0 2 7"), r"that can be read"),
    ("ply-no-end", "a.ply", PLY[:60], r"has no such header"),
    ("ply-cut", "a.ply", PLY[:-8], r"claims 8 lines of corners and faces and holds 7"),
    ("ply-claims-billions", "a.ply", PLY.replace(b"face 4", b"face 4000000000"), r"cut short"),
    ("ply-count-word", "a.ply", PLY.replace(b"face 4", b"face four"), r"no number: 'four'"),
    ("ply-bad-index", "a.ply", PLY.replace(b"3 0 2 1", b"3 0 2 7"), r"not there|that can be read"),
    ("ply-nan", "a.ply", PLY.replace(b"0 10 0", b"nan 10 0"), r"not a finite number"),
    ("glb-cut", "a.glb", glb()[:-1], r"claims \d+ bytes and holds \d+: it is cut short"),
    ("glb-version", "a.glb", glb(version=1), r"a GLB of version 1\. Allowed: version 2"),
    ("glb-no-json", "a.glb", glb(head=b"{]  "), r"description is damaged"),
    ("glb-deep", "a.glb", glb(head=b"[" * 200_000), r"description is damaged"),
    ("glb-list", "a.glb", glb(head=b"[]  "), r"description is damaged"),
    ("glb-elsewhere", "a.glb", glb(buffers=[{"byteLength": 9, "uri": "x.bin"}]), r"other files"),
    ("glb-packed", "a.glb", glb(extensionsRequired=["KHR_draco_mesh_compression"]),
     r"compressed GLB \(KHR_draco_mesh_compression\)"),
    ("glb-claims-more", "a.glb", glb(count=4_000_000_000), r"claims 4000000000 numbers"),
    ("glb-claims-few-more", "a.glb", glb(count=300), r"a GLB that can be read|not there"),
    ("glb-in-itself", "a.glb", glb(nodes=[{"children": [1]}, {"children": [0], "mesh": 0}]),
     r"places a node within itself"),
    ("glb-nested", "a.glb", glb(nodes=[{"children": [i + 1, i + 1]} for i in range(40)]
     + [{"mesh": 0}]), r"places a node twice"),
    ("glb-nothing", "a.glb", glb(nodes=[{}]), r"holds no triangle|that can be read"),
    ("glb-nan", "a.glb", glb(corner=float("nan")), r"not a finite number"),
    ("glb-huge", "a.glb", glb(corner=3e38), r"not a finite number"),
]  # fmt: skip
