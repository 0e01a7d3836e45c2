"""Footprints and keep-outs: what an outline may be, its area, its convex pieces, its turns."""

import math

import numpy as np
import pytest
import shapely

from mouldgen.errors import InputError
from mouldgen.packing.outline import clear_at, convex_cores, ways_up
from mouldgen.packing.shapes import Disc, KeepOut, Polygon, Rectangle, RoundedRectangle

L = ((0, 0), (80, 0), (80, 25), (25, 25), (25, 60), (0, 60))
STAR = tuple(
    (far * math.cos(math.pi * i / 5), far * math.sin(math.pi * i / 5))
    for i, far in enumerate([25, 10] * 5)
)
HOOK = ((0, 0), (60, 0), (60, 40), (20, 40), (20, 30), (50, 30), (50, 10), (0, 10))
OUTLINES = {"L": L, "star": STAR, "hook": HOOK, "triangle": ((0, 0), (30, 5), (10, 40))}


@pytest.mark.parametrize(
    ("corners", "told"),
    [
        (((0, 0), (1, 0)), "has 2 corners"),
        (((0, 0), (0, 10), (10, 0)), "run clockwise"),
        (((0, 0), (10, 10), (10, 0), (0, 10)), r"the edges 1 and 3 of .* meet"),
        (((0, 0), (10, 0), (5, 0), (5, 5)), r"the edges 1 and 2 of .* meet"),
        (((0, 0), (10, 0), (10, 0), (5, 5)), "has its corner 2 twice"),
        (((0, 0), (10, 0), (20, 0)), "meet"),
        (((0, 0), (10, 0), (math.nan, 5)), "not a finite number"),
        (((0, 0), (10, 0), (10, 10), (5, 0), (0, 10)), "meet"),  # touches its own edge
    ],
)
def test_outlines_that_cannot_be_are_refused(
    corners: tuple[tuple[float, float], ...], told: str
) -> None:
    with pytest.raises(InputError, match=f"a polygon .*{told}|{told}"):
        Polygon(corners)
    with pytest.raises(InputError, match=told):
        KeepOut(corners)


def test_a_polygon_lies_about_the_middle_of_its_box() -> None:
    there = Polygon(tuple((x + 1000, y - 7) for x, y in L))

    assert (there.width_mm, there.depth_mm, there.area_mm2) == (80, 60, 80 * 25 + 25 * 35)
    assert there.corners_mm == Polygon(L).corners_mm
    assert min(x for x, _ in there.corners_mm) == -40


def test_corners_of_a_rectangle_need_room() -> None:
    assert RoundedRectangle(38, 140, 19).area_mm2 == pytest.approx(math.pi * 19**2 + 38 * 102)
    with pytest.raises(InputError, match="no room for its corners"):
        RoundedRectangle(38, 140, 19.1)


def test_a_keep_outs_clearance_cannot_be_negative() -> None:
    with pytest.raises(InputError, match="clearance of a keep-out cannot be -1"):
        KeepOut.rectangle(0, 0, 10, 10, clearance_mm=-1)


def test_turns_that_look_the_same_are_tried_once() -> None:
    square = ((0, 0), (10, 0), (10, 10), (0, 10))
    assert [len(ways_up(shape, 0)) for shape in (Disc(5), Rectangle(5, 5), Rectangle(5, 6))] == [
        1, 1, 2,
    ]  # fmt: skip
    assert [len(ways_up(Polygon(outline), 0)) for outline in (square, L)] == [1, 4]
    assert [shape.turned for shape in ways_up(Polygon(L), 0)] == [0, 1, 2, 3]


@pytest.mark.parametrize("name", OUTLINES)
def test_convex_pieces_cover_an_outline_once(name: str) -> None:
    pieces = [shapely.Polygon(core.corners) for core in convex_cores(OUTLINES[name])]

    whole = shapely.Polygon(OUTLINES[name])
    assert sum(piece.area for piece in pieces) == pytest.approx(whole.area, rel=1e-12)
    assert shapely.union_all(pieces).symmetric_difference(whole).area < 1e-9 * whole.area
    assert all(piece.convex_hull.area <= piece.area * (1 + 1e-12) for piece in pieces)


def test_an_l_is_two_boxes() -> None:
    assert [core.box is not None for core in convex_cores(L)] == [True, True]


def test_pieces_go_on_past_a_level_where_they_stay_convex() -> None:
    """A trough with uneven arms: the higher arm is one box past the level where the other ends."""
    trough = ((0, 0), (60, 0), (60, 40), (50, 40), (50, 10), (10, 10), (10, 30), (0, 30))
    assert [core.box for core in convex_cores(trough)] == [
        (30, 5, 30, 5), (5, 20, 5, 10), (55, 25, 5, 15),
    ]  # fmt: skip
    # A kite with a notch: three pieces, as its two slanted sides go on past the notch's level.
    kite = ((0, -30), (20, 0), (5, 30), (0, 10), (-5, 30), (-20, 0))
    assert len(convex_cores(kite)) == 3


@pytest.mark.parametrize("one", OUTLINES)
@pytest.mark.parametrize("other", [*OUTLINES, "disc", "rounded"])
def test_clear_is_what_shapely_says(one: str, other: str) -> None:
    """On a lattice of ways, but for those that are within 1e-3 mm of the limit."""
    named = {"disc": Disc(17), "rounded": RoundedRectangle(40, 30, 8)}
    first = Polygon(OUTLINES[one])
    second = named.get(other) or Polygon(OUTLINES[other])
    shapes = ways_up(first, 0)[0], ways_up(second, 1)[0]
    dx, dy = np.arange(-90.03, 90.0, 5.3), np.arange(-80.07, 80.0, 5.9)
    got = clear_at(*shapes, dx, dy, spacing=3.0, tolerance=1e-6)

    ways = np.stack(np.meshgrid(dx, dy), axis=-1)[:, :, None, :]
    moved = shapely.polygons(np.array(first.corners_mm) + ways)
    core = shapely.MultiPoint(shapes[1].cores[0].corners).convex_hull
    still = shapely.Polygon(second.corners_mm) if isinstance(second, Polygon) else core
    gaps = shapely.distance(moved, still) - shapes[1].rim - 3.0
    sure = np.abs(gaps) > 1e-3
    assert sure.mean() > 0.99
    assert (got[sure] == (gaps[sure] > 0)).all()
