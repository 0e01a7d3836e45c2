"""Moulds in a pot against figures that were not found by this package.

`PUBLISHED` are the ratios of the best known packings of equal discs in a circle (Graham,
Lubachevsky, Nurmela and Ostergard 1998; Specht's tables), recomputed from coordinates that others
published.
"""

import math
from itertools import combinations

import pytest

from mouldgen.job.shop_tables import Pot
from mouldgen.layout.pot import plan_pot
from mouldgen.layout.pot_mould import PotMould
from mouldgen.packing.discs_table import MOST, most_discs_in_circle, pattern_of
from mouldgen.packing.overlap import spread
from mouldgen.packing.round_bin import all_of, most_of_one
from mouldgen.packing.shapes import Disc, Footprint, Rectangle, RoundBed, RoundedRectangle
from mouldgen.packing.tiers import Piece, fewest_loads
from mouldgen.packing.verify import verify_plates
from tests.house_beds import BESIDE, IN_POT, POT

PUBLISHED = (
    1.0, 2.0, 2.1547005384, 2.4142135624, 2.7013016167, 3.0, 3.0, 3.3047648710, 3.6131259298,
    3.8130256314, 3.9238044002, 4.0296019301, 4.2360679775, 4.3284285549, 4.5213569647,
    4.6154255949, 4.7920337483, 4.8637033052, 4.8637033052, 5.1223207370, 5.2523174750,
    5.4397189591, 5.5452042226, 5.6516610918, 5.7528243309, 5.8281765369, 5.9063978474,
    6.0149380974, 6.1385979040, 6.1977410709,
)  # fmt: skip

# The same tables from 31 on, from memory and to four decimals.
FROM_MEMORY = {
    31: 6.2915, 32: 6.4295, 33: 6.4867, 34: 6.6110, 35: 6.6972, 36: 6.7468, 37: 6.7588,
    38: 6.9619, 39: 7.0579, 40: 7.1238, 41: 7.2600, 42: 7.3468, 43: 7.4200, 44: 7.4980,
    45: 7.5729, 46: 7.6502, 47: 7.7242, 48: 7.7913, 49: 7.8869, 50: 7.9475, 51: 8.0275,
    52: 8.0847, 53: 8.1796, 54: 8.2039, 55: 8.2111, 56: 8.3835, 57: 8.4472, 58: 8.5246,
    59: 8.5925, 60: 8.6463, 61: 8.6613,
}  # fmt: skip

# Closed forms, proven to be the best there are.
EXACT = {
    2: 2.0,
    3: 1.0 + 2.0 / math.sqrt(3.0),
    4: 1.0 + math.sqrt(2.0),
    5: 1.0 + math.sqrt(2.0 * (1.0 + 1.0 / math.sqrt(5.0))),
    6: 3.0,
    7: 3.0,
    8: 1.0 + 1.0 / math.sin(math.pi / 7.0),
    9: 1.0 + math.sqrt(2.0 * (2.0 + math.sqrt(2.0))),
    11: 1.0 + 1.0 / math.sin(math.pi / 9.0),
    13: 2.0 + math.sqrt(5.0),
    19: 1.0 + math.sqrt(2.0) + math.sqrt(6.0),
}


@pytest.mark.parametrize(("count", "ratio"), list(enumerate(PUBLISHED, start=1)))
def test_the_table_has_the_best_known_patterns(count: int, ratio: float) -> None:
    assert pattern_of(count).ratio == pytest.approx(ratio, rel=1e-9)


@pytest.mark.parametrize(("count", "ratio"), list(FROM_MEMORY.items()))
def test_the_table_is_as_good_up_to_its_end(count: int, ratio: float) -> None:
    # Good to 1.5 in the last place, for some tables cut where others round.
    assert pattern_of(count).ratio == pytest.approx(ratio, abs=1.5e-4)


@pytest.mark.parametrize(("count", "ratio"), list(EXACT.items()))
def test_closed_forms_are_exact(count: int, ratio: float) -> None:
    assert pattern_of(count).ratio == pytest.approx(ratio, rel=1e-11)


@pytest.mark.parametrize("count", range(2, MOST + 1))
def test_the_ratio_is_that_of_the_centres(count: int) -> None:
    pattern = pattern_of(count)

    nearest = min(math.dist(a, b) for a, b in combinations(pattern.centres, 2))
    farthest = max(math.hypot(x, y) for x, y in pattern.centres)
    assert len(pattern.centres) == count
    assert 1.0 + 2.0 * farthest / nearest == pytest.approx(pattern.ratio, rel=1e-11)


@pytest.mark.parametrize(("count", "ratio"), list(enumerate(PUBLISHED, start=1))[1:])
def test_as_many_discs_as_are_known_to_fit(count: int, ratio: float) -> None:
    """Where the published ratio leaves 0.2 % to spare, and where it leaves nothing but rounding."""
    across = 250.0
    for spare in (1.002, 1.0 + 1e-9):
        disc = (across + 3.0) / (ratio * spare) - 3.0
        assert most_discs_in_circle(disc, across, spacing_mm=3.0) >= count


@pytest.mark.parametrize(("count", "ratio"), list(EXACT.items()))
def test_an_exact_fit_fits_and_a_thousandth_more_does_not(count: int, ratio: float) -> None:
    disc = (246.0 + 3.0) / ratio - 3.0

    assert most_discs_in_circle(disc, 246.0, spacing_mm=3.0) >= count
    # 6 and 7 discs have one ratio, as have 18 and 19.
    assert most_discs_in_circle(disc + 1e-3, 246.0, spacing_mm=3.0) < count


