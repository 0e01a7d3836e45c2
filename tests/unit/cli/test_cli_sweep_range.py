"""``table.key=from..to`` as people write it: units, whole numbers, and what is refused."""

from __future__ import annotations

import pytest

from mouldgen.cli.sweep_range import read_sweep
from mouldgen.errors import InputError, JobError, UnitError, UsageError


@pytest.mark.parametrize(
    ("text", "unit", "settings"),
    [
        ("pour.shop=15 C..30 C", "C", ["15 C", "22.5 C", "30 C"]),
        ("pour.shop=15..30 C", "C", ["15 C", "22.5 C", "30 C"]),
        ("pour.shop=59F..86 F", "F", ["59 F", "72.5 F", "86 F"]),
        ("pour.shop=59 F..30 C", "F", ["59 F", "72.5 F", "86 F"]),
        ('insert.diameter="20 mm..40 mm"', "mm", ["20 mm", "30 mm", "40 mm"]),
        ("insert.length= 1 1/2 in .. 2-1/2 in", "in", ["1.5 in", "2 in", "2.5 in"]),
        ('insert.length=1..4"', '"', ['1 "', '2.5 "', '4 "']),
        ("insert.length=1 in..101.6 mm", "in", ["1 in", "2.5 in", "4 in"]),
        ("pour.pressure=0 psi..50 psi", "psi", ["0 psi", "25 psi", "50 psi"]),
        ("resin.viscosity=100 cP..0.3 Pa s", "cP", ["100 cP", "200 cP", "300 cP"]),
        ("resin.density_a=1e0 g/ml..1.2 g/ml", "g/ml", ["1 g/ml", "1.1 g/ml", "1.2 g/ml"]),
        ("pour.close=.5 h..1 h", "h", ["0.5 h", "0.75 h", "1 h"]),
        ("order.yield=0.8..1.0", "", ["0.8", "0.9", "1"]),
        ("order.pieces=10..20", "", ["10", "15", "20"]),
        ("order.pieces=10..11", "", ["10", "11"]),
        ("mould.gap=1 mm..2 mm", "mm", ["1 mm", "1.5 mm", "2 mm"]),
    ],
)
def test_three_values(text: str, unit: str, settings: list[str]) -> None:
    swept = read_sweep(text, steps=3)

    assert swept.unit == unit
    assert [value.setting for value in swept.values] == [f"{swept.key}={s}" for s in settings]
    assert [value.value for value in swept.values] == [float(s.split(" ")[0]) for s in settings]


def test_bare_lengths_are_in_the_jobs_unit() -> None:
    assert [v.setting for v in read_sweep("insert.length=1..2", steps=2, unit="in").values] == [
        "insert.length=1 in", "insert.length=2 in",
    ]  # fmt: skip
    with pytest.raises(UnitError, match=r'--sweep insert\.length: "1" has no unit'):
        read_sweep("insert.length=1..2", steps=2)


def test_bare_temperatures_are_not() -> None:
    with pytest.raises(UnitError, match=r'--sweep pour\.shop: "15" has no unit'):
        read_sweep("pour.shop=15..30", unit="mm")


def test_there_are_twenty_one_values_unless_told() -> None:
    values = read_sweep("pour.shop=15 C..30 C").values

    assert len(values) == 21
    assert values[1].setting == "pour.shop=15.75 C"


def test_whole_numbers_stay_whole_and_each_comes_once() -> None:
    swept = read_sweep("order.pieces=10..40", steps=7)

    assert [v.value for v in swept.values] == [10, 15, 20, 25, 30, 35, 40]
    assert [v.value for v in read_sweep("mould.vent_grooves=0..4").values] == [0, 1, 2, 3, 4]


@pytest.mark.parametrize(
    ("text", "kind", "says"),
    [
        ("x", UsageError, '"x" is not a range to sweep'),
        ("pour=1..2", UsageError, "is not a range to sweep"),
        ("pour.shop.x=1..2", UsageError, "is not a range to sweep"),
        ("pour.shop=15 C", UsageError, '"15 C" does not go from one value to another'),
        ("pour.shop=..15 C", UsageError, "does not go from one value to another"),
        ("pour.shop=1 C..2 C..3 C", UsageError, "does not go from one value to another"),
        ("pour.shop=1 C...2 C", UsageError, "does not go from one value to another"),
        ("pour.shop=30 C..15 C", UsageError, "the range does not go up"),
        ("order.pieces=3..3", UsageError, "the range does not go up"),
        ("order.pieces=1.5..3", UsageError, '"1.5" is not a whole number'),
        ("order.yield=a..b", UsageError, '"a" is not a plain number'),
        ("order.yield=0.5 mm..1", UsageError, '"0.5 mm" is not a plain number'),
        ("pour.sequence=1..2", UsageError, "pour.sequence is not a number"),
        ("mould.family=1..2", UsageError, "mould.family is not a number"),
        ("order.due=1..2", UsageError, "order.due is not a number"),
        ("order.customers_wood=0..1", UsageError, "order.customers_wood is not a number"),
        ("insert.measured=1 mm..2 mm", UsageError, "insert.measured is not a number"),
        ("resin.ratio=1..2", UsageError, "resin.ratio is not a number"),
        ("colour.share=0..1", UsageError, "colour cannot be swept key by key"),
        ("pour.shap=1..2", JobError, r"there is no key shap in this table.*Did you mean shop\?"),
        ("poor.shop=1..2", JobError, r"there is no table \[poor\].*Did you mean pour\?"),
        ("pour.shop=15 C..30 mm", UnitError, "a unit of length, and a temperature is asked for"),
        ("pour.close=5 oz..6 oz", UnitError, r"--sweep pour\.close"),
        ("insert.length=-1 mm..2 mm", UnitError, "is negative"),
        # What is no quantity is named as it was typed, and lends the other end no unit.
        ("mould.gap=0.5..abc", UnitError, r'mould\.gap: "abc" does not start with a number'),
        ("mould.gap=abc..2 mm", UnitError, r'mould\.gap: "abc" does not start with a number'),
        ("pour.shop=15..20 foo", UnitError, r'"20 foo" has the unit foo, which is not known'),
        ("mould.gap=1..2 psi", UnitError, r'"2 psi" has the unit psi, which is a unit of press'),
    ],
)
def test_what_is_refused_is_told_plainly(text: str, kind: type[InputError], says: str) -> None:
    with pytest.raises(kind, match=says) as refused:
        read_sweep(text)

    assert "--sweep" in refused.value.where
    assert refused.value.exit_code == 2
