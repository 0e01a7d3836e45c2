"""Is every wall and floor thick enough for the nozzle, and every edge blunt enough?

A wall is material between two faces that look nearly opposite ways; where they look up and down
it is a floor, which is made of layers and not of lines.  A feather edge is a wedge
so sharp that a nozzle's line fills it only further in than one and a half lines: what lies
before is missing in the print, or comes out as threads.  Lettering and other details that stand
out less than `DETAIL_MM` are neither.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from mouldgen.solid.mesh import Floats, Integers
from mouldgen.solid.rays import leaves_at
from mouldgen.solid.surface import Surface, chains, convex, patch_widths
from mouldgen.solid.thickness import Walls, walls_of
from mouldgen.solid.topology import components

# Our own choices, no source.
OPPOSITE = math.cos(math.radians(15.0))  # two faces that bound a wall
LEVEL = OPPOSITE  # steeper, a layer of a sheet three layers thick is at least four lines wide
PARALLEL = 1.0 - 1e-7  # within a fortieth of a degree: the lattice itself is exact
DETAIL_MM = 0.6  # relief of lettering, and a little more
ENGRAVED_MM = 0.5  # sides of a groove that are narrower belong to lettering
FEATHER_LINES = 1.5  # depth of a wedge that a line does not fill
FEATHER = math.cos(2.0 * math.atan(0.5 / FEATHER_LINES))  # 36.9 degrees: so sharp a wedge is
SHORTEST_FEATHER_MM = 2.0
LEAST_AREA_MM2 = 1.0  # of a blunt feather edge; less is a corner
NOTCH = math.cos(math.radians(30.0))  # a groove's bottom bends at least that much
RAYS = 12  # of the thinnest places, looked at again
MOST_NOTCHES = 2000  # looked at, the longest first; fewer on a mesh of many triangles
MOST_PAIRS = 7e7  # of notch and triangle: about a second
MOST_SHARP_PAIRS = 7e8  # of ray and triangle behind sharp edges: some seconds
PROBES = 8  # along one feather edge

Bools = NDArray[np.bool_]
Point = tuple[float, float, float]


@dataclass(frozen=True, eq=False)
class Thin:
    """The thinnest wall or floor.

    mm : its thickness; infinite where no two faces bound one [mm].
    at : half way through it [mm].
    """

    mm: float
    at: Point


@dataclass(frozen=True, eq=False)
class Feather:
    """One feather edge.

    length_mm : along the edge; of a blunt one, across the box round it [mm].
    angle_deg : of the material at its sharpest [degrees].
    at : on the edge, or in the middle of a blunt one [mm].
    """

    length_mm: float
    angle_deg: float
    at: Point


@dataclass(frozen=True, eq=False)
class PassedOver:
    """What was not looked behind on a mesh of very many triangles: the shortest, of either kind.

    sharp : sharp edges, each long enough to be a feather edge.
    grooves : as long, of which no part was looked behind.
    longest_mm : of all these; 0 where there are none [mm].
    """

    sharp: int
    grooves: int
    longest_mm: float


@dataclass(frozen=True, eq=False)
class PrintWalls:
    """Walls and edges of one part.

    wall, floor : the thinnest of either.
    thin_mm2, thin_floor_mm2 : surface over walls and over floors thinner than asked for [mm2].
    feathers : the longest first.
    passed_over : what was not looked behind.
    """

    wall: Thin
    floor: Thin
    thin_mm2: float
    thin_floor_mm2: float
    feathers: tuple[Feather, ...]
    passed_over: PassedOver

    @property
    def thinnest(self) -> Thin:
        """Of all walls and floors."""
        return min(self.wall, self.floor, key=lambda thin: thin.mm)


def print_walls(
    surface: Surface,
    *,
    line_mm: float,
    least_mm: float,
    least_floor_mm: float,
    pitch_mm: float,
    groove_mm: float | None = None,
) -> PrintWalls:
    """Measure walls and floors and look for feather edges.

    surface : faces and edges of a closed mesh.
    line_mm : width of a printed line [mm].
    least_mm, least_floor_mm : thickness that a wall and a floor should have [mm].
    pitch_mm : from one place looked at to the next [mm].
    groove_mm : what the part's features declare to be left behind their deepest groove; None
        where nobody declared it, and the bottoms of grooves are looked at one by one [mm].
    """
    sharp, near, unseen = _sharp(surface, line_mm)
    # Where a feather edge is told, the same wedge is not told again as a wall.
    taken_mm = max((_depth_mm(least_mm, feather.angle_deg) for feather in sharp), default=0.0)
    walls = walls_of(surface, pitch_mm=pitch_mm, turned=FEATHER)
    widths = patch_widths(surface)
    counted = np.minimum(widths[walls.front], widths[walls.back]) >= DETAIL_MM
    if len(near):
        counted &= _apart(walls.at, near, taken_mm + pitch_mm)
    wall = counted & (walls.turned >= OPPOSITE)
    up = np.abs(surface.normals[walls.front][:, 2])
    level = wall & (up >= LEVEL)
    found = [_thinnest(surface, walls, some) for some in (wall & ~level, level)]
    unseen_grooves = np.zeros(0)
    if groove_mm is not None:
        found[0] = _thinner(found[0], Thin(groove_mm, (math.nan,) * 3))
    else:
        bottoms, unseen_grooves = _groove_bottoms(surface, widths)
        for kind, thin in _behind_grooves(surface, widths, bottoms):
            found[kind] = _thinner(found[kind], thin)
    wedge = np.flatnonzero(counted & ~wall & (walls.thick < line_mm))
    blunt = _blunt(walls, wedge, near_mm=3.0 * pitch_mm)
    feathers = sorted([*sharp, *blunt], key=lambda feather: -feather.length_mm)
    short = (wall & ~level & (walls.thick < least_mm), level & (walls.thick < least_floor_mm))
    over, over_floor = (float(walls.share[some].sum()) for some in short)
    return PrintWalls(
        wall=found[0],
        floor=found[1],
        thin_mm2=over,
        thin_floor_mm2=over_floor,
        feathers=tuple(feathers),
        passed_over=PassedOver(
            len(unseen),
            len(unseen_grooves),
            float(max((*unseen, *unseen_grooves), default=0.0)),
        ),
    )


def _thinner(one: Thin, other: Thin) -> Thin:
    return one if one.mm <= other.mm else other


def _thinnest(surface: Surface, walls: Walls, wall: Bools) -> Thin:
    """Exact between parallel faces; elsewhere the thinnest places are measured again by rays."""
    thinnest = Thin(math.inf, (math.nan,) * 3)
    same = wall & (walls.turned >= PARALLEL)
    if same.any():
        first = int(np.argmin(np.where(same, walls.thick, np.inf)))
        thinnest = Thin(float(walls.thick[first]), _point(walls.at[first]))
    other = np.flatnonzero(wall & ~same)
    some = other[np.argsort(walls.thick[other], kind="stable")[:RAYS]]
    if not len(some):
        return thinnest
    reach_mm = float(walls.thick[some].max()) + 1.0
    across = surface.normals[walls.back[some]] - surface.normals[walls.front[some]]
    across /= np.sqrt((across * across).sum(axis=1))[:, None]
    thick, front, back = _through(surface, walls.at[some], across, reach_mm=reach_mm)
    facing = -np.einsum("ij,ij->i", surface.normals[front], surface.normals[back])
    thick = np.where(facing >= OPPOSITE, thick, np.inf)
    best = int(np.argmin(thick))
    return _thinner(thinnest, Thin(float(thick[best]), _point(walls.at[some[best]])))


def _groove_bottoms(surface: Surface, widths: Floats) -> tuple[Integers, Floats]:
    """Edges at the bottoms of grooves to look behind, and the lengths of grooves left out [mm]."""
    bent = np.flatnonzero(surface.cosines < NOTCH)
    flanks = np.minimum(widths[surface.left[bent]], widths[surface.right[bent]])
    bent = bent[~convex(surface, bent) & (flanks > ENGRAVED_MM)]
    _, name = np.unique(chains(surface, bent), return_inverse=True)
    long = np.asarray(np.bincount(name, surface.lengths[bent]), np.float64)
    # An edge of each groove, those of the longest grooves first, then a second one of each.
    together = np.lexsort((-surface.lengths[bent], name))
    counts = np.bincount(name)
    turn = np.zeros(len(bent), np.int64)
    turn[together] = np.arange(len(bent)) - np.repeat(np.cumsum(counts) - counts, counts)
    most = min(MOST_NOTCHES, int(MOST_PAIRS / len(surface.areas)))
    looked = np.lexsort((-long[name], turn))[:most]
    long[name[looked]] = 0.0
    return bent[looked], long[long >= SHORTEST_FEATHER_MM]


def _behind_grooves(surface: Surface, widths: Floats, bent: Integers) -> Iterator[tuple[int, Thin]]:
    """The least material straight behind bottoms of grooves: of walls as 0, of floors as 1."""
    if not len(bent):
        return
    middle, inward = _bisector(surface, bent)
    far, face = leaves_at(surface, middle - 1e-4 * inward, -inward, reach_mm=5.0)
    straight = -np.einsum("ij,ij->i", surface.normals[face], inward) >= OPPOSITE
    straight &= (far > 0.0) & (widths[face] >= DETAIL_MM)
    far = np.where(straight, far + 1e-4, np.inf)
    level = np.abs(inward[:, 2]) >= LEVEL
    for floor, kind in enumerate((~level, level)):
        mm = np.where(kind, far, np.inf)
        best = int(np.argmin(mm))
        if math.isfinite(mm[best]):
            yield floor, Thin(float(mm[best]), _point(middle[best] - 0.5 * mm[best] * inward[best]))


def _sharp(surface: Surface, line_mm: float) -> tuple[list[Feather], Floats, Floats]:
    """Feather edges that end in an edge, places along them, and the lengths of those left out."""
    sharp = np.flatnonzero(surface.cosines < -FEATHER)
    sharp = sharp[convex(surface, sharp)]
    lengths = surface.lengths[sharp]
    name = chains(surface, sharp)
    found, near = [], [np.zeros((0, 3))]
    long = np.asarray(np.bincount(name, lengths), np.float64)
    # The longest first: a scan that is crumpled all over has thousands.
    most = max(1, int(MOST_SHARP_PAIRS / (2 * PROBES * len(surface.areas))))
    longest_first = np.argsort(-long, kind="stable")
    longest_first = longest_first[long[longest_first] >= SHORTEST_FEATHER_MM]
    for chain in np.sort(longest_first[:most]):
        edges = sharp[name == chain]
        some = edges[np.unique(np.linspace(0, len(edges) - 1, PROBES).round().astype(int))]
        thin = _thin_within(surface, some, line_mm)
        if not thin.any():
            continue
        length = float(surface.lengths[edges].sum() * thin.mean())
        if length < SHORTEST_FEATHER_MM:
            continue
        longest = some[thin][np.argmax(surface.lengths[some[thin]])]
        middle, _ = _bisector(surface, np.array([longest]))
        angle = 180.0 - math.degrees(math.acos(max(-1.0, float(surface.cosines[some[thin]].min()))))
        found.append(Feather(length, angle, _point(middle[0])))
        near.append(_along(surface, edges, line_mm))
    return found, np.concatenate(near), long[longest_first[most:]]


def _depth_mm(thick_mm: float, angle_deg: float) -> float:
    """How deep in a wedge the material is that thick [mm]."""
    return 0.5 * thick_mm / math.tan(math.radians(0.5 * angle_deg))


def _thin_within(surface: Surface, edges: Integers, line_mm: float) -> Bools:
    """Whether the material behind edges is thinner than a line that deep inside."""
    middle, outward = _bisector(surface, edges)
    inside = middle - FEATHER_LINES * line_mm * outward
    across = surface.normals[surface.left[edges]] - surface.normals[surface.right[edges]]
    across /= np.sqrt((across * across).sum(axis=1))[:, None]
    thick, _, _ = _through(surface, inside, across, reach_mm=2.0 * line_mm)
    # A wedge that ends before that depth is no more than a burr.
    return thick < line_mm


def _through(
    surface: Surface, at: Floats, across: Floats, *, reach_mm: float
) -> tuple[Floats, Integers, Integers]:
    """Thickness both ways from places, infinite for those outside, and the faces there."""
    ways = np.concatenate([across, -across])
    far, face = leaves_at(surface, np.concatenate([at, at]), ways, reach_mm=reach_mm)
    ahead, behind = np.split(far, 2)
    back, front = np.split(face, 2)
    return np.where((ahead > 0.0) & (behind > 0.0), ahead + behind, np.inf), front, back


def _bisector(surface: Surface, edges: Integers) -> tuple[Floats, Floats]:
    """The middle of edges, and the way out of the material half way between their faces."""
    middle = 0.5 * (surface.corners[surface.a[edges]] + surface.corners[surface.b[edges]])
    way = surface.normals[surface.left[edges]] + surface.normals[surface.right[edges]]
    way /= np.maximum(np.sqrt((way * way).sum(axis=1)), 1e-12)[:, None]
    return middle, way


def _along(surface: Surface, edges: Integers, step_mm: float) -> Floats:
    """Places along edges, a step apart or less."""
    a, b = surface.corners[surface.a[edges]], surface.corners[surface.b[edges]]
    steps = np.ceil(surface.lengths[edges] / step_mm).astype(np.int64) + 1
    at = np.repeat(np.arange(len(edges)), steps)
    share = (np.arange(len(at)) - np.repeat(np.cumsum(steps) - steps, steps)) / (steps[at] - 1)
    places: Floats = a[at] + share[:, None] * (b - a)[at]
    return places


def _apart(at: Floats, near: Floats, reach_mm: float) -> Bools:
    """Which places keep about a distance to all others; decided on a grid of that width."""
    apart = np.ones(len(at), bool)
    taken = {tuple(cell) for cell in np.floor(near / reach_mm).astype(int).tolist()}
    around = [
        (x + i, y + j, z + k)
        for x, y, z in taken
        for i in (-1, 0, 1)
        for j in (-1, 0, 1)
        for k in (-1, 0, 1)
    ]
    reached = set(around)
    for index, cell in enumerate(np.floor(at / reach_mm).astype(int).tolist()):
        apart[index] = tuple(cell) not in reached
    return apart


def _blunt(walls: Walls, wedge: Integers, *, near_mm: float) -> list[Feather]:
    """Wedges thinner than a line whose edge is cut off; places close together are one."""
    if not len(wedge):
        return []
    cells: dict[tuple[int, ...], int] = {}
    rows = np.floor(walls.at[wedge] / near_mm).astype(int).tolist()
    cell = np.array([cells.setdefault(tuple(row), len(cells)) for row in rows])
    pairs = [
        (index, cells[beside])
        for (x, y, z), index in cells.items()
        for i in (0, 1)
        for j in (-1, 0, 1)
        for k in (-1, 0, 1)
        if (beside := (x + i, y + j, z + k)) in cells
    ]
    a, b = np.array(pairs).T
    group = components(len(cells), a, b)[cell]
    area = np.bincount(group, walls.share[wedge])
    found = []
    for name in np.flatnonzero(area >= LEAST_AREA_MM2):
        some = wedge[group == name]
        thinnest = some[np.argmin(walls.thick[some])]
        reach = np.ptp(walls.at[some], axis=0)
        length = math.sqrt(float((reach * reach).sum()))
        angle = math.degrees(math.acos(min(1.0, float(walls.turned[some].max()))))
        if length >= SHORTEST_FEATHER_MM:
            found.append(Feather(length, angle, _point(walls.at[thinnest])))
    return found


def _point(place: Floats) -> Point:
    x, y, z = map(float, place)
    return x, y, z
