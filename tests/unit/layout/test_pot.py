"""Pot loads: even, numbered, on tiers, told plainly where nothing goes in."""

import math
from itertools import pairwise

import pytest

from mouldgen.errors import JobError, NoAnswerError
from mouldgen.job.shop_tables import Pot
from mouldgen.layout.pot import PotPlan, plan_pot, tiers_in
from mouldgen.layout.pot_mould import PotMould
from mouldgen.packing.shapes import Disc, Rectangle

POT = Pot(diameter="228 mm", height="230 mm")
PEG = PotMould("mould", Disc(22.0), 44.0, 97.0)


def planned(mould: PotMould = PEG, pot: Pot = POT, **asked: object) -> PotPlan:
    plan = plan_pot(mould, pot=pot, **asked)  # type: ignore[arg-type]
    assert plan is not None
    return plan


def of_pot(**keys: object) -> Pot:
    return POT.model_copy(update=keys)


def test_without_a_pot_there_is_no_plan() -> None:
    assert plan_pot(PEG, pot=None, moulds=5) is None


@pytest.mark.parametrize(
    ("moulds", "loads"), [(1, [1]), (15, [15]), (16, [8, 8]), (31, [11, 10, 10]), (45, [15] * 3)]
)
def test_loads_are_the_fewest_and_even(moulds: int, loads: list[int]) -> None:
    assert [load.moulds for load in planned(moulds=moulds).loads] == loads


@pytest.mark.parametrize(
    ("moulds", "loads"),
    [(1, [1]), (2, [1, 1]), (16, [1, 15]), (17, [1, 8, 8]), (32, [1, 11, 10, 10])],
)
def test_a_first_article_is_one_load_more_and_the_rest_is_even(
    moulds: int, loads: list[int]
) -> None:
    """The rest goes in as if it were the whole order: sixteen are two loads, not three."""
    plan = planned(moulds=moulds, first_alone=True)

    assert [load.moulds for load in plan.loads] == loads
    assert [n for load in plan.loads for n in load.numbers] == list(range(1, moulds + 1))
    rest = planned(moulds=moulds - 1) if moulds > 1 else None
    assert rest is None or [load.moulds for load in rest.loads] == loads[1:]


def test_moulds_are_numbered_in_the_order_of_the_loads() -> None:
    plan = planned(moulds=31)

    assert [n for load in plan.loads for n in load.numbers] == list(range(1, 32))


def test_a_ring_is_numbered_clockwise_from_the_back() -> None:
    plan = planned(PotMould("mould", Disc(33.0), 66.0, 97.0), moulds=7)

    (tier,) = plan.loads[0].tiers
    *ring, middle = tier.places
    assert math.hypot(middle.x_mm, middle.y_mm) == pytest.approx(0.0, abs=0.02)
    turns = [math.atan2(p.x_mm, p.y_mm) % math.tau for p in ring]
    assert turns == sorted(turns)
    assert [b - a for a, b in pairwise(turns)] == pytest.approx([math.tau / 6] * 5, abs=1e-4)


def test_no_load_holds_more_moulds_than_there_are() -> None:
    plan = planned(moulds=14, at_once=4)

    assert [load.moulds for load in plan.loads] == [4, 4, 3, 3]
    assert plan.per_load == 4


def test_tiers_stand_on_shelves_and_halve_the_loads() -> None:
    pot = of_pot(tiers=2, shelf=5.0)
    plan = planned(pot=pot, moulds=30)

    (load,) = plan.loads
    assert [len(tier.places) for tier in load.tiers] == [15, 15]
    assert [tier.stands_mm for tier in load.tiers] == [0.0, 102.0]
    assert load.left_mm == pytest.approx(230 - 2 * 97 - 5)


@pytest.mark.parametrize(
    ("height", "tiers"), [(230.0, 1), (230.1, 0), (112.5, 2), (112.6, 1), (73.3, 3), (10.0, 6)]
)
def test_how_many_tiers_there_is_height_for(height: float, tiers: int) -> None:
    assert tiers_in(of_pot(tiers=6, shelf=5.0), height) == tiers


