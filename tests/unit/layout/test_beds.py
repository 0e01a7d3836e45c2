"""Beds: the first mould alone, the rest on the fewest, what the printer cannot hold."""

from dataclasses import replace

import pytest

from mouldgen.errors import JobError, LayoutError, NoAnswerError
from mouldgen.job.shop_tables import Printer
from mouldgen.layout.beds import (
    BedPlan,
    PartFootprint,
    bed_of,
    footprints_of,
    lay_out,
    least_beds,
)
from mouldgen.packing import verify
from mouldgen.packing.shapes import Disc, Polygon, Rectangle, RectBed, RoundBed
from tests.demo_set import demo_set

SQUARE = Printer(shape="rectangle", width="220 mm", depth="200 mm", height="250 mm")
ROUND = Printer(shape="round", diameter="250 mm", height="250 mm")


def body(radius: float = 17.0, height: float = 90.0, *, moulds: int = 1) -> PartFootprint:
    return PartFootprint("body", Disc(radius), height, count=moulds, first=1)


def lid(radius: float = 20.0, height: float = 12.0, *, moulds: int = 1) -> PartFootprint:
    return PartFootprint("lid", Disc(radius), height, count=moulds, first=1)


def names(plan: BedPlan) -> list[str]:
    return sorted(item.part for item in plan.items)


@pytest.mark.parametrize("printer", [SQUARE, ROUND])
def test_first_bed_holds_one_mould_and_the_others_the_rest(printer: Printer) -> None:
    plans = lay_out([body(moulds=22), lid(moulds=22)], printer=printer)

    assert names(plans[0]) == ["body", "lid"]
    assert [plan.first_mould for plan in plans] == [True, False, False]
    assert sorted(names(plans[1]) + names(plans[2])) == ["body"] * 21 + ["lid"] * 21


def test_one_mould_takes_one_bed() -> None:
    (plan,) = lay_out([body(), lid()], printer=SQUARE)

    assert plan.first_mould
    assert plan.number == 1


def test_parts_come_as_often_as_a_mould_needs_them() -> None:
    half = PartFootprint("half", Disc(17.0), 90.0, count=6, first=2)
    first, second = lay_out([half, lid(moulds=3)], printer=SQUARE)

    assert names(first) == ["half", "half", "lid"]
    assert names(second) == ["half"] * 4 + ["lid"] * 2


def test_a_mould_whose_parts_share_no_bed_takes_two_of_its_own() -> None:
    plans = lay_out([body(60.0, moulds=2), lid(62.0, moulds=2)], printer=SQUARE)

    assert [names(plan) for plan in plans] == [["lid"], ["body"], ["lid"], ["body"]]
    assert [plan.first_mould for plan in plans] == [True, True, False, False]


@pytest.mark.parametrize("printer", [SQUARE, ROUND])
def test_positions_are_sixteenths_from_the_corner_of_the_bed(printer: Printer) -> None:
    plans = lay_out([body(17.317, moulds=30), lid(20.099, moulds=30)], printer=printer)
    places = [item for plan in plans for item in plan.items]

    assert all((i.x_mm * 16).is_integer() and (i.y_mm * 16).is_integer() for i in places)
    assert min(i.x_mm - i.half_mm[0] for i in places) >= printer.margin
    assert min(i.y_mm - i.half_mm[1] for i in places) >= printer.margin


def test_used_fraction_is_the_parts_area_over_the_beds() -> None:
    (plan,) = lay_out([body(10.0)], printer=SQUARE)

    assert plan.used_fraction == pytest.approx(0.0071399833)  # pi 100 / 44 000


@pytest.mark.parametrize(
    ("part", "told"),
    [
        (
            body(17, 250.5),
            r"the body is 250.5 mm high and the printer reaches 250 mm. Use a taller printer",
        ),
        (
            lid(95.5),
            r"the lid is 191.0 mm across, too wide for a bed of 220 x 200 mm with 5 mm kept free",
        ),
        (
            PartFootprint("tray", Rectangle(211, 150), 12),
            r"the tray is 211.0 x 150.0 mm, too wide for a bed of 220 x 200 mm with 5 mm kept free",
        ),
    ],
)
def test_a_part_that_the_printer_cannot_hold_is_named(part: PartFootprint, told: str) -> None:
    with pytest.raises(NoAnswerError, match=told):
        lay_out([body(), part], printer=SQUARE)


@pytest.mark.parametrize(
    ("part", "printer"),
    [
        (body(95.0, 250.0, moulds=2), SQUARE),
        (body(120.0, 250.0, moulds=2), ROUND),
        (PartFootprint("tray", Rectangle(190, 210), 250.0, count=2), SQUARE),  # once turned
    ],
)
def test_a_part_that_just_fits_is_laid_out(part: PartFootprint, printer: Printer) -> None:
    assert len(lay_out([part], printer=printer)) == 2


def test_a_round_bed_short_of_its_part_is_told() -> None:
    with pytest.raises(NoAnswerError, match="too wide for a round bed of 250 mm"):
        lay_out([body(120.1)], printer=ROUND)


@pytest.mark.parametrize("moulds", [0, -1])
def test_no_moulds_are_refused(moulds: int) -> None:
    with pytest.raises(JobError, match=f"there are {moulds} moulds"):
        footprints_of([], moulds=moulds)


