"""Counts that can be worked out by hand, order, centring, errors, the bound."""

import logging
import math
import time

import pytest

from mouldgen.errors import InputError, NoAnswerError
from mouldgen.packing.bound import lower_bound
from mouldgen.packing.pack import pack
from mouldgen.packing.shapes import (
    Bed,
    Disc,
    Footprint,
    Placed,
    Rectangle,
    RectBed,
    RoundBed,
)
from mouldgen.packing.verify import verify_plates

_log = logging.getLogger(__name__)
SNAP = 1 / 16


def packed(
    items: list[Footprint],
    bed: Bed,
    *,
    margin: float = 0.0,
    spacing: float = 3.0,
    snap: float = 0.0,
) -> tuple[tuple[Placed, ...], ...]:
    plates = pack(items, bed, margin_mm=margin, spacing_mm=spacing, snap_mm=snap).plates
    verify_plates(items, bed, plates, margin_mm=margin, spacing_mm=spacing)
    return plates


def flat(plates: tuple[tuple[Placed, ...], ...]) -> list[tuple[int, float, float, bool]]:
    return [(p.item, p.x_mm, p.y_mm, p.turned) for plate in plates for p in plate]


def test_nothing_takes_no_plates() -> None:
    assert packed([], RectBed(100, 100)) == ()


@pytest.mark.parametrize("snap", [0.0, SNAP])
@pytest.mark.parametrize(
    ("item", "bed", "margin", "spacing", "count"),
    [
        pytest.param(Disc(20), RectBed(40, 40), 0, 3, 1, id="disc as wide as the bed"),
        pytest.param(Disc(20), RectBed(50, 50), 5, 3, 1, id="disc as wide as the margin leaves"),
        pytest.param(Disc(20), RoundBed(50), 5, 3, 1, id="disc as wide as the round bed leaves"),
        pytest.param(Disc(22), RectBed(220, 220), 0, 0, 25, id="5 x 44 is 220, touching"),
        pytest.param(Disc(17), RectBed(219, 219), 0, 3, 36, id="6 x 34 and 5 x 3 is 219"),
        pytest.param(Disc(17), RectBed(229, 229), 5, 3, 36, id="the same within a margin"),
        pytest.param(Rectangle(20, 30), RectBed(43, 63), 0, 3, 4, id="2 x 2 rectangles"),
        pytest.param(Rectangle(30, 20), RectBed(43, 63), 0, 3, 4, id="2 x 2 turned rectangles"),
        pytest.param(Rectangle(10, 20), RectBed(20, 40), 0, 0, 4, id="rectangles touching"),
        pytest.param(Rectangle(30, 40), RoundBed(50), 0, 3, 1, id="3-4-5 rectangle in a circle"),
        pytest.param(Disc(10), RectBed(20, 89), 0, 3, 4, id="discs in a strip"),
        pytest.param(Disc(10), RectBed(89, 20), 0, 3, 4, id="discs in a strip, turned"),
    ],
)
def test_exact_fits_fit(
    item: Footprint, bed: Bed, margin: float, spacing: float, count: int, snap: float
) -> None:
    plates = packed([item] * count, bed, margin=margin, spacing=spacing, snap=snap)

    assert len(plates) == 1


@pytest.mark.parametrize(
    ("item", "bed", "count"),
    [
        pytest.param(Disc(17), RectBed(218.9, 219), 36, id="6 x 34 and 5 x 3 over 218.9"),
        pytest.param(Rectangle(20, 30), RectBed(42.9, 63), 4, id="2 x 2 rectangles over 42.9"),
    ],
)
def test_a_tenth_less_than_an_exact_fit_takes_another_plate(
    item: Footprint, bed: Bed, count: int
) -> None:
    assert len(packed([item] * count, bed)) == 2


def test_seven_discs_touch_in_a_circle_three_times_as_wide() -> None:
    assert len(packed([Disc(15)] * 7, RoundBed(90), spacing=0)) == 1


def test_two_blocks_of_which_one_is_turned_hold_seven() -> None:
    # 3 of 60 wide in a row 90 deep, and above it 2 x 2 turned: 90 + 3 + 2 x 60 + 3 = 216.
    assert len(packed([Rectangle(60, 90)] * 7, RectBed(220, 220))) == 1


def test_staggered_rows_hold_more_than_a_square_grid_and_a_raster() -> None:
    # Stretched to 4 in a row: rise sqrt(50.5^2 - 28.75^2) = 41.5, so five rows of 4, 3, 4, 3, 4.
    assert len(packed([Disc(23.75)] * 18, RectBed(220, 220))) == 1


def test_positions_are_multiples_of_the_snap_exactly() -> None:
    items = [Disc(17.03)] * 20 + [Disc(20.11)] * 20 + [Rectangle(31.7, 12.9)] * 10
    for bed in (RectBed(221.3, 199.9), RoundBed(250.7)):
        plates = packed(items, bed, margin=4.9, spacing=2.7, snap=SNAP)

        assert all((x * 16).is_integer() and (y * 16).is_integer() for _, x, y, _ in flat(plates))


def test_the_same_call_gives_the_same_layout() -> None:
    items = [Disc(17), Rectangle(60, 90), Disc(20), Rectangle(38, 140)] * 12

    assert flat(packed(items, RectBed(220, 220))) == flat(packed(items, RectBed(220, 220)))


def test_items_are_told_apart_in_any_order() -> None:
    items: list[Footprint] = [Disc(10), Disc(20)] * 10
    plates = packed(items, RectBed(220, 220))

    assert sorted(item for item, *_ in flat(plates)) == list(range(20))


