"""The bound never denies what fits: exact numbers of small rectangles, and fits by a hair."""

import math
import random
from functools import cache

import pytest

from mouldgen.packing.area import TOLERANCE_MM
from mouldgen.packing.bound import lower_bound, most_discs
from mouldgen.packing.pack import pack
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


@cache
def most_on_cells(width: int, depth: int, sides: tuple[int, int]) -> int:
    """The most whole rectangles, either way up, on a bed of cells, by trying all.

    Whole sides lie best on whole positions: pushed front and left, nothing else is left.
    """
    ways = sorted({sides, sides[::-1]})

    def place(cells: tuple[int, ...]) -> int:
        # The first cell that is free is covered by the lower left of a piece, or stays free.
        first = next((i for i, taken in enumerate(cells) if not taken), None)
        if first is None:
            return 0
        return best(cells, first)

    @cache
    def best(cells: tuple[int, ...], first: int) -> int:
        y, x = divmod(first, width)
        free = list(cells)
        free[first] = 1
        found = place(tuple(free))
        for w, d in ways:
            covered = [(y + j) * width + x + i for j in range(d) for i in range(w)]
            if x + w <= width and y + d <= depth and not any(cells[k] for k in covered):
                left = list(cells)
                for k in covered:
                    left[k] = 1
                found = max(found, 1 + place(tuple(left)))
        return found

    return place((0,) * (width * depth))


@pytest.mark.parametrize("sides", [(1, 2), (2, 2), (1, 3), (2, 3), (3, 3), (2, 4)])
@pytest.mark.parametrize("bed", [(3, 3), (4, 3), (4, 4), (5, 3), (5, 4), (5, 5)])
def test_no_bound_is_over_the_exact_number_of_plates(
    bed: tuple[int, int], sides: tuple[int, int]
) -> None:
    """With a spacing too, which goes into sides and bed: whole numbers of 10 mm less 3."""
    most = most_on_cells(*bed, sides)
    for spacing in (0.0, 3.0):
        item = Rectangle(*(10.0 * side - spacing for side in sides))
        there = RectBed(*(10.0 * side - spacing for side in bed))
        for plates in (1, 2, 3) if most else ():
            items = [item] * (most * plates)
            bound = lower_bound(items, there, margin_mm=0, spacing_mm=spacing)
            assert bound <= plates
            found = pack(items, there, margin_mm=0, spacing_mm=spacing)
            assert plates <= len(found) <= plates + 1


def test_the_exact_search_knows_the_pinwheel() -> None:
    assert most_on_cells(5, 5, (2, 3)) == 4


HAIR = TOLERANCE_MM / 3


@pytest.mark.parametrize("snap", [0.0, 1 / 16])
@pytest.mark.parametrize(
    ("item", "bed", "count", "spacing"),
    [
        pytest.param(Rectangle(20 + HAIR / 11, 20), RectBed(220, 220), 121, 0, id="rectangles"),
        pytest.param(Rectangle(20 + HAIR, 20 + HAIR), RectBed(60, 60), 9, 0, id="few of them"),
        pytest.param(Disc(22 + HAIR / 2), RectBed(44 + HAIR, 88), 2, 0, id="discs"),
        pytest.param(Disc(20), RectBed(83 - HAIR, 40), 2, 3, id="discs with a spacing"),
        pytest.param(
            RoundedRectangle(20 + HAIR, 40, 2), RectBed(63, 40), 2, 23 - 20, id="soft corners"
        ),
        pytest.param(
            Polygon(((0, 0), (20 + HAIR, 0), (20 + HAIR, 20), (0, 20))), RectBed(40, 40), 4, 0,
            id="polygons",
        ),
    ],
)  # fmt: skip
def test_what_fits_by_the_packers_tolerance_is_within_the_bound(
    item: Footprint, bed: Bed, count: int, spacing: float, snap: float
) -> None:
    found = pack([item] * count, bed, margin_mm=0, spacing_mm=spacing, snap_mm=snap)

    assert (len(found), found.bound) == (1, 1)


def test_a_keep_out_that_is_just_cleared_is_within_the_bound() -> None:
    zone = KeepOut.rectangle(20 - HAIR, 0, 20, 20)
    items = [Rectangle(20, 20)]
    found = pack(items, RectBed(40, 20), margin_mm=0, spacing_mm=0, keep_outs=[zone])

    assert (len(found), found.bound) == (1, 1)


def test_the_spacing_between_pieces_is_not_kept_from_a_keep_out() -> None:
    """Both pieces touch the zone between them, and the spacing is as wide as the zone."""
    zone = KeepOut.rectangle(20, 0, 20, 20)
    items = [Rectangle(20, 20)] * 2
    found = pack(items, RectBed(60, 20), margin_mm=0, spacing_mm=20, keep_outs=[zone])

    assert (len(found), found.bound) == (1, 1)


def test_soft_corners_are_bounded_by_the_rectangles_within_them() -> None:
    """One to a bed: two of 100 need 200 each way, less what corners of 0.5 let them nest."""
    items = [RoundedRectangle(100, 100, 0.5)] * 4
    assert lower_bound(items, RectBed(198, 198), margin_mm=0, spacing_mm=0) == 4
    # Two with corners of 15 nest across theirs, so that one more fits than sharp ones would.
    nested = [RoundedRectangle(100, 100, 15)] * 2
    side = 100 + 70 + 30 / math.sqrt(2)
    plate = [Placed(0, 50, 50), Placed(1, side - 50, side - 50)]
    verify_plates(nested, RectBed(side, side), [plate], margin_mm=0, spacing_mm=0)
    assert lower_bound(nested, RectBed(side, side), margin_mm=0, spacing_mm=0) == 1
    assert lower_bound(nested, RectBed(side - 0.1, side - 0.1), margin_mm=0, spacing_mm=0) == 2


@pytest.mark.parametrize("radius", [5.0, 9.0, 14.0])
def test_olers_inequality_is_over_the_best_known_numbers(radius: float) -> None:
    """Random beds against rows, which any bound on discs must allow."""
    dice = random.Random(int(radius))
    for _ in range(30):
        bed: Bed = RectBed(dice.uniform(30, 120), dice.uniform(30, 120))
        across, back = (int(side / (2 * radius) + 1e-9) for side in (bed.width_mm, bed.depth_mm))
        assert most_discs(radius, bed, 0.0, 0.0) >= across * back
    assert most_discs(radius, RoundBed(6 * radius), 0.0, 0.0) >= 7
