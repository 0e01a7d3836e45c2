"""The rubber mould and its box in closed form: worked by hand, and by other sums."""

from __future__ import annotations

import math

import numpy as np
import pytest

from mouldgen.size import size_of
from mouldgen.size.rubber import FRAME_DRAFT_DEG, LAND_MM, RubberQuestion, rows_of
from tests.lamp_set import lamp_plan, size_of_rubber


def asked(**changes: float) -> RubberQuestion:
    """The question of the lamp finials with other rubber."""
    known = vars(lamp_plan().question)
    return RubberQuestion(**known | changes)


@pytest.mark.parametrize(
    ("up", "grid"),
    [(1, (1, 1)), (2, (2, 1)), (3, (3, 1)), (4, (2, 2)), (6, (3, 2)), (7, (7, 1)), (12, (4, 3))],
)
def test_cavities_stand_in_a_full_grid_as_square_as_can_be(up, grid):
    assert rows_of(up) == grid
    size = size_of(asked(up=up), 3.0)
    assert len(set(size.cells)) == up
    assert np.abs(np.sum(size.cells, axis=0)).max() < 1e-9  # about the middle


def test_the_pitch_leaves_what_is_asked_for_between_two_plugs():
    """Common practice, no source: three quarters of an inch from one plug to the next."""
    assert size_of_rubber().pitch_mm == pytest.approx(2.0 * 23.0 + 19.0)
    grooved = size_of_rubber("mould.vent_grooves=3")
    assert grooved.pitch_mm == pytest.approx(2.0 * (23.0 + 1.2) + 19.0)
    # Two lids beside each other need room however little rubber is asked for.
    close = size_of(asked(between_mm=2.0), 3.0)
    assert close.pitch_mm > 2.0 * close.lid_reach_mm + 2.0


@pytest.mark.parametrize("draft", [0.0, 3.0])
@pytest.mark.parametrize("wall", [11.0, 16.0])
def test_the_least_rubber_round_a_plug_is_what_is_asked_for(wall, draft):
    size = size_of(asked(rubber_mm=wall, draft_deg=draft), 3.0)
    heights = np.linspace(0.0, size.rim_mm, 200)
    walls = [size.corner_mm(z) - size.bore_mm(z) for z in heights]
    assert min(walls) == pytest.approx(wall, abs=1e-9)


def test_a_thin_wall_still_leaves_rubber_outside_the_lids_groove():
    size = size_of(asked(rubber_mm=4.0), 3.0)
    inner, outer, depth = size.groove_mm
    assert inner == pytest.approx(23.0 + LAND_MM)
    assert outer == pytest.approx(size.lid_reach_mm + 0.25)
    assert depth > 6.0
    assert size.ledge_mm - outer == pytest.approx(2.0)


@pytest.mark.parametrize("up", [1, 2, 4, 6])
def test_inside_of_the_box_is_its_sections_summed(up):
    """Simpson's rule against a hundred thousand slices of the drafted part."""
    size = size_of(asked(up=up, shrink=0.0), 3.0)
    low, high = -size.rubber_floor_mm, size.rim_mm - size.tongue_mm[1]
    edges = np.linspace(low, high, 100_001)
    middles = (edges[1:] + edges[:-1]) / 2.0
    slices = sum(size.section_mm2(r) for r in size.top_mm - size.draft * (size.rim_mm - middles))
    whole = slices * (edges[1] - edges[0]) + size.section_mm2(size.ledge_mm) * size.tongue_mm[1]
    assert size.box_ml == pytest.approx(whole / 1000.0, rel=1e-9)


def test_one_cavity_by_hand():
    """A frustum less a cylinder less a ring."""
    size = size_of(asked(up=1, shrink=0.0), 3.0)
    slope = math.tan(math.radians(FRAME_DRAFT_DEG))
    top = 23.0 + 12.0 + slope * 94.0
    step = top - slope * 3.0
    foot = top - slope * 106.0
    frustum = math.pi * 103.0 * (step**2 + step * foot + foot**2) / 3.0
    ledge = top - slope * 3.0 - 0.25 - 3.0 * 0.42
    ring = math.pi * (size.groove_mm[1] ** 2 - size.groove_mm[0] ** 2) * 6.4
    plug = math.pi * 23.0**2 * 94.0
    wanted = (frustum + math.pi * ledge**2 * 3.0 - plug - ring) / 1000.0
    assert size.rim_mm == 94.0
    assert size.rubber_ml == pytest.approx(wanted, rel=1e-12)


def test_shrinkage_makes_every_length_of_the_rubber_longer_and_no_printed_wall():
    plain, grown = size_of(asked(shrink=0.0), 3.0), size_of(asked(shrink=0.003), 3.0)
    assert grown.scale == pytest.approx(1.0 / 0.997)
    assert grown.plug_ml == pytest.approx(plain.plug_ml / 0.997**3, rel=1e-12)
    assert grown.frame_height_mm - 5.0 == pytest.approx((plain.frame_height_mm - 5.0) / 0.997)
    assert grown.bore == plain.bore or grown.bore.points == plain.bore.points
    # Frame, tongues and clearance are printed as they are asked for.
    for size in (plain, grown):
        tongue = size.tongue_mm[0] * size.scale
        assert tongue == pytest.approx(3.0 * 0.42)
        outside = size.scale * size.top_mm + size.frame_mm + 0.25 + tongue
        assert size.frame_reach_mm == pytest.approx(outside)


def test_the_block_is_what_pot_and_bed_see():
    size = size_of_rubber()
    assert size.across_mm == pytest.approx(math.hypot(65.0, 65.0) / 2.0 + size.top_mm)
    assert size.stack_height_mm == pytest.approx(12.0 + 94.0 + 2.4)
    assert size.lies_mm == (*size.base_mm, size.frame_height_mm)
