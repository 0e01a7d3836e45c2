"""Pictures of a set of moulds: its parts one above the other, and a section through the axis."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from mouldgen.sheet.still import render

if TYPE_CHECKING:
    from mouldgen.mould.parts import MouldParts
    from mouldgen.sheet.stage import RGB, Scene
    from mouldgen.solid.mesh import Mesh

PLASTIC: RGB = (126, 158, 186)
LID: RGB = (164, 190, 150)
WOOD: RGB = (214, 176, 122)
CUT: RGB = (233, 226, 214)  # a face that was cut open

_SIZE = (900, 1200)  # a set is taller than wide [pixels]
_APART = 0.15  # between two parts, of the body's height


def set_pictures(parts: MouldParts, *, stopped: bool = False) -> dict[str, bytes]:
    """Still pictures of a set, PNG by file name; the same set, the same bytes.

    stopped : the set must be fixed first, and the names of the files say so.
    """
    mark = "-MUST-FIX" if stopped else ""
    return {
        f"set-apart{mark}.png": apart_picture(parts),
        f"set-section{mark}.png": section_picture(parts),
    }


def apart_picture(parts: MouldParts) -> bytes:
    """The body cut open, the insert standing in it, the lid lifted so that its legs show."""
    body = parts.part("body").assembled
    lid = parts.part("lid").assembled
    height = body.bounds[1][2] - body.bounds[0][2]
    clear = max(parts.insert.bounds[1][2], body.bounds[1][2]) - lid.bounds[0][2]
    return render(
        [
            *_opened(body, PLASTIC),
            (parts.insert.vertices, parts.insert.triangles, WOOD),
            _lifted(lid, clear + _APART * height, LID),
        ],
        width=_SIZE[0],
        height=_SIZE[1],
        view=(25.0, 12.0),
    )


def section_picture(parts: MouldParts) -> bytes:
    """Body, insert and lid put together and cut through the axis, seen from the front."""
    body, lid = parts.part("body").assembled, parts.part("lid").assembled
    return render(
        [
            (body.vertices, body.triangles, PLASTIC),
            (parts.insert.vertices, parts.insert.triangles, WOOD),
            (lid.vertices, lid.triangles, LID),
        ],
        width=_SIZE[0],
        height=_SIZE[1],
        view=(0.0, 0.0),
        cut=((0.0, -1.0, 0.0), 0.0),
    )


def _lifted(mesh: Mesh, by_mm: float, colour: RGB) -> Scene:
    return mesh.vertices + np.array([0.0, 0.0, by_mm]), mesh.triangles, colour


def _opened(mesh: Mesh, colour: RGB) -> list[Scene]:
    """A part without its front half, and beside it the faces of the cut, which are light."""
    from mouldgen.solid.kernel import Solid, box

    low, high = np.array(mesh.bounds)
    front = box(low - 1.0, (high[0] + 1.0, 0.0, high[2] + 1.0))
    rest = (Solid.of_mesh(mesh) - front).any_mesh()
    on_cut = (rest.vertices[rest.triangles][:, :, 1] == 0.0).all(axis=1)
    return [
        (rest.vertices, rest.triangles[~on_cut], colour),
        (rest.vertices, rest.triangles[on_cut], CUT),
    ]
