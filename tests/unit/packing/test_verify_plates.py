"""The independent check raises for every way in which a layout can be wrong."""

import math

import pytest

from mouldgen.errors import LayoutError
from mouldgen.packing.shapes import Bed, Disc, Placed, Rectangle, RectBed, RoundBed
from mouldgen.packing.verify import verify_plates

BED = RectBed(100, 80)
ROUND = RoundBed(100)
DISC = Disc(10)
BAR = Rectangle(40, 10)


def check(
    items: list[Disc | Rectangle],
    *plates: list[Placed],
    bed: Bed = BED,
    margin: float = 5.0,
    spacing: float = 3.0,
) -> None:
    verify_plates(items, bed, plates, margin_mm=margin, spacing_mm=spacing)


def test_accepts_pieces_that_meet_margin_and_spacing_exactly() -> None:
    check([DISC, DISC, BAR], [Placed(0, 15, 15), Placed(1, 38, 15), Placed(2, 25, 70)])


def test_accepts_pieces_of_two_plates_at_the_same_position() -> None:
    check([DISC, DISC], [Placed(0, 15, 15)], [Placed(1, 15, 15)])


def test_accepts_no_items_on_no_plates() -> None:
    check([])


@pytest.mark.parametrize(
    ("items", "plate", "message"),
    [
        pytest.param(
            [DISC, DISC], [Placed(0, 15, 15), Placed(1, 25, 15)], "items 0 and 1 overlap",
            id="discs overlap",
        ),
        pytest.param(
            [DISC, DISC], [Placed(0, 15, 15), Placed(1, 15, 15)], "items 0 and 1 overlap",
            id="discs in one place",
        ),
        pytest.param(
            [DISC, DISC], [Placed(0, 15, 15), Placed(1, 37.99, 15)], "are 2.990 mm apart",
            id="spacing short by 0.01",
        ),
        pytest.param(
            [DISC, BAR], [Placed(0, 30, 30), Placed(1, 30, 30)], "items 0 and 1 overlap",
            id="disc inside a rectangle",
        ),
        pytest.param(
            [BAR, BAR], [Placed(0, 40, 40), Placed(1, 40, 40, turned=True)],
            "items 0 and 1 overlap",
            id="rectangles cross",
        ),
        pytest.param(
            [BAR, BAR], [Placed(0, 40, 30), Placed(1, 40, 42)], "are 2.000 mm apart",
            id="rectangles too close",
        ),
    ],
)  # fmt: skip
def test_raises_for_pieces_too_close(
    items: list[Disc | Rectangle], plate: list[Placed], message: str
) -> None:
    with pytest.raises(LayoutError, match=message):
        check(items, plate)


@pytest.mark.parametrize(
    ("item", "placed", "bed", "over"),
    [
        pytest.param(DISC, Placed(0, 14.99, 40), BED, 0.01, id="left"),
        pytest.param(DISC, Placed(0, 86, 40), BED, 1, id="right"),
        pytest.param(DISC, Placed(0, 50, 14), BED, 1, id="front"),
        pytest.param(DISC, Placed(0, 50, 66), BED, 1, id="back"),
        pytest.param(DISC, Placed(0, -500, 40), BED, 515, id="beside the bed"),
        pytest.param(BAR, Placed(0, 24, 40), BED, 1, id="rectangle"),
        pytest.param(BAR, Placed(0, 50, 24, turned=True), BED, 1, id="turned rectangle"),
        pytest.param(DISC, Placed(0, 86, 50), ROUND, 1, id="round bed"),
        pytest.param(DISC, Placed(0, 76, 76), ROUND, 26 * math.sqrt(2) - 35, id="its corner"),
        pytest.param(BAR, Placed(0, 50, 86), ROUND, math.hypot(20, 41) - 45, id="corner of bar"),
    ],
)
def test_raises_for_a_piece_over_the_margin(
    item: Disc | Rectangle, placed: Placed, bed: Bed, over: float
) -> None:
    with pytest.raises(LayoutError, match=rf"item 0 reaches {over:.3f} mm over the margin"):
        check([item], [placed], bed=bed)


def test_turning_is_looked_at() -> None:
    check([BAR], [Placed(0, 50, 12, turned=False)])
    with pytest.raises(LayoutError, match="over the margin"):
        check([BAR], [Placed(0, 50, 12, turned=True)])


@pytest.mark.parametrize(
    ("plates", "message"),
    [
        pytest.param([[Placed(0, 20, 20)]], "item 1 is on no plate", id="missing"),
        pytest.param([], "item 0 is on no plate", id="no plates"),
        pytest.param(
            [[Placed(0, 20, 20), Placed(1, 60, 20), Placed(0, 60, 60)]],
            "item 0 is placed 2 times",
            id="twice on a plate",
        ),
        pytest.param(
            [[Placed(0, 20, 20), Placed(1, 60, 20)], [Placed(1, 60, 20)]],
            "item 1 is placed 2 times",
            id="twice on two plates",
        ),
        pytest.param(
            [[Placed(0, 20, 20), Placed(1, 60, 20), Placed(2, 60, 60)]],
            "item 2 is placed and was never given",
            id="unknown",
        ),
        pytest.param(
            [[Placed(0, 20, 20), Placed(-1, 60, 20)]],
            "item -1 is placed and was never given",
            id="negative",
        ),
    ],
)
def test_raises_unless_every_item_is_placed_once(plates: list[list[Placed]], message: str) -> None:
    with pytest.raises(LayoutError, match=message):
        check([DISC, DISC], *plates)


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_raises_for_a_position_that_is_no_number(value: float) -> None:
    with pytest.raises(LayoutError, match="not a finite number"):
        check([DISC], [Placed(0, value, 20)])


@pytest.mark.parametrize("bed", [BED, ROUND])
def test_a_plate_without_pieces_is_no_error(bed: Bed) -> None:
    check([], [], bed=bed)


def test_rectangles_may_touch_without_spacing_and_may_not_overlap() -> None:
    check([BAR, BAR], [Placed(0, 40, 30), Placed(1, 40, 40)], spacing=0)
    with pytest.raises(LayoutError, match="items 0 and 1 overlap"):
        check([BAR, BAR], [Placed(0, 40, 30), Placed(1, 40, 39.9)], spacing=0)


def test_allows_two_thousandths_of_a_millimetre() -> None:
    check([DISC, DISC], [Placed(0, 14.999, 15), Placed(1, 37.998, 15)])


def test_message_names_the_plate() -> None:
    with pytest.raises(LayoutError, match=r"^plate 2: "):
        check([DISC, DISC], [Placed(0, 15, 15)], [Placed(1, 0, 0)])
