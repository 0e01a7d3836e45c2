"""Planted faults of printing are found where they are, and nothing is found on clean parts."""

from __future__ import annotations

import math

import numpy as np
import pytest
import scipy.spatial
import trimesh

from mouldgen.check import print_walls
from mouldgen.check.standing import hull
from mouldgen.solid.kernel import Solid, box, prism, revolve
from mouldgen.solid.mesh import canonical
from tests.printable import (
    CLEAN,
    LAYER,
    LINE,
    gate,
    leaning,
    looked_at,
    tee,
    tube,
    turned,
    wedge,
)

GRID = 2.0**-13  # two steps of the grid that meshes are snapped to


def ids(part: Solid) -> list[tuple[str, str]]:
    return [(finding.id, finding.severity) for finding in looked_at(part).findings]


@pytest.mark.parametrize("name", CLEAN)
def test_a_clean_part_gives_no_finding(name):
    assert looked_at(CLEAN[name]()).findings == ()


# ---------------------------------------------------------------- thickness


@pytest.mark.parametrize(("thick", "severity"), [(1.7, None), (0.84, None), (0.8, "warn"),
                                                 (0.42, "warn"), (0.4, "stop")])  # fmt: skip
def test_a_plate_is_as_thick_as_it_is(thick, severity):
    check = looked_at(box((0, 0, 0), (40, thick, 30)))
    walls = check.figures.walls
    assert walls.thinnest.mm == pytest.approx(thick, abs=GRID)
    assert walls.thinnest.at[1] == pytest.approx(thick / 2, abs=GRID)
    assert [f.severity for f in check.findings if f.id == "prints.thin"] == [severity] * bool(
        severity
    )
    if severity:
        assert walls.thin_mm2 == pytest.approx(40 * 30, rel=0.02)


@pytest.mark.parametrize(("thick", "told"), [
    (0.6, None), (0.59, ("warn", "two layers of 0.20 mm")), (0.4, ("warn", "two layers")),
    (0.39, ("warn", "one layer of")), (0.2, ("warn", "one layer of")),
    (0.19, ("stop", "less than a layer of 0.20 mm")),
])  # fmt: skip
def test_a_floor_is_made_of_whole_layers(thick, told):
    """Held by walls all round; 0.6 mm are less than two lines and yet enough."""
    part = box((0, 0, 0), (40, 30, 20)) - box((3, 3, -1), (37, 27, 10))
    part -= box((3, 3, 10 + thick), (37, 27, 21))
    check = looked_at(part)
    walls = check.figures.walls
    assert (walls.floor.mm, walls.thinnest.mm) == pytest.approx((thick, thick), abs=GRID)
    assert walls.wall.mm == pytest.approx(3.0, abs=GRID)
    found = [(f.severity, f.message, f.limit) for f in check.findings if f.id == "prints.thin"]
    assert [severity for severity, _, _ in found] == ([told[0]] if told else [])
    for severity, message, limit in found:
        assert told[1] in message
        assert limit == pytest.approx(3 * LAYER if severity == "warn" else LAYER)
        assert walls.thin_floor_mm2 == pytest.approx(34 * 24, rel=0.03)
    assert walls.thin_mm2 == 0.0


@pytest.mark.parametrize(("degrees", "limit"), [(14.0, 3 * 0.2), (16.0, 2 * 0.42)])
def test_up_to_15_degrees_from_level_a_wall_is_a_floor(degrees, limit):
    plate = turned(box((0, 0, 0), (40, 30, 0.5)), about=(1, 0, 0), degrees=degrees)
    (finding,) = (f for f in looked_at(plate).findings if f.id == "prints.thin")
    assert (finding.measured, finding.limit) == pytest.approx((0.5, limit), abs=2 * GRID)


@pytest.mark.parametrize("degrees", [0.0, 20.0, 45.0, 77.0])
def test_whichever_way_a_plate_leans(degrees):
    plate = turned(box((0, 0, 0), (40, 30, 0.7)), about=(2, 3, 1), degrees=degrees)
    thinnest = looked_at(plate).figures.walls.thinnest
    assert thinnest.mm == pytest.approx(0.7, abs=2 * GRID)


