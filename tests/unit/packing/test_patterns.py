"""Patterns of one footprint, the descent, the set cover, and keep-outs in a whole layout."""

from collections.abc import Sequence

import numpy as np
import pytest

from mouldgen.errors import InputError, NoAnswerError
from mouldgen.packing.area import Area, Spot
from mouldgen.packing.circle_rows import circle_rows
from mouldgen.packing.cover import Pool
from mouldgen.packing.descent import lowest
from mouldgen.packing.five_block import five_blocks
from mouldgen.packing.outline import ways_up
from mouldgen.packing.pack import holds_one, pack
from mouldgen.packing.plates import fill_all, held
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
)
from mouldgen.packing.verify import verify_plates

SQUARE = RectBed(220, 220)
L = Polygon(((0, 0), (80, 0), (80, 25), (25, 25), (25, 60), (0, 60)))


def checked(item: Footprint, spots: list[Spot], bed: Bed, spacing: float = 3.0) -> int:
    plate = [Placed(i, spot.x, spot.y, spot.shape.turned) for i, spot in enumerate(spots)]
    verify_plates([item] * len(plate), bed, [plate], margin_mm=0, spacing_mm=spacing)
    return len(plate)


# 60 x 90: the prototype, which an integer solver confirmed; 38 x 140 the same.  The others are
# of the literature on loading pallets: instances (L, W, l, w) with the optimum that five blocks
# reach (Bischoff and Dowsland 1982 and later; quoted from memory, all checked by area or hand).
@pytest.mark.parametrize("snap", [0.0, 1 / 16])
@pytest.mark.parametrize(
    ("bed", "item", "spacing", "count"),
    [
        (SQUARE, Rectangle(60, 90), 3.0, 8),
        (SQUARE, Rectangle(38, 140), 3.0, 6),
        (RectBed(22, 16), Rectangle(5, 3), 0.0, 23),
        (RectBed(30, 22), Rectangle(7, 4), 0.0, 23),
        (RectBed(5, 5), Rectangle(3, 2), 0.0, 4),  # four round a hole of 1 x 1
    ],
)
def test_five_blocks(
    bed: RectBed, item: Rectangle, spacing: float, count: int, snap: float
) -> None:
    spots = five_blocks(ways_up(item, 0), Area(bed, 0, spacing, snap))

    assert checked(item, spots, bed, spacing) == count


def test_five_blocks_are_not_for_round_beds_or_squares() -> None:
    assert five_blocks(ways_up(Rectangle(60, 90), 0), Area(RoundBed(250), 0, 3, 0)) == []
    assert five_blocks(ways_up(Rectangle(60, 60), 0), Area(SQUARE, 0, 3, 0)) == []


# What a row programme of an independent prototype found in a pot of 250 mm less 2 all round.
@pytest.mark.parametrize(
    ("width", "depth", "count"),
    [
        (38, 140, 5), (60, 90, 5), (40, 60, 14), (30, 50, 22), (52, 52, 12), (70, 100, 4),
        (25, 110, 10),
    ],
)  # fmt: skip
def test_rows_across_a_circle(width: float, depth: float, count: int) -> None:
    item, bed = Rectangle(width, depth), RoundBed(246)
    spots = circle_rows(ways_up(item, 0), Area(bed, 0, 3, 0))

    assert checked(item, spots, bed) >= count


def test_the_descent_finds_the_minimum_of_a_curved_valley() -> None:
    # Rosenbrock's function: 0 at 1, 1.
    def valley(at: np.ndarray) -> tuple[float, np.ndarray]:
        x, y = at
        grad = np.array([-400 * x * (y - x * x) - 2 * (1 - x), 200 * (y - x * x)])
        return float(100 * (y - x * x) ** 2 + (1 - x) ** 2), grad

    at, value = lowest(valley, np.array([-1.2, 1.0]), steps=200, gain=0.0, slope=1e-10)

    assert at == pytest.approx([1.0, 1.0], abs=1e-8)
    assert value < 1e-16


