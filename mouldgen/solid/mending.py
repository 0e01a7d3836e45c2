"""A scan made a solid, when that is asked for, and what was done to it.

1. Corners welded, faces dropped that can only be mistakes (`tidy`).
2. Every piece of surface wound alike (`winding`), split where it only touches itself.
3. Every hole closed by a patch over its rim (`loops`).
4. Pieces: the largest is the insert.  What lies inside it goes, since a scanner sees no hollow
   and a casting does not either; small bits outside go.  A second large piece outside is a
   question for the maker and not for this file.
5. The geometry kernel must take the result, and it is compared with what was given.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

from mouldgen.errors import KernelError, ScanError
from mouldgen.solid.distance import Cloud, samples_of
from mouldgen.solid.kernel import Solid, union
from mouldgen.solid.loops import closed, fans, rims, unpinched
from mouldgen.solid.mesh import GRID_MM, REACH_MM, Mesh
from mouldgen.solid.shells import Shells, shells_of
from mouldgen.solid.sides import Edges, edges_of
from mouldgen.solid.tidy import WELD, Tidied, tidied
from mouldgen.solid.winding import winding_of

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from mouldgen.solid.mesh import Floats, Integers

Keep = Literal["largest", "all"]

RIVAL = 0.05  # volume from which a second piece is no stray bit, as a share of the largest
CRUMB = 0.001  # volume below which a piece is a stray bit even where all are kept
MOST_PATCHED = 0.25  # of the surface that may be patches: a scan from one side alone has a third
# Sides that meet no other, to a triangle, from which they are loose triangles and no surface: with
# every second one missing at random it is one and a half.
MOST_OPEN = 2.0
THINNEST = 1e-4  # volume over that of a ball of the same surface below which it is a sheet


@dataclass(frozen=True, eq=False)
class Mended:
    """A scan as a solid, beside what was given.

    mesh : closed, wound outward, one piece unless all were kept.
    welded : corners that became one with another.
    flat, doubled, crowded : faces that were dropped: without area, there twice, or at edges
        that more than two faces shared.
    turned : faces that were turned round.
    inside_out : the whole was.
    holes : how many were closed.
    patched_share : of the surface that the patches make up, 0 to 1.
    largest_hole_mm : how far the largest hole reached across [mm].
    dropped_outside, dropped_inside : pieces that were dropped, by where they lay.
    dropped_mm3 : volume of those outside [mm3].
    given_volume_mm3 : of what was given, as it was wound [mm3]; of an open scan it means little.
    volume_mm3 : of the solid [mm3].
    given_bounds, bounds : lowest and highest x, y, z [mm].
    deviation_mm : how far any point of the solid lies from the surface given [mm].
    moved_mm : by how much the whole was moved to come within reach of the mesh grid [mm].
    """

    mesh: Mesh
    welded: int
    flat: int
    doubled: int
    crowded: int
    turned: int
    inside_out: bool
    holes: int
    patched_share: float
    largest_hole_mm: float
    dropped_outside: int
    dropped_inside: int
    dropped_mm3: float
    given_volume_mm3: float
    volume_mm3: float
    given_bounds: tuple[tuple[float, ...], tuple[float, ...]]
    bounds: tuple[tuple[float, ...], tuple[float, ...]]
    deviation_mm: float
    moved_mm: tuple[float, float, float]

    @property
    def changed(self) -> bool:
        """Whether anything was done but snapping to the mesh grid."""
        counts = (self.welded, self.flat, self.doubled, self.crowded, self.turned, self.holes)
        return any(counts) or self.inside_out or bool(self.dropped_outside + self.dropped_inside)


@dataclass(frozen=True, eq=False)
class _Surface:
    """A closed surface on the way: its patches come last."""

    vertices: Floats
    triangles: Integers
    given: int
    holes: int
    turned: int
    one_sided: int
    widest: float


def mended(
    mesh: Mesh,
    *,
    keep: Keep = "largest",
    weld_mm: float | None = None,
    most_patched: float = MOST_PATCHED,
) -> Mended:
    """A scan made a closed solid, with an account of what was done.

    mesh : the scan as it was read.
    keep : ``largest`` keeps the largest piece alone and refuses where a second outside it has
        5 % of its volume or more; ``all`` joins every such piece to one solid.
    weld_mm : how near two corners are to be one [mm]; 1e-5 of the diagonal where None.
    most_patched : share of the surface that may be patches.

    Raises ScanError where it cannot be mended, or not without guessing.
    """
    middle, moved = _within_reach(mesh)
    vertices = mesh.vertices.astype(np.float64) - middle
    diagonal = float(np.linalg.norm(np.ptp(vertices, axis=0)))
    weld = WELD * diagonal if weld_mm is None else weld_mm
    first = tidied(vertices, mesh.triangles.astype(np.int64), weld_mm=weld)
    if not len(first.triangles):
        raise ScanError("nothing is left of the scan once its faulty faces are dropped")
    surface = _closed(first)
    corners = surface.vertices[surface.triangles]
    shells = shells_of(corners, edges_of(surface.triangles))
    volume = np.abs(shells.volume_mm3)
    main = int(volume.argmax())
    kept = _kept(shells, volume, main, keep)
    _refuse_sheet(shells, volume, main)
    patch = np.arange(len(surface.triangles)) >= surface.given
    mine = kept[shells.of_face]
    share = _area(corners[mine & patch]) / _area(corners[mine])
    if share > most_patched:
        raise ScanError(
            f"{share:.0%} of the surface would be patches over holes: too much to guess",
            allowed=f"at most {most_patched:.0%}",
            try_="Scan the missing sides too, or close the holes in the program that scanned it.",
        )
    solid = _solid(surface, shells, kept, middle - moved)
    lost = ~kept
    return Mended(
        mesh=solid,
        welded=first.welded,
        flat=first.flat,
        doubled=first.doubled,
        crowded=first.crowded + surface.one_sided,
        turned=surface.turned,
        inside_out=bool(shells.volume_mm3[main] < 0.0),
        holes=surface.holes,
        patched_share=share,
        largest_hole_mm=surface.widest,
        dropped_outside=int((lost & ~shells.inside).sum()),
        dropped_inside=int((lost & shells.inside).sum()),
        dropped_mm3=float(volume[lost & ~shells.inside].sum()),
        given_volume_mm3=mesh.volume_mm3,
        volume_mm3=solid.volume_mm3,
        given_bounds=mesh.bounds,
        bounds=solid.bounds,
        deviation_mm=_deviation(corners, mine & ~patch, mine & patch, diagonal),
        moved_mm=(float(-moved[0]) + 0.0, float(-moved[1]) + 0.0, float(-moved[2]) + 0.0),
    )


def _within_reach(mesh: Mesh) -> tuple[Floats, Floats]:
    """The middle of a scan, and what has to be taken off to bring it within the grid's reach."""
    low, high = (np.array(side) for side in mesh.bounds)
    if (high - low).max() >= REACH_MM:
        raise ScanError(
            f"the scan is {(high - low).max() / 1000.0:.1f} m long: its unit is probably wrong",
            allowed=f"less than {REACH_MM:g} mm",
            try_="State the unit it was saved in.",
        )
    middle = np.round((low + high) / 2.0)
    far = max(np.abs(low).max(), np.abs(high).max()) >= REACH_MM - 1.0
    return middle, middle if far else np.zeros(3)


