"""A set of moulds in three views: as it goes together, apart along its axis, and cut open."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, Literal, get_args

import numpy as np

from mouldgen.errors import InputError
from mouldgen.sheet.still import still
from mouldgen.sheet.view import Cut, View
from mouldgen.solid.mesh import Mesh

if TYPE_CHECKING:
    from mouldgen.mould.parts import MouldParts
    from mouldgen.sheet.tones import Role

Way = Literal["together", "apart", "cut"]
Roled = tuple[Mesh, "Role"]

_VIEWS = {"together": View(30.0, 20.0), "apart": View(30.0, 14.0)}
_APART = 0.06  # seen between two parts, of the body's height
_HALVES = {"front", "back"}  # bodies that meet in the plane of a cut from the front


def set_still(
    parts: MouldParts,
    way: Way,
    *,
    width_px: int = 1000,
    height_px: int = 750,
    dark: bool = False,
    transparent: bool = False,
) -> bytes:
    """A picture of a set as a PNG file; the same set, the same bytes.

    parts : body or bodies, lid and the insert in each of its cells.
    way : ``together``, as the set is poured; ``apart``, the insert over the body and the lid
        over both; ``cut``, together and cut open through the axis of its first cell.
    width_px, height_px : of the picture [pixels].
    dark : whether it is for a dark page.
    transparent : whether it has no paper.

    Raises InputError for another way, and for a size that a picture cannot have.
    """
    if way not in get_args(Way):
        raise InputError(f"{way!r} is no view of a set", allowed=", ".join(get_args(Way)))
    cut = _cut(parts) if way == "cut" else None
    return still(
        set_meshes(parts, apart=way == "apart"),
        width_px=width_px,
        height_px=height_px,
        view=_VIEWS[way] if cut is None else View(cut.azimuth_deg, 0.0),
        cut=cut,
        dark=dark,
        transparent=transparent,
    )


def set_meshes(parts: MouldParts, *, apart: bool = False) -> tuple[Roled, ...]:
    """What a set consists of, each mesh where it belongs, with its role in pictures.

    parts : of the set.
    apart : whether the insert is lifted out of the body, and the lid over the insert.
    """
    bodies = [part.assembled for part in parts.bodies]
    lid = parts.part("lid").assembled
    rise_insert = rise_lid = 0.0
    if apart:
        top = max(body.bounds[1][2] for body in bodies)
        clear = _APART * (top - min(body.bounds[0][2] for body in bodies)) + _overlap(bodies)
        rise_insert = top + clear - parts.insert.bounds[0][2]
        rise_lid = parts.insert.bounds[1][2] + rise_insert + clear - lid.bounds[0][2]
    role: Role = "rubber" if parts.cast else "body"
    return (
        *((body, role) for body in bodies),
        *((_shifted(parts.insert, x, y, rise_insert), "insert") for x, y in parts.places),
        (_shifted(lid, 0.0, 0.0, rise_lid), "lid"),
    )


def _overlap(bodies: Sequence[Mesh]) -> float:
    """How high something as wide as the bodies must stand over them to be seen apart [mm].

    From a little above, its near edge is seen lower and their far edge higher.
    """
    reach = max(float(np.hypot(*body.vertices[:, :2].T).max()) for body in bodies)
    return 2.0 * reach * math.tan(math.radians(_VIEWS["apart"].elevation_deg))


def _cut(parts: MouldParts) -> Cut:
    """From the front; from the side where two halves part along that plane already."""
    across = bool(_HALVES & {part.name for part in parts.bodies})
    return Cut(azimuth_deg=90.0 if across else 0.0, axis_mm=parts.places[0])


def _shifted(mesh: Mesh, x: float, y: float, z: float) -> Mesh:
    """A mesh elsewhere, for a picture only: it may leave the grid and the reach of a file."""
    return Mesh(mesh.vertices + np.array((x, y, z), np.float32), mesh.triangles)
