"""Pictures of bodies of known size, counted pixel by pixel."""

from __future__ import annotations

import hashlib
import itertools
import math
import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.spatial import ConvexHull

from mouldgen.errors import InputError
from mouldgen.sheet.stage import MARGIN
from mouldgen.sheet.still import LARGEST_PX, still
from mouldgen.sheet.tones import DARK, LIGHT, Role
from mouldgen.sheet.view import Cut, View
from mouldgen.solid.kernel import Solid, box, cylinder
from mouldgen.solid.mesh import Mesh
from tests.png_pixels import png_pixels

Array = NDArray[np.float64]
WIDE, HIGH = 1000, 750
FRONT = View(0.0, 0.0)
FILLS = HIGH * (1 - 2 * MARGIN)  # what a body as wide as high fills of the height [pixels]


def made(solid: Solid) -> Mesh:
    return solid.any_mesh()


def cube(side: float = 20.0, at: tuple[float, float, float] = (0.0, 0.0, 0.0)) -> Mesh:
    middle = np.array(at)
    return made(box(tuple(middle - side / 2), tuple(middle + side / 2)))


def drum(radius: float, low: float, high: float) -> Solid:
    return cylinder(radius, bottom_mm=low, top_mm=high, chord_mm=0.002)


def along_y(mesh: Mesh) -> Mesh:
    """An upright body laid down with its axis along y."""
    return mesh.tipped()


def pixels(
    *meshes: tuple[Mesh, Role],
    view: View = FRONT,
    width: int = WIDE,
    height: int = HIGH,
    **how: object,
) -> NDArray[np.int64]:
    data = still(list(meshes), width_px=width, height_px=height, view=view, **how)  # type: ignore[arg-type]
    return png_pixels(data).astype(np.int64)


def covered(*meshes: tuple[Mesh, Role], **how: object) -> Array:
    """How much of each pixel is covered, 0 to 1."""
    return pixels(*meshes, transparent=True, **how)[:, :, 3] / 255.0  # type: ignore[arg-type]


