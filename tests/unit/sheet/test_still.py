"""Where things are in a still picture, and what light does; sizes: test_still_of_parts.py."""

from __future__ import annotations

import numpy as np
import pytest

from mouldgen.errors import InputError
from mouldgen.sheet.cutting import kept
from mouldgen.sheet.png import png
from mouldgen.sheet.stage import MARGIN, Scene, staged
from mouldgen.sheet.still import fitting_px, still
from mouldgen.sheet.tones import LIGHT, Role
from mouldgen.sheet.view import Cut, View
from mouldgen.solid.mesh import Mesh
from tests.png_pixels import png_pixels

Part = tuple[Mesh, Role]
_FACES = np.array(
    [
        (0, 2, 1), (1, 2, 3), (4, 5, 6), (5, 7, 6), (0, 1, 4), (1, 5, 4),
        (2, 6, 3), (3, 6, 7), (0, 4, 2), (2, 4, 6), (1, 3, 5), (3, 7, 5),
    ],
    np.int32,
)  # fmt: skip
FRONT = View(0.0, 0.0)


def box(low: tuple[float, float, float], high: tuple[float, float, float]) -> Mesh:
    grid = [[(low, high)[(i >> axis) & 1][axis] for axis in range(3)] for i in range(8)]
    return Mesh(np.array(grid, np.float32), _FACES)


CUBE: Part = (box((-10, -10, -10), (10, 10, 10)), "body")


def picture(*parts: Part, width: int = 200, height: int = 150, **how: object) -> np.ndarray:
    given = {"view": FRONT} | how
    return png_pixels(still(parts, width_px=width, height_px=height, **given)).astype(int)  # type: ignore[arg-type]


def hue(found: np.ndarray, role: Role) -> np.ndarray:
    """Pixels of a part's colour, whatever the light on them."""
    colour = np.array(LIGHT.tones[role].face)
    light = found.sum(axis=2) / colour.sum()
    near: np.ndarray = np.abs(found - light[:, :, None] * colour).max(axis=2) < 4.0
    return near


