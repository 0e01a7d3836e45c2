from __future__ import annotations

import numpy as np
import pytest

from mouldgen.errors import InputError
from mouldgen.sheet.cutting import kept
from mouldgen.sheet.png import png
from mouldgen.sheet.stage import MARGIN, Scene, staged
from mouldgen.sheet.still import render
from tests.png_pixels import png_pixels

BLUE, RED, GREY = (90, 130, 200), (210, 80, 70), (200, 200, 200)
WHITE = (255, 255, 255)
_FACES = np.array(
    [
        (0, 2, 1), (1, 2, 3), (4, 5, 6), (5, 7, 6), (0, 1, 4), (1, 5, 4),
        (2, 6, 3), (3, 6, 7), (0, 4, 2), (2, 4, 6), (1, 3, 5), (3, 7, 5),
    ]
)  # fmt: skip


def _box(
    low: tuple[float, float, float], high: tuple[float, float, float], colour: tuple[int, int, int]
) -> Scene:
    grid = [[(low, high)[(i >> axis) & 1][axis] for axis in range(3)] for i in range(8)]
    return np.array(grid), _FACES, colour


CUBE = _box((-10, -10, -10), (10, 10, 10), BLUE)


def _picture(scenes: list[Scene], **options: object) -> np.ndarray:
    given = {"width": 200, "height": 150, "view": (0.0, 0.0)} | options
    return png_pixels(render(scenes, **given)).astype(int)  # type: ignore[arg-type]


def _share(picture: np.ndarray) -> float:
    return float((picture != WHITE).any(axis=2).mean())


def test_a_picture_survives_its_file() -> None:
    picture = np.random.default_rng(3).integers(0, 256, (7, 5, 3), dtype=np.uint8)
    assert np.array_equal(png_pixels(png(picture)), picture)


@pytest.mark.parametrize("bad", [np.zeros((4, 4), np.uint8), np.zeros((4, 4, 3))])
def test_what_is_no_picture_is_refused(bad: np.ndarray) -> None:
    with pytest.raises(InputError, match="is not a picture"):
        png(bad)


def test_the_same_input_gives_the_same_bytes() -> None:
    options = {"width": 120, "height": 90, "cut": ((0.3, -1.0, 0.2), 1.0)}
    assert render([CUBE], **options) == render([CUBE], **options)  # type: ignore[arg-type]


def test_a_cube_seen_face_on_covers_its_share() -> None:
    side = 750 * (1 - 2 * MARGIN)
    picture = _picture([CUBE], width=1000, height=750)
    assert picture.shape == (750, 1000, 3)
    assert _share(picture) == pytest.approx(side**2 / (1000 * 750), rel=0.01)
    rows, columns = np.nonzero((picture != WHITE).any(axis=2))
    assert (rows.min() + rows.max()) / 2 == pytest.approx(374.5, abs=1.0)
    assert (columns.min() + columns.max()) / 2 == pytest.approx(499.5, abs=1.0)


@pytest.mark.parametrize("order", [1, -1])
def test_the_nearer_of_two_triangles_is_seen(order: int) -> None:
    flat = np.array([(-10, 0, -10), (10, 0, -10), (0, 0, 10)], float)
    near, far = flat * 0.5 + (0, -3, 0), flat
    face = np.array([(0, 1, 2)])
    picture = _picture([(near, face, RED), (far, face, BLUE)][::order])
    middle, corner = picture[75, 100], picture[138, 60]
    assert middle[0] > middle[2]  # red
    assert corner[2] > corner[0]  # blue


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
    shifted = (np.asarray(CUBE[0]) + place, CUBE[1], RED)
    picture = _picture([CUBE, shifted], view=view)
    red = np.argwhere(picture[:, :, 0] > picture[:, :, 2] + 30).mean(axis=0)
    blue = np.argwhere(picture[:, :, 2] > picture[:, :, 0] + 30).mean(axis=0)
    down, right = red - blue
    assert (
        (right > 40 and abs(down) < 1) if expected == "right" else (down < -40 and abs(right) < 1)
    )


def test_light_comes_from_above_and_the_left() -> None:
    picture = _picture([CUBE], view=(45, 30), width=300, height=300).sum(axis=2)
    top, left, right = picture[90, 150], picture[180, 90], picture[180, 210]
    assert top > left > right


def test_a_mesh_wound_inside_out_looks_cut_open() -> None:
    points, faces, colour = CUBE
    inverted = (points, np.asarray(faces)[:, ::-1], colour)
    sound, wrong = _picture([CUBE])[75, 100], _picture([inverted])[75, 100]
    assert sound[2] > sound[0]
    assert wrong[0] > wrong[2]  # the warm tone
    assert wrong.tolist() == _picture([CUBE], cut=((0, -1, 0), 0))[75, 100].tolist()


