"""The model of a 3MF, taken from its package piece by piece.

Only numbers are kept, never the text: a model of a million triangles is a gigabyte as a tree of
elements, and 36 MB as numbers.
"""

from __future__ import annotations

import io
import zipfile
from array import array
from collections.abc import Iterator
from dataclasses import dataclass, field
from xml.etree import ElementTree

from mouldgen.errors import MeshFileError
from mouldgen.solid.stl import MOST_TRIANGLES

CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
MODEL_PART = "3D/3dmodel.model"
MOST_XML = 512 * 1024 * 1024  # bytes that the model may unpack to
PORTION = 1024 * 1024  # bytes that are unpacked at once
LONGEST_NAME = 200

Placed = tuple[str | None, str | None]  # an object's id, and its transform


@dataclass(eq=False)
class Part:
    """One object.

    name : as it is called, or empty.
    corners, faces : of its mesh, three numbers each.
    meshes : how many it has; only the first counts.
    components : of what it is put together.
    """

    name: str
    corners: array[float] = field(default_factory=lambda: array("d"))
    faces: array[int] = field(default_factory=lambda: array("q"))
    meshes: int = 0
    components: list[Placed] = field(default_factory=list)


@dataclass(eq=False)
class Model:
    """A model.

    unit : its name.
    parts : objects by their ids.
    items : what the build places.
    """

    unit: str = "millimeter"
    parts: dict[str | None, Part] = field(default_factory=dict)
    items: list[Placed] = field(default_factory=list)


class _Builder:
    """Takes elements as the parser meets them, and keeps what of them is a model."""

    def __init__(self, name: str) -> None:
        self.model = Model()
        self._name = name
        self._begun = False
        self._part: Part | None = None
        self._filled: Part | None = None  # while its mesh is open
        self._numbers = 0  # of triangles of meshes before it

    def doctype(self, *_: str | None) -> None:
        raise MeshFileError("declares XML entities, which no 3MF needs", where=self._name)

    def start(self, tag: str, given: dict[str, str]) -> None:
        if self._filled is not None:  # nearly all elements are a mesh's
            self._number(self._filled, tag, given)
        elif not self._begun:
            if tag != _MODEL:
                raise MeshFileError("is a zip whose model is not 3MF", where=self._name)
            self._begun = True
            self.model.unit = given.get("unit", self.model.unit)
        elif tag == _OBJECT:
            self._part = Part(given.get("name", "")[:LONGEST_NAME])
            self.model.parts[given.get("id")] = self._part
        elif tag == _ITEM:
            self.model.items.append((given.get("objectid"), given.get("transform")))
        elif self._part is not None and tag == _COMPONENT:
            self._part.components.append((given.get("objectid"), given.get("transform")))
        elif self._part is not None and tag == _MESH:
            self._part.meshes += 1
            self._filled = self._part if self._part.meshes == 1 else None

    def end(self, tag: str) -> None:
        if tag == _MESH and self._filled is not None:
            self._numbers += len(self._filled.faces)
            self._filled = None
        elif tag == _OBJECT:
            self._part = None

    def _number(self, part: Part, tag: str, given: dict[str, str]) -> None:
        try:
            if tag == _TRIANGLE:
                part.faces.extend((int(given["v1"]), int(given["v2"]), int(given["v3"])))
            elif tag == _VERTEX:
                part.corners.extend((float(given["x"]), float(given["y"]), float(given["z"])))
        except (KeyError, ValueError, OverflowError):
            raise MeshFileError(
                "has a corner or triangle without its numbers", where=self._name
            ) from None

    def refuse_too_many(self) -> None:
        """Once a portion, since counting each triangle takes as long as reading it."""
        held = 0 if self._filled is None else len(self._filled.faces)
        if self._numbers + held > 3 * MOST_TRIANGLES:
            raise MeshFileError(
                "holds too many triangles", where=self._name, allowed=f"at most {MOST_TRIANGLES}"
            )


_MODEL, _OBJECT, _ITEM, _COMPONENT, _MESH, _VERTEX, _TRIANGLE = (
    f"{{{CORE}}}{tag}"
    for tag in ("model", "object", "item", "component", "mesh", "vertex", "triangle")
)


def read_model(data: bytes, *, name: str) -> Model:
    """The model in a 3MF package.

    data : the whole file.
    name : of the file, for messages.

    Raises MeshFileError where the file is no 3MF, is damaged, or unpacks to too much.
    """
    builder = _Builder(name)
    parser = ElementTree.XMLParser(target=builder)
    try:
        for portion in _portions(data, name):
            parser.feed(portion)
            builder.refuse_too_many()
        parser.close()
    except MeshFileError:
        raise
    except MemoryError:
        raise MeshFileError("needs more memory than there is", where=name) from None
    except Exception:  # noqa: BLE001  of a damaged package its readers raise anything
        raise _broken(name) from None
    return builder.model


def _portions(data: bytes, name: str) -> Iterator[bytes]:
    with zipfile.ZipFile(io.BytesIO(data)) as package:
        models = [i for i in package.infolist() if i.filename.lower().endswith(".model")]
        if not models:
            raise _broken(name)
        wanted = [i for i in models if i.filename.lower() == MODEL_PART.lower()]
        held = 0
        with package.open((wanted or models)[0]) as stream:
            while portion := stream.read(PORTION):
                held += len(portion)
                if held > MOST_XML:
                    raise MeshFileError(
                        "unpacks to too much",
                        where=name,
                        allowed=f"at most {MOST_XML // 1024**2} MB",
                        try_="Export it as binary STL, or with fewer triangles.",
                    )
                yield portion


def _broken(name: str) -> MeshFileError:
    return MeshFileError(
        "is not a 3MF: it is no zip package with a model in it, or it is damaged",
        where=name,
        try_="Export or copy the file again.",
    )