def test_a_tray_under_the_moulds_takes_its_height() -> None:
    plan = planned(moulds=3, tray_mm=3.0)

    assert plan.loads[0].tiers[0].stands_mm == 3.0
    assert plan.loads[0].left_mm == pytest.approx(230 - 97 - 3)
    with pytest.raises(
        NoAnswerError, match=r"228\.0 mm high and the pot takes 227 mm over the tray"
    ):
        plan_pot(PotMould("mould", Disc(22), 44, 228), pot=POT, moulds=1, tray_mm=3.0)


def test_floor_plate_and_lid_take_their_height() -> None:
    high = PotMould("mould", Disc(22.0), 44.0, 215.0)

    assert planned(high, moulds=1).loads[0].left_mm == pytest.approx(15)
    with pytest.raises(NoAnswerError, match=r"215\.0 mm high and the pot takes 210 mm"):
        planned(high, of_pot(floor_plate=8.0, lid_in=12.0), moulds=1)


def test_what_does_not_go_in_is_told_with_the_pot_that_would_take_it() -> None:
    with pytest.raises(NoAnswerError, match=r"213\.0 mm across .* leaves 212 mm") as told:
        planned(PotMould("mould", Disc(106.5), 213.0, 90.0), moulds=1)
    assert told.value.allowed == "a mould of 212 mm or less, or a pot of 229 mm inside"

    with pytest.raises(NoAnswerError, match=r"240\.0 mm high and the pot takes 230 mm") as told:
        planned(PotMould("mould", Disc(20), 40, 240.0), moulds=1)
    assert "a pot that takes 240 mm" in told.value.allowed


def test_a_mould_as_wide_as_the_pot_leaves_stands_alone_in_its_middle() -> None:
    plan = planned(PotMould("mould", Disc(106.0), 212.0, 90.0), moulds=3)

    assert [load.moulds for load in plan.loads] == [1, 1, 1]
    assert [(p.x_mm, p.y_mm) for p in plan.loads[2].tiers[0].places] == [(0.0, 0.0)]


def test_the_least_batch_is_told_where_the_smallest_load_falls_short() -> None:
    assert planned(moulds=16, least_per_load=8).lacking == 0
    assert planned(moulds=16, least_per_load=10).lacking == 2
    # More loads than needed are never made, and even ones have the largest smallest load.
    assert planned(moulds=31, least_per_load=10).lacking == 0


def test_catch_moulds_stand_beside_the_moulds_where_there_is_room() -> None:
    catch = PotMould("catch mould", Disc(20.0), 40.0, 30.0)
    plan = planned(moulds=24, catch=catch, catches=3)

    assert [(load.moulds, load.catches) for load in plan.loads] == [(12, 2), (12, 1)]
    assert plan.left_out == 0
    # 15 are the most of these; a disc of 48 mm finds no room beside them.
    full = planned(moulds=15, catch=PotMould("catch mould", Disc(24.0), 48.0, 30.0), catches=2)
    assert [(load.moulds, load.catches) for load in full.loads] == [(15, 0)]
    assert full.left_out == 2


def test_a_rack_says_where_moulds_stand() -> None:
    seats = [(50.0, 0.0), (-50.0, 0.0), (0.0, 50.0)]
    plan = planned(moulds=5, seats=seats)

    assert [load.moulds for load in plan.loads] == [3, 2]
    assert {(p.x_mm, p.y_mm) for p in plan.loads[0].tiers[0].places} == set(seats)


def test_rectangles_are_numbered_row_by_row_from_the_back() -> None:
    plan = planned(PotMould("mould", Rectangle(60, 50), math.hypot(60, 50), 90), moulds=4)

    places = plan.loads[0].tiers[0].places
    assert len(places) == 4
    rows = [round(place.y_mm, 1) for place in places]
    assert rows == sorted(rows, reverse=True)


@pytest.mark.parametrize("asked", [{"moulds": 0}, {"moulds": 2, "at_once": 0}])
def test_numbers_that_cannot_be(asked: dict[str, int]) -> None:
    with pytest.raises(JobError, match="cannot be loaded"):
        planned(**asked)
