"""3MF, core specification: written by hand so that the same parts give the same bytes.

The writer follows the 3MF Core Specification 1.3: millimetre, named objects, build items,
metadata.  A part that lies on a bed many times is one object and many items.
"""

from __future__ import annotations

import io
import zipfile
import zlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from operator import itemgetter
from xml.etree import ElementTree

import numpy as np

from mouldgen.errors import MeshFileError
from mouldgen.markup import escaped
from mouldgen.solid.mesh import Floats, Integers, Mesh
from mouldgen.solid.stl import MOST_TRIANGLES, weld

CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
MODEL_PART = "3D/3dmodel.model"
MOST_XML = 512 * 1024 * 1024  # bytes that the model may unpack to
MOST_DEPTH = 16
SCALE_MM = {
    "micron": 0.001,
    "millimeter": 1.0,
    "centimeter": 10.0,
    "inch": 25.4,
    "foot": 304.8,
    "meter": 1000.0,
}
CONTENT_TYPES = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">'
    '<Default Extension="rels"'
    ' ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
    '<Default Extension="model"'
    ' ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/></Types>'
)
RELATIONSHIPS = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
    f'<Relationship Target="/{MODEL_PART}" Id="rel0"'
    ' Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>'
)


@dataclass(frozen=True, eq=False)
class Item:
    """One object and the places it stands at.

    name : shown by the program that opens the file.
    mesh : the part.
    places : moves (x, y) on the bed [mm], multiples of the mesh grid.
    turned : the same, after a quarter turn about the vertical, counter-clockwise from above.
    """

    name: str
    mesh: Mesh
    places: tuple[tuple[float, float], ...] = ((0.0, 0.0),)
    turned: tuple[tuple[float, float], ...] = ()


def threemf_bytes(items: Sequence[Item], *, title: str, application: str) -> bytes:
    """A 3MF package that holds the items; the same items, the same bytes.

    title, application : the metadata of that name.
    """
    objects = [
        f'<object id="{i}" type="model" name="{escaped(item.name)}">{_mesh_xml(item.mesh)}</object>'
        for i, item in enumerate(items, 1)
    ]
    build = [
        f'<item objectid="{i}" transform="{turn} 0 0 0 1 {x!r} {y!r} 0"/>'
        for i, item in enumerate(items, 1)
        for turn, places in (("1 0 0 0 1", item.places), ("0 1 0 -1 0", item.turned))
        for x, y in places
    ]
    model = (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<model unit="millimeter" xml:lang="en-US" xmlns="{CORE}">'
        f'<metadata name="Title">{escaped(title)}</metadata>'
        f'<metadata name="Application">{escaped(application)}</metadata>'
        f"<resources>{''.join(objects)}</resources><build>{''.join(build)}</build></model>"
    )
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as package:
        for name, text in (
            ("[Content_Types].xml", CONTENT_TYPES),
            ("_rels/.rels", RELATIONSHIPS),
            (MODEL_PART, model),
        ):
            # A fixed date and a fixed system, or the bytes would change with the clock.
            entry = zipfile.ZipInfo(name, (1980, 1, 1, 0, 0, 0))
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.create_system = 3
            entry.external_attr = 0o644 << 16
            package.writestr(entry, text, compresslevel=1)
    return out.getvalue()


@lru_cache(maxsize=8)  # the same part is written alone and once a bed
def _mesh_xml(mesh: Mesh) -> str:
    # One format over all numbers is several times faster than one a corner.  Ten decimals
    # hold a multiple of 2**-14 below 1024 to far more than float32 needs to get it back.
    vertex = '<vertex x="%.10g" y="%.10g" z="%.10g"/>' * len(mesh.vertices)
    triangle = '<triangle v1="%d" v2="%d" v3="%d"/>' * len(mesh.triangles)
    return (
        f"<mesh><vertices>{vertex % tuple(mesh.vertices.ravel().tolist())}</vertices>"
        f"<triangles>{triangle % tuple(mesh.triangles.ravel().tolist())}</triangles></mesh>"
    )


def read_3mf(data: bytes, *, name: str) -> tuple[tuple[str, Mesh], ...]:
    """The objects that the build of a 3MF places, each with its name, in mm.

    data : the whole file.
    name : of the file, for messages.

    Raises MeshFileError where the file is no 3MF, is damaged, or unpacks to too much.
    """
    root = _model(data, name)
    if root.tag != f"{{{CORE}}}model":
        raise MeshFileError("is a zip whose model is not 3MF", where=name)
    unit = root.get("unit", "millimeter")
    if unit not in SCALE_MM:
        raise MeshFileError(
            f"names the unit {unit!r}", where=name, allowed=", ".join(sorted(SCALE_MM))
        )
    objects = {o.get("id"): o for o in root.iter(f"{{{CORE}}}object")}
    items = list(root.iter(f"{{{CORE}}}item"))
    _refuse_too_many(objects, [item.get("objectid") for item in items], name)
    found = []
    for item in items:
        key = item.get("objectid")
        soup = _soup(objects, key, _matrix(item.get("transform"), name), name, depth=0)
        title = objects[key].get("name") or f"object {key}"
        corners = np.concatenate([v[t] for v, t in soup]).reshape(-1, 3) * SCALE_MM[unit]
        found.append((title, weld(corners, np.arange(len(corners)).reshape(-1, 3), name=name)))
    if not found:
        raise MeshFileError("is a 3MF whose build places nothing", where=name)
    return tuple(found)


