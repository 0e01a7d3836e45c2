"""Discs spread out in a rectangle or a circle: published radii, exact fits, what cannot be."""

import math
from itertools import combinations

import pytest

from mouldgen.errors import InputError
from mouldgen.packing.overlap import Positions, spread
from mouldgen.packing.shapes import Bed, RectBed, RoundBed

# Ratio of the circle's radius to the discs', best known (Specht; to N = 13 and 19 proven, Graham,
# Lubachevsky, Nurmela, Ostergard 1998 and others), recomputed from published coordinates.
CIRCLE = {
    2: 2.0, 3: 2.1547005384, 4: 2.4142135624, 5: 2.7013016167, 6: 3.0, 7: 3.0, 8: 3.3047648710,
    9: 3.6131259298, 10: 3.8130256314, 11: 3.9238044002, 12: 4.0296019301, 13: 4.2360679775,
    14: 4.3284285549, 19: 4.8637033052,
}  # fmt: skip
# Radius in a square of side 1, from the same table.
SQUARE = {
    2: 0.292893218813, 3: 0.254333095030, 4: 0.25, 5: 0.207106781187, 6: 0.187680601147,
    7: 0.174457630187, 9: 0.166666666667, 10: 0.148204322565, 11: 0.142399237696,
    12: 0.139958844038, 13: 0.133993513499,
}  # fmt: skip


def short(radii: list[float], places: Positions, bed: Bed, spacing: float) -> float:
    """By how much the worst pair or edge falls short [mm]."""
    pairs = [
        radii[i] + radii[k] + spacing - math.dist(places[i], places[k])
        for i, k in combinations(range(len(radii)), 2)
    ]
    edges = []
    for radius, (x, y) in zip(radii, places, strict=True):
        if isinstance(bed, RectBed):
            edges += [radius - x, radius - y]
            edges += [x + radius - bed.width_mm, y + radius - bed.depth_mm]
        else:
            middle = bed.diameter_mm / 2
            edges.append(math.hypot(x - middle, y - middle) + radius - middle)
    return max(pairs + edges)


def found(
    radii: list[float], bed: Bed, spacing: float = 0.0, tries: int = 300, seed: int = 0
) -> bool:
    places = spread(radii, bed, spacing_mm=spacing, seed=seed, tries=tries)
    if places is not None:
        assert len(places) == len(radii)
        assert short(radii, places, bed, spacing) <= 1.001e-6
    return places is not None


@pytest.mark.parametrize("count", CIRCLE)
def test_reaches_the_best_known_radius_in_a_circle(count: int) -> None:
    assert found([125 / CIRCLE[count] * (1 - 1e-8)] * count, RoundBed(250))


@pytest.mark.parametrize("count", [2, 3, 4, 5, 6, 7, 11, 13])
def test_and_no_larger_one_where_that_is_proven(count: int) -> None:
    assert not found([125 / CIRCLE[count] * (1 + 1e-6)] * count, RoundBed(250), tries=20)


@pytest.mark.parametrize("count", SQUARE)
def test_reaches_the_best_known_radius_in_a_square(count: int) -> None:
    assert found([200 * SQUARE[count] * (1 - 1e-8)] * count, RectBed(200, 200))


# Contest of discs of radius 1 to N in the smallest circle; table of the iterated tabu search for
# unequal circles.
@pytest.mark.parametrize(
    ("count", "radius"),
    [(5, 9.001397746), (6, 11.057040400), (7, 13.462110678), (8, 16.221746677)],
)
def test_unequal_discs_reach_the_published_circle(count: int, radius: float) -> None:
    bed = RoundBed(2 * radius * (1 + 1e-8))
    assert found([float(i) for i in range(1, count + 1)], bed, tries=2000)


# Discs of two sizes in 250 mm less 2 mm all round, 3 mm apart, that the prototype's continuous
# search placed.
@pytest.mark.parametrize(
    ("large", "count", "small", "more"),
    [(60, 4, 40, 17), (60, 8, 40, 8), (60, 4, 34, 24), (60, 8, 34, 12), (80, 4, 50, 7)],
)
def test_two_sizes_in_a_pot(large: float, count: int, small: float, more: int) -> None:
    assert found([large / 2] * count + [small / 2] * more, RoundBed(246), 3.0)


def test_spacing_is_between_discs_and_not_at_the_edge() -> None:
    # 2 x 20 and 3 between them is 43.
    assert found([10.0, 10.0], RectBed(43, 20), 3.0)
    assert not found([10.0, 10.0], RectBed(42.99, 20), 3.0, tries=20)


def test_a_disc_as_wide_as_the_container_fits() -> None:
    assert spread([50.0], RoundBed(100), spacing_mm=3) == ((50.0, 50.0),)
    assert spread([50.0], RectBed(100, 100), spacing_mm=3) == ((50.0, 50.0),)


def test_no_discs_have_no_places() -> None:
    assert spread([], RoundBed(100), spacing_mm=3) == ()


def test_what_the_area_rules_out_is_not_searched_for() -> None:
    assert spread([10.0] * 26, RoundBed(100), spacing_mm=0, tries=10**9) is None
    assert spread([51.0], RectBed(100, 300), spacing_mm=0, tries=10**9) is None


def test_the_same_seed_gives_the_same_places() -> None:
    radii = [23.75] * 18
    one, again, other = (
        spread(radii, RectBed(220, 220), spacing_mm=3, seed=seed) for seed in (1, 1, 2)
    )
    assert one == again
    assert one != other


@pytest.mark.parametrize(
    ("radii", "spacing", "tries", "told"),
    [
        ([10.0, 0.0], 3.0, 10, "a disc's radius cannot be 0.0 mm"),
        ([math.nan], 3.0, 10, "a disc's radius cannot be nan mm"),
        ([10.0], -1.0, 10, "the spacing between discs cannot be -1.0 mm"),
        ([10.0], 3.0, 0, "discs cannot be let go 0 times"),
    ],
)
def test_values_that_make_no_sense_are_refused(
    radii: list[float], spacing: float, tries: int, told: str
) -> None:
    with pytest.raises(InputError, match=told):
        spread(radii, RoundBed(100), spacing_mm=spacing, tries=tries)
