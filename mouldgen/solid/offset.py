"""A scan grown by a constant gap: the bare cavity round an insert of any form.

1. Distance from the surface on a grid, where it is near the gap; elsewhere only which side.
2. What is farther than the gap and hangs together with the outside is air; all else is filled,
   so that hollows inside the insert and pockets behind mouths narrower than twice the gap leave
   nothing: how much of them lay beyond the gap is told.
3. The surface between them by marching tetrahedra, simplified, snapped to the mesh grid.
4. The least distance from the scan, measured exactly by the kernel on that very mesh.  What it
   falls short of the gap is added, and steps 2 to 4 repeated, until it is met.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from mouldgen.errors import KernelError, ScanError
from mouldgen.solid.circle import need_positive
from mouldgen.solid.distance import Cloud
from mouldgen.solid.kernel import Solid, box
from mouldgen.solid.marching import level_surface
from mouldgen.solid.mesh import Mesh
from mouldgen.solid.shells import enclosed
from mouldgen.solid.topology import topology_of

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from mouldgen.solid.mesh import Floats, Integers

CELLS = 4.0  # grid cells across the gap: the surface then leaves its place by 1 % of the gap
FEWEST_CELLS = 2.0  # across the gap on a large scan: by 3 %
MOST_SQUARES = 150_000  # of a cell's size on the scan's surface before cells are made larger
SAMPLES = 8.0  # samples across the gap: they overstate it by 0.4 % at most
SIMPLER = 0.01  # how far simplifying may move the surface, as a share of the gap
EXCESS = 0.05  # by how much the least gap may be above what was asked, as a share of it
START = 0.02  # what the first surface is known to fall short, as a share of the gap
PASSES = 10
HIGHEST = 0.4  # what may be added in all, as a share of the gap
MOST_POINTS = 12_000_000  # of the grid: with what is made of them 1.5 GB and half a minute
BLOCK = 4  # grid points along the edge of a block that is looked at as one
FLAP_MM = 2.0**-10  # thickness given to the faces of a surface that is not closed


@dataclass(frozen=True, eq=False)
class Offset:
    """A scan grown by a gap.

    mesh : the grown solid, closed, one piece.
    gap_mm : what was asked [mm].
    least_mm : least distance of its surface from the scan, measured [mm]; `gap_mm` or more.
    cell_mm : of the grid it was made on [mm].
    passes : how many times it was made until the gap was met.
    pieces_filled : pockets that were filled: hollows of the insert, and what no outside reaches at
        the gap; not the insert's own inside.
    filled_mm3 : of them, as far as they are farther from the scan than the gap [mm3].
    opened_mm3 : what was added below the scan's top so that it comes out upward [mm3].
    """

    mesh: Mesh
    gap_mm: float
    least_mm: float
    cell_mm: float
    passes: int
    pieces_filled: int = 0
    filled_mm3: float = 0.0
    opened_mm3: float = 0.0


@dataclass(frozen=True, eq=False)
class _Field:
    """Distances on a grid: exact near the gap, beyond it only on the right side."""

    values: NDArray[np.float32]
    origin: Floats
    cell_mm: float


def offset_of(
    mesh: Mesh,
    *,
    gap_mm: float,
    cell_mm: float | None = None,
    open_upward: bool = False,
    down_mm: float = 0.0,
) -> Offset:
    """A scan grown by a constant gap.

    mesh : the scan, mended or not.  A hole or a crack narrower than twice the gap does no
        harm; through a wider one the inside counts as outside, and the answer is an error.
    gap_mm : least distance from the scan to the surface [mm]; it is met exactly or exceeded
        by at most 5 %.
    cell_mm : of the grid [mm]; where None a quarter of the gap, up to half of it on a scan that
        is large beside the gap.

    open_upward : with all that stands over it, so that the scan can be lowered in from above: at
        each height the sections of the grown scan at or below it.  It ends flat over the scan, by
        more than the gap; below the scan's lowest place it goes straight down, by more than that.
    down_mm : by as much at least [mm].

    Raises ScanError where the scan is too large for so small a gap, is in pieces farther apart
    than twice the gap, or the gap cannot be met.
    """
    need_positive(gap_mm=gap_mm)
    cell = _cell_mm(mesh, gap_mm) if cell_mm is None else cell_mm
    need_positive(cell_mm=cell)
    insert = _insert(mesh)
    corners = mesh.corners.astype(np.float64)
    cloud = Cloud(corners, spacing_mm=gap_mm / SAMPLES)
    while True:
        field = _field(cloud, corners, gap_mm=gap_mm, cell=cell)
        added, air = 0.0, _air(field.values >= gap_mm)
        pockets, filled = _pockets(field, air, corners)
        if open_upward:
            down = max(down_mm, 2.0 * gap_mm)
            ends = mesh.bounds[0][2], mesh.bounds[1][2]
            field, added = _opened(
                field, air == air[0, 0, 0], ends_mm=ends, gap_mm=gap_mm, down_mm=down
            )
        made = replace(
            _until_met(field, cloud, insert, gap_mm=gap_mm),
            pieces_filled=pockets,
            filled_mm3=filled,
            opened_mm3=added,
        )
        if made.least_mm <= (1.0 + EXCESS) * gap_mm:
            return made
        if cell < gap_mm / (4.0 * CELLS):
            raise ScanError(
                f"no surface of {gap_mm:.4g} mm gap was found: the nearest keeps"
                f" {made.least_mm:.3f} mm"
            )
        cell /= 2.0


def _pockets(field: _Field, names: Integers, corners: Floats) -> tuple[int, float]:
    """How many pockets no outside reaches, and what of them lies beyond the gap [mm3].

    names : of what lies beyond it, as `_air` gives them.
    corners : of the scan's triangles (m, 3, 3) [mm].

    Beyond the gap lies the middle of a thick insert too; that is none.
    """
    from scipy.ndimage import maximum_position

    cells = np.bincount(names.ravel())
    shut = np.flatnonzero(cells)
    shut = shut[(shut > 0) & (shut != names[0, 0, 0])]
    if not len(shut):
        return 0, 0.0
    deepest = np.array(maximum_position(field.values, names, shut), float)
    pocket = shut[~enclosed(corners, field.origin + field.cell_mm * deepest)]
    return len(pocket), float(cells[pocket].sum()) * field.cell_mm**3


def _opened(
    field: _Field,
    air: NDArray[np.bool_],
    *,
    ends_mm: tuple[float, float],
    gap_mm: float,
    down_mm: float,
) -> tuple[_Field, float]:
    """Each column no farther from the scan than what is below it, and what that adds [mm3].

    From the scan's lowest place it goes straight down.
    """
    cell = field.cell_mm
    foot, top = (math.ceil((end - field.origin[2]) / cell) for end in ends_mm)
    below = np.minimum.accumulate(field.values[:, :, foot:], axis=2)
    added = int(((below < gap_mm) & air[:, :, foot:])[:, :, : top - foot].sum()) * cell**3
    count = math.ceil(down_mm / cell) + 1
    straight = np.repeat(below[:, :, :1], count, axis=2)
    outside = np.full((*below.shape[:2], 2), np.float32(2.0 * gap_mm))
    values = np.concatenate([outside, straight, below[:, :, :-2], outside], axis=2)
    origin = field.origin + np.array([0.0, 0.0, (foot - count - 2) * cell])
    return _Field(values, origin, cell), added


def _cell_mm(mesh: Mesh, gap_mm: float) -> float:
    """A fine grid, or one as coarse as the size of the scan asks for [mm]."""
    corners = mesh.corners.astype(np.float64)
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    area = float(np.linalg.norm(normal, axis=1).sum()) / 2.0
    coarse = min(gap_mm / FEWEST_CELLS, float(np.sqrt(area / MOST_SQUARES)))
    return max(gap_mm / CELLS, coarse)


def least_gap_mm(offset: Mesh, scan: Mesh, *, within_mm: float) -> float:
    """Least distance from a grown solid's surface to the scan inside it [mm], exactly.

    within_mm : beyond this the answer is this [mm].

    0 where the scan reaches through the surface.
    """
    return _measured(offset, _insert(scan), within_mm)


def _until_met(field: _Field, cloud: Cloud, insert: Solid, *, gap_mm: float) -> Offset:
    """Raise the level by what the surface falls short, until it does not."""
    guard = START * gap_mm
    for passes in range(1, PASSES + 1):
        grown = _grown(field, gap_mm + guard, simpler=SIMPLER * gap_mm)
        # The kernel's exact answer costs seconds: it is asked once a quick look finds nothing.
        least = _at_points(grown, cloud)
        if least >= gap_mm:
            least = _measured(grown, insert, (1.0 + 2.0 * EXCESS) * gap_mm)
        if least >= gap_mm:
            return Offset(grown, gap_mm, least, field.cell_mm, passes)
        # A little more than what is missing, or the last hair is chased for ever.
        guard += (gap_mm - least) + 0.003 * gap_mm
        if guard > HIGHEST * gap_mm:
            break
    raise ScanError(
        f"no surface keeps {gap_mm:.4g} mm from the scan: the nearest keeps {least:.3f} mm",
        try_="Mend the scan first; a face that sticks out or a large hole may be the reason.",
    )


def _at_points(grown: Mesh, cloud: Cloud) -> float:
    """Distance to the scan of the nearest corner or middle of a face [mm]."""
    middles = grown.corners.astype(np.float64).mean(axis=1)
    points = np.concatenate([grown.vertices.astype(np.float64), middles])
    # No point is looked up farther than it can matter: the least of a few bounds the least.
    some = float(cloud.near(points[::16]).min())
    rough = cloud.near(points, within_mm=1.01 * some)
    # Samples overstate the distance by little: the nearest is among those that seem near.
    return float(cloud.exact(points[rough <= 1.005 * rough.min()]).min())


def _grown(field: _Field, level: float, *, simpler: float) -> Mesh:
    outside = field.values >= level
    names = _air(outside)
    air = names == names[0, 0, 0]
    values = np.where(air | ~outside, field.values, np.float32(0.0))
    corners, triangles = level_surface(
        values, level=level, origin=field.origin, cell_mm=field.cell_mm
    )
    if not len(triangles):
        raise ScanError("nothing is left inside the gap's surface")
    solid = Solid.of_surface(corners, triangles).simplified(simpler)
    mesh = solid.any_mesh()
    shells = topology_of(mesh).shells
    if shells != 1:
        raise ScanError(
            f"the scan is in pieces: grown by the gap it still makes {shells} solids",
            try_="Mend the scan first: stray bits are dropped then.",
        )
    return mesh


def _air(outside: NDArray[np.bool_]) -> Integers:
    """A number for each part of the outside that hangs together, that at the grid's corner too."""
    from scipy.ndimage import label

    # The neighbours that the tetrahedra know: along one of three axes or a diagonal upward.
    touching = np.zeros((3, 3, 3), bool)
    touching[:2, :2, :2] = touching[1:, 1:, 1:] = True
    return np.asarray(label(outside, structure=touching)[0])


