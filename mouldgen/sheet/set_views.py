"""Pictures of a set of moulds: together, apart along its axis, cut open, and part by part."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, Literal, get_args

import numpy as np

from mouldgen.errors import InputError
from mouldgen.sheet.still import fitting_px, still
from mouldgen.sheet.view import Cut, View
from mouldgen.solid.mesh import Mesh

if TYPE_CHECKING:
    from mouldgen.mould.parts import MouldParts, Part
    from mouldgen.sheet.tones import Role

Way = Literal["together", "apart", "cut"]
Roled = tuple[Mesh, "Role"]

_VIEWS = {"together": View(30.0, 20.0), "apart": View(30.0, 14.0)}
_BOX = View(25.0, 24.0)
_ON_BED = View(30.0, 35.0)
_LONGEST_PX, _PART_PX = 1200, 640
_LIFTED = 0.15  # between base and frame of a box, of the base's height
_APART = 0.06  # seen between two parts, of the body's height
_OVER = {"lid", "frame"}  # parts that have the tone of a lid
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


def set_pictures(parts: MouldParts) -> dict[str, bytes]:
    """Pictures of a set as PNG, by file name; the same set, the same bytes.

    parts : of the set.
    """
    apart = set_meshes(parts, apart=True)
    wide, high = fitting_px(apart, _VIEWS["apart"], longest_px=_LONGEST_PX)
    cut = _cut(parts)
    closed_wide, closed_high = fitting_px(
        set_meshes(parts), View(cut.azimuth_deg, 0.0), longest_px=_LONGEST_PX
    )
    drawn = {
        "set-apart.png": set_still(parts, "apart", width_px=wide, height_px=high),
        "set-section.png": set_still(parts, "cut", width_px=closed_wide, height_px=closed_high),
    }
    return {**drawn, "set-box.png": _box_still(parts)} if parts.cast else drawn


def part_still(part: Part) -> bytes:
    """One part as it lies on the print bed, as a PNG file; the same part, the same bytes.

    part : of a set.
    """
    shown: list[Roled] = [(part.mesh, role_of(part.name))]
    wide, high = fitting_px(shown, _ON_BED, longest_px=_PART_PX)
    return still(shown, width_px=wide, height_px=high, view=_ON_BED)


def role_of(name: str) -> Role:
    """What a printed part is in pictures.

    name : of the part.
    """
    return "lid" if name in _OVER else "body"


def _box_still(parts: MouldParts) -> bytes:
    """The box that rubber is cast in, cut open: the frame lifted off the base with its plugs."""
    base, frame = parts.part("base").mesh, parts.part("frame").mesh
    lifted = _shifted(frame, 0.0, 0.0, base.bounds[1][2] * (1.0 + _LIFTED))
    shown: list[Roled] = [(base, "body"), (lifted, "lid")]
    wide, high = fitting_px(shown, _BOX, longest_px=_LONGEST_PX)
    return still(shown, width_px=wide, height_px=high, view=_BOX, cut=Cut())


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