def _closed(first: Tidied) -> _Surface:
    """Wound alike, every corner in one fan, every hole closed."""
    triangles = first.triangles
    edges = edges_of(triangles)
    _refuse_loose(edges, len(triangles))
    winding = winding_of(edges, len(triangles))
    if winding.one_sided.any():
        _refuse_one_sided(first, winding.one_sided)
    faces = np.where(winding.turned[:, None], triangles[:, ::-1], triangles)[~winding.one_sided]
    places, faces = fans(faces, edges_of(faces))
    vertices = first.vertices[places]
    faces, holes = unpinched(faces, rims(faces, edges_of(faces)), places)
    corners, whole = closed(vertices, faces, holes, places=places)
    return _Surface(
        vertices=corners,
        triangles=whole,
        given=len(faces),
        holes=len(holes),
        turned=int(winding.turned[~winding.one_sided].sum()),
        one_sided=int(winding.one_sided.sum()),
        widest=_widest(vertices, holes),
    )


def _widest(vertices: Floats, holes: list[Integers]) -> float:
    """How far the largest hole reaches across [mm]."""
    if not holes:
        return 0.0
    points = vertices[np.concatenate(holes)]
    starts = np.cumsum([0, *map(len, holes[:-1])])
    wide = np.maximum.reduceat(points, starts) - np.minimum.reduceat(points, starts)
    return float(np.linalg.norm(wide, axis=1).max())


