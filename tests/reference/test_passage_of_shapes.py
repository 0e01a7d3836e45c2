"""The passage of the shipped shapes against finite elements of our own: the bias it states."""

import math

import pytest

from mouldgen.gap.passage import passage_of
from mouldgen.insert.flute import flute_radius
from tests.finite_elements import fluted_ring
from tests.gap_questions import flute, question


@pytest.mark.parametrize("gap", [0.1, 0.2, 0.5, 1.0, 2.0])
@pytest.mark.parametrize(("share", "flutes"), [(0.05, 6), (0.2, 6), (0.2, 4), (0.3, 6)])
def test_a_fluted_stick_pushes_as_reckoned(share: float, flutes: int, gap: float) -> None:
    fem = fluted_ring(15.0, flute_radius(15.0, flutes=flutes, share=share), flutes=flutes, gap=gap)
    area = math.pi * (15.0 + gap) ** 2 - fem.area
    passage = passage_of(question(insert=flute(flutes=flutes, share=share)))

    assert -0.02 < passage.drag(gap / 1000.0) / fem.drag(area) - 1.0 < 0.07
    assert -0.03 < 1e12 * passage.conductance(gap / 1000.0) / fem.passed - 1.0 < 0.025