@pytest.mark.parametrize("wall", [0.5, 1.3, 3.0])
def test_a_tube_is_as_thick_as_its_facets(wall):
    """Both polygons are drawn around their circle: facet to facet is the wall."""
    assert looked_at(tube(10, 10 + wall)).figures.walls.thinnest.mm == pytest.approx(wall, abs=GRID)


def test_a_pocket_that_leaves_little_is_found_where_it_is():
    part = box((0, 0, 0), (30, 5, 30)) - box((10, 0.67, 10), (13, 6, 13))
    thinnest = looked_at(part).figures.walls.thinnest
    assert thinnest.mm == pytest.approx(0.67, abs=GRID)
    assert all(10 < along < 13 for along in (thinnest.at[0], thinnest.at[2]))


def test_a_groove_of_v_section_counts_to_its_bottom():
    """No face of the groove looks away from the back of the wall: only its bottom tells."""
    groove = prism([[(14, 3), (15, 2), (16, 3)]], bottom_mm=-1, top_mm=31)
    part = box((0, 0, 0), (30, 2.5, 30)) - groove
    thinnest = looked_at(part).figures.walls.thinnest
    assert thinnest.mm == pytest.approx(2.0, abs=0.001)
    assert thinnest.at == pytest.approx((15, 1.0, 15), abs=0.01)


def test_lettering_is_no_wall():
    """Strokes a line apart, 0.4 mm deep: a print shows them or not, but nothing breaks."""
    plate = box((0, 0, 0), (40, 30, 3))
    for k in range(5):
        plate -= box((10 + 0.7 * k, 5, 2.6), (10.4 + 0.7 * k, 25, 4))
    assert looked_at(plate).figures.walls.thinnest.mm > 2.0
    for k in range(5):
        plate -= box((10 + 0.7 * k, 5, 0.5), (10.4 + 0.7 * k, 25, 4))
    assert looked_at(plate).figures.walls.thinnest.mm == pytest.approx(0.3, abs=GRID)


# ------------------------------------------------------------ feather edges


@pytest.mark.parametrize("angle", [8.0, 15.0, 25.0, 35.0])
def test_a_wedge_is_a_feather_edge_as_long_as_it_is(angle):
    (feather,) = looked_at(wedge(angle)).figures.walls.feathers
    assert feather.length_mm == pytest.approx(20.0, abs=GRID)
    assert feather.angle_deg == pytest.approx(angle, abs=0.01)
    assert feather.at == pytest.approx((0, 0, 10), abs=GRID)


@pytest.mark.parametrize("angle", [38.0, 45.0, 50.0])
def test_a_wedge_that_a_line_fills_is_none(angle):
    """Thinner than a line for less than 1.5 lines: 2 atan(1/3) = 36.9 degrees is the border."""
    assert looked_at(wedge(angle)).figures.walls.feathers == ()


def test_two_planted_feather_edges_are_found_where_they_are():
    """An upright knife on one side, and a flat one along the top of the other."""
    block = box((0, 0, 0), (40, 10, 12))
    upright = prism([[(-6, 0), (0, 0), (0, 2)]], bottom_mm=0, top_mm=12)
    flat = prism([[(40, 0), (45, 0), (40, 1.5)]], bottom_mm=0, top_mm=10)
    check = looked_at(block + upright + turned(flat, about=(1, 0, 0), degrees=90).moved(y=10, z=8))
    first, second = check.figures.walls.feathers
    assert first.at == pytest.approx((-6, 0, 6), abs=GRID)
    assert second.at == pytest.approx((45, 5, 8), abs=GRID)
    assert (first.length_mm, second.length_mm) == pytest.approx((12, 10), abs=GRID)
    angles = [math.degrees(math.atan(slope)) for slope in (2 / 6, 1.5 / 5)]
    assert [first.angle_deg, second.angle_deg] == pytest.approx(angles, abs=0.01)
    (finding,) = (f for f in check.findings if f.id == "prints.feather")
    assert finding.severity == "warn"
    assert "2 feather edges" in finding.message
    assert "x -6.0, y 0.0, z 6.0 mm" in finding.message
    assert "x 45.0, y 5.0, z 8.0 mm" in finding.message


