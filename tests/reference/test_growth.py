"""No work grows with the square of its size, over the sizes of a shop and well beyond."""

from __future__ import annotations

import logging

import pytest

from benchmarks.growth import MOST, Series, measured, series

INSIDE = [one for one in series() if not one.told]  # the others start processes of their own


@pytest.mark.bench
@pytest.mark.parametrize("what", INSIDE, ids=lambda one: one.name)
def test_an_exponent_is_within_its_bar(what: Series) -> None:
    found = measured(what, quick=True)

    logging.getLogger(__name__).info(
        "%s: exponent %.2f from %.0f to %.0f, bar %.1f",
        what.name, found["exponent"], found["sizes"][0], found["sizes"][-1], MOST,
    )  # fmt: skip
    assert len(found["sizes"]) >= 2
    assert found["exponent"] <= MOST