@pytest.mark.parametrize("at", [-5.0, 0.0, 5.0])
def test_a_cut_across_leaves_its_share(at: float) -> None:
    whole = _picture([CUBE], width=800, height=600)
    left = _picture([CUBE], width=800, height=600, cut=((1, 0, 0), at))
    assert _share(left) / _share(whole) == pytest.approx((at + 10) / 20, abs=0.01)
    columns = np.nonzero((left != WHITE).any(axis=(0, 2)))[0]
    edge = 400 + at / 20 * 600 * (1 - 2 * MARGIN)
    assert columns.max() == pytest.approx(edge, abs=1.5)


def test_a_section_is_one_flat_tone_with_no_line_of_what_lies_behind() -> None:
    """Behind the cut is a slot, open to the back, whose outline lies inside the material."""
    manifold3d = pytest.importorskip("manifold3d")
    slot = manifold3d.Manifold.cube((6.0, 20.0, 12.0), True).translate((0, 14, 0))
    mesh = (manifold3d.Manifold.cube((20.0, 20.0, 20.0), True) - slot).to_mesh64()
    block = (np.asarray(mesh.vert_properties)[:, :3], np.asarray(mesh.tri_verts), BLUE)
    view, plane = (25.0, 20.0), -5.0
    picture = _picture([block], view=view, cut=((0, -1, 0), -plane), width=300, height=300)
    stage = staged([block], view=view, width=300, height=300)
    x, z = np.meshgrid(np.linspace(-9.4, 9.4, 150), np.linspace(-9.4, 9.4, 150))
    inside = np.column_stack((x.ravel(), np.full(x.size, plane), z.ravel()))
    moved = (inside - stage.vertices[0]) @ stage.turn.T * stage.scale
    column = (stage.seen[0, 0] + moved[:, 0]).astype(int)
    row = (stage.seen[0, 1] - moved[:, 1]).astype(int)
    assert len(np.unique(picture[row, column], axis=0)) == 1
    tone = picture[row[0], column[0]]
    seen = (20 * stage.scale) ** 2 * np.cos(np.radians(25)) * np.cos(np.radians(20))
    assert (picture == tone).all(axis=2).sum() == pytest.approx(seen, rel=0.03)


def test_a_hollow_shows_its_walls_cut_and_its_inside_lit() -> None:
    outer = _box((-10, -10, -10), (10, 10, 10), GREY)
    points, faces, _ = _box((-6, -6, -6), (6, 6, 6), GREY)
    both = (
        np.vstack((np.asarray(outer[0]), np.asarray(points))),
        np.vstack((_FACES, np.asarray(faces)[:, ::-1] + 8)),
        GREY,
    )
    picture = _picture([both], cut=((0, -1, 0), 0), width=300, height=300)
    scale = 300 * (1 - 2 * MARGIN) / 20
    wall, inside = picture[150, round(150 - 8 * scale)], picture[150, 150]
    assert wall[0] > wall[2] + 30  # warm
    assert len(set(inside.tolist())) == 1  # grey, the back wall seen from its outside


def test_a_cut_through_nothing_changes_nothing() -> None:
    assert np.array_equal(_picture([CUBE], cut=((0, -1, 0), 50.0)), _picture([CUBE]))


@pytest.mark.parametrize("normal", [(1.0, 0.0, 0.0), (1.0, 2.0, -0.5), (-3.0, 0.1, 0.2)])
def test_what_a_cut_leaves_and_what_it_takes_make_the_whole(
    normal: tuple[float, float, float],
) -> None:
    stage = staged([CUBE], view=(20, 30), width=200, height=150)

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


def test_the_background_is_the_one_asked_for() -> None:
    assert _picture([CUBE], background=(10, 20, 30))[0, 0].tolist() == [10, 20, 30]


@pytest.mark.parametrize(
    ("scenes", "options", "match"),
    [
        ([], {}, "nothing to draw"),
        ([(np.empty((0, 3)), np.empty((0, 3), int), RED)], {}, "nothing to draw"),
        ([(np.zeros((4, 2)), _FACES, RED)], {}, "are no mesh"),
        ([(np.full((8, 3), np.nan), _FACES, RED)], {}, "not a finite number"),
        ([(np.zeros((4, 3)), _FACES, RED)], {}, "not there"),
        ([CUBE], {"width": 0}, "0 by 750 pixels"),
        ([CUBE], {"cut": ((0, 0, 0), 1.0)}, "no plane to cut with"),
    ],
)
def test_what_cannot_be_drawn_is_refused(
    scenes: list[Scene], options: dict[str, object], match: str
) -> None:
    with pytest.raises(InputError, match=match):
        render(scenes, **options)  # type: ignore[arg-type]
