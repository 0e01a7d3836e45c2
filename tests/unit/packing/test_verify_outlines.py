"""The independent check of rounded rectangles, polygons and keep-outs."""

import math

import pytest

from mouldgen.errors import LayoutError
from mouldgen.packing.shapes import (
    Bed,
    Disc,
    Footprint,
    KeepOut,
    Placed,
    Polygon,
    Rectangle,
    RectBed,
    RoundBed,
    RoundedRectangle,
)
from mouldgen.packing.verify import verify_plates

BED = RectBed(200, 200)
L = Polygon(((0, 0), (80, 0), (80, 25), (25, 25), (25, 60), (0, 60)))
SOFT = RoundedRectangle(40, 40, 10)
CLIP = KeepOut.rectangle(0, 90, 20, 20, clearance_mm=2)


def check(
    items: list[Footprint],
    plate: list[Placed],
    bed: Bed = BED,
    keep_outs: tuple[KeepOut, ...] = (),
    spacing: float = 3.0,
) -> None:
    verify_plates(items, bed, [plate], margin_mm=0, spacing_mm=spacing, keep_outs=keep_outs)


def test_a_disc_may_lie_in_the_arm_of_an_l_and_no_closer() -> None:
    # The inner corner of the L at 50, 50 is at 35, 45: a disc of 10 keeps 3 mm from both arms.
    check([L, Disc(10)], [Placed(0, 50, 50), Placed(1, 48, 58)])
    with pytest.raises(LayoutError, match=r"items 0 and 1 are 2.900 mm apart"):
        check([L, Disc(10)], [Placed(0, 50, 50), Placed(1, 47.9, 58)])


def test_ls_that_cross_overlap() -> None:
    with pytest.raises(LayoutError, match="items 0 and 1 overlap"):
        check([L, L], [Placed(0, 50, 50), Placed(1, 60, 60, turned=2)])


@pytest.mark.parametrize("turned", range(4))
def test_each_quarter_turn_of_a_polygon_is_looked_at(turned: int) -> None:
    """A disc at the upper right corner of the L's box, where only the straight L is hollow."""
    half = (40, 30) if turned % 2 == 0 else (30, 40)
    disc = Placed(1, 100 + half[0] - 12.5, 100 + half[1] - 12.5)
    plate = [Placed(0, 100, 100, turned=turned), disc]
    if turned == 0:
        check([L, Disc(5)], plate)
    else:
        with pytest.raises(LayoutError, match="items 0 and 1 overlap"):
            check([L, Disc(5)], plate)


def test_round_corners_are_round() -> None:
    # Centres of the corners 10 in from each side: 23/root 2 apart each way they keep 3 mm.
    step = 20 + 23 / math.sqrt(2)
    check([SOFT, SOFT], [Placed(0, 50, 50), Placed(1, 50 + step, 50 + step)])
    with pytest.raises(LayoutError, match=r"are 2\.8"):
        check([SOFT, SOFT], [Placed(0, 50, 50), Placed(1, 50 + step - 0.1, 50 + step - 0.1)])
    square = Rectangle(40, 40)
    with pytest.raises(LayoutError, match="items 0 and 1 overlap"):
        check([square, square], [Placed(0, 50, 50), Placed(1, 50 + step, 50 + step)])


def test_round_corners_reach_nearer_to_a_round_edge() -> None:
    # The rectangle within the corners is 20 x 20: its corners are 10 root 2 from the middle.
    inside = 10 * math.sqrt(2) + 10
    check([SOFT], [Placed(0, inside, inside)], RoundBed(2 * inside))
    with pytest.raises(LayoutError, match=r"reaches 0\.010 mm over the margin"):
        check([SOFT], [Placed(0, inside - 0.01, inside - 0.01)], RoundBed(2 * inside - 0.02))


@pytest.mark.parametrize(
    ("item", "placed", "told"),
    [
        (Disc(10), Placed(0, 31.9, 100), "item 0 is 1.900 mm from a keep-out"),
        (Disc(10), Placed(0, 10, 100), "item 0 lies over a keep-out"),
        (Rectangle(20, 20), Placed(0, 31.9, 100), "item 0 is 1.900 mm from a keep-out"),
        (Rectangle(20, 20), Placed(0, 25, 100), "item 0 lies over a keep-out"),
        (SOFT, Placed(0, 41.9, 100), "item 0 is 1.900 mm from a keep-out"),
        (L, Placed(0, 61.9, 100), "item 0 is 1.900 mm from a keep-out"),
        (L, Placed(0, 50, 100), "item 0 lies over a keep-out"),
    ],
)
def test_a_keep_out_is_kept_clear(item: Footprint, placed: Placed, told: str) -> None:
    with pytest.raises(LayoutError, match=rf"plate 1: {told}.*2 mm or more"):
        check([item], [placed], keep_outs=(CLIP,))
    check([item], [Placed(0, placed.x_mm + 40, 100)], keep_outs=(CLIP,))


def test_a_keep_out_without_clearance_may_be_touched() -> None:
    zone = KeepOut.rectangle(0, 0, 20, 200)
    check([Rectangle(20, 20)], [Placed(0, 30, 100)], keep_outs=(zone,))
    with pytest.raises(LayoutError, match="lies over a keep-out"):
        check([Rectangle(20, 20)], [Placed(0, 29.99, 100)], keep_outs=(zone,))


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (RoundedRectangle(40, 40, 5e-4), RoundedRectangle(40, 40, 5e-4)),
        (RoundedRectangle(40, 40, 5e-4), Rectangle(40, 40)),
        (Rectangle(40, 40), Disc(5e-4)),
        (Rectangle(40, 40), Rectangle(0.003, 40)),
    ],
)
def test_rims_thinner_than_the_allowance_hide_no_overlap(one: Footprint, other: Footprint) -> None:
    """A gap of minus the rims alone would pass for a little too close."""
    with pytest.raises(LayoutError, match="items 0 and 1 overlap"):
        check([one, other], [Placed(0, 50, 50), Placed(1, 60, 50)], spacing=0)
    with pytest.raises(LayoutError, match="lies over a keep-out"):
        check([other], [Placed(0, 30, 100)], keep_outs=(KeepOut.rectangle(0, 90, 60, 20),))
    check([one, other], [Placed(0, 50, 50), Placed(1, 95, 50)], spacing=0)
