"""No work grows with the square of its size, over the sizes of a shop and well beyond.

What else runs on the machine bends a line through times, so one over its bar is measured again,
twice at most, and the flattest counts.
"""

from __future__ import annotations

import logging

import pytest

from benchmarks.clock import best_of
from benchmarks.growth import MOST, Series, measured, series

INSIDE = [one for one in series() if not one.told]  # the others start processes of their own


@pytest.mark.bench
@pytest.mark.parametrize("what", INSIDE, ids=lambda one: one.name)
def test_an_exponent_is_within_its_bar(what: Series) -> None:
    found = best_of(
        lambda: measured(what, quick=True), figure=lambda one: float(one["exponent"]), bar=MOST
    )

    logging.getLogger(__name__).info(
        "%s: exponent %.2f from %.0f to %.0f, bar %.1f",
        what.name, found["exponent"], found["sizes"][0], found["sizes"][-1], MOST,
    )  # fmt: skip
    assert len(found["sizes"]) >= 2
    assert found["exponent"] <= MOST