@pytest.mark.parametrize(
    ("diameter", "count"),
    IN_POT,
)
def test_equal_discs_in_a_pot_of_250(diameter: float, count: int) -> None:
    disc = Disc(diameter / 2)

    found = most_of_one(disc, POT, margin_mm=2, spacing_mm=3, wanted=60)

    assert len(found) == count
    verify_plates([disc] * count, POT, [found], margin_mm=2, spacing_mm=3)


@pytest.mark.parametrize(("few", "large", "small", "many", "seed", "tries"), BESIDE)
def test_discs_of_two_sizes_in_a_pot_of_250(
    few: int, large: float, small: float, many: int, seed: int, tries: int
) -> None:
    items = [Disc(large / 2)] * few + [Disc(small / 2)] * many

    found = all_of(items, POT, margin_mm=2, spacing_mm=3, seed=seed, tries=tries)

    assert found is not None
    verify_plates(items, POT, [found], margin_mm=2, spacing_mm=3)


@pytest.mark.parametrize(
    ("shape", "count"),
    [
        # The prototype's long bars have corners of 8 mm; with sharp ones 5 and 10 are found.
        (RoundedRectangle(38, 140, 8), 6),
        (RoundedRectangle(25, 110, 8), 11),
        (Rectangle(60, 90), 5),
        (Rectangle(40, 60), 14),
        (Rectangle(30, 50), 22),
        (Rectangle(52, 52), 12),
        (Rectangle(70, 100), 4),
    ],
)
def test_rectangles_in_a_pot_of_250(shape: Footprint, count: int) -> None:
    found = most_of_one(shape, POT, margin_mm=2, spacing_mm=3, wanted=40)

    assert len(found) >= count
    verify_plates([shape] * len(found), POT, [found], margin_mm=2, spacing_mm=3)


@pytest.mark.parametrize(
    ("outside", "inside", "count"),
    [
        (44, 228, 13), (46, 228, 12), (50, 228, 10), (58, 228, 7),
        (44, 305, 27), (46, 305, 24), (50, 305, 20), (58, 305, 14),
    ],
)  # fmt: skip
def test_tubes_of_the_trade(outside: float, inside: float, count: int) -> None:
    """Worked sums of a maker's page: 3 mm between tubes, 8 mm to the wall."""
    disc = Disc(outside / 2)

    found = most_of_one(disc, RoundBed(inside), margin_mm=8, spacing_mm=3, wanted=60)

    assert len(found) >= count


@pytest.mark.parametrize(("usable", "loads"), [(220, 1), (120, 2), (80, 3)])
def test_loads_of_68_pieces_on_tiers(usable: float, loads: int) -> None:
    pieces = [
        Piece(Disc(17), 25, 24),
        Piece(Disc(20), 10, 24),
        Piece(RoundedRectangle(38, 140, 8), 30, 12),
        Piece(Rectangle(60, 90), 45, 8),
    ]

    found = fewest_loads(
        pieces, POT, margin_mm=2, spacing_mm=3, usable_mm=usable, shelf_mm=5, most_tiers=6
    )

    assert found is not None
    assert len(found) == loads
    for load in found:
        assert sum(tier.height_mm for tier in load) + 5 * (len(load) - 1) <= usable
    placed = [place.item for load in found for tier in load for place in tier.placed]
    assert [placed.count(kind) for kind in range(4)] == [24, 24, 12, 8]


def test_what_was_spread_is_what_is_verified() -> None:
    """The search itself, without the raster before it: 4 of 60 and 24 of 34 in a round of 246."""
    radii = [30.0] * 4 + [17.0] * 24
    found = spread(radii, RoundBed(246), spacing_mm=3, seed=0, tries=60)

    assert found is not None
    assert (
        min(
            math.dist(a, b) - r - s
            for (a, r), (b, s) in combinations(zip(found, radii, strict=True), 2)
        )
        >= 3 - 1e-6
    )
    assert (
        max(math.dist(a, (123, 123)) + r for a, r in zip(found, radii, strict=True)) <= 123 + 1e-6
    )


def tray(width: float, depth: float) -> PotMould:
    return PotMould("mould", Rectangle(width, depth), math.hypot(width, depth), 30.0)


def test_a_tray_of_six_fails_the_small_pot_and_one_of_four_passes() -> None:
    """Figures of a worked job: 160 x 150 mm is 219 across, 108 x 150 is 185; 212 are left."""
    from mouldgen.errors import NoAnswerError

    small, big = Pot(diameter="228 mm", height="230 mm"), Pot(diameter="305 mm", height="300 mm")

    with pytest.raises(NoAnswerError, match=r"219\.3 mm from corner to corner .* leaves 212 mm"):
        plan_pot(tray(160, 150), pot=small, moulds=1)
    four = plan_pot(tray(108, 150), pot=small, moulds=1)
    six = plan_pot(tray(160, 150), pot=big, moulds=1)
    assert four is not None
    assert six is not None
    assert math.hypot(108, 150) == pytest.approx(185, abs=0.5)
    assert (four.per_load, six.per_load) == (1, 1)


@pytest.mark.parametrize(("diameter", "count"), [(80, 7), (60, 11), (34, 35)])
def test_discs_in_a_pot_keep_their_spacing_to_a_micrometre(diameter: float, count: int) -> None:
    """Seven of 80 fit exactly, (250 - 4 + 3) / (80 + 3) = 3, so that nothing is to spare."""
    found = most_of_one(Disc(diameter / 2), POT, margin_mm=2, spacing_mm=3, wanted=count)

    at = [(place.x_mm, place.y_mm) for place in found]
    assert len(at) == count
    assert min(math.dist(a, b) for a, b in combinations(at, 2)) >= diameter + 3 - 1.01e-6
    assert max(math.dist(a, (125, 125)) for a in at) <= 123 - diameter / 2 + 1.01e-6
