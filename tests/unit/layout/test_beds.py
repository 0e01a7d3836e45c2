"""Beds: the first mould alone, the rest on the fewest, what the printer cannot hold."""

import pytest

from mouldgen.errors import JobError, LayoutError, NoAnswerError
from mouldgen.job.model import Printer
from mouldgen.layout.beds import BedPlan, PartFootprint, bed_of, lay_out
from mouldgen.packing import verify
from mouldgen.packing.shapes import RectBed, RoundBed

SQUARE = Printer(shape="rectangle", width="220 mm", depth="200 mm", height="250 mm")
ROUND = Printer(shape="round", diameter="250 mm", height="250 mm")
BODY = PartFootprint("body", 17.0, 90.0)
LID = PartFootprint("lid", 20.0, 12.0)


def names(plan: BedPlan) -> list[str]:
    return sorted(item.part for item in plan.items)


@pytest.mark.parametrize("printer", [SQUARE, ROUND])
def test_first_bed_holds_one_mould_and_the_others_the_rest(printer: Printer) -> None:
    plans = lay_out([BODY, LID], moulds=22, printer=printer)

    assert names(plans[0]) == ["body", "lid"]
    assert [plan.first_mould for plan in plans] == [True, False, False]
    assert sorted(names(plans[1]) + names(plans[2])) == ["body"] * 21 + ["lid"] * 21


def test_one_mould_takes_one_bed() -> None:
    (plan,) = lay_out([BODY, LID], moulds=1, printer=SQUARE)

    assert plan.first_mould
    assert plan.number == 1


def test_parts_come_as_often_as_a_mould_needs_them() -> None:
    half = PartFootprint("half", 17.0, 90.0, per_mould=2)
    first, second = lay_out([half, LID], moulds=3, printer=SQUARE)

    assert names(first) == ["half", "half", "lid"]
    assert names(second) == ["half"] * 4 + ["lid"] * 2


def test_a_mould_whose_parts_share_no_bed_takes_two_of_its_own() -> None:
    big, flat = PartFootprint("body", 60.0, 90.0), PartFootprint("lid", 62.0, 12.0)
    plans = lay_out([big, flat], moulds=2, printer=SQUARE)

    assert [names(plan) for plan in plans] == [["lid"], ["body"], ["lid"], ["body"]]
    assert [plan.first_mould for plan in plans] == [True, True, False, False]


@pytest.mark.parametrize("printer", [SQUARE, ROUND])
def test_positions_are_sixteenths_from_the_corner_of_the_bed(printer: Printer) -> None:
    odd = [PartFootprint("body", 17.317, 90.0), PartFootprint("lid", 20.099, 12.0)]
    plans = lay_out(odd, moulds=30, printer=printer)
    places = [item for plan in plans for item in plan.items]

    assert all((i.x_mm * 16).is_integer() and (i.y_mm * 16).is_integer() for i in places)
    assert min(i.x_mm - i.radius_mm for i in places) >= printer.margin
    assert min(i.y_mm - i.radius_mm for i in places) >= printer.margin


def test_used_fraction_is_the_parts_area_over_the_beds() -> None:
    (plan,) = lay_out([PartFootprint("body", 10.0, 90.0)], moulds=1, printer=SQUARE)

    assert plan.used_fraction == pytest.approx(0.0071399833)  # pi 100 / 44 000


@pytest.mark.parametrize(
    ("part", "told"),
    [
        (
            PartFootprint("body", 17, 250.5),
            r"the body is 250.5 mm high and the printer reaches 250 mm. Use a taller printer",
        ),
        (
            PartFootprint("lid", 95.5, 12),
            r"the lid is 191 mm across, too wide for a bed of 220 x 200 mm with 5 mm kept free",
        ),
    ],
)
def test_a_part_that_the_printer_cannot_hold_is_named(part: PartFootprint, told: str) -> None:
    with pytest.raises(NoAnswerError, match=told):
        lay_out([BODY, part], moulds=1, printer=SQUARE)


@pytest.mark.parametrize(
    ("part", "printer"),
    [
        (PartFootprint("body", 95.0, 250.0), SQUARE),
        (PartFootprint("body", 120.0, 250.0), ROUND),
    ],
)
def test_a_part_that_just_fits_is_laid_out(part: PartFootprint, printer: Printer) -> None:
    assert len(lay_out([part], moulds=2, printer=printer)) == 2


def test_a_round_bed_short_of_its_part_is_told() -> None:
    with pytest.raises(NoAnswerError, match="too wide for a round bed of 250 mm"):
        lay_out([PartFootprint("body", 120.1, 90)], moulds=1, printer=ROUND)


@pytest.mark.parametrize("moulds", [0, -1])
def test_no_moulds_are_refused(moulds: int) -> None:
    with pytest.raises(JobError, match=f"there are {moulds} moulds"):
        lay_out([BODY], moulds=moulds, printer=SQUARE)


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
        lay_out([BODY, LID], moulds=3, printer=SQUARE)
    assert checked == [2, 4]