def section_of(picture: NDArray[np.int64], role: Role) -> NDArray[np.bool_]:
    """Which pixels show the section of a part: its ground, its hatching, or quarters of both."""
    ground, hatch = np.array(LIGHT.tones[role].ground), np.array(LIGHT.tones[role].hatch)
    shades = [((4 - quarters) * ground + quarters * hatch + 2) // 4 for quarters in range(5)]
    found: NDArray[np.bool_] = np.any([(picture == shade).all(axis=2) for shade in shades], axis=0)
    return found


def unbroken(flags: NDArray[np.bool_]) -> bool:
    """Whether in every row and every column what is set is in one piece."""
    starts = [np.diff(lines.astype(int), prepend=0, axis=1) == 1 for lines in (flags, flags.T)]
    return all(int(found.sum(axis=1).max()) <= 1 for found in starts)


# How much is covered ------------------------------------------------------------------------


def test_a_cube_covers_its_square() -> None:
    assert covered((cube(), "body")).sum() == pytest.approx(FILLS**2, rel=0.01)


def test_a_cube_seen_over_a_corner_covers_a_hexagon() -> None:
    """A cube of side s seen along its diagonal covers sqrt(3) s^2, from corner to corner
    sqrt(2) s wide and 2 sqrt(2/3) s high.
    """
    view = View(45.0, math.degrees(math.asin(1 / math.sqrt(3))))
    side = FILLS / (2 * math.sqrt(2 / 3))
    assert covered((cube(), "body"), view=view).sum() == pytest.approx(
        math.sqrt(3) * side**2, rel=0.01
    )


@pytest.mark.parametrize("view", [FRONT, View(30.0, 20.0), View(-110.0, 75.0)])
def test_a_ball_covers_its_circle_from_anywhere(view: View) -> None:
    latitude, longitude = np.meshgrid(
        np.linspace(-math.pi / 2, math.pi / 2, 61), np.linspace(0, 2 * math.pi, 120, endpoint=False)
    )
    flat = np.cos(latitude)
    points = np.stack((flat * np.cos(longitude), flat * np.sin(longitude), np.sin(latitude)), 2)
    ball = hull(10.0 * np.unique(points.reshape(-1, 3).round(9), axis=0))
    assert covered((ball, "insert"), view=view).sum() == pytest.approx(
        math.pi * FILLS**2 / 4, rel=0.01
    )


def test_a_drum_covers_its_side_and_its_top() -> None:
    """Seen from 30 degrees up: a rectangle 2 r by h cos 30 and an ellipse r by r sin 30."""
    r, h, s, c = 10.0, 20.0, 0.5, math.sqrt(0.75)
    scale = FILLS / (h * c + 2 * r * s)
    expected = (2 * r * h * c + math.pi * r * r * s) * scale**2
    found = covered((made(drum(r, 0.0, h)), "body"), view=View(17.0, 30.0)).sum()
    assert found == pytest.approx(expected, rel=0.01)


def hull(points: Array) -> Mesh:
    """The closed mesh round points, its faces wound outward by their own middle."""
    found = ConvexHull(points)
    corners = points[found.simplices]
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    inward = np.einsum("ij,ij->i", normal, corners[:, 0] - points.mean(axis=0)) < 0
    faces = np.where(inward[:, None], found.simplices[:, ::-1], found.simplices)
    return Mesh(points.astype(np.float32), faces.astype(np.int32))


@pytest.mark.parametrize("seed", range(4))
def test_a_convex_body_has_no_hole_and_the_area_of_its_shadow(seed: int) -> None:
    """The area of the shadow from the hull of the corners in the picture's plane."""
    rng = np.random.default_rng(seed)
    points = rng.normal(size=(60, 3)) * (9.0, 7.0, 12.0)
    azimuth, elevation = rng.uniform(-180, 180), rng.uniform(-80, 80)
    found = covered((hull(points), "insert"), view=View(azimuth, elevation))
    assert unbroken(found > 0.0)
    assert unbroken(found == 1.0)

    a, e = math.radians(azimuth), math.radians(elevation)
    right = np.array((math.cos(a), math.sin(a), 0.0))
    up = np.array((-math.sin(a) * math.sin(e), math.cos(a) * math.sin(e), math.cos(e)))
    flat = points @ np.column_stack((right, up))
    wide, high = np.ptp(flat, axis=0)
    room = 2 * MARGIN * HIGH
    scale = min((WIDE - room) / wide, (HIGH - room) / high)
    assert found.sum() == pytest.approx(ConvexHull(flat).volume * scale**2, rel=0.01)


# What hides what ----------------------------------------------------------------------------


def test_a_small_box_in_front_hides_a_square_of_the_large_one() -> None:
    scale = FILLS / 20.0
    both = pixels((cube(), "body"), (cube(8.0, (0.0, -20.0, 0.0)), "insert"))
    alone = pixels((cube(), "body"))
    changed = (both != alone).any(axis=2)
    # Its outline reaches three quarters of a pixel beyond it: into one more on each side.
    assert changed.sum() == pytest.approx((8.0 * scale + 2.0) ** 2, rel=0.001)
    rows, columns = np.nonzero(changed)
    for found, middle in ((rows, HIGH / 2), (columns, WIDE / 2)):
        assert found.min() + 1 == pytest.approx(middle - 4 * scale, abs=0.5)
        assert found.max() == pytest.approx(middle + 4 * scale, abs=0.5)
    inside = both[rows.min() + 3 : rows.max() - 2, columns.min() + 3 : columns.max() - 2]
    assert len(np.unique(inside.reshape(-1, 3), axis=0)) == 1  # its flat face and nothing else


def test_a_small_box_behind_a_large_one_is_not_seen_at_all() -> None:
    behind = (cube(8.0, (0.0, 20.0, 0.0)), "insert")
    front = (cube(), "body")
    alone = still([front], view=FRONT)
    assert still([front, behind], view=FRONT) == alone
    assert still([behind, front], view=FRONT) == alone


def test_nine_edges_of_a_cube_are_drawn_and_three_hidden_ones_are_not() -> None:
    a, e = math.radians(30.0), math.radians(20.0)
    right = np.array((math.cos(a), math.sin(a), 0.0))
    up = np.array((-math.sin(a) * math.sin(e), math.cos(a) * math.sin(e), math.cos(e)))
    towards = np.array((math.sin(a) * math.cos(e), -math.cos(a) * math.cos(e), math.sin(e)))
    corners = np.array(list(itertools.product((-10.0, 10.0), repeat=3)))
    flat = corners @ np.column_stack((right, -up))
    room = 2 * MARGIN * HIGH
    scale = min((np.array((WIDE, HIGH)) - room) / np.ptp(flat, axis=0))
    at = flat * scale + np.array((WIDE, HIGH)) / 2

    picture = pixels((cube(), "body"), view=View(30.0, 20.0))
    ink = np.abs(picture - LIGHT.ink).max(axis=2) < 40
    farthest = int(np.argmin(corners @ towards))
    drawn, hidden = [], []
    for one, other in itertools.combinations(range(8), 2):
        if (corners[one] != corners[other]).sum() != 1:
            continue
        steps = np.linspace(0.15, 0.85, 15)[:, None]
        places = np.floor(at[one] + steps * (at[other] - at[one])).astype(int)
        near = [ink[y - 1 : y + 2, x - 1 : x + 2].any() for x, y in places]
        (hidden if farthest in (one, other) else drawn).append(np.mean(near))
    assert drawn == [1.0] * 9
    assert len(hidden) == 3
    assert max(hidden) < 0.3  # only where one passes behind an edge that is seen


def test_no_diagonal_of_a_flat_face_is_drawn() -> None:
    picture = pixels((cube(), "body"))
    inside = picture[50:700, 200:800]
    assert len(np.unique(inside.reshape(-1, 3), axis=0)) == 1


# Cut open -----------------------------------------------------------------------------------


def tube(outer: float, inner: float, height: float) -> Mesh:
    return made(drum(outer, 0.0, height) - drum(inner, -1.0, height + 1.0))


def test_a_tube_cut_across_shows_its_ring() -> None:
    """Laid along the line of sight; half of the line along each rim lies on the ring."""
    lying = along_y(tube(10.0, 6.0, 30.0))
    low, high = lying.bounds
    picture = pixels(
        (lying, "body"), cut=Cut(0.0, axis_mm=(0.0, (low[1] + high[1]) / 2)), view=FRONT
    )
    scale, half_line = FILLS / 20.0, 0.75
    ring = math.pi * ((10 * scale - half_line) ** 2 - (6 * scale + half_line) ** 2)
    assert section_of(picture, "body").sum() == pytest.approx(ring, rel=0.01)
    assert ring == pytest.approx(math.pi * (10**2 - 6**2) * scale**2, rel=0.02)


@pytest.mark.parametrize("azimuth", [0.0, 90.0, 37.0])
def test_a_cup_cut_through_its_axis_shows_walls_floor_and_gap(azimuth: float) -> None:
    """Body, gap, insert, gap and body along one row, each as wide as it is."""
    body = made(drum(20.0, 0.0, 40.0) - drum(16.0, 5.0, 41.0))
    insert = made(drum(12.0, 8.0, 30.0))
    picture = pixels((body, "body"), (insert, "insert"), cut=Cut(azimuth), view=View(azimuth, 0.0))
    scale = FILLS / 40.0
    row = round(HIGH / 2 + (20.0 - 19.0) * scale)  # at a height of 19 mm

    def widths(flags: NDArray[np.bool_]) -> list[float]:
        edges = np.flatnonzero(np.diff(flags.astype(int), prepend=0, append=0))
        return [float(b - a) / scale for a, b in zip(edges[::2], edges[1::2], strict=True)]

    line = 1.5 / scale  # every piece loses half a line at either end
    assert widths(section_of(picture, "body")[row]) == pytest.approx([4.0 - line] * 2, abs=line)
    assert widths(section_of(picture, "insert")[row]) == pytest.approx([24.0 - line], abs=line)
    column = section_of(picture, "body")[:, WIDE // 2]
    assert widths(column) == pytest.approx([5.0 - line], abs=line)
    assert not section_of(picture, "lid").any()


def test_parts_that_touch_in_a_section_lean_apart() -> None:
    body = made(box((-20.0, -5.0, 0.0), (0.0, 5.0, 20.0)))
    lid = made(box((0.0, -5.0, 0.0), (20.0, 5.0, 20.0)))
    picture = pixels((body, "body"), (lid, "lid"), cut=Cut(), view=FRONT)
    for role, side in (("body", slice(60, 480)), ("lid", slice(520, 940))):
        tone = LIGHT.tones[role]  # type: ignore[index]
        lines = np.abs(picture - tone.hatch).max(axis=2)[330:420, side] < 60
        # A line that rises to the right goes to the left by one pixel a row downward.
        along = np.roll(lines[1:], tone.leans, axis=1) & lines[:-1]
        across = np.roll(lines[1:], -tone.leans, axis=1) & lines[:-1]
        assert along.sum() > 2 * across.sum()


def test_a_cut_keeps_the_scale() -> None:
    whole, open_ = covered((cube(), "body")), covered((cube(), "body"), cut=Cut(90.0))
    assert open_.sum() / whole.sum() == pytest.approx(0.5, abs=0.005)


@pytest.mark.parametrize(
    ("azimuth", "normal"),
    [(0, (0, -1)), (90, (1, 0)), (180, (0, 1)), (270, (-1, 0)), (-90, (-1, 0)), (450, (1, 0))],
)
def test_a_cut_by_quarter_turns_is_exact(azimuth: float, normal: tuple[int, int]) -> None:
    (x, y, z), offset = Cut(azimuth, axis_mm=(3.0, 5.0)).plane
    assert (x, y, z) == (*normal, 0)
    assert offset == 3.0 * normal[0] + 5.0 * normal[1]


@pytest.mark.parametrize("azimuth", [-200.0, -33.0, 12.5, 135.0, 359.0])
def test_a_cut_takes_the_side_its_azimuth_names(azimuth: float) -> None:
    (x, y, z), offset = Cut(azimuth, axis_mm=(1.0, -2.0)).plane
    a = math.radians(azimuth)
    assert (x, y, z) == pytest.approx((math.sin(a), -math.cos(a), 0.0), abs=1e-12)
    assert offset == pytest.approx(math.sin(a) + 2.0 * math.cos(a))


# Paper, and none ----------------------------------------------------------------------------

SCENE: tuple[tuple[Mesh, Role], ...] = (
    (cube(), "body"),
    (made(drum(6.0, 10.0, 24.0)), "insert"),
)


@pytest.mark.parametrize("dark", [False, True])
@pytest.mark.parametrize("cut", [None, Cut()])
def test_a_picture_without_paper_laid_on_paper_is_the_one_with(dark: bool, cut: Cut | None) -> None:
    palette = DARK if dark else LIGHT
    how = {"view": View(), "width": 200, "height": 150, "dark": dark, "cut": cut}
    clear = pixels(*SCENE, transparent=True, **how)  # type: ignore[arg-type]
    share = clear[:, :, 3:] / 255.0
    laid = clear[:, :, :3] * share + np.array(palette.paper) * (1.0 - share)
    plain = pixels(*SCENE, **how)  # type: ignore[arg-type]
    assert np.abs(laid - plain).max() <= 1.0
    assert plain[0, 0].tolist() == list(palette.paper)
    assert clear[0, 0].tolist() == [0, 0, 0, 0]
    assert {0, 64, 128, 191, 255} >= set(np.unique(clear[:, :, 3]).tolist()) > {0, 255}


def test_dark_edges_on_light_and_light_edges_on_dark() -> None:
    for dark, palette in ((False, LIGHT), (True, DARK)):
        picture = pixels(*SCENE, view=View(), dark=dark)
        assert (picture == palette.ink).all(axis=2).sum() > 1000


# The file -----------------------------------------------------------------------------------

_SCRIPT = """
import hashlib
from mouldgen.sheet.still import still
from mouldgen.sheet.view import Cut
from tests.unit.sheet.test_still_of_parts import SCENE
print(hashlib.sha256(still(SCENE, width_px=320, height_px=240, cut=Cut(20.0))).hexdigest())
"""


def test_two_processes_write_the_same_bytes() -> None:
    root = Path(__file__).parents[3]
    here = hashlib.sha256(still(SCENE, width_px=320, height_px=240, cut=Cut(20.0))).hexdigest()
    there = subprocess.run(
        [sys.executable, "-c", _SCRIPT],
        cwd=root,
        env={**os.environ, "PYTHONHASHSEED": "77", "PYTHONPATH": str(root)},
        capture_output=True,
        text=True,
        check=True,
    )
    assert there.stdout.strip() == here


def test_a_picture_has_the_size_asked_for() -> None:
    assert pixels(*SCENE, width=123, height=77).shape == (77, 123, 3)
    assert pixels(*SCENE, width=1, height=1).shape == (1, 1, 3)


@pytest.mark.parametrize(
    ("meshes", "how", "match"),
    [
        ([], {}, "nothing to draw"),
        ([(cube(), "cork")], {}, "'cork' is no role .* Allowed: body, lid, insert, rubber"),
        ([(cube(), "body")], {"width_px": 0}, "0 by 750 pixels"),
        ([(cube(), "body")], {"height_px": LARGEST_PX + 1}, "1000 by 3001 pixels is too large"),
    ],
)
def test_what_cannot_be_a_picture_is_refused(
    meshes: list[tuple[Mesh, Role]], how: dict[str, int], match: str
) -> None:
    with pytest.raises(InputError, match=match):
        still(meshes, **how)  # type: ignore[arg-type]


def test_a_view_and_a_cut_need_numbers() -> None:
    with pytest.raises(InputError, match=r"look from nan and 20\.0 degrees"):
        View(math.nan)
    with pytest.raises(InputError, match=r"cut at 0\.0 degrees through"):
        Cut(0.0, axis_mm=(math.inf, 0.0))
