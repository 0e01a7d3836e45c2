"""A measurement over its bar is taken again, a few times at most, and the best counts."""

from __future__ import annotations

import pytest

from benchmarks.clock import TRIES, best_of


@pytest.mark.parametrize(
    ("figures", "best", "taken"),
    [
        ([0.9], 0.9, 1),
        ([1.0], 1.0, 1),  # just met
        ([1.3, 0.8], 0.8, 2),
        ([1.4, 1.2, 1.3], 1.2, TRIES),  # never met: the test that asked falls by it
    ],
)
def test_the_first_within_its_bar_or_the_best_of_three(
    figures: list[float], best: float, taken: int
) -> None:
    left = iter(figures)
    assert best_of(lambda: next(left), figure=lambda one: one, bar=1.0) == best
    assert len(figures) - len(list(left)) == taken
