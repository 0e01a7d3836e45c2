from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from mouldgen.castings.design_columns import design
from mouldgen.castings.records import Casting
from tests.casting_rows import casting, counted, job


def plain(loads: int = 4, voids: int = 3, **changes: object) -> list[Casting]:
    """Loads of ten at two gaps, three of five with voids at the tighter one."""
    rows = []
    for load in range(1, loads + 1):
        rows += counted(load, 0.8, voids, 5, **changes)
        rows += counted(load, 1.2, 0, 5, **changes)
    return rows


def test_s_is_the_logarithm_of_open_over_air() -> None:
    found = design([casting(1.5, False, air_mm=0.5), casting(0.5, True, number=2)])
    assert found.wide == pytest.approx([math.log(3.0), math.log(0.5)])
    assert found.rows.x == pytest.approx(
        np.array([[1.0, math.log(0.5)], [1.0, math.log(3.0)]])  # equal ones are sought by order
    )


def test_equal_castings_of_a_load_are_one_row_and_of_two_loads_are_two() -> None:
    rows = design(plain(loads=2)).rows
    assert rows.castings.tolist() == [5, 5, 5, 5]
    assert rows.voids.tolist() == [3, 0, 3, 0]
    assert rows.starts.tolist() == [0, 2]


def test_the_order_of_the_castings_does_not_matter() -> None:
    rows = plain()
    forth, back = design(rows).rows, design(rows[::-1]).rows
    assert (forth.x == back.x).all()
    assert (forth.voids == back.voids).all()
    assert (forth.starts == back.starts).all()


def test_open_castings_are_passed_over_and_closed_or_gelled_ones_counted() -> None:
    still_open = replace(casting(1.0, False), result=None)
    closed, gelled = casting(-0.05, True, number=2), casting(1.0, True, number=3, air_mm=math.inf)
    found = design([still_open, closed, gelled, casting(1.0, True, number=4)])
    assert len(found.used) == 1
    assert found.left_out == 2


def test_slips_of_the_pen_are_counted_and_left_out() -> None:
    rows = [casting(s, True, number=k) for k, s in enumerate((0.0099, 0.01, 100.0, 101.0))]
    found = design([replace(one, air_mm=1.0, open_mm=s) for one, s in zip(
        rows, (0.0099, 0.01, 100.0, 101.0), strict=True
    )])  # fmt: skip
    assert [one.open_mm for one in found.used] == [0.01, 100.0]
    assert found.left_out == 2


def test_no_rows_at_all() -> None:
    found = design([])
    assert found.rows.x.shape == (0, 2)
    assert found.loads == 0
    assert found.at(job(), np.array([1.2])) == pytest.approx(np.array([[1.0, 0.0]]))


def with_pressure(low_kpa: float, high_kpa: float, *, low_loads: int = 2) -> list[Casting]:
    return [
        replace(one, pressure_kpa=low_kpa if one.load <= low_loads else high_kpa) for one in plain()
    ]


def test_a_pressure_that_varies_becomes_a_column_of_half_a_unit_standard_deviation() -> None:
    found = design(with_pressure(0.0, 345.0))
    assert [column.name for column in found.columns] == ["pressure"]
    values = found.columns[0].of(found.used)
    assert values.mean() == pytest.approx(0.0, abs=1e-12)
    assert values.std() == pytest.approx(0.5)
    # absolute: the atmosphere is 101.325 kPa (NIST SP 811)
    at = found.at(job(pressure_kpa=math.sqrt(101.325 * 446.325) - 101.325), np.array([1.2]))
    assert at[0, 2] == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize(
    ("rows", "why"),
    [
        (with_pressure(345.0, 345.0), "it does not vary"),
        (with_pressure(345.0, 360.0), "it varies by less than matters"),
        (with_pressure(0.0, 345.0, low_loads=1), "only one load has the other pressure"),
        (
            [replace(one, pressure_kpa=0.0 if one.id % 10 == 1 else 345.0) for one in plain(2)],
            "too few castings have it",
        ),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_a_column_that_rows_cannot_tell_is_not_used(rows: list[Casting], why: str) -> None:
    assert design(rows).columns == (), why


@pytest.mark.parametrize(("high_kpa", "used"), [(24.0, False), (27.0, True)])
def test_a_quarter_more_of_the_absolute_pressure_matters(high_kpa: float, used: bool) -> None:
    # 101.325 kPa by a quarter are 25.3 kPa
    assert bool(design(with_pressure(0.0, high_kpa)).columns) == used


def test_five_voids_are_asked_for_every_column() -> None:
    rows = [replace(one, pressure_kpa=0.0 if one.load <= 2 else 345.0) for one in plain(4, voids=1)]
    assert design(rows).columns == ()  # four voids


def test_the_commonest_sequence_is_the_one_that_others_are_told_apart_from() -> None:
    rows = [
        replace(one, sequence="bottom-feed" if one.load <= 2 else "resin-first") for one in plain(5)
    ]
    found = design(rows)
    assert [column.name for column in found.columns] == ["bottom-feed"]
    near, far = (found.at(job(sequence=name), np.array([1.0]))[0, 2] for name in
                 ("resin-first", "bottom-feed"))  # fmt: skip
    assert near < 0.0 < far


def test_a_column_that_repeats_another_is_not_used() -> None:
    rows = [
        replace(
            one,
            pressure_kpa=0.0 if one.load <= 2 else 345.0,
            sequence="bottom-feed" if one.load <= 2 else "resin-first",
        )
        for one in plain(5)
    ]
    assert [column.name for column in design(rows).columns] == ["pressure"]


def test_a_column_that_repeats_the_gap_is_not_used() -> None:
    rows = [replace(one, pours=2 if one.open_mm > 1.0 else 1) for one in plain(4)]
    assert design(rows).columns == ()
