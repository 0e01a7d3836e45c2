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
RUBBER: RGB = (196, 148, 158)
CUT: RGB = (233, 226, 214)  # a face that was cut open

_SIZE = (900, 1200)  # a set is taller than wide [pixels]
_APART = 0.15  # between two parts, of the body's height


def set_pictures(parts: MouldParts) -> dict[str, bytes]:
    """Still pictures of a set, PNG by file name; the same set, the same bytes."""
    drawn = {"set-apart.png": apart_picture(parts), "set-section.png": section_picture(parts)}
    return {**drawn, "set-box.png": box_picture(parts)} if parts.cast else drawn


def box_picture(parts: MouldParts) -> bytes:
    """The base with its plugs as rubber is poured over them, the frame cut open and lifted."""
    base, frame = parts.part("base").mesh, parts.part("frame").mesh
    lift = base.bounds[1][2] * (1.0 + _APART)
    return render(
        [
            (base.vertices, base.triangles, PLASTIC),
            *((v + np.array([0.0, 0.0, lift]), t, c) for v, t, c in _opened(frame, LID)),
        ],
        width=_SIZE[0],
        height=_SIZE[1],
        view=(25.0, 24.0),
    )


def apart_picture(parts: MouldParts) -> bytes:
    """The body cut open, the insert standing in it, the lid lifted so that its legs show."""
    bodies = [_aside(part.assembled, parts) for part in parts.bodies]
    lid, colour = _aside(parts.part("lid").assembled, parts), _body_colour(parts)
    top = max(body.bounds[1][2] for body in bodies)
    height = top - min(body.bounds[0][2] for body in bodies)
    clear = max(parts.insert.bounds[1][2], top) - lid.bounds[0][2]
    return render(
        [
            *(scene for body in bodies for scene in _opened(body, colour)),
            *_inserts(parts),
            _lifted(lid, clear + _APART * height, LID),
        ],
        width=_SIZE[0],
        height=_SIZE[1],
        view=(25.0, 12.0),
    )


def section_picture(parts: MouldParts) -> bytes:
    """Body, insert and lid put together and cut through the axis, seen from the front."""
    bodies = [_aside(part.assembled, parts) for part in parts.bodies]
    lid, colour = _aside(parts.part("lid").assembled, parts), _body_colour(parts)
    return render(
        [
            *((body.vertices, body.triangles, colour) for body in bodies),
            *_inserts(parts),
            (lid.vertices, lid.triangles, LID),
        ],
        width=_SIZE[0],
        height=_SIZE[1],
        view=(0.0, 0.0),
        cut=((0.0, -1.0, 0.0), 0.0),
    )


def _aside(mesh: Mesh, parts: MouldParts) -> Mesh:
    """A part with its first row of cells in the plane that pictures are cut along."""
    y = parts.places[0][1]
    return mesh.moved(0.0, -y) if y else mesh


def _inserts(parts: MouldParts) -> list[Scene]:
    """The insert in every cell of a mould."""
    first = parts.places[0][1]
    return [
        (parts.insert.vertices + np.array([x, y - first, 0.0]), parts.insert.triangles, WOOD)
        if (x, y) != (0.0, 0.0)
        else (parts.insert.vertices, parts.insert.triangles, WOOD)
        for x, y in parts.places
    ]


def _body_colour(parts: MouldParts) -> RGB:
    return RUBBER if parts.cast else PLASTIC


def _lifted(mesh: Mesh, by_mm: float, colour: RGB) -> Scene:
    return mesh.vertices + np.array([0.0, 0.0, by_mm]), mesh.triangles, colour


def _opened(mesh: Mesh, colour: RGB) -> list[Scene]:
    """A part without its front half, and beside it the faces of the cut, which are light."""
    from mouldgen.solid.kernel import Solid, box

    low, high = np.array(mesh.bounds)
    if high[1] <= 0.0:
        return []  # the front half of a split mould
    front = box(low - 1.0, (high[0] + 1.0, 0.0, high[2] + 1.0))
    rest = (Solid.of_mesh(mesh) - front).any_mesh()
    on_cut = (rest.vertices[rest.triangles][:, :, 1] == 0.0).all(axis=1)
    return [
        (rest.vertices, rest.triangles[~on_cut], colour),
        (rest.vertices, rest.triangles[on_cut], CUT),
    ]
