import math

import pytest
from scipy import stats

from mouldgen.gap.slide import slide
from mouldgen.gap.take_up import take_up, taken_clause, thickest_expected
from mouldgen.gap.words import gap_mm
from tests.gap_questions import exact_printer, printer, question, rod

READINGS = (29.8, 30.1, 30.0)


def expected(readings: tuple[float, ...], moulds: int) -> float:
    """The prediction limit written out with scipy's quantile."""
    n = len(readings)
    m = sum(readings) / n
    nu = n - 1 + 4
    s_p = math.sqrt((sum((r - m) ** 2 for r in readings) + 4 * 0.15**2) / nu)
    return m + stats.t.ppf(1 - 0.05 / moulds, nu) * s_p * math.sqrt(1 + 1 / n)


@pytest.mark.parametrize("readings", [(30.0,), READINGS, (29.7, 30.2), (30.0,) * 6])
@pytest.mark.parametrize("moulds", [1, 22, 10_000])
def test_the_thickest_of_the_batch(readings: tuple[float, ...], moulds: int) -> None:
    assert thickest_expected(readings, moulds=moulds) == pytest.approx(
        expected(readings, moulds), rel=1e-11
    )


def test_without_readings_the_drawn_diameter_counts_as_one() -> None:
    taken = take_up(question())

    assert taken.thickest_mm == pytest.approx(expected((30.0,), 22), rel=1e-11)
    assert not taken.all_measured


@pytest.mark.parametrize("count", [22, 23])
def test_with_all_measured_the_largest_decides(count: int) -> None:
    readings = (29.8,) * (count - 1) + (30.2,)
    taken = take_up(question(insert=rod(measured_mm=readings)))

    assert (taken.thickest_mm, taken.all_measured) == (30.2, True)
    assert taken.thickness_mm == pytest.approx(0.1, rel=1e-12)


def test_the_parts_of_the_take_up_add() -> None:
    asked = question(
        insert=rod(measured_mm=(30.4,) * 22, bow_mm=0.3), printer=printer(undersize=0.5)
    )
    taken = take_up(asked)

    assert taken.undersize_mm == 0.25  # a hole's diameter is small by 0.5, a side by half
    assert taken.total_mm == pytest.approx(0.2 + 0.25 + 0.3, rel=1e-12)


def test_slide_asks_for_the_take_up_and_the_clearance() -> None:
    asked = question(insert=rod(measured_mm=READINGS))
    bound = slide(asked)

    assert bound.value_mm == pytest.approx(
        (expected(READINGS, 22) - 30.0) / 2 + 0.1 + 0.25, rel=1e-10
    )
    assert (bound.rule, bound.kind) == ("slide", "at_least")


def test_slide_tells_its_numbers() -> None:
    why = slide(question(insert=rod(measured_mm=(30.4,) * 22, bow_mm=0.3))).why

    assert why == (
        "the thickest insert measures 30.40 mm, 0.20 mm a side over the drawn 30 mm, the printer's"
        " bores come out 0.10 mm a side narrow, the insert bows 0.30 mm, and 0.25 mm lets it slide"
    )


def test_thinner_inserts_give_nothing_back_to_the_drawn_one() -> None:
    asked = question(insert=rod(measured_mm=(29.0,) * 22), printer=exact_printer())

    assert take_up(asked).total_mm == pytest.approx(-0.5)
    assert slide(asked).value_mm == 0.0
    assert "0.50 mm a side under the drawn 30 mm" in slide(asked).why


def test_measuring_more_inserts_never_asks_for_more() -> None:
    values = [slide(question(insert=rod(measured_mm=(30.0,) * n))).value_mm for n in range(1, 23)]

    assert values == sorted(values, reverse=True)
    assert values[-1] == pytest.approx(0.35)


@pytest.mark.parametrize(
    ("length_mm", "told"),
    [
        (0.0, "0 mm"), (-0.0, "0 mm"), (1e-16, "0 mm"), (1.9e-4, "under 0.01 mm"),
        (0.00499, "under 0.01 mm"), (-0.003, "under 0.01 mm"), (0.00501, "0.01 mm"),
        (0.46, "0.46 mm"), (-0.1, "-0.10 mm"),
    ],
)  # fmt: skip
def test_no_part_of_a_gap_reads_as_zeros(length_mm: float, told: str) -> None:
    assert gap_mm(length_mm) == told


def test_inserts_as_drawn_from_an_exact_printer_take_up_next_to_nothing() -> None:
    asked = question(insert=rod(measured_mm=(30.0,) * 22), printer=exact_printer())
    taken = take_up(asked)

    assert taken.total_mm == 0.0
    assert taken_clause(taken) == "and the thickest insert and the printer take up next to nothing"
    assert "the thickest insert measures 30.00 mm, as drawn, the printer's" in slide(asked).why
    assert " 0.00 mm" not in slide(asked).why


def test_a_clearance_that_was_not_asked_for_is_told() -> None:
    asked = question(printer=printer(clearance=0.0))

    assert slide(asked).why.endswith("a side narrow, and no clearance is asked for")
