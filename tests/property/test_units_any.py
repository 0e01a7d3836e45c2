"""Whatever is typed, a reader gives a number that a shop can use, or says what is allowed."""

from __future__ import annotations

import math

import pytest
from hypothesis import given

from mouldgen import units
from mouldgen.errors import UnitError
from tests.strategies import quantity_texts, ruler_marks

READERS = [
    units.length, units.time, units.temperature, units.force, units.pressure, units.mass,
    units.density, units.viscosity, units.angle, units.volume,
]  # fmt: skip


@pytest.mark.parametrize("read", READERS)
@given(text=quantity_texts())
def test_a_number_or_a_sentence_and_nothing_else(read, text):
    value = 0.0
    said = "nothing. Allowed: anything."
    try:
        value = read(text, default="mm")
    except UnitError as problem:
        said = str(problem)
    assert said.isprintable()
    assert "Allowed: " in said
    assert math.isfinite(value)
    assert value >= (-273.15 if read is units.temperature else 0.0)


@given(mark=ruler_marks())
def test_a_ruler_mark_is_read_exactly_in_every_spelling_and_shown_again(mark):
    whole, top, bottom = mark
    mm = (whole + top / bottom) * 25.4
    head = f"{whole} " if whole else ""
    for text in (f"{head}{top}/{bottom} in", f'{head.replace(" ", "-")}{top}/{bottom}"'):
        assert units.length(text) == pytest.approx(mm, rel=1e-15)
        assert units.length(units.format_length(mm, inches=True)) == pytest.approx(mm, rel=1e-15)
    assert abs(units.in_inches(mm).residual_mm) <= 1e-15 * mm