def test_the_cover_takes_the_fewest_plates_and_what_is_over_off_them() -> None:
    shape = [ways_up(Disc(5), 0)[0], ways_up(Disc(6), 1)[0]]
    pool = Pool([6, 6])
    for plate in ([4, 0], [0, 4], [3, 2], [2, 3]):
        pool.add([Spot(shape[kind], 0.0, 0.0) for kind in (0, 1) for _ in range(plate[kind])])
    relaxed = pool.relaxed()

    assert relaxed.optimum == pytest.approx(2.4)  # 1.2 of 3 + 2 and 1.2 of 2 + 3
    assert relaxed.plates == 3
    assert relaxed.values == pytest.approx((0.2, 0.2))
    plates = pool.at_most(3, relaxed)
    assert plates is not None
    assert len(plates) == 3
    assert sum(map(len, plates)) == 12
    assert pool.at_most(2, relaxed) is None


def test_plates_of_two_kinds_are_repeated_until_the_scarcer_is_short() -> None:
    shapes = [ways_up(Disc(5), 0)[0], ways_up(Disc(6), 1)[0]]

    def two_and_one(left: Sequence[int]) -> list[Spot]:
        counts = min(2, left[0]), min(1, left[1])
        return [Spot(shapes[kind], 0.0, 0.0) for kind in (0, 1) for _ in range(counts[kind])]

    plates = fill_all(two_and_one, [11, 3])
    assert plates is not None
    assert [held(plate, 2) for plate in plates] == [(2, 1)] * 3 + [(2, 0)] * 2 + [(1, 0)]


def test_nothing_lies_on_a_keep_out_or_within_its_clearance() -> None:
    clips = [
        KeepOut.rectangle(0, 95, 12, 30, clearance_mm=2),
        KeepOut(((100, 0), (140, 0), (120, 30)), clearance_mm=4),
    ]
    items: list[Footprint] = [Disc(17)] * 20 + [L] * 6 + [Rectangle(30, 50)] * 6
    for bed in (SQUARE, RoundBed(250)):
        found = pack(items, bed, margin_mm=5, spacing_mm=3, snap_mm=1 / 16, keep_outs=clips)

        verify_plates(items, bed, found.plates, margin_mm=5, spacing_mm=3, keep_outs=clips)
        assert found.bound <= len(found) <= 3


def test_a_keep_out_in_the_middle_leaves_no_room_for_a_large_part() -> None:
    hole = KeepOut.rectangle(100, 100, 20, 20)
    with pytest.raises(NoAnswerError, match=r"does not fit on .* beside its keep-outs"):
        pack([Disc(60)], SQUARE, margin_mm=0, spacing_mm=3, keep_outs=[hole])
    assert not holds_one(Disc(60), SQUARE, margin_mm=0, keep_outs=[hole])
    assert holds_one(Disc(49), SQUARE, margin_mm=0, keep_outs=[hole])


def test_ls_lie_in_one_anothers_arms() -> None:
    # By their boxes of 83 x 63 on 223 x 223 no more than 7 would lie on a plate.
    found = pack([L] * 12, SQUARE, margin_mm=0, spacing_mm=3)

    assert len(found) == 1


def test_a_search_says_what_effort_was_needed_and_stops_at_the_bound() -> None:
    found = pack([Disc(30)] * 11, SQUARE, margin_mm=0, spacing_mm=3, effort="thorough")

    assert (len(found), found.bound, found.effort, found.fewest) == (1, 1, "usual", True)
    assert not found.cut_short
    quick = pack([Disc(30)] * 11, SQUARE, margin_mm=0, spacing_mm=3)
    assert (len(quick), quick.effort, quick.fewest) == (2, "quick", False)


def test_an_effort_that_there_is_not_is_refused() -> None:
    with pytest.raises(InputError, match="Allowed: quick, usual, thorough"):
        pack([Disc(30)], SQUARE, margin_mm=0, spacing_mm=3, effort="endless")  # type: ignore[arg-type]
