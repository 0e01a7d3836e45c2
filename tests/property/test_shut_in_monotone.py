"""Worse conditions never leave less air below resin poured on top.  Domain of `gap_questions`."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mouldgen.gap.shut_in import bridging_mm, on_top, shut_in
from tests.strategies import factors, gap_questions

GAPS = st.floats(0.01, 12.0)
ROUNDING = 1.0 + 1e-12


def no_less(worse, better) -> bool:
    return (
        worse.most_ml * ROUNDING >= better.most_ml and worse.least_ml * ROUNDING >= better.least_ml
    )


@given(question=gap_questions(), gap_mm=GAPS)
def test_both_ways_lie_between_nothing_and_all_the_air(question, gap_mm: float) -> None:
    both, insert = shut_in(question, gap_mm), question.insert
    bore = math.pi * (insert.envelope_mm + gap_mm) ** 2
    grooves = question.vent_grooves * math.pi * question.sizes.groove_mm**2 / 2.0
    height = insert.length_mm + question.sizes.pip_mm
    whole = (bore + grooves) * height / 1000.0 - insert.volume_ml

    assert 0.0 <= both.on_top.least_ml <= both.on_top.most_ml <= whole * ROUNDING
    assert 0.0 < both.pushed_ml <= insert.section_mm2 * question.sizes.pip_mm / 1000.0
    if 0.0 < gap_mm < bridging_mm(question):
        assert both.on_top.most_ml > 0.99 * whole


@pytest.mark.parametrize(
    ("table", "key", "up"),
    [("resin", "viscosity", 1), ("resin", "gel", -1), ("pour", "close", 1)],
)
@given(question=gap_questions(), gap_mm=GAPS, factor=factors())
def test_thicker_shorter_and_later_never_leave_less(
    table: str, key: str, up: int, question, gap_mm: float, factor: float
) -> None:
    said = getattr(question, table)
    worse = said.model_copy(update={key: getattr(said, key) * factor**up})

    assert no_less(on_top(replace(question, **{table: worse}), gap_mm), on_top(question, gap_mm))


@given(question=gap_questions(), gap_mm=GAPS, factor=factors())
def test_a_wider_gap_never_bridges_where_a_narrower_does_not(
    question, gap_mm: float, factor: float
) -> None:
    if on_top(question, gap_mm).most_ml == 0.0:
        assert on_top(question, gap_mm * factor).most_ml == 0.0