def test_one_piece_lies_in_the_middle() -> None:
    for bed in (RectBed(220, 180), RoundBed(200)):
        ((place,),) = packed([Disc(15)], bed, margin=5)

        middle = (110, 90) if isinstance(bed, RectBed) else (100, 100)
        assert (place.x_mm, place.y_mm) == pytest.approx(middle)


def test_the_emptiest_plate_is_the_last() -> None:
    plates = packed([Disc(17)] * 80, RectBed(220, 220))

    assert [len(plate) for plate in plates] == [36, 36, 8]


def test_repeated_plates_are_as_many_as_needed() -> None:
    assert [len(p) for p in packed([Disc(17)] * 1000, RectBed(220, 220))] == [36] * 27 + [28]


@pytest.mark.parametrize(
    ("item", "bed", "told"),
    [
        (Disc(20.1), RectBed(40, 400), r"item 2 \(a disc of 40.2 mm\) .* a bed of 40 x 400 mm"),
        (Disc(26), RoundBed(50), r"item 2 \(a disc of 52 mm\) does not fit on a round bed of 50"),
        (Rectangle(31, 40), RoundBed(50), r"item 2 \(a rectangle of 31 x 40 mm\)"),
        (Rectangle(50, 50), RectBed(400, 49), r"item 2 \(a rectangle of 50 x 50 mm\)"),
        (Disc(1e9), RectBed(220, 220), r"item 2 \(a disc of 2e\+09 mm\)"),
    ],
)
def test_an_item_too_large_for_the_bed_is_named(item: Footprint, bed: Bed, told: str) -> None:
    with pytest.raises(NoAnswerError, match=told):
        packed([Disc(1), item], bed)


def test_margin_is_told_when_it_is_in_the_way() -> None:
    with pytest.raises(NoAnswerError, match="with 12 mm kept free along its edge"):
        packed([Disc(20)], RectBed(60, 60), margin=12)


def test_a_margin_that_eats_the_bed_leaves_no_room() -> None:
    for bed in (RectBed(60, 60), RoundBed(60)):
        with pytest.raises(NoAnswerError, match="does not fit"):
            packed([Disc(1)], bed, margin=31)


@pytest.mark.parametrize("value", [-1.0, math.nan, math.inf])
@pytest.mark.parametrize("key", ["margin_mm", "spacing_mm", "snap_mm"])
def test_lengths_that_make_no_sense_are_refused(key: str, value: float) -> None:
    lengths = {"margin_mm": 0.0, "spacing_mm": 3.0, "snap_mm": 0.0, key: value}
    with pytest.raises(InputError, match="cannot be"):
        pack([Disc(1)], RectBed(10, 10), **lengths)


@pytest.mark.parametrize("value", [0.0, -1.0, math.nan, math.inf])
def test_shapes_without_size_are_refused(value: float) -> None:
    for make in (Disc, RoundBed, lambda v: Rectangle(v, 1), lambda v: RectBed(1, v)):
        with pytest.raises(InputError, match="Allowed: a length over 0 mm"):
            make(value)


def test_bound_by_area() -> None:
    # 5 squares of 100 and spacing 0 cover 50 000 of 40 000 mm2.
    assert lower_bound([Rectangle(100, 100)] * 4, RectBed(200, 200), margin_mm=0, spacing_mm=0) == 1
    assert lower_bound([Rectangle(100, 100)] * 5, RectBed(200, 200), margin_mm=0, spacing_mm=0) == 2
    assert lower_bound([Disc(50)] * 2, RectBed(120, 120), margin_mm=0, spacing_mm=0) == 2


def test_bound_by_the_sides_of_rectangles() -> None:
    # One square of 100 to a bed of 198, though two by two take no more than 40 000 mm2.
    bed = RectBed(200, 200)
    assert lower_bound([Rectangle(100, 100)] * 4, bed, margin_mm=0, spacing_mm=0) == 1
    assert lower_bound([Rectangle(100, 100)] * 4, bed, margin_mm=1, spacing_mm=0) == 4
    # 38 x 140 on 220 with spacing 3: an exact solver proved 6 to a plate, as the sides do; by
    # area it would be 8.
    many = [Rectangle(38, 140)] * 60
    assert lower_bound(many, RectBed(220, 220), margin_mm=0, spacing_mm=3) == 10


def test_bound_by_the_number_of_discs() -> None:
    # Two discs of 100 cover 15 708 of 22 500 mm2, and 2 do fit by Oler's inequality:
    # 2/sqrt(3) 0.25 + 1 + 1 = 2.29; a third does not, though its area would.
    bed = RectBed(150, 150)
    assert lower_bound([Disc(50)] * 2, bed, margin_mm=0, spacing_mm=0) == 1
    assert lower_bound([Disc(50)] * 3, bed, margin_mm=0, spacing_mm=0) == 2


def test_bound_of_nothing_is_no_plate_and_of_anything_is_one() -> None:
    assert lower_bound([], RoundBed(100), margin_mm=0, spacing_mm=3) == 0
    assert lower_bound([Disc(1)], RoundBed(100), margin_mm=0, spacing_mm=3) == 1


@pytest.mark.bench
def test_a_common_order_is_laid_out_and_checked_in_25_ms() -> None:
    items: list[Footprint] = [Disc(17)] * 22 + [Disc(20)] * 22
    times = []
    for _ in range(9):
        start = time.perf_counter()
        packed(items, RectBed(220, 220), margin=5, snap=SNAP)
        times.append(time.perf_counter() - start)

    _log.info("44 discs on beds of 220 x 220 mm: %.1f ms, bar 25", 1000.0 * min(times))
    assert min(times) < 0.025  # the least of them: a busy moment says nothing about the code