def is_section(pixel: np.ndarray, role: Role) -> bool:
    """Whether a pixel is the ground or the hatching of a section, or a mean of the two."""
    ground, lines = np.array(LIGHT.tones[role].ground), np.array(LIGHT.tones[role].hatch)
    return any(
        pixel.tolist() == (((4 - q) * ground + q * lines + 2) // 4).tolist() for q in range(5)
    )


def test_a_picture_survives_its_file() -> None:
    pixels = np.random.default_rng(3).integers(0, 256, (7, 5, 3), dtype=np.uint8)
    assert np.array_equal(png_pixels(png(pixels)), pixels)


@pytest.mark.parametrize("bad", [np.zeros((4, 4), np.uint8), np.zeros((4, 4, 3))])
def test_what_is_no_picture_is_refused(bad: np.ndarray) -> None:
    with pytest.raises(InputError, match="is not a picture"):
        png(bad)


@pytest.mark.parametrize("order", [1, -1])
def test_the_nearer_of_two_triangles_is_seen(order: int) -> None:
    flat = np.array([(-10, 0, -10), (10, 0, -10), (0, 0, 10)], np.float32)
    face = np.array([(0, 1, 2)], np.int32)
    near: Part = (Mesh(flat * np.float32(0.5) + np.array((0, -3, 0), np.float32), face), "lid")
    far: Part = (Mesh(flat, face), "body")
    found = picture(*(near, far)[::order])
    assert hue(found, "lid")[75, 100]
    assert hue(found, "body")[138, 60]


@pytest.mark.parametrize(
    ("view", "place", "expected"),
    [
        ((0, 0), (30, 0, 0), "right"),
        ((90, 0), (0, 30, 0), "right"),
        ((180, 0), (-30, 0, 0), "right"),
        ((-90, 0), (0, -30, 0), "right"),
        ((0, 0), (0, 0, 30), "top"),
        ((0, 90), (0, 30, 0), "top"),
        ((0, 90), (30, 0, 0), "right"),
        ((0, -90), (0, -30, 0), "top"),
    ],
)
def test_directions(
    view: tuple[float, float], place: tuple[float, float, float], expected: str
) -> None:
    beside: Part = (Mesh(CUBE[0].vertices + np.array(place, np.float32), _FACES), "insert")
    found = picture(CUBE, beside, view=View(*view))
    down, right = np.argwhere(hue(found, "insert")).mean(axis=0) - np.argwhere(
        hue(found, "body")
    ).mean(axis=0)
    assert (
        (right > 40 and abs(down) < 1) if expected == "right" else (down < -40 and abs(right) < 1)
    )


def test_light_comes_from_above_and_the_left() -> None:
    found = picture(CUBE, view=View(45, 30), width=300, height=300).sum(axis=2)
    top, left, right = found[90, 150], found[180, 90], found[180, 210]
    assert top > left > right


def test_a_mesh_wound_inside_out_looks_cut_open() -> None:
    inverted: Part = (Mesh(CUBE[0].vertices, _FACES[:, ::-1]), "body")
    sound, wrong = picture(CUBE)[75, 100], picture(inverted)[75, 100]
    assert not is_section(sound, "body")
    assert is_section(wrong, "body")
    assert wrong.tolist() == picture(CUBE, cut=Cut())[75, 100].tolist()


def test_a_hollow_shows_its_walls_cut_and_its_inside_lit() -> None:
    inner = box((-6, -6, -6), (6, 6, 6))
    both = Mesh(
        np.vstack((CUBE[0].vertices, inner.vertices)), np.vstack((_FACES, _FACES[:, ::-1] + 8))
    )
    found = picture((both, "body"), cut=Cut(), width=300, height=300)
    scale = 300 * (1 - 2 * MARGIN) / 20
    assert is_section(found[150, round(150 - 8 * scale)], "body")
    assert hue(found, "body")[150, 150]  # the back wall seen from its outside


def test_a_cut_beside_a_body_changes_nothing() -> None:
    assert np.array_equal(picture(CUBE, cut=Cut(axis_mm=(0.0, -50.0))), picture(CUBE))


@pytest.mark.parametrize("normal", [(1.0, 0.0, 0.0), (1.0, 2.0, -0.5), (-3.0, 0.1, 0.2)])
def test_what_a_cut_leaves_and_what_it_takes_make_the_whole(
    normal: tuple[float, float, float],
) -> None:
    scene: Scene = (CUBE[0].vertices, _FACES, (0, 0, 0))
    stage = staged([scene], view=(20, 30), width=200, height=150)

    def area(corners: np.ndarray) -> float:
        a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
        return float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum() / 2 / stage.scale**2)

    left, owners, rims = kept(stage, (normal, 3.0))
    taken, _, other_rims = kept(stage, (tuple(-x for x in normal), -3.0))  # type: ignore[arg-type]
    assert area(left) + area(taken) == pytest.approx(6 * 20**2, rel=1e-12)
    assert 0 < area(left) < 6 * 20**2
    assert set(owners.tolist()) <= set(range(12))
    length = np.linalg.norm(rims[:, 1] - rims[:, 0], axis=1).sum()
    assert length == pytest.approx(
        np.linalg.norm(other_rims[:, 1] - other_rims[:, 0], axis=1).sum()
    )


@pytest.mark.parametrize(
    ("points", "faces", "match"),
    [
        (np.empty((0, 3)), np.empty((0, 3), int), "nothing to draw"),
        (np.zeros((4, 2)), _FACES, "are no mesh"),
        (np.full((8, 3), np.nan), _FACES, "not a finite number"),
        (np.zeros((4, 3)), _FACES, "not there"),
    ],
)
def test_what_cannot_be_staged_is_refused(
    points: np.ndarray, faces: np.ndarray, match: str
) -> None:
    with pytest.raises(InputError, match=match):
        staged([(points, faces, (0, 0, 0))], view=(0.0, 0.0), width=10, height=10)


def test_a_plane_without_a_direction_cuts_nothing() -> None:
    scene: Scene = (CUBE[0].vertices, _FACES, (0, 0, 0))
    with pytest.raises(InputError, match="no plane to cut with"):
        kept(staged([scene], view=(0, 0), width=9, height=9), ((0.0, 0.0, 0.0), 1.0))


def test_a_picture_is_as_wide_as_what_it_shows() -> None:
    tall: Part = (box((0, 0, 0), (20, 20, 40)), "body")
    assert fitting_px([tall], FRONT, longest_px=600) == (300, 600)
    assert fitting_px([tall], View(0, 90), longest_px=600) == (600, 600)
    flat: Part = (box((0, 0, 0), (100, 20, 1)), "body")
    assert fitting_px([flat], FRONT, longest_px=600) == (600, 180)  # never more slender
