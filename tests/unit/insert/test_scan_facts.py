"""A scan's facts against closed forms, against the kernel, and which end of it stands down."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest

from docs.make_scan import burl
from mouldgen.errors import JobError
from mouldgen.insert import facts_of, solid_of
from mouldgen.insert.scanned import below_mm3, rounds_mm
from mouldgen.job.load import load_job
from mouldgen.job.model import Insert
from mouldgen.job.scan import Scan, scan_of
from mouldgen.pour.ends import shut_in_ml, stood_up
from mouldgen.solid.kernel import Solid, cylinder, loft, revolve
from mouldgen.solid.mesh import Mesh


def scanned(mesh: Mesh, **more) -> Insert:
    scan = scan_of(mesh)
    values = {"shape": "scan", "length": scan.length_mm, "scan": scan, **more}
    return load_job("burl-knobs").job.insert.model_copy(update=values)


@pytest.fixture(scope="module")
def knob() -> Insert:
    return scanned(burl(steps=16))


def test_volumes_below_a_height_are_those_that_the_kernel_cuts_off() -> None:
    mesh = burl(steps=12)
    heights = np.linspace(mesh.bounds[0][2], mesh.bounds[1][2], 9)
    cut = [Solid.of_mesh(mesh).below(z).volume_mm3() for z in heights[1:-1]]

    found = below_mm3(mesh, heights)

    assert found[1:-1] == pytest.approx(cut, rel=1e-9)
    assert found[-1] == pytest.approx(mesh.volume_mm3, rel=1e-12)
    assert found[0] == pytest.approx(0.0, abs=1e-6)


def test_a_square_frustum_has_the_volumes_of_its_closed_form() -> None:
    # V = h (A1 + A2 + sqrt(A1 A2))/3, from any geometry text.
    def square(half: float) -> list[tuple[float, float]]:
        return [(half, -half), (half, half), (-half, half), (-half, -half)]

    mesh = loft([(square(10.0), 0.0), (square(6.0), 40.0)]).any_mesh()
    insert = scanned(mesh, end_down="heavy")
    facts = facts_of(insert, density_g_ml=0.7)

    half = 8.0  # midway
    below = 20.0 * (400.0 + 4.0 * half**2 + math.sqrt(400.0 * 4.0 * half**2)) / 3.0
    assert facts.length_mm == pytest.approx(40.0, abs=1e-3)
    assert facts.envelope_mm == pytest.approx(10.0 * math.sqrt(2.0), abs=1e-3)
    assert facts.below_mm3(20.0) == pytest.approx(below, rel=1e-4)
    assert facts.core_mm == pytest.approx(6.0 + 4.0 / 32.0, abs=0.01)
    assert facts.lower.area_mm2 == pytest.approx(400.0, rel=0.01)


def test_slices_add_up_and_their_rounds_enclose_every_corner(knob: Insert) -> None:
    facts = facts_of(knob, density_g_ml=0.7)
    mesh = knob.scan.standing("heavy")
    heights = np.linspace(0.0, facts.length_mm, len(facts.slices) + 1)
    points = mesh.vertices.astype(float)
    room = np.interp(points[:, 2], heights, rounds_mm(mesh, heights))

    assert sum(s.section_mm2 * s.length_mm for s in facts.slices) == pytest.approx(
        mesh.volume_mm3, rel=1e-9
    )
    assert (np.hypot(points[:, 0], points[:, 1]) <= room + 1e-9).all()
    assert all(one.upper_mm == other.lower_mm for one, other in pairwise(facts.slices))
    assert facts.envelope_mm <= knob.scan.radius_mm + 1e-3


def test_an_edge_that_passes_several_heights_is_enclosed_too() -> None:
    # Eight corners alone, none between the ends.
    mesh = Solid.of_mesh(cylinder(9.0, bottom_mm=0.0, top_mm=50.0, chord_mm=0.5).any_mesh())
    heights = np.linspace(0.0, 50.0, 11)

    assert rounds_mm(mesh.any_mesh(), heights).min() > 8.9


def test_the_solid_stands_on_its_end_and_touches_where_the_facts_say(knob: Insert) -> None:
    facts = facts_of(knob, density_g_ml=0.7)
    solid = solid_of(knob, chord_mm=0.01)

    assert solid.any_mesh().bounds[0][2] == 0.0
    for end, height in ((facts.lower, -0.5), (facts.upper, facts.length_mm + 0.5)):
        x, y, radius = end.spots_mm[0]
        low, high = sorted((height, height + math.copysign(0.5, -height + 1.0)))
        leg = cylinder(radius, bottom_mm=low, top_mm=high, chord_mm=0.05, centre=(x, y))
        assert leg.least_gap_mm(solid, within_mm=1.0) < 1e-3


def test_a_flat_end_has_more_than_one_place_to_stand_on() -> None:
    mesh = cylinder(12.0, bottom_mm=0.0, top_mm=50.0, chord_mm=0.1).any_mesh()
    facts = facts_of(scanned(mesh), density_g_ml=0.7)

    assert facts.lower.outer_mm == pytest.approx(12.0, abs=0.05)
    assert len(facts.lower.spots_mm) == 4
    for x, y, radius in facts.lower.spots_mm[1:]:  # wholly on the face, apart from one another
        assert radius >= 4.0
        assert math.hypot(x, y) + radius <= 12.0 + 1e-3
    _, *round_axis = facts.lower.spots_mm
    assert math.dist(round_axis[0][:2], round_axis[1][:2]) > 2.0 * radius


def dished() -> Mesh:
    """A cone with a dish of 6 mm radius and 8 mm depth in its thick end."""
    profile = [(0.0, 8.0), (6.0, 8.0), (6.0, 0.0), (20.0, 0.0), (8.0, 50.0), (0.0, 50.0)]
    return revolve(profile, sides=64).any_mesh()


def test_the_end_goes_down_under_which_less_air_stays() -> None:
    scan = scan_of(dished())
    dish_ml = math.pi * 6.0**2 * 8.0 / 1000.0

    assert shut_in_ml(scan) == pytest.approx((dish_ml, 0.0), rel=0.03, abs=0.01)


def test_the_maker_may_say_which_end_goes_down() -> None:
    job = load_job("burl-knobs", scan=dished()).job
    stood, told = stood_up(job)
    heavy = load_job("burl-knobs", scan=dished(), sets=["insert.end_down=heavy"]).job
    said, quiet = stood_up(heavy)

    assert stood.insert.end_down == "light"
    assert [f.id for f in told] == ["scan.end-down"]
    assert "0.00 ml of air stay under it, and 0.9" in told[0].message
    assert (said.insert.end_down, quiet) == ("heavy", ())


def test_turned_over_it_is_the_same_scan_to_the_bit(knob: Insert) -> None:
    scan: Scan = knob.scan
    light = scan.standing("light")

    assert light.bounds[0][2] == 0.0
    assert light.volume_mm3 == pytest.approx(scan.mesh.volume_mm3, rel=1e-9)
    again = light.turned_over().moved(0.0, 0.0, scan.length_mm)
    assert np.array_equal(again.vertices, scan.mesh.vertices)


def test_without_its_scan_an_insert_has_no_facts() -> None:
    with pytest.raises(JobError, match="came without its scan"):
        facts_of(Insert(shape="scan", length="50 mm"), density_g_ml=0.7)


def test_a_weight_gives_the_volume_and_leaves_the_form(knob: Insert) -> None:
    drawn = facts_of(knob, density_g_ml=0.7)
    weighed = knob.model_copy(update={"weight": 0.9 * drawn.mass_g})

    facts = facts_of(weighed, density_g_ml=0.7)

    assert facts.volume_ml == pytest.approx(0.9 * drawn.volume_ml, rel=1e-9)
    assert facts.envelope_mm == drawn.envelope_mm