def test_beyond_a_limit_of_work_the_longest_are_looked_at_and_the_rest_is_told(monkeypatch):
    """Two knives and two slots with little behind them; time for one of each."""
    block = box((0, 0, 0), (40, 10, 12))
    for x, depth, length in ((10, 9.2, 12), (25, 9.4, 7)):
        block -= box((x, 0, 12 - length), (x + 4, depth, 12))
    upright = prism([[(-6, 0), (0, 0), (0, 2)]], bottom_mm=0, top_mm=12)
    low = prism([[(46, 0), (40, 0), (40, 2)]], bottom_mm=0, top_mm=7)
    part = block + upright + low
    whole = looked_at(part)
    assert [f.length_mm for f in whole.figures.walls.feathers] == pytest.approx([12, 7], abs=GRID)
    assert "prints.passed-over" not in [f.id for f in whole.findings]

    monkeypatch.setattr(print_walls, "MOST_SHARP_PAIRS", 1)
    monkeypatch.setattr(print_walls, "MOST_NOTCHES", 3)
    check = looked_at(part)

    # The lattice of lines still meets the second, but not its whole length.
    first, second = (feather.length_mm for feather in check.figures.walls.feathers)
    assert first == pytest.approx(12, abs=GRID)
    assert 6.0 < second < 7.0 - GRID
    # One edge each of the slot with a bottom, and of two of three grooves that are 12 mm long: the
    # back corners of the other slot, and the root of the first knife.  None of the second's root.
    passed = check.figures.walls.passed_over
    assert (passed.sharp, passed.grooves) == (1, 2)
    assert passed.longest_mm == pytest.approx(12, abs=GRID)
    (finding,) = (f for f in check.findings if f.id == "prints.passed-over")
    assert finding.severity == "note"
    assert finding.measured == 3.0
    assert "1 of its sharp edges and 2 of its grooves, up to 12.0 mm" in finding.message


def test_a_cone_that_ends_in_the_rim_leaves_a_feather_edge():
    """The fault that a closedness check never sees: the cone meets the outside at the top."""
    cup = revolve([(0, 0), (12, 0), (12, 30), (0, 30)], sides=96)
    cone = [(0, 2), (9, 2), (9, 20), (12.01, 30), (12.8, 32.62), (0, 32.62)]
    (feather,) = looked_at(cup - revolve(cone, sides=96)).figures.walls.feathers
    around = 2 * 96 * 12 * math.tan(math.pi / 96)
    assert feather.length_mm == pytest.approx(around, rel=1e-4)
    assert math.hypot(*feather.at[:2]) == pytest.approx(12.0, abs=0.001)
    assert feather.at[2] == pytest.approx(20 + 10 * 3 / 3.01, abs=0.01)
    assert feather.angle_deg == pytest.approx(math.degrees(math.atan(0.301)), abs=0.05)


def test_a_feather_edge_with_its_tip_cut_off_is_still_one():
    cup = revolve([(0, 0), (12, 0), (12, 30), (0, 30)], sides=96)
    cone = [(0, 2), (9, 2), (9, 20), (11.97, 30), (12.8, 32.8), (0, 32.8)]
    check = looked_at(cup - revolve(cone, sides=96))
    (feather,) = check.figures.walls.feathers
    assert feather.length_mm == pytest.approx(math.hypot(24, 24, 1.5), rel=0.05)
    assert 28.5 < feather.at[2] < 30.0
    assert feather.angle_deg == pytest.approx(math.degrees(math.atan(0.297)), abs=1.5)


def test_a_burr_is_too_short_to_be_a_feather_edge():
    burr = prism([[(-0.3, 0), (0, 0), (0, 0.1)]], bottom_mm=0, top_mm=12)
    assert looked_at(box((0, 0, 0), (40, 10, 12)) + burr).figures.walls.feathers == ()


# ------------------------------------------------------- overhang and bridge


@pytest.mark.parametrize("reach", [2.0, 10.0])
def test_an_overhang_has_the_area_that_it_has(reach):
    check = looked_at(tee(reach=reach))
    under = check.figures.overhang
    assert under.hanging_mm2 == pytest.approx(20.0 * reach, rel=1e-5)
    assert under.hangs_at[0] == pytest.approx(5 + reach, abs=0.5)
    assert under.hangs_at[2] == 20.0
    assert [f.id for f in check.findings] == ["prints.overhang"]
    assert check.findings[0].severity == "warn"


