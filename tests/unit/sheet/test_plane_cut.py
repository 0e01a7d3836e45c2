"""A plane through meshes of known shape: areas, lengths and windings in closed form."""

from __future__ import annotations

import math

import numpy as np
import pytest

from mouldgen.sheet.plane_cut import area_mm2, ends, plane_cut, plane_reach, spans
from mouldgen.solid.kernel import box, cylinder, revolve, union

TUBE = [(5.0, 0.0), (8.0, 0.0), (8.0, 20.0), (5.0, 20.0)]


def test_a_box_cut_at_any_azimuth_has_the_area_of_its_slanted_width() -> None:
    mesh = box((-4.0, -3.0, 0.0), (4.0, 3.0, 10.0)).any_mesh()

    for azimuth in (0.0, 20.0, 36.0, 90.0, 135.0, 160.0):
        turn = math.radians(azimuth)
        # From the middle to a side: what comes first of x = 4 and y = 3.
        c, s = abs(math.cos(turn)), abs(math.sin(turn))
        half = min(4.0 / c if c > 1e-9 else math.inf, 3.0 / s if s > 1e-9 else math.inf)
        loops = plane_cut(mesh, azimuth_deg=azimuth)

        assert len(loops) == 1
        assert len(loops[0]) == 4
        assert area_mm2(loops) == pytest.approx(2.0 * half * 10.0, rel=1e-6)
        assert plane_reach(mesh, azimuth_deg=azimuth) == pytest.approx((-half, half), abs=1e-6)


def test_a_tube_shows_its_two_walls_and_the_outline_of_a_hollow_runs_the_other_way() -> None:
    tube = revolve(TUBE, sides=400).any_mesh()
    hollow = box((-5, -5, 0), (5, 5, 10)) - box((-2, -2, 3), (2, 2, 6))

    assert area_mm2(plane_cut(tube, azimuth_deg=33.0)) == pytest.approx(2 * 3 * 20, rel=2e-4)
    found = plane_cut(hollow.any_mesh(), azimuth_deg=0.0)
    assert sorted(area_mm2([loop]) for loop in found) == pytest.approx([-12.0, 100.0])


def test_a_plane_off_the_axis_cuts_the_chord() -> None:
    rod = cylinder(10.0, bottom_mm=0.0, top_mm=1.0, chord_mm=0.001).any_mesh()

    loops = plane_cut(rod, azimuth_deg=0.0, about=(1.0, 6.0))

    # At 6 from the middle of a round of radius 10 half the chord is 8; u counts from x = 1.
    assert ends(loops)[0] == pytest.approx((-9.0, 7.0), abs=0.003)


def test_what_only_touches_the_plane_from_behind_is_not_cut_and_what_touches_from_before_is() -> (
    None
):
    behind = box((0, 0, 0), (4, 5, 6))
    both = union([behind, box((4, -5, 0), (8, 0, 3))]).any_mesh()

    assert plane_cut(behind.any_mesh(), azimuth_deg=0.0) == ()
    assert area_mm2(plane_cut(both, azimuth_deg=0.0)) == pytest.approx(12.0)
    # Seen from the other side the two have changed places.
    assert area_mm2(plane_cut(both, azimuth_deg=180.0)) == pytest.approx(24.0)


def test_a_plane_beside_a_mesh_cuts_nothing() -> None:
    mesh = box((0, 1, 0), (4, 5, 6)).any_mesh()

    assert plane_cut(mesh, azimuth_deg=0.0) == ()
    assert spans((), 1.0) == ()


def test_lines_across_outlines_are_stretches_of_material() -> None:
    loops = plane_cut(revolve(TUBE, sides=400).any_mesh(), azimuth_deg=0.0)

    level = spans(loops, 7.0)
    assert np.array(level) == pytest.approx(np.array([[-8, -5], [5, 8]]), abs=0.001)
    assert spans(loops, 6.0, upright=True) == (pytest.approx((0.0, 20.0)),)
    assert spans(loops, 0.0, upright=True) == ()
