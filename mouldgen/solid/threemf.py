"""3MF, core specification: written by hand so that the same parts give the same bytes.

The writer follows the 3MF Core Specification 1.3: millimetre, named objects, build items,
metadata.  A part that lies on a bed many times is one object and many items.
"""

from __future__ import annotations

import io
import zipfile
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from mouldgen.errors import MeshFileError
from mouldgen.markup import escaped
from mouldgen.solid.mesh import Floats, Integers, Mesh
from mouldgen.solid.stl import MOST_SOLIDS, MOST_TRIANGLES, weld
from mouldgen.solid.threemf_model import CORE, LONGEST_NAME, MODEL_PART, Model, Part, read_model

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


def threemf_bytes(
    items: Sequence[Item], *, title: str, application: str, description: str = ""
) -> bytes:
    """A 3MF package that holds the items; the same items, the same bytes.

    title, application, description : the metadata of that name; an empty description is none.
    """
    told = f'<metadata name="Description">{escaped(description)}</metadata>' if description else ""
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
        f'<metadata name="Application">{escaped(application)}</metadata>{told}'
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
    found = read_model(data, name=name)
    if found.unit not in SCALE_MM:
        raise MeshFileError(
            f"names the unit {found.unit[:LONGEST_NAME]!r}",
            where=name,
            allowed=", ".join(sorted(SCALE_MM)),
        )
    _refuse_too_many(found, name)
    scale = SCALE_MM[found.unit]
    solids = []
    for key, transform in found.items:
        title = found.parts[key].name or f"object {key}"
        with np.errstate(over="ignore", invalid="ignore"):  # `weld` refuses what is no number
            soup = _soup(found.parts, key, _matrix(transform, name), name, depth=0)
            corners = np.concatenate([v[t] for v, t in soup]).reshape(-1, 3) * scale
        solids.append((title, weld(corners, np.arange(len(corners)).reshape(-1, 3), name=name)))
    if not solids:
        raise MeshFileError("is a 3MF whose build places nothing", where=name)
    return tuple(solids)


def _refuse_too_many(model: Model, name: str) -> None:
    """A small file can place the same object times without end: count before placing anything."""
    if len(model.items) > MOST_SOLIDS:
        raise MeshFileError(
            f"places {len(model.items)} solids", where=name, allowed=f"at most {MOST_SOLIDS}"
        )
    counts: dict[str | None, int] = {}

    def placed(key: str | None, depth: int) -> int:
        if key not in model.parts or depth > MOST_DEPTH:
            raise _no_object(key, name)
        if key not in counts:
            part = model.parts[key]
            own = len(part.faces) // 3 or 1
            counts[key] = own + sum(placed(inner, depth + 1) for inner, _ in part.components)
        return counts[key]

    if sum(placed(key, 0) for key, _ in model.items) > MOST_TRIANGLES:
        raise MeshFileError(
            "places too many triangles", where=name, allowed=f"at most {MOST_TRIANGLES}"
        )


def _no_object(key: str | None, name: str) -> MeshFileError:
    told = None if key is None else key[:LONGEST_NAME]
    return MeshFileError(f"names an object {told!r} that is not there, or nests it", where=name)


def _soup(
    parts: dict[str | None, Part], key: str | None, matrix: Floats, name: str, *, depth: int
) -> list[tuple[Floats, Integers]]:
    """Corners and triangles of an object and of all it is put together from."""
    if key not in parts or depth > MOST_DEPTH:
        raise _no_object(key, name)
    part, soup = parts[key], []
    if part.meshes:
        vertices, triangles = _mesh_numbers(part, name)
        soup.append((np.c_[vertices, np.ones(len(vertices))] @ matrix, triangles))
    for inner, transform in part.components:
        square = np.c_[_matrix(transform, name), [0.0, 0.0, 0.0, 1.0]]
        soup += _soup(parts, inner, square @ matrix, name, depth=depth + 1)
    if not soup:
        told = None if key is None else key[:LONGEST_NAME]
        raise MeshFileError(f"has an object {told!r} without a mesh", where=name)
    return soup


def _mesh_numbers(part: Part, name: str) -> tuple[Floats, Integers]:
    vertices = np.array(part.corners, np.float64).reshape(-1, 3)
    triangles = np.array(part.faces, np.int64).reshape(-1, 3)
    if not np.isfinite(vertices).all():
        raise MeshFileError("has a corner that is not a finite number", where=name)
    if triangles.size and (triangles.min() < 0 or triangles.max() >= len(vertices)):
        raise MeshFileError("has a triangle that names a corner that is not there", where=name)
    return vertices, triangles


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
