"""Worse conditions never ask for a narrower gap.  The domain is that of `gap_questions`."""

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings

from mouldgen.finding import NOTHING_LEARNED, Learned
from mouldgen.gap.air import air
from mouldgen.gap.budget import budget
from mouldgen.gap.changes import changed
from mouldgen.gap.feed import feed
from mouldgen.gap.findings import findings_of
from mouldgen.gap.push import push
from mouldgen.gap.rules import bounds_of
from mouldgen.gap.run_down import run_down
from tests.strategies import factors, gap_questions

RULES = pytest.mark.parametrize("rule", [air, push, feed, run_down])
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


@pytest.mark.parametrize("rule", [air, push])
@given(question=gap_questions(), factor=factors())
def test_closing_later(rule, question, factor: float) -> None:
    later = question.pour.model_copy(update={"close": question.pour.close * factor})

    assert rule(question).value_mm is None or (
        asks(rule, replace(question, pour=later)) >= rule(question).value_mm
    )


@given(question=gap_questions())
def test_one_more_vent_groove_never_asks_for_more_to_push(question) -> None:
    more = replace(question, vent_grooves=question.vent_grooves + 1)

    assert asks(push, more) <= asks(push, question) * (1.0 + ROUNDING)


@given(question=gap_questions())
def test_more_layers_never_ask_for_more(question) -> None:
    more = question.pour.model_copy(update={"layers": question.pour.layers + 1})

    for rule in (air, push, feed, run_down):
        assert asks(rule, replace(question, pour=more)) <= asks(rule, question) * (1.0 + ROUNDING)


@settings(max_examples=30, deadline=None)
@given(question=gap_questions())
def test_what_was_learned_from_nothing_changes_nothing(question) -> None:
    told = [(b.rule, b.kind, b.value_mm, b.why) for b in bounds_of(question)]

    for nothing in (NOTHING_LEARNED, Learned(air_shift=0.0, castings=0)):
        again = bounds_of(replace(question, learned=nothing))
        assert [(b.rule, b.kind, b.value_mm, b.why) for b in again] == told


@settings(max_examples=40, deadline=None)
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


@settings(max_examples=25, deadline=None)
@given(question=gap_questions())
def test_each_remedys_changes_lead_to_its_gap(question) -> None:
    for remedy in budget(question).remedies:
        assert (remedy.gap_mm is None) == (remedy.changes == ())
        if remedy.changes:
            gap = budget(changed(question, remedy.changes))
            assert (gap.gap_mm, gap.conflict) == (remedy.gap_mm, None)