def _model(data: bytes, name: str) -> ElementTree.Element:
    broken = MeshFileError(
        "is not a 3MF: it is no zip package with a model in it, or it is damaged",
        where=name,
        try_="Export or copy the file again.",
    )
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as package:
            models = [i for i in package.infolist() if i.filename.lower().endswith(".model")]
            if not models:
                raise broken
            wanted = [i for i in models if i.filename.lower() == MODEL_PART.lower()]
            entry = (wanted or models)[0]
            with package.open(entry) as stream:
                text = stream.read(MOST_XML + 1)
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, OSError):
        raise broken from None
    if len(text) > MOST_XML:
        raise MeshFileError(
            "unpacks to too much", where=name, allowed=f"at most {MOST_XML // 1024**2} MB"
        )
    if b"<!DOCTYPE" in text[:4096] or b"<!ENTITY" in text:
        raise MeshFileError("declares XML entities, which no 3MF needs", where=name)
    try:
        return ElementTree.fromstring(text)
    except (ElementTree.ParseError, ValueError, LookupError):
        raise broken from None


def _refuse_too_many(
    objects: dict[str | None, ElementTree.Element], keys: Sequence[str | None], name: str
) -> None:
    """A small file can place the same object times without end: count before placing anything."""
    counts: dict[str | None, int] = {}

    def placed(key: str | None, depth: int) -> int:
        if key not in objects or depth > MOST_DEPTH:
            raise _no_object(key, name)
        if key not in counts:
            own = sum(1 for _ in objects[key].iter(f"{{{CORE}}}triangle")) or 1
            parts = objects[key].iter(f"{{{CORE}}}component")
            counts[key] = own + sum(placed(part.get("objectid"), depth + 1) for part in parts)
        return counts[key]

    if sum(placed(key, 0) for key in keys) > MOST_TRIANGLES:
        raise MeshFileError(
            "places too many triangles", where=name, allowed=f"at most {MOST_TRIANGLES}"
        )


def _no_object(key: str | None, name: str) -> MeshFileError:
    return MeshFileError(f"names an object {key!r} that is not there, or nests it", where=name)


def _soup(
    objects: dict[str | None, ElementTree.Element],
    key: str | None,
    matrix: Floats,
    name: str,
    *,
    depth: int,
) -> list[tuple[Floats, Integers]]:
    """Corners and triangles of an object and of all it is put together from."""
    if key not in objects or depth > MOST_DEPTH:
        raise _no_object(key, name)
    parts = []
    mesh = objects[key].find(f"{{{CORE}}}mesh")
    if mesh is not None:
        vertices, triangles = _mesh_numbers(mesh, name)
        parts.append((np.c_[vertices, np.ones(len(vertices))] @ matrix, triangles))
    for part in objects[key].iter(f"{{{CORE}}}component"):
        inner = _matrix(part.get("transform"), name)
        square = np.c_[inner, [0.0, 0.0, 0.0, 1.0]]
        parts += _soup(objects, part.get("objectid"), square @ matrix, name, depth=depth + 1)
    if not parts:
        raise MeshFileError(f"has an object {key!r} without a mesh", where=name)
    return parts


def _mesh_numbers(mesh: ElementTree.Element, name: str) -> tuple[Floats, Integers]:
    try:
        vertices = _numbers(mesh, "vertex", ("x", "y", "z"), float)
        triangles = _numbers(mesh, "triangle", ("v1", "v2", "v3"), int).astype(np.int64)
    except (KeyError, ValueError, OverflowError):
        raise MeshFileError("has a corner or triangle without its numbers", where=name) from None
    if not np.isfinite(vertices).all():
        raise MeshFileError("has a corner that is not a finite number", where=name)
    if triangles.size and (triangles.min() < 0 or triangles.max() >= len(vertices)):
        raise MeshFileError("has a triangle that names a corner that is not there", where=name)
    return vertices, triangles


def _numbers(
    mesh: ElementTree.Element, tag: str, keys: tuple[str, str, str], read: Callable[[str], float]
) -> Floats:
    wanted = itemgetter(*keys)
    flat = [text for row in mesh.iter(f"{{{CORE}}}{tag}") for text in wanted(row.attrib)]
    return np.array(list(map(read, flat))).reshape(-1, 3)


def _matrix(text: str | None, name: str) -> Floats:
    if text is None:
        return np.eye(4)[:, :3]
    try:
        numbers = np.array([float(word) for word in text.split()]).reshape(4, 3)
    except ValueError:
        numbers = np.full((4, 3), np.nan)
    if not np.isfinite(numbers).all():
        raise MeshFileError(f"has a transform that is not 12 numbers: {text[:60]!r}", where=name)
    return numbers
