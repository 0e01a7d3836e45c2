"""Worse conditions never ask for a narrower gap.  The domain is that of `gap_questions`."""

import math
from dataclasses import replace

import pytest
from hypothesis import given

from mouldgen.gap.air import air
from mouldgen.gap.budget import budget
from mouldgen.gap.findings import findings_of
from mouldgen.gap.push import push
from tests.strategies import factors, gap_questions

RULES = pytest.mark.parametrize("rule", [air, push])
ROUNDING = 1e-9


def asks(rule, question) -> float:
    """The rule's value; a rule that no gap satisfies asks for more than any."""
    value = rule(question).value_mm
    return math.inf if value is None else value * (1.0 + ROUNDING)


@RULES
@given(question=gap_questions(), factor=factors())
def test_thicker_resin(rule, question, factor: float) -> None:
    thicker = question.resin.model_copy(update={"viscosity": question.resin.viscosity * factor})

    assert rule(question).value_mm is None or (
        asks(rule, replace(question, resin=thicker)) >= rule(question).value_mm
    )


@RULES
@given(question=gap_questions(), factor=factors())
def test_shorter_gel(rule, question, factor: float) -> None:
    shorter = question.resin.model_copy(update={"gel": question.resin.gel / factor})

    assert rule(question).value_mm is None or (
        asks(rule, replace(question, resin=shorter)) >= rule(question).value_mm
    )


@RULES
@given(question=gap_questions(), factor=factors())
def test_longer_insert(rule, question, factor: float) -> None:
    longer = replace(question.insert, length_mm=question.insert.length_mm * factor)

    assert rule(question).value_mm is None or (
        asks(rule, replace(question, insert=longer)) >= rule(question).value_mm
    )


@RULES
@given(question=gap_questions(), factor=factors())
def test_closing_later(rule, question, factor: float) -> None:
    later = question.pour.model_copy(update={"close": question.pour.close * factor})

    assert rule(question).value_mm is None or (
        asks(rule, replace(question, pour=later)) >= rule(question).value_mm
    )


@given(question=gap_questions())
def test_the_budget_answers_or_says_why_not(question) -> None:
    gap = budget(question)
    least = [bound.value_mm for bound in gap.bounds if bound.kind == "at_least"]
    most = [bound.value_mm for bound in gap.bounds if bound.kind == "at_most"]

    if gap.conflict is None:
        assert max(least) - 1e-7 <= gap.gap_mm < max(least) + 0.01
        assert gap.gap_mm <= min(most)
        assert not any(f.severity == "stop" for f in findings_of(gap, question))
    else:
        assert None in least + most or max(least) > min(most) - 0.01
        assert gap.remedies
        assert findings_of(gap, question)[0].severity == "stop"


@given(question=gap_questions())
def test_a_remedy_with_a_gap_is_not_beyond_the_limits(question) -> None:
    for remedy in budget(question).remedies:
        assert remedy.gap_mm is None or 0.0 <= remedy.gap_mm <= 110.0
