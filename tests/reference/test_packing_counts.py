"""Plates and counts against figures that were not found by this package.

`RASTER` are counts that an independent prototype (a raster of no-fit positions) reached, `BEST`
the best known, from the table of equal circles in a square (Specht; Graham et al. 1998), with
the bed grown by the spacing.  The numbers of plates are those of the same prototype.
"""

import pytest

from mouldgen.packing.area import Area
from mouldgen.packing.hexagonal import hexagonal_rows
from mouldgen.packing.outline import ways_up
from mouldgen.packing.pack import pack
from mouldgen.packing.shapes import Bed, Disc, Footprint, Rectangle, RectBed, RoundBed
from mouldgen.packing.verify import verify_plates

SQUARE = RectBed(220, 220)
ROUND = RoundBed(250)


def plates(items: list[Footprint], bed: Bed, snap: float = 0.0) -> list[int]:
    found = pack(items, bed, margin_mm=0, spacing_mm=3, snap_mm=snap)
    verify_plates(items, bed, found, margin_mm=0, spacing_mm=3)
    return [len(plate) for plate in found]


def discs(diameter: float, count: int) -> list[Footprint]:
    return [Disc(diameter / 2)] * count


@pytest.mark.parametrize("snap", [0.0, 1 / 16])
@pytest.mark.parametrize(
    ("items", "bed", "most"),
    [
        pytest.param(discs(34, 24) + discs(40, 24), SQUARE, 2, id="A"),
        # The prototype's greedy pass takes 6; 5 is the best known.
        pytest.param(discs(34, 72) + discs(40, 72), SQUARE, 5, id="A3"),
        # 6 to a plate is proven for rectangles along the axes.
        pytest.param([Rectangle(38, 140)] * 60, SQUARE, 10, id="B"),
        pytest.param(
            discs(34, 24) + discs(40, 24) + [Rectangle(38, 140)] * 12 + [Rectangle(60, 90)] * 8,
            SQUARE,
            5,
            id="C",
        ),
        pytest.param(discs(34, 24) + discs(40, 24), ROUND, 2, id="E"),
        pytest.param(
            discs(34, 24) + discs(40, 24) + [Rectangle(38, 140)] * 12 + [Rectangle(60, 90)] * 8,
            ROUND,
            5,
            id="E3",
        ),
    ],
)
def test_plates_of_the_house_cases(
    items: list[Footprint], bed: Bed, most: int, snap: float
) -> None:
    assert len(plates(items, bed, snap)) <= most


@pytest.mark.parametrize("snap", [0.0, 1 / 16])
@pytest.mark.parametrize(
    ("diameter", "raster", "best"),
    [
        (30, 42, 46),
        (34, 36, 36),
        (36.4, 30, 31),
        (40, 25, 25),
        (43, 20, 22),
        (47.5, 16, 18),
        (52, 16, 16),
        (60, 9, 11),
        (67, 9, 9),
        (80, 5, 6),
    ],
)
def test_discs_to_a_plate(diameter: float, raster: int, best: int, snap: float) -> None:
    assert raster <= plates(discs(diameter, 60), SQUARE, snap)[0] <= best


def test_rectangles_to_a_plate() -> None:
    assert plates([Rectangle(38, 140)] * 12, SQUARE) == [6, 6]


@pytest.mark.parametrize(
    ("diameter", "count"),
    [(30, 42), (34, 33), (40, 23), (46, 19), (52, 13), (60, 9), (70, 7), (80, 7), (95, 3)],
)
def test_hexagonal_pattern_at_its_best_shift_in_a_circle(diameter: float, count: int) -> None:
    area = Area(ROUND, margin=2, spacing=3, snap=0)
    (disc,) = ways_up(Disc(diameter / 2), 0)

    assert len(hexagonal_rows(disc, area)) == count
