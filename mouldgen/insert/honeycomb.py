"""A block of hexagonal cells, open along the axis.

Cells stand in rows along the width, every other row half a pitch aside.  As many whole cells as
fit are taken, in the middle of width and thickness; each brings half of the walls round it, so
that the walls at the rim of the block are half as thick as those inside.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.errors import JobError
from mouldgen.insert.facts import End, InsertFacts, Slice, Spot
from mouldgen.insert.hull import area_mm2, hull, inside_mm, opening_mm
from mouldgen.insert.needs import need
from mouldgen.job.model import Insert

if TYPE_CHECKING:
    from mouldgen.solid.kernel import Solid

_ROOT3 = math.sqrt(3.0)
Place = tuple[int, int]  # halves of a pitch along the width, sixths of a row's height


@dataclass(frozen=True, eq=False)
class _Block:
    """Pitch and cell across the flats [mm], and the middles of the cells on a grid of integers.

    A step along the first is half a pitch; along the second pitch/(2 sqrt 3), a third of the
    distance between rows, so that every corner of a hexagon lies on the grid too.
    """

    pitch: float
    cell: float
    middles: tuple[Place, ...]

    @property
    def area(self) -> float:
        """Of the walls: ``N sqrt(3)/2 (p^2 - c^2)`` [mm2]."""
        return len(self.middles) * _ROOT3 / 2.0 * (self.pitch**2 - self.cell**2)

    def place(self, at: tuple[float, float]) -> tuple[float, float]:
        """A place of the grid about the middle of the block [mm]."""
        along = [x for x, _ in self.middles]
        up = [y for _, y in self.middles]
        x = at[0] - (min(along) + max(along)) / 2.0
        y = at[1] - (min(up) + max(up)) / 2.0
        return x * self.pitch / 2.0, y * self.pitch / (2.0 * _ROOT3)


# Corners of a hexagon on the grid, counter-clockwise, from the one to the right and up.
_CORNERS: tuple[Place, ...] = ((1, 1), (0, 2), (-1, 1), (-1, -1), (0, -2), (1, -1))


def facts(insert: Insert, *, density_g_ml: float) -> InsertFacts:
    """A honeycomb: ``A = N sqrt(3)/2 (p^2 - c^2)`` with N cells, pitch p and cell c.

    To the resin it is its convex outline with N round holes that its cells hold.

    density_g_ml : of the walls [g/ml].

    Raises JobError where no cell fits.
    """
    block = _block(insert)
    corners = hull(block.place(point) for ring in _outer(block) for point in ring)
    envelope = max(math.hypot(x, y) for x, y in corners)
    core = inside_mm(corners)
    opening = opening_mm(corners, envelope_mm=envelope)
    scale = 2.0 * envelope / need(insert, "width")
    end = End(core, 0.0, block.area, opening, spots_mm=_spots(block, core))
    return InsertFacts(
        shape=insert.shape,
        length_mm=insert.length,
        envelope_mm=envelope,
        core_mm=core,
        section_mm2=block.area,
        opening_mm=opening,
        density_g_ml=density_g_ml,
        measured_mm=tuple(reading * scale for reading in insert.measured),
        bow_mm=insert.bow,
        corners_mm=corners,
        reading_scale=scale,
        holes=len(block.middles),
        hole_mm=block.cell / 2.0,
        slices=(Slice(insert.length, envelope, envelope, block.area, area_mm2(corners), corners),),
        ends=(end, end),
    )


def cells(insert: Insert) -> int:
    """How many cells there are."""
    return len(_block(insert).middles)


def solid(insert: Insert) -> Solid:
    """The block standing on z = 0; its surfaces are flat, so that it is exact."""
    from mouldgen.solid.kernel import prism

    block = _block(insert)
    share = block.cell / block.pitch
    rings = [[block.place(point) for point in ring] for ring in _outer(block)]
    for x, y in block.middles:
        hexagon = [block.place((x + share * a, y + share * b)) for a, b in _CORNERS]
        rings.append(hexagon[::-1])
    return prism(rings, bottom_mm=0.0, top_mm=insert.length)


def _block(insert: Insert) -> _Block:
    cell = need(insert, "cell")
    pitch = cell + need(insert, "cell_wall")
    width, thickness = need(insert, "width"), need(insert, "thickness")
    across = math.floor(width / pitch + 1e-9)
    rows = math.floor((thickness - 2.0 * pitch / _ROOT3) / (pitch * _ROOT3 / 2.0) + 1e-9) + 1
    if across < 1 or rows < 1:
        raise JobError(
            f"no cell of {cell:g} mm with its walls fits in {width:g} x {thickness:g} mm",
            where="[insert] cell",
            allowed=f"a pitch of {min(width, thickness * _ROOT3 / 2.0):.3g} mm at most",
        )
    aside = across if width >= (across + 0.5) * pitch - 1e-9 else across - 1
    if aside == 0:
        rows = 1
    middles = tuple(
        (2 * k + row % 2, 3 * row)
        for row in range(rows)
        for k in range(aside if row % 2 else across)
    )
    return _Block(pitch, cell, middles)


def _outer(block: _Block) -> list[list[Place]]:
    """The rims of the block on the grid, outer ones counter-clockwise: sides of one cell only."""
    sides: dict[Place, list[Place]] = {}
    known: set[tuple[Place, Place]] = set()
    for x, y in block.middles:
        ring = [(x + a, y + b) for a, b in _CORNERS]
        known.update(zip(ring, [*ring[1:], ring[0]], strict=True))
    for one, other in known:
        if (other, one) not in known:
            sides.setdefault(one, []).append(other)
    rings = []
    while sides:
        start = at = min(sides)
        ring = []
        while True:
            ring.append(at)
            following = sides[at].pop()
            if not sides[at]:
                del sides[at]
            at = following
            if at == start:
                break
        rings.append(ring)
    return rings


def _spots(block: _Block, core: float) -> tuple[Spot, ...]:
    """Three places where walls meet, about as far apart as the block allows; or one."""
    corners = {(x + a, y + b) for x, y in block.middles for a, b in _CORNERS}
    places = sorted(block.place(corner) for corner in corners)
    found: list[Spot] = []
    for degrees in (90.0, 210.0, 330.0):
        aim = (
            0.6 * core * math.cos(math.radians(degrees)),
            0.6 * core * math.sin(math.radians(degrees)),
        )
        x, y = min(places, key=lambda place: math.dist(place, aim))
        if (x, y, core) not in found:
            found.append((x, y, core))
    return tuple(found)
