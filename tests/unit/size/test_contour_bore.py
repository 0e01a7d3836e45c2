"""The bore that follows an outline: closed forms worked by hand."""

import math
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mouldgen.size import size_of
from mouldgen.size.profile import frustum_ml
from tests.gap_questions import ROD, cup


def asked(*outline: tuple[float, float]):
    """A rod of 30 x 70 mm on pips of 1 mm, with an outline over its lower end."""
    insert = replace(ROD, length_mm=70.0, envelope_mm=15.0)
    return replace(cup(insert), family="contour", outline_mm=outline)


def test_without_an_outline_it_is_the_cup() -> None:
    contour = size_of(asked(), 1.0)
    plain = size_of(replace(asked(), family="cup"), 1.0)

    assert contour.cavity_ml == pytest.approx(plain.cavity_ml, rel=1e-12)
    assert contour.level_mm == pytest.approx(plain.level_mm, rel=1e-12)


def test_a_bulge_is_followed_and_its_roof_leaves_at_45_degrees() -> None:
    # A head of radius 20 from 50 mm over the insert's foot up to 60, the gap's 16 elsewhere.
    bore = size_of(asked((5.0, 10.0), (45.0, 10.0), (50.0, 20.0), (60.0, 20.0), (65.0, 10.0)), 1.0)
    head = bore.bore

    assert head.radius_mm(20.0) == 16.0
    # From 10 at 46 mm to 20 at 51 mm: it passes the insert's 16 at 49 mm.
    assert head.radius_mm(49.0) == pytest.approx(16.0)
    assert head.radius_mm(50.0) == pytest.approx(18.0)
    assert head.radius_mm(61.0) == pytest.approx(20.0)
    assert head.radius_mm(63.0) == pytest.approx(18.0)
    assert head.radius_mm(65.0) == pytest.approx(16.0)
    assert head.radius_mm(90.0) == pytest.approx(16.0)


def test_volume_saved_against_the_cup_of_the_same_reach() -> None:
    """By frusta: cylinder 16 x 49, frustum 16 to 20 over 2, cylinder 20 x 10, 20 to 16 over 4."""
    size = size_of(asked((5.0, 10.0), (45.0, 10.0), (50.0, 20.0), (60.0, 20.0), (65.0, 10.0)), 1.0)
    wanted = (
        frustum_ml(16.0, 0.0, 49.0)
        + frustum_ml(16.0, 2.0, 2.0)
        + frustum_ml(20.0, 0.0, 10.0)
        + frustum_ml(20.0, -1.0, 4.0)
        + frustum_ml(16.0, 0.0, 6.0)
    )
    assert size.fill_mm == 71.0
    assert size.cavity_ml == pytest.approx(wanted, rel=1e-12)
    cup_of_that_width = math.pi * 20.0**2 * 71.0 / 1000.0
    assert cup_of_that_width - size.cavity_ml == pytest.approx(cup_of_that_width - wanted)
    assert size.across_mm == pytest.approx(20.0 + 1.5 + 1.68)


def test_a_steep_outline_is_left_as_it_is() -> None:
    # Closing by half a mm for each mm is steeper than the roof: nothing is added.
    size = size_of(asked((0.0, 30.0), (20.0, 20.0), (70.0, 20.0)), 1.0)
    assert size.bore.radius_mm(11.0) == pytest.approx(25.0)
    assert size.bore.radius_mm(21.0) == pytest.approx(20.0)


@given(
    radii=st.lists(st.floats(2.0, 40.0), min_size=2, max_size=8),
    step=st.floats(1.0, 12.0),
    gap=st.floats(0.1, 5.0),
)
def test_it_covers_outline_and_insert_and_prints(
    radii: list[float], step: float, gap: float
) -> None:
    outline = tuple((k * step, r) for k, r in enumerate(radii))
    size = size_of(asked(*outline), gap)

    for (low, r0), (high, r1) in pairwise(outline):
        for share in (0.0, 0.25, 0.5, 0.75, 1.0):
            wanted = r0 + share * (r1 - r0)
            found = size.bore.radius_mm(1.0 + low + share * (high - low))
            assert found >= max(wanted, 15.0 + gap) - 1e-9
    for (low, r0), (high, r1) in pairwise(size.bore.points):
        assert r0 - r1 <= (high - low) * (1.0 + 1e-9)
    assert size.bore.narrowest_mm(0.0, size.rim_mm) >= 15.0 + gap - 1e-9


def test_a_bulge_near_the_end_closes_to_the_insert_and_goes_on_upright() -> None:
    """From 20 at 58 mm over the foot, 59 over the floor: it meets the insert's 16 at 63 mm."""
    bore = size_of(asked((0.0, 10.0), (50.0, 10.0), (58.0, 20.0), (60.0, 10.0)), 1.0).bore

    assert bore.radius_mm(61.0) == pytest.approx(18.0)
    for height in (63.0, 70.0, 90.0, 500.0):
        assert bore.radius_mm(height) == pytest.approx(16.0)


def test_of_a_shoulder_the_narrower_end_gives_way() -> None:
    """Square to the axis at 40 mm over the foot, 41 over the floor, and back at 60."""
    bore = size_of(asked((0.0, 17.0), (40.0, 17.0), (40.0, 20.0), (60.0, 20.0)), 1.0).bore

    assert bore.radius_mm(40.98) == pytest.approx(17.0)
    for height in (41.0, 50.0, 61.0):
        assert bore.radius_mm(height) == pytest.approx(20.0)


@pytest.mark.parametrize("radius", [16.0, 32.0])
def test_the_lid_reaches_round_a_wall_that_closes_at_45_degrees(radius: float) -> None:
    """Such a wall is root 2 as thick, level; 32 at the end is still closing at the skirt."""
    question = asked((0.0, 10.0), (69.0, 10.0), (70.0, radius))
    size = size_of(question, 1.0)
    low = size.rim_mm - question.skirt_mm
    thick = question.wall_mm * (math.sqrt(2.0) if radius > 16.0 else 1.0)

    assert (size.bore_mm(low) > size.bore_mm(size.rim_mm)) == (radius > 16.0)
    assert size.reach_mm == pytest.approx(size.bore_mm(low) + thick + question.groove_mm)
