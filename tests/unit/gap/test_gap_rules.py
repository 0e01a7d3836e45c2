"""The rules one by one: exact values where a closed form gives them, and what they say."""

import math
from dataclasses import replace

import pytest

from mouldgen.finding import Learned
from mouldgen.gap.air import air
from mouldgen.gap.fits import fits
from mouldgen.gap.habit import habit
from mouldgen.gap.push import push
from mouldgen.gap.take_up import take_up
from mouldgen.gap.turn import turn
from mouldgen.physics.push import push_time
from tests.gap_questions import (
    exact_printer,
    pot,
    pour,
    printer,
    question,
    resin,
    rod,
    without_take_up,
)

THICKER = rod(measured_mm=(30.6,) * 22)


def test_turn_is_geometry() -> None:
    # 26/2 + 3 to turn, 0.3 + 0.1 + 0.25 of play, 0.1 that the bore prints narrow, 15 of insert
    bound = turn(question(insert=THICKER, turning_mm=3.0))

    assert bound.value_mm == pytest.approx(13 + 3 + 0.65 + 0.1 - 15, rel=1e-12)
    assert bound.why == (
        "a piece of 26 mm with 3 mm a side to turn off, 0.65 mm that an insert may sit off centre"
        " and 0.10 mm a side that the bore prints narrow ask for a bore of 33.50 mm"
    )


def test_turn_asks_for_nothing_where_the_insert_is_wide_enough() -> None:
    bound = turn(question(insert=THICKER, turning_mm=0.5))

    assert bound.value_mm == 0.0
    assert "less than the insert's own 30 mm" in bound.why


@pytest.mark.parametrize("rule", [air, push])
def test_the_take_up_comes_on_top(rule) -> None:
    bare = rule(without_take_up()).value_mm
    asked = question(insert=THICKER)
    bound = rule(asked)

    assert bound.value_mm == pytest.approx(bare + 0.4, rel=1e-12)
    assert bound.why.endswith("plus 0.40 mm that the thickest insert and the printer take up")
    assert f"needs {bare:.2f} mm" in bound.why


def test_air_tells_its_numbers() -> None:
    asked = question(pour=pour(shop=21.0))  # 40 min at 25 degC are 52.8 min at 21 degC

    assert air(asked).why == (
        "air needs 0.45 mm to clear 70 mm before the gel at 53 min,"
        f" plus {take_up(asked).total_mm:.2f} mm that the thickest insert and the printer take up"
    )


def test_air_grows_with_the_root_of_the_height() -> None:
    tall = without_take_up(insert=rod(length_mm=280.0))

    assert air(tall).value_mm == pytest.approx(2 * air(without_take_up()).value_mm, rel=1e-12)


def test_castings_move_the_need_of_air_and_not_the_take_up() -> None:
    learned = Learned(air_shift=math.log(1.5), castings=12, voids=3, loads=2)
    bare = air(without_take_up()).value_mm
    bound = air(question(insert=THICKER, learned=learned))

    assert bound.value_mm == pytest.approx(1.5 * bare + 0.4, rel=1e-12)
    assert bound.source.startswith("your own 12 castings in 2 loads")
    assert (
        f"air needs {bare:.2f} mm to clear 70 mm before the gel at 40 min, and your own 12 castings"
        f" in 2 loads, of which 3 had voids, make it {1.5 * bare:.2f} mm for the least cost of a"
        " good piece, plus"
    ) in bound.why


def test_a_part_of_the_way_is_not_told_as_the_least_cost() -> None:
    learned = Learned(air_shift=math.log(1.5), castings=12, voids=3, loads=2, of_the_way=5.0 / 9.0)
    bare = air(without_take_up()).value_mm
    bound = air(without_take_up(learned=learned))

    assert bound.value_mm == pytest.approx(1.5 * bare, rel=1e-12)
    assert (
        f"of which 3 had voids, move it to {1.5 * bare:.2f} mm, 56 % of the way to the least cost"
        " of a good piece"
    ) in bound.why


def test_castings_without_voids_are_not_told_as_the_reason_for_a_wider_gap() -> None:
    learned = Learned(air_shift=math.log(1.4), castings=22, loads=7)

    assert "7 loads, of which none had voids, make it" in air(question(learned=learned)).why