def test_a_ledge_hangs_by_itself():
    """Published: 0.5 to 1.5 mm of ledge print without support (Mazlan et al. 2020)."""
    under = looked_at(tee(reach=0.95)).figures.overhang
    assert under.steep_mm2 == pytest.approx(19.0, abs=0.001)
    assert (under.hanging_mm2, under.bridge_mm) == (0.0, 0.0)


@pytest.mark.parametrize("turn", [0.0, 33.0])
@pytest.mark.parametrize(("span", "found"), [(4.0, []), (10.0, []), (12.0, ["prints.bridge"])])
def test_a_bridge_has_the_span_that_it_has(span, found, turn):
    check = looked_at(gate(span).turned(turn))
    under = check.figures.overhang
    assert under.hanging_mm2 == 0.0
    assert under.steep_mm2 == pytest.approx(20.0 * span, rel=1e-5)
    assert under.bridge_mm == pytest.approx(span, abs=0.001)
    middle = np.array([5 + span / 2, 10.0])
    angle = math.radians(turn)
    x, y = under.bridge_at[:2]
    back = x * math.cos(angle) + y * math.sin(angle)
    assert back == pytest.approx(middle[0], abs=0.5)
    assert [f.id for f in check.findings] == found


@pytest.mark.parametrize("degrees", [30.0, 44.0, 45.0, 47.0, 60.0])
def test_from_45_degrees_an_underside_hangs(degrees):
    """Area of a ramp that rises 10 mm: its slant times its depth."""
    out = 10.0 * math.tan(math.radians(degrees))
    ramp = prism([[(0, 0), (10, 0), (10, 5), (10 + out, 15), (10 + out, 17), (0, 17)]],
                 bottom_mm=0, top_mm=20)  # fmt: skip
    under = looked_at(turned(ramp, about=(1, 0, 0), degrees=90)).figures.overhang
    area = 20.0 * 10.0 / math.cos(math.radians(degrees)) if degrees > 46.0 else 0.0
    assert under.hanging_mm2 == pytest.approx(area, rel=1e-4)


def test_a_ball_hangs_below():
    turn = np.linspace(-math.pi / 2, math.pi / 2, 41)
    ball = revolve(np.column_stack([10 * np.cos(turn).clip(0), 10 * np.sin(turn)]), sides=80)
    check = looked_at(ball)
    # The cap below 45 degrees of latitude, less 1 degree of slack: 2 pi R^2 (1 - cos 44).
    cap = 2 * math.pi * 100 * (1 - math.cos(math.radians(44)))
    assert check.figures.overhang.hanging_mm2 == pytest.approx(cap, rel=0.06)


def test_a_point_is_no_foot():
    top = revolve([(0, 0), (8, 10), (0, 20)], sides=4)
    assert ids(top) == [("prints.no-foot", "stop")]


# ------------------------------------------------------------------ standing


def test_a_post_that_leans_too_far_tips():
    check = looked_at(leaning(18.0))
    # Its middle lies 9 mm off; the foot's facet 5 cos(7.5 degrees) mm; both 20 mm below.
    tips = math.degrees(math.atan((5 * math.cos(math.radians(7.5)) - 9) / 20))
    stands = check.figures.standing
    assert stands.middle == pytest.approx((9, 0, 20), abs=1e-4)
    assert stands.foot_mm2 == pytest.approx(12 * 25 * math.sin(math.radians(15)), rel=1e-4)
    assert stands.tips_at_deg == pytest.approx(tips, abs=0.6)
    assert [(f.id, f.severity) for f in check.findings] == [("prints.tips", "stop")]
    assert ids(leaning(8.0)) == []


def test_a_box_tips_over_its_edge_at_the_angle_of_its_diagonal():
    stands = looked_at(box((0, 0, 0), (8, 30, 20))).figures.standing
    assert stands.tips_at_deg == pytest.approx(math.degrees(math.atan(4 / 10)))
    assert (stands.foot_mm2, stands.foot_mm, stands.height_mm) == (240.0, 8.0, 20.0)