def _measured(grown: Mesh, insert: Solid, within: float) -> float:
    low, high = (np.array(side) for side in grown.bounds)
    block = box((low - 2.0 * within).tolist(), (high + 2.0 * within).tolist())
    around = block - Solid.of_mesh(grown)
    return around.least_gap_mm(insert, within_mm=within, limit_mm=within)


def _insert(mesh: Mesh) -> Solid:
    """The scan as the kernel takes it: whole where it is closed, else face by face."""
    if topology_of(mesh).closed:
        try:
            return Solid.of_mesh(mesh)
        except KernelError:  # inside out, or of no volume
            pass
    return Solid.of_surface(*_flaps(mesh))


def _flaps(mesh: Mesh) -> tuple[Floats, Integers]:
    """Every face as a closed flap of its own, thinner than a hair, the face on both sides."""
    corners = mesh.corners.astype(np.float64)
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    length = np.linalg.norm(normal, axis=1)
    corners, normal = corners[length > 0.0], normal[length > 0.0]
    if not len(corners):
        raise ScanError("the scan has no face with an area")
    normal *= FLAP_MM / length[length > 0.0, None]
    tip = corners.mean(axis=1) - normal
    points = np.concatenate([corners, tip[:, None]], axis=1).reshape(-1, 3)
    whole = np.array([[0, 1, 2], [0, 3, 1], [1, 3, 2], [2, 3, 0]])
    first = 4 * np.arange(len(corners))[:, None, None]
    return points, (first + whole).reshape(-1, 3)


