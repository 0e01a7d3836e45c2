"""Still pictures of solids: parallel projection, flat shading, dark edges, sections.

No window, no graphics card, nothing but arrays.  The picture is drawn twice as large as asked
for and averaged down, so that edges are smooth.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, get_args

import numpy as np
from numpy.typing import NDArray

from mouldgen.errors import InputError
from mouldgen.sheet.cutting import Plane, kept, kept_lines, lift_section
from mouldgen.sheet.hatch import hatched
from mouldgen.sheet.png import png
from mouldgen.sheet.raster import Floats, Ints, ZBuffer, line_pixels
from mouldgen.sheet.stage import Scene, Stage, staged, turned_to
from mouldgen.sheet.tones import DARK, LIGHT, Palette, Role
from mouldgen.sheet.view import Cut, View
from mouldgen.sheet.wire import drawn_edges

if TYPE_CHECKING:
    from mouldgen.solid.mesh import Mesh

Bytes = NDArray[np.uint8]
Bools = NDArray[np.bool_]

LARGEST_PX = 3000
"""Width or height of the largest picture by roles: it takes about a gigabyte to draw [pixels]."""

_FINER = 2  # drawn so many times larger
_AMBIENT = 0.54
_LIGHTS = (((-0.50, 0.62, 0.60), 0.45), ((0.85, 0.05, 0.52), 0.16))  # right, up, to the viewer
_LARGE = 1000  # from here on lines are one and a half pixels wide, else one [fine pixels]
_SLENDEREST = 0.3  # shorter by longer side
_SLACK = 2.5  # how far a line may lie behind the face it bounds [fine pixels]
_VIEW = View()


def still(
    meshes: Sequence[tuple[Mesh, Role]],
    *,
    width_px: int = 1000,
    height_px: int = 750,
    view: View = _VIEW,
    cut: Cut | None = None,
    dark: bool = False,
    transparent: bool = False,
) -> bytes:
    """A picture of a set's parts as a PNG file; the same input gives the same bytes.

    meshes : closed, each with what it is, which gives it its colours.
    width_px, height_px : of the picture [pixels].
    view : where the viewer stands.
    cut : where the parts are cut open, if they are; what is cut through is hatched, each part
        in its own way.  The scale is that of the whole, so that cut and uncut pictures match.
    dark : whether it is for a dark page: dark paper, light edges.
    transparent : whether it has no paper, but shows the page under it between the parts.

    Edges sharper than 25 degrees and outlines are drawn, but not the zigzag inside a warped
    face.  A face seen from behind is hatched: without a cut that tells of a mesh that is open
    or wound inside out.

    Raises InputError where there is nothing to draw, for a role that is none, and for a size
    that a picture cannot have.
    """
    if max(width_px, height_px) > LARGEST_PX:
        raise InputError(
            f"a picture of {width_px} by {height_px} pixels is too large",
            allowed=f"at most {LARGEST_PX} either way",
        )
    palette = DARK if dark else LIGHT
    roles = np.repeat(_places([role for _, role in meshes]), [len(m.triangles) for m, _ in meshes])
    scenes = [(m.vertices, m.triangles, palette.tones[role].face) for m, role in meshes]
    drawing = _Drawing(
        scenes,
        width=width_px,
        height=height_px,
        view=(view.azimuth_deg, view.elevation_deg),
        cut=None if cut is None else cut.plane,
    )
    picture = np.vstack((_lit(drawing.stage), palette.paper)).astype(np.uint8)[drawing.names]
    _hatch(picture, drawing, roles=roles, palette=palette)
    picture[drawing.ink] = palette.ink
    fine = picture.reshape(drawing.height, drawing.width, 3)
    if not transparent:
        return png(_averaged(fine))
    covered = drawing.names >= 0
    covered[drawing.ink] = True
    return png(_averaged_clear(fine, covered.reshape(drawing.height, drawing.width)))


def fitting_px(
    meshes: Sequence[tuple[Mesh, Role]], view: View, *, longest_px: int
) -> tuple[int, int]:
    """Width and height of a picture without much empty paper at its sides [pixels].

    meshes : that it shows.
    view : where the viewer stands.
    longest_px : its longer side [pixels].
    """
    turn = turned_to(view.azimuth_deg, view.elevation_deg)[:2]
    seen = np.concatenate([mesh.vertices.astype(np.float64) @ turn.T for mesh, _ in meshes])
    wide, high = (seen.max(axis=0) - seen.min(axis=0)).tolist()
    # Never so slender that its margin, a share of the shorter side, comes to nothing.
    shorter = max(min(wide, high) / max(wide, high), _SLENDEREST)
    narrow = round(longest_px * shorter)
    return (narrow, longest_px) if wide < high else (longest_px, narrow)


class _Drawing:
    """What is where in a picture, before it has colours; all pixels here are fine ones.

    stage : the parts.
    width, height : [fine pixels].
    names : the face seen at each pixel (height * width,), -1 where none is.
    ink : pixels on lines that are seen (k,).
    """

    def __init__(
        self,
        scenes: Sequence[Scene],
        *,
        width: int,
        height: int,
        view: tuple[float, float],
        cut: Plane | None,
    ) -> None:
        if width < 1 or height < 1:
            raise InputError(
                f"a picture cannot have {width} by {height} pixels", allowed="at least 1 by 1"
            )
        self.width, self.height = _FINER * width, _FINER * height
        self.stage = staged(scenes, view=view, width=self.width, height=self.height)
        corners, faces, rims = kept(self.stage, cut)
        buffer = ZBuffer(self.width, self.height)
        buffer.draw(corners, faces)
        self.names, depths = buffer.names(), buffer.depths()
        if cut is not None:
            lift_section(self.stage, cut, names=self.names, depths=depths, width=self.width)
        edges = drawn_edges(
            self.stage.triangles,
            self.stage.normals,
            vertices=self.stage.vertices @ self.stage.turn.T,
        )
        lines = np.concatenate((kept_lines(self.stage, edges, cut), rims))
        self.ink = _seen_lines(lines, depths=depths, width=self.width)


def _places(roles: Sequence[Role]) -> Ints:
    """Where each role stands among all."""
    names = get_args(Role)
    for role in roles:
        if role not in names:
            raise InputError(f"{role!r} is no role of a part", allowed=", ".join(names))
    return np.array([names.index(role) for role in roles], np.int64)


def _lit(stage: Stage) -> Floats:
    """The colour of each face (m, 3), lit from in front."""
    light = np.full(len(stage.normals), _AMBIENT)
    for aim, strength in _LIGHTS:
        direction = np.array(aim) / np.linalg.norm(aim)
        light += strength * np.maximum(stage.normals @ direction, 0.0)
    lit: Floats = (stage.colours * np.minimum(light, 1.0)[:, None]).round()
    return lit


def _hatch(picture: Bytes, drawing: _Drawing, *, roles: Ints, palette: Palette) -> None:
    """Paint what is seen from behind as a section: a ground and lines over it."""
    tones = [palette.tones[role] for role in get_args(Role)]
    names = drawing.names
    section = np.flatnonzero((names >= 0) & ~drawing.stage.front[names])
    role = roles[names[section]]
    on = hatched(
        section,
        width=drawing.width,
        height=drawing.height,
        leans=np.array([tone.leans for tone in tones])[role],
        apart=np.array([tone.apart for tone in tones])[role],
    )
    grounds = np.array([tone.ground for tone in tones], np.uint8)
    lines = np.array([tone.hatch for tone in tones], np.uint8)
    picture[section] = np.where(on[:, None], lines[role], grounds[role])


def _seen_lines(lines: Floats, *, depths: Floats, width: int) -> Ints:
    """The pixels of lines that are not behind what is seen.

    A line that bounds a steep face lies far behind the pixel beside it on that face, but not
    behind the one on its other side: so the farthest of the pixels around it counts.
    """
    last, height = len(depths) - 1, len(depths) // width
    thick = 3 if min(width, height) >= _LARGE else 2
    line, pixel, depth = line_pixels(lines, width=width, height=height)
    farthest = depths[pixel]
    for step in (-width, -1, 1, width):
        farthest = np.minimum(farthest, depths[np.clip(pixel + step, 0, last)])
    seen = np.flatnonzero(farthest <= depth + _SLACK)
    run = np.abs(lines[:, 1] - lines[:, 0])
    aside = np.where(run[:, 0] >= run[:, 1], width, 1)[line[seen]]
    shifts = (np.arange(thick) - 1)[:, None]
    inked: Ints = np.clip(pixel[seen] + shifts * aside, 0, last).ravel()
    return inked


def _averaged(fine: Bytes) -> Bytes:
    """Each two by two fine pixels as one."""
    wide = fine.astype(np.uint16)
    total = wide[::2, ::2] + wide[1::2, ::2] + wide[::2, 1::2] + wide[1::2, 1::2]
    return ((total + 2) // 4).astype(np.uint8)


def _averaged_clear(fine: Bytes, covered: Bools) -> Bytes:
    """The same with a fourth byte, how much of a pixel is covered; its colour is of that part."""
    share = covered.astype(np.uint16)
    wide = np.concatenate((fine * share[:, :, None], share[:, :, None]), axis=2)
    total = wide[::2, ::2] + wide[1::2, ::2] + wide[::2, 1::2] + wide[1::2, 1::2]
    count = total[:, :, 3:]
    colour = (total[:, :, :3] + count // 2) // np.maximum(count, 1)
    return np.concatenate((colour, (255 * count + 2) // 4), axis=2).astype(np.uint8)