@pytest.mark.parametrize(
    "printer",
    [
        Printer(shape="rectangle", width="220 mm", height="250 mm"),
        Printer(shape="rectangle", diameter="220 mm", height="250 mm"),
        Printer(shape="round", width="220 mm", depth="220 mm", height="250 mm"),
    ],
)
def test_a_bed_without_its_size_is_refused(printer: Printer) -> None:
    with pytest.raises(JobError, match=r"\[printer\]: a \w+ bed needs its size"):
        bed_of(printer)


def test_bed_of_a_printer() -> None:
    square, round_ = bed_of(SQUARE), bed_of(ROUND)

    assert isinstance(square, RectBed)
    assert (square.width_mm, square.depth_mm) == (220, 200)
    assert isinstance(round_, RoundBed)
    assert round_.diameter_mm == 250


def test_every_layout_goes_through_the_check(monkeypatch: pytest.MonkeyPatch) -> None:
    checked: list[int] = []

    def refuse(items: list[object], *_: object, **__: object) -> None:
        checked.append(len(items))
        if len(items) > 2:
            raise LayoutError("items 0 and 1 overlap")

    monkeypatch.setattr(verify, "verify_plates", refuse)
    with pytest.raises(LayoutError, match="overlap"):
        lay_out([body(moulds=3), lid(moulds=3)], printer=SQUARE)
    assert checked == [2, 4]


def test_what_no_mould_needs_lies_on_the_later_beds() -> None:
    tray = PartFootprint("tray", Rectangle(100.0, 60.0), 8.0, count=2)
    cup = PartFootprint("cup", Disc(25.0), 20.0, count=3)
    first, *later = lay_out([body(moulds=2), lid(moulds=2), tray, cup], printer=SQUARE)

    assert names(first) == ["body", "lid"]
    assert not any(plan.first_mould for plan in later)
    assert sorted(item.part for plan in later for item in plan.items) == [
        "body", "cup", "cup", "cup", "lid", "tray", "tray",
    ]  # fmt: skip


def test_keep_outs_of_the_printer_stay_free_and_lie_on_the_plan() -> None:
    clipped = SQUARE.model_copy(update={"keep_out": ((0.0, 0.0, 220.0, 60.0),)})
    parts = [body(moulds=22), lid(moulds=22)]
    plans = lay_out(parts, printer=clipped)

    assert all(zone.clearance_mm == 2.0 for plan in plans for zone in plan.keep_outs)
    assert [len(plan.keep_outs) for plan in plans] == [1] * len(plans)
    assert min(i.y_mm - i.half_mm[1] for plan in plans for i in plan.items) >= 62.0
    assert least_beds(parts, printer=clipped) <= len(plans)
    with pytest.raises(NoAnswerError, match="kept free along its edge and its keep-outs"):
        lay_out([body(67.0)], printer=clipped)  # 200 less 60, 2 and 5


def test_least_beds_count_the_first_mould_on_its_own() -> None:
    # 21 lids of 40 and 21 bodies of 34, with 3 mm: by area 1.63 beds, and the first mould's.
    assert least_beds([body(moulds=22), lid(moulds=22)], printer=SQUARE) == 3
    assert least_beds([body(), lid()], printer=SQUARE) == 1


def test_a_polygon_is_laid_out_in_its_true_outline() -> None:
    angle = Polygon(((0, 0), (80, 0), (80, 25), (25, 25), (25, 60), (0, 60)))
    plans = lay_out([PartFootprint("angle", angle, 10.0, count=10)], printer=SQUARE)

    assert len(plans) == 1  # by their boxes no more than 6
    assert {item.turned for item in plans[0].items} <= {0, 1, 2, 3}


def test_extras_alone_have_no_first_mould() -> None:
    (plan,) = lay_out([PartFootprint("cup", Disc(25.0), 20.0, count=3)], printer=SQUARE)

    assert (plan.number, plan.first_mould, names(plan)) == (1, False, ["cup"] * 3)


def test_a_rectangle_is_turned_where_it_fits_no_other_way() -> None:
    long = PartFootprint("long", Rectangle(90.0, 205.0), 10.0, count=2)
    (turned,) = lay_out([long], printer=SQUARE)

    assert [item.turned for item in turned.items] == [True, True]
    assert [item.half_mm for item in turned.items] == [(102.5, 45.0)] * 2
    (x, low), (_, high) = ((item.x_mm, item.y_mm) for item in turned.items)
    assert high - low >= 93.0
    assert x == pytest.approx(110.0, abs=1 / 16)
    assert turned.used_fraction == pytest.approx(2 * 90 * 205 / (220 * 200))


@pytest.mark.parametrize(("count", "first"), [(0, 0), (2, 3), (1, -1)])
def test_counts_that_cannot_be_are_refused(count: int, first: int) -> None:
    part = PartFootprint("cup", Disc(25.0), 20.0, count=count, first=first)
    with pytest.raises(JobError, match=rf"of the cup {count} are to be laid out, {first} of them"):
        lay_out([part], printer=SQUARE)


def test_parts_once_a_mould_and_parts_with_a_count_of_their_own() -> None:
    body_, lid_ = demo_set().printed
    made = footprints_of([body_, replace(lid_, count=3)], moulds=22)

    assert [(part.name, part.count, part.first) for part in made] == [
        ("body", 22, 1), ("lid", 3, 0),
    ]  # fmt: skip
    assert made[0].shape is body_.footprint