def _field(cloud: Cloud, corners: Floats, *, gap_mm: float, cell: float) -> _Field:
    """Distances of a grid's points, looked up only where the surface may pass."""
    span = BLOCK * cell
    reach = 1.5 * gap_mm + 2.0 * span
    low = corners.min(axis=(0, 1)) - reach
    blocks = np.ceil((corners.max(axis=(0, 1)) + reach - low) / span).astype(np.int64) + 1
    points = int(blocks.prod()) * BLOCK**3
    if points > MOST_POINTS:
        raise ScanError(
            f"a gap of {gap_mm:.4g} mm is too small for a scan of this size: the grid would have"
            f" {points / 1e6:.0f} million points",
            allowed=f"at most {MOST_POINTS // 10**6} million",
            try_="Ask for a wider gap, drop stray bits far off, or check the unit of the scan.",
        )
    middle = (BLOCK - 1) / 2.0 * cell
    at = np.indices(tuple(blocks)).reshape(3, -1).T
    half = np.sqrt(3.0) * middle
    beyond = 1.5 * gap_mm + half + 2.0 * cell
    coarse = cloud.near(low + span * at + middle, within_mm=beyond)
    values = np.minimum(coarse, beyond).astype(np.float32)[:, None].repeat(BLOCK**3, axis=1)
    # The level rises by at most HIGHEST, and a cut edge reaches a diagonal farther.
    margin = half + np.sqrt(3.0) * cell
    mixed = np.flatnonzero(
        (coarse > gap_mm - margin) & (coarse < (1.0 + HIGHEST) * gap_mm + margin)
    )
    inner = cell * np.indices((BLOCK,) * 3).reshape(3, -1).T
    # Beyond the highest level and the diagonal of a cell over it nothing is read off a value.
    enough = min(beyond, (1.0 + HIGHEST) * gap_mm + 2.0 * cell)
    for part in np.array_split(mixed, max(1, len(mixed) // 20_000)):
        places = (low + span * at[part])[:, None] + inner
        near = cloud.near(places.reshape(-1, 3), within_mm=enough)
        values[part] = np.minimum(near, enough).reshape(len(part), -1)
    shape = tuple(blocks)
    apart = values.reshape(*shape, BLOCK, BLOCK, BLOCK).transpose(0, 3, 1, 4, 2, 5)
    return _Field(apart.reshape(tuple(blocks * BLOCK)), low, cell)
