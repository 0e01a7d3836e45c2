"""What holds of tuning whatever the castings are.

One void more is not always a wider gap: a void in a tight casting, beside wide ones, makes the
slope steeper, and a steeper slope may do with a little less.  Of 589 files of 36 castings at four
gaps the gap of least cost, read between its steps, narrowed in 2 %, by 0.03 mm at most, and the gap
that is told in two of them, by a step.  What holds always is tested here.
"""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from mouldgen.castings.records import Casting
from mouldgen.castings.tune import Tuned, tune
from tests.casting_rows import casting, counted, job, peg_cost


def tuned(castings: list[Casting]) -> Tuned:
    return tune(castings, job=job(), cost_at=peg_cost, least_mm=0.5, most_mm=4.0, draws=1024)


def at_one_gap(open_mm: float, voids: int, loads: int, each: int) -> list[Casting]:
    return [
        one
        for load in range(loads)
        for one in counted(load, open_mm, voids // loads + (load < voids % loads), each)
    ]


@given(
    open_mm=st.floats(0.7, 1.0),
    loads=st.integers(1, 4),
    each=st.integers(2, 8),
    share=st.floats(0.0, 1.0, exclude_max=True),
)
@settings(max_examples=25, deadline=None)
def test_castings_at_one_gap_with_a_void_more_never_learn_a_narrower_one(
    open_mm: float, loads: int, each: int, share: float
) -> None:
    voids = int(share * loads * each)
    fewer = tuned(at_one_gap(open_mm, voids, loads, each))
    more = tuned(at_one_gap(open_mm, voids + 1, loads, each))
    assert more.least.gap_mm >= fewer.least.gap_mm
    assert more.air_shift >= fewer.air_shift
    assert more.shift.middle > fewer.shift.middle


@st.composite
def files(draw: st.DrawFn) -> list[Casting]:
    """One to four loads of two to ten castings, at any gaps, some with voids."""
    rows: list[Casting] = []
    for load in range(draw(st.integers(1, 4))):
        for number in range(draw(st.integers(2, 10))):
            gap = draw(st.sampled_from([0.6, 0.8, 1.0, 1.3, 1.7, 2.5]))
            rows.append(casting(gap, draw(st.booleans()), load=load, number=number))
    return rows


@given(rows=files(), which=st.integers(0, 1000))
@settings(max_examples=25, deadline=None)
def test_a_void_more_makes_voids_more_likely_where_it_was_cast(
    rows: list[Casting], which: int
) -> None:
    # E[p w]/E[w] >= E[p] where w = p/(1 - p) rises with p (Chebyshev's inequality)
    k = which % len(rows)
    good = [
        *rows[:k],
        casting(rows[k].open_mm, False, load=rows[k].load, number=900),
        *rows[k + 1 :],
    ]
    bad = [*rows[:k], casting(rows[k].open_mm, True, load=rows[k].load, number=900), *rows[k + 1 :]]
    before, after = tuned(good), tuned(bad)
    place = int(np.argmin(np.abs(before.choices.gap_mm - 0.2 - rows[k].open_mm)))
    assert after.band[place].mean > before.band[place].mean


@given(rows=files())
@settings(max_examples=25, deadline=None)
def test_every_answer_is_a_number_within_what_the_other_rules_leave(rows: list[Casting]) -> None:
    found = tuned(rows)
    least = found.least
    assert 0.5 <= least.low_mm <= least.high_mm <= 4.0
    assert 0.5 <= least.gap_mm <= 4.0
    assert np.isfinite([least.cost_per_good, least.now_cost, least.minutes_less]).all()
    assert least.cost_per_good <= least.now_cost + 1e-9
    assert all(0.0 < point.low < point.mean < 1.0 for point in found.band)
    assert all(point.low < point.high < 1.0 for point in found.band)
    assert 0.0 <= found.trust <= 1.0
    assert np.isfinite(found.air_shift)
    assert found.posterior.effective > 100.0


@given(rows=files())
@settings(max_examples=10, deadline=None)
def test_the_order_of_the_rows_does_not_matter(rows: list[Casting]) -> None:
    assert (tuned(rows).cost == tuned(rows[::-1]).cost).all()