def test_a_slender_part_is_told():
    assert ids(box((0, 0, 0), (5, 5, 40))) == []
    assert ids(box((0, 0, 0), (5, 5, 41))) == [("prints.slender", "warn")]


def test_three_legs_stand_as_wide_as_they_stand():
    """The foot is what a string round the legs encloses, not the legs alone."""
    legs = [box((x, y, 0), (x + 4, y + 4, 10)) for x, y in ((0, 0), (26, 0), (13, 26))]
    table = legs[0] + legs[1] + legs[2] + box((0, 0, 10), (30, 30, 13))
    stands = looked_at(table).figures.standing
    assert stands.foot_mm2 == pytest.approx(48.0)
    assert stands.tips_at_deg > 30.0


# ------------------------------------------------------------------- hollows


def test_a_sealed_hollow_is_found_where_it_is():
    check = looked_at(box((0, 0, 0), (20, 20, 20)) - box((5, 5, 5), (8, 8, 9)))
    (hollow,) = check.figures.hollows
    assert hollow.volume_mm3 == pytest.approx(36.0, abs=0.001)
    assert hollow.at == pytest.approx((6.5, 6.5, 7.0), abs=GRID)
    (finding,) = (f for f in check.findings if f.severity == "stop")
    assert finding.id == "prints.hollow"
    assert "36 mm3 near x 6.5, y 6.5, z 7.0 mm" in finding.message


def test_a_vented_hollow_is_none():
    part = box((0, 0, 0), (20, 20, 20)) - box((5, 5, 5), (8, 8, 9))
    vented = part - box((6, 6, 8), (7, 7, 21))
    assert looked_at(vented).figures.hollows == ()


def test_two_lines_and_one_line_are_the_limits():
    for thick, limit in ((2 * LINE - 0.01, 2 * LINE), (LINE - 0.01, LINE)):
        (finding,) = (
            f for f in looked_at(box((0, 0, 0), (20, thick, 20))).findings if f.id == "prints.thin"
        )
        assert finding.measured == pytest.approx(thick, abs=GRID)
        assert finding.limit == limit


@pytest.mark.parametrize("seed", range(5))
def test_the_outline_of_a_foot_is_the_convex_hull(seed):
    """Against scipy's hull: its own area, of a cloud, a grid with points in rows, and a ring."""
    random = np.random.default_rng(seed)
    turn = np.linspace(0, 2 * math.pi, 90, endpoint=False) + seed
    grid = np.stack(np.meshgrid(np.arange(7.0), np.arange(5.0)), axis=-1).reshape(-1, 2)
    ring = 9 * np.column_stack([np.cos(turn), np.sin(turn)])
    for points in (random.normal(size=(60, 2)), grid, np.concatenate([ring, grid])):
        x, y = hull(points).T
        area = 0.5 * (x @ np.roll(y, -1) - y @ np.roll(x, -1))
        assert area == pytest.approx(scipy.spatial.ConvexHull(points).volume, rel=1e-12)


@pytest.mark.parametrize("part", [tee, lambda: gate(12.0), lambda: wedge(13.0)])
def test_how_finely_a_mesh_is_cut_changes_nothing(part):
    """The same part with triangles of at most 0.7 mm, cut by another library."""
    mesh = part().any_mesh()
    corners, faces = trimesh.remesh.subdivide_to_size(mesh.vertices, mesh.triangles, 0.7)
    fine = canonical(corners, faces)
    assert len(fine.triangles) > 5_000
    one, other = (looked_at(each) for each in (mesh, fine))
    assert [f.id for f in one.findings] == [f.id for f in other.findings]
    for figures in (one.figures, other.figures):
        assert figures.standing.foot_mm2 == pytest.approx(one.figures.standing.foot_mm2)
        assert figures.overhang.hanging_mm2 == pytest.approx(one.figures.overhang.hanging_mm2)
        assert figures.overhang.bridge_mm == pytest.approx(one.figures.overhang.bridge_mm, abs=0.01)
        assert figures.walls.thinnest.mm == pytest.approx(one.figures.walls.thinnest.mm, abs=GRID)
        assert [f.length_mm for f in figures.walls.feathers] == pytest.approx(
            [f.length_mm for f in one.figures.walls.feathers], abs=GRID
        )
