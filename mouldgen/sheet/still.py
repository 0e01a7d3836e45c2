"""Still pictures of solids: parallel projection, flat shading, dark edges, sections.

No window, no graphics card, nothing but arrays.  The picture is drawn twice as large as asked
for and averaged down, so that edges are smooth.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from mouldgen.errors import InputError
from mouldgen.sheet.cutting import Cut, kept, kept_lines, lift_section
from mouldgen.sheet.png import png
from mouldgen.sheet.raster import Floats, ZBuffer, line_pixels
from mouldgen.sheet.stage import RGB, Scene, Stage, staged
from mouldgen.sheet.wire import drawn_edges

Bytes = NDArray[np.uint8]

_FINER = 2  # drawn so many times larger
_INK = (36, 40, 46)
_SECTION = np.array((236.0, 178.0, 116.0))  # the warm tone of cut material
_SECTION_SHARE = 0.7  # how much of it; the rest is the part's own colour
_AMBIENT = 0.54
_LIGHTS = (((-0.50, 0.62, 0.60), 0.45), ((0.85, 0.05, 0.52), 0.16))  # right, up, to the viewer
_LARGE = 1000  # from here on lines are one and a half pixels wide, else one [fine pixels]
_SLACK = 2.5  # how far a line may lie behind the face it bounds [fine pixels]


def render(
    scenes: Sequence[Scene],
    *,
    width: int = 1000,
    height: int = 750,
    view: tuple[float, float] = (30.0, 25.0),
    background: RGB = (255, 255, 255),
    cut: Cut | None = None,
) -> bytes:
    """A picture of closed meshes as a PNG file; the same input gives the same bytes.

    scenes : for each part vertices (n, 3) [mm], triangles (m, 3) by index, counter-clockwise
        seen from outside, and its colour, three numbers from 0 to 255.
    width, height : of the picture [pixels].
    view : azimuth and elevation of the viewer [degrees]: 0, 0 looks at the front, from -y;
        90, 0 at the right side, from +x; an elevation of 90 looks straight down.
    cut : a normal and an offset [mm]: what lies beyond, where normal . point > offset, is taken
        away, and the material cut through is shown in a warm flat tone.  The scale is that of
        the whole, so that cut and uncut pictures match.

    A face seen from behind has the tone of cut material: without a cut it tells of a mesh that
    is open or wound inside out.  Edges sharper than 25 degrees and outlines are dark.
    Raises InputError where there is nothing to draw, where an array is no mesh, and for a cut
    that is no plane.
    """
    if width < 1 or height < 1:
        raise InputError(
            f"a picture cannot have {width} by {height} pixels", allowed="at least 1 by 1"
        )
    stage = staged(scenes, view=view, width=_FINER * width, height=_FINER * height)
    corners, faces, rims = kept(stage, cut)
    buffer = ZBuffer(_FINER * width, _FINER * height)
    buffer.draw(corners, faces)
    names, depths = buffer.names(), buffer.depths()
    if cut is not None:
        lift_section(stage, cut, names=names, depths=depths, width=buffer.width)
    picture = np.vstack((_tones(stage), background)).astype(np.uint8)[names]  # nothing is -1
    edges = kept_lines(stage, drawn_edges(stage.triangles, stage.normals), cut)
    _ink(picture, np.concatenate((edges, rims)), depths=depths, width=buffer.width)
    return png(_averaged(picture.reshape(buffer.height, buffer.width, 3)))


def _tones(stage: Stage) -> Floats:
    """The colour of each face: lit from in front, the section's tone from behind."""
    light = np.full(len(stage.normals), _AMBIENT)
    for aim, strength in _LIGHTS:
        direction = np.array(aim) / np.linalg.norm(aim)
        light += strength * np.maximum(stage.normals @ direction, 0.0)
    lit = stage.colours * np.minimum(light, 1.0)[:, None]
    section = _SECTION_SHARE * _SECTION + (1.0 - _SECTION_SHARE) * stage.colours
    return np.where(stage.front[:, None], lit, section).round()


def _ink(picture: Bytes, lines: Floats, *, depths: Floats, width: int) -> None:
    """Draw lines where they are not behind what is seen.

    A line that bounds a steep face lies far behind the pixel beside it on that face, but not
    behind the one on its other side: so the farthest of the pixels around it counts.
    """
    height = len(picture) // width
    thick = 3 if min(width, height) >= _LARGE else 2
    line, pixel, depth = line_pixels(lines, width=width, height=height)
    farthest = depths[pixel]
    for step in (-width, -1, 1, width):
        beside = np.clip(pixel + step, 0, len(picture) - 1)
        farthest = np.minimum(farthest, depths[beside])
    seen = np.flatnonzero(farthest <= depth + _SLACK)
    run = np.abs(lines[:, 1] - lines[:, 0])
    aside = np.where(run[:, 0] >= run[:, 1], width, 1)[line[seen]]
    for shift in range(thick):
        at = pixel[seen] + (shift - 1) * aside
        picture[np.clip(at, 0, len(picture) - 1)] = _INK


def _averaged(fine: Bytes) -> Bytes:
    """Each two by two fine pixels as one."""
    wide = fine.astype(np.uint16)
    total = wide[::2, ::2] + wide[1::2, ::2] + wide[::2, 1::2] + wide[1::2, 1::2]
    return ((total + 2) // 4).astype(np.uint8)
