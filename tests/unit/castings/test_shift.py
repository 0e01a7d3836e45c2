from __future__ import annotations

import numpy as np
import pytest

from mouldgen.castings.logistic import Posterior
from mouldgen.castings.prior import BELIEF
from mouldgen.castings.shift import shift_of

WIDE = np.array([-0.3, 0.3])


def believed(*draws: tuple[float, float]) -> Posterior:
    coefficients = np.array([(*draw, -1.0) for draw in draws])
    return Posterior(
        coefficients=coefficients,
        weights=np.full(len(draws), 1.0 / len(draws)),
        mode=coefficients[0],
        covariance=np.eye(3),
        effective=float(len(draws)),
        refitted=False,
    )


def test_the_shift_is_where_a_void_is_as_likely_as_believed_at_the_rule() -> None:
    found = shift_of(believed((BELIEF.intercept + 2.0, -5.0)), BELIEF, wide=WIDE)
    assert found.low == found.middle == found.high == pytest.approx(0.4)
    assert BELIEF.intercept + 2.0 - 5.0 * found.middle == pytest.approx(BELIEF.intercept)
    assert found.contradicts == ""


def test_where_no_gap_helps_it_is_endless() -> None:
    up = shift_of(believed((BELIEF.intercept + 1.0, 0.5)), BELIEF, wide=WIDE)
    down = shift_of(believed((BELIEF.intercept - 1.0, 0.0)), BELIEF, wide=WIDE)
    assert up.middle == np.inf
    assert down.middle == -np.inf
    assert down.wrong_way == 0.0
    assert down.contradicts == "below"


@pytest.mark.parametrize(("wrong", "said"), [(9, ""), (10, "slope")])
def test_a_slope_is_said_to_be_wrong_where_more_than_nine_in_ten_say_so(
    wrong: int, said: str
) -> None:
    draws = [(BELIEF.intercept, 1.0)] * wrong + [(BELIEF.intercept, -1.0)] * (10 - wrong)
    found = shift_of(believed(*draws), BELIEF, wide=WIDE)
    assert found.wrong_way == pytest.approx(wrong / 10)
    assert found.contradicts == said


def test_castings_at_one_gap_cannot_tell_that_wider_is_worse() -> None:
    found = shift_of(believed((3.0, 0.5)), BELIEF, wide=np.zeros(9))
    assert found.doubted
    assert not found.seen
    assert found.contradicts == "above"


def test_95_percent_of_the_belief_lies_within_what_is_not_told() -> None:
    # by drawing: shifts of the belief, of which one in forty is said to be above
    random = np.random.default_rng(0)
    constant = BELIEF.intercept + BELIEF.intercept_scale * random.standard_t(
        BELIEF.intercept_freedom, 2_000_000
    )
    slope = random.normal(BELIEF.slope, BELIEF.slope_sd, 2_000_000)
    over = constant - BELIEF.intercept
    shifts = np.where(slope < 0.0, -over / slope, np.sign(over) * np.inf)
    low, high = np.quantile(shifts, [0.025, 0.975], method="lower")

    def said(shift: float) -> str:
        draw = (BELIEF.intercept + 4.0 * shift, -4.0)
        return shift_of(believed(draw), BELIEF, wide=WIDE).contradicts

    assert (said(0.97 * low), said(0.97 * high)) == ("", "")
    assert (said(1.03 * low), said(1.03 * high)) == ("below", "above")