def _refuse_loose(edges: Edges, count: int) -> None:
    """Loose triangles are refused at once: to close a million of them one by one takes minutes."""
    loose = int((edges.uses == 1).sum())
    if loose > MOST_OPEN * count:
        raise ScanError(
            f"the scan encloses nothing: {loose} of the {3 * count} sides of its triangles meet no"
            " other",
            try_="Join its corners in the program that scanned it, or export it as one surface.",
        )


def _refuse_one_sided(first: Tidied, one_sided: NDArray[np.bool_]) -> None:
    corners = first.vertices[first.triangles]
    if _area(corners[one_sided]) > RIVAL * _area(corners):
        raise ScanError(
            "the surface has one side only, like a strip with half a twist: it encloses nothing",
            try_="Scan the piece again, or mend it in the program that scanned it.",
        )


def _kept(shells: Shells, volume: Floats, main: int, keep: Keep) -> NDArray[np.bool_]:
    kept = np.zeros(shells.count, bool)
    kept[main] = True
    outside = ~shells.inside & ~kept
    if keep == "all":
        return np.asarray(kept | (outside & (volume >= CRUMB * volume[main])))
    rivals = int((outside & (volume >= RIVAL * volume[main])).sum())
    if rivals:
        second = float(volume[outside].max())
        raise ScanError(
            f"the scan holds {rivals + 1} large pieces: {volume[main] / 1000.0:.2f} ml and"
            f" {second / 1000.0:.2f} ml are the largest",
            try_="Export the insert alone, or keep all pieces.",
        )
    return kept


def _refuse_sheet(shells: Shells, volume: Floats, main: int) -> None:
    """Of all forms a ball has the most volume in a surface: ``V = A^1.5 / (6 sqrt(pi))``."""
    ball = float(shells.area_mm2[main]) ** 1.5 / (6.0 * np.sqrt(np.pi))
    if not volume[main] > THINNEST * ball:
        raise ScanError(
            "the scan encloses nothing: it is a sheet, or loose triangles",
            try_="Scan the piece from all sides.",
        )


def _solid(surface: _Surface, shells: Shells, kept: NDArray[np.bool_], shift: Floats) -> Mesh:
    pieces = []
    for number in np.flatnonzero(kept):
        faces = surface.triangles[shells.of_face == number]
        if shells.volume_mm3[number] < 0.0:
            faces = faces[:, ::-1]
        used, name = np.unique(faces, return_inverse=True)
        pieces.append((surface.vertices[used] + shift, name.reshape(-1, 3)))
    try:
        solids = [Solid.of_surface(*piece) for piece in pieces]
        return (solids[0] if len(solids) == 1 else union(solids)).any_mesh()
    except KernelError as refused:
        raise ScanError(
            f"the scan could not be mended ({refused.what})",
            try_=f"Mend it in the program that scanned it. Corners nearer than {GRID_MM:.5f} mm"
            " become one here.",
        ) from refused


def _area(corners: Floats) -> float:
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    return float(np.linalg.norm(normal, axis=1).sum()) / 2.0


def _deviation(
    corners: Floats, given: NDArray[np.bool_], patch: NDArray[np.bool_], diagonal: float
) -> float:
    """How far a patch strays from the surface round it [mm]: faces that were given do not."""
    if not patch.any():
        return 0.0
    spacing = diagonal / 200.0
    points = samples_of(corners[patch], spacing)[0]
    return float(Cloud(corners[given], spacing_mm=spacing).exact(points).max())