@pytest.mark.parametrize("rule", [air, push])
@pytest.mark.parametrize("close_min", [40, 41, 600])
def test_a_gel_before_closing_leaves_no_gap(rule, close_min: int) -> None:
    bound = rule(question(pour=pour(close=close_min * 60.0)))

    assert bound.value_mm is None
    assert bound.why == (
        "at this temperature the resin gels 40 min after mixing starts, before the mould is closed"
        f" at {close_min} min"
    )


@pytest.mark.parametrize("rule", [air, push])
def test_a_gel_just_after_closing_is_no_gap_either(rule) -> None:
    bound = rule(question(pour=pour(close=2399.9999)))

    assert bound.value_mm is None
    assert "in any gap up to 100 mm" in bound.why


def test_push_through_its_gap_takes_the_time_there_is() -> None:
    bound = push(without_take_up(pour=pour(push=35.0, push_time=40.0)))
    viscosity = float(bound.why.split("thickened to ")[1].split(" Pa s")[0])
    time = push_time(0.015, bound.value_mm / 1000, length=0.07, force=35.0, viscosity=viscosity)

    assert time == pytest.approx(40.0, rel=0.01)  # the sentence gives three digits


def test_more_force_and_more_time_are_worth_the_same() -> None:
    harder = push(without_take_up(pour=pour(push=60.0))).value_mm
    longer = push(without_take_up(pour=pour(push_time=180.0))).value_mm

    assert harder == pytest.approx(longer, rel=1e-12)
    assert harder < push(without_take_up()).value_mm


def test_thinner_inserts_leave_their_room_to_air() -> None:
    thin = question(insert=rod(measured_mm=(29.8,) * 22), printer=exact_printer())
    bound = air(thin)

    assert bound.value_mm == pytest.approx(air(without_take_up()).value_mm - 0.1, rel=1e-9)
    assert bound.why.endswith("less 0.10 mm that the inserts are thinner than drawn")


def test_a_small_pot_bounds_the_gap() -> None:
    # The lid stands 1.5 + 1.68 + 0.25 + 1.68 mm outside the bore; 8 mm are kept free a side.
    bound = fits(question(pot=pot(diameter=70.0)))

    assert bound.value_mm == pytest.approx(35 - 8 - 15 - 5.11, abs=2e-6)
    assert bound.kind == "at_most"
    assert bound.why == "above 6.88 mm the lid is wider than the 54 mm that the pot leaves"


@pytest.mark.parametrize(
    "bed",
    [
        {"width": 60.0, "depth": 300.0},
        {"width": 300.0, "depth": 60.0},
        {"shape": "round", "width": None, "depth": None, "diameter": 60.0},
    ],
)
def test_a_small_bed_bounds_the_gap(bed: dict[str, float]) -> None:
    bound = fits(question(printer=printer(**bed), pot=None))

    assert bound.value_mm == pytest.approx(30 - 5 - 15 - 5.11, abs=2e-6)
    assert "the bed leaves" in bound.why


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"pot": pot(height=93.0)}, "the closed mould is 94 mm high and the pot takes 93 mm"),
        ({"printer": printer(height=91.0)}, "the cup is 92 mm high and the printer takes 91 mm"),
        ({"pot": pot(diameter=55.0)}, "the lid is wider than the 39 mm that the pot leaves"),
    ],
)
def test_what_does_not_fit_at_any_gap(changes, told: str) -> None:
    bound = fits(question(**changes))

    assert bound.value_mm is None
    assert told in bound.why


@pytest.mark.parametrize(("kind", "gap"), [("epoxy", 3.0), ("urethane", 2.0)])
def test_habit_is_advice_by_the_kind_of_resin(kind: str, gap: float) -> None:
    bound = habit(question(resin=resin(kind=kind)))

    assert (bound.kind, bound.value_mm) == ("advice", gap)
    assert bound.source == "common practice, no source"


def test_every_rule_names_its_source_and_what_relaxes_it() -> None:
    asked = replace(question(), pot=None)

    for rule in (air, push, turn, fits, habit):
        assert rule(asked).source
        assert rule(asked).relax
