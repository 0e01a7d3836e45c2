"""Lids that go on: nothing of a lid is where the body is, closed or on its way down."""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from mouldgen.build import build_moulds
from mouldgen.errors import JobError
from mouldgen.job.load import load_job
from mouldgen.mould_set import MouldSet
from mouldgen.solid.kernel import Solid, box
from mouldgen.solid.topology import topology_of
from tests.shapes_in_moulds import SHAPES

BARE = Path(__file__).parents[2] / "bare_job.toml"
# A cool shop and a plastic that stands heat: heat is not what is asked about here.
COOL = ("pour.shop=15 C", "plastic.softens=130 C", "resin.hottest=180 C", "resin.depth=100 mm")
ROD = ("insert.shape=rod", "insert.diameter=22 mm", "piece.diameter=16 mm")
STICK = ("insert.shape=rod", "insert.diameter=14 mm", "mould.gap=2 mm", "piece.turning=1 mm",
         "piece.length=40 mm", "mould.family=contour")  # fmt: skip
CHORD_MM = 0.05
SHARED_MM3 = 0.3  # faces that touch, on the grid that meshes are written on


def turned(*points: tuple[float, float]) -> tuple[str, ...]:
    rows = ", ".join(f'["{along} mm", "{radius} mm"]' for along, radius in points)
    widest = max(radius for _, radius in points)
    return (*STICK, f"piece.outline=[{rows}]", f"piece.diameter={2.0 * widest} mm")


def knob(radius: float) -> tuple[str, ...]:
    """A head at the piece's upper end: from there the bore closes at 45 degrees."""
    return turned((0.0, 6.0), (39.0, 6.0), (40.0, radius))


TRAY = ("insert.shape=rod", "insert.diameter=22 mm", "piece.diameter=8 mm", "piece.turning=1 mm",
        "mould.family=tray")  # fmt: skip
ODD: dict[str, tuple[str, ...]] = {
    # The bore is narrower where a finger ends than at the insert's top.
    "fingers in a draft": (*ROD, "insert.length=12 mm", "piece.length=4 mm", "piece.turning=0 mm",
                           "mould.gap=1.6 mm", "mould.draft=10 deg", "mould.knock_out=true"),
    # It is narrower where a finger begins.
    "fingers under a closing bore": knob(20.0),
    "skirt round a closing wall": (*knob(28.0), "mould.vent_grooves=0"),
    "skirt round backs in a closing wall": (*knob(36.0), "mould.vent_grooves=3"),
    "bulge that closes above its outline": turned((0.0, 6.0), (30.0, 6.0), (38.0, 20.0),
                                                  (40.0, 6.0)),
    "edge of a bulge": turned((0.0, 6.0), (5.0, 20.0), (10.0, 6.0), (40.0, 6.0)),
    "shoulder": turned((0.0, 6.0), (20.0, 6.0), (20.0, 20.0), (40.0, 20.0)),
    "fed from below": (*knob(24.0), "pour.sequence=bottom-feed"),
    "draft of a block": (*ROD, "mould.family=block", "mould.cells=[1, 2]", "mould.draft=10 deg",
                         "mould.gap=5 mm"),
    "steep tray": (*TRAY, "mould.cells=[2, 2]", "mould.draft=10 deg", "mould.gap=6 mm"),
    "tray of four lines": (*TRAY, "mould.cells=[1, 2]", "mould.draft=3 deg", "mould.gap=4 mm",
                           "pour.layers=4"),
    "loose tray": (*TRAY, "mould.cells=[1, 2]", "mould.draft=6 deg", "mould.gap=4 mm",
                   "printer.clearance=1.5 mm"),
    "twelve grooves": (*ROD, "mould.vent_grooves=12", "mould.gap=4 mm"),
    "master": (*ROD, "mould.family=master", "rubber.card=tin-cure-silicone", "mould.draft=5 deg",
               "mould.gap=4 mm", "mould.up=3"),
    "halves": (*ROD, "mould.family=split", "mould.fill=70 mm", "mould.gap=6 mm"),
}  # fmt: skip


@cache
def made(*sets: str) -> MouldSet:
    found = build_moulds(load_job(BARE, sets=[*sets, *COOL]).job)
    assert [(f.id, f.message) for f in found.findings if f.severity == "stop"] == []
    assert found.parts is not None
    return found


def coarse(name: str) -> MouldSet:
    """Its circles drawn roughly: an overlap of parts shows as well, and sooner."""
    return made(*ODD[name], f"mould.chord={CHORD_MM} mm")


@pytest.mark.parametrize("name", ODD)
def test_the_lid_goes_down_onto_its_body(name: str) -> None:
    parts = coarse(name).parts
    lid = Solid.of_mesh(parts.part("lid").assembled)
    for body in parts.bodies:
        solid = Solid.of_mesh(body.assembled)
        for lifted in (0.0, 0.5, 5.0, 20.0):
            shared = (lid.moved(z=lifted) ^ solid).volume_mm3()
            assert shared <= SHARED_MM3, (body.name, lifted)


@pytest.mark.parametrize("name", ODD)
def test_it_rests_on_its_body(name: str) -> None:
    """Let down by a twentieth of a millimetre it is in the body's way: nothing else holds it up."""
    parts = coarse(name).parts
    lid = Solid.of_mesh(parts.part("lid").assembled).moved(z=-0.05)
    shared = sum((lid ^ Solid.of_mesh(b.assembled)).volume_mm3() for b in parts.bodies)
    # Four feet of two lines square are the least that any lid here rests on.
    assert shared >= 0.05 * 4.0 * 0.84**2


@pytest.mark.parametrize("name", ODD)
def test_parts_and_stack_are_no_higher_than_the_sizes_that_bed_and_pot_are_asked_for(
    name: str,
) -> None:
    found = coarse(name)
    parts, size, q = found.parts, found.answer.size, found.plan.question
    lid = parts.part("lid")
    printed = lid.mesh.bounds[1][2]
    assert printed <= size.lid_height_mm + 1e-3
    if not size.sides_mm and found.plan.sockets.upper == "lid":
        # Fingers that are less deep than any may be are all that it can be lower by.
        spare = q.finger_mm - found.plan.sockets.depth_mm
        assert printed == pytest.approx(size.lid_height_mm - spare, abs=1e-3)
    if size.lies_mm is None:  # halves and casting boxes lie; what they hold is no part of its own
        assert parts.part("body").mesh.bounds[1][2] == pytest.approx(size.body_height_mm, abs=1e-3)
        ends = [part.assembled.bounds for part in parts.parts]
        high = max(top[2] for _, top in ends) - min(low[2] for low, _ in ends)
        assert high == pytest.approx(size.stack_height_mm, abs=2e-3)


def test_letters_on_a_wall_without_grooves_are_within_the_size() -> None:
    """A bulge that is wider than the lid, lettered where it is widest: half a mm over the wall."""
    found = made(*turned((0.0, 30.0), (34.0, 30.0), (40.0, 24.0)), "mould.vent_grooves=0")
    size, body = found.answer.size, found.parts.part("body")
    assert found.plan.body_label is not None
    reach = body.footprint.radius_mm
    assert reach == pytest.approx(size.across_mm, abs=0.02)
    assert reach > size.widest_mm + size.wall_mm + 0.4
    assert size.across_mm > size.lid_reach_mm


@pytest.mark.parametrize(
    "name", ["edge of a bulge", "bulge that closes above its outline", "shoulder", "twelve grooves"]
)
def test_nothing_of_a_round_mould_is_beyond_the_size_that_pot_and_bed_are_asked_for(
    name: str,
) -> None:
    found = coarse(name)
    for part in found.parts.parts:
        reach = float(np.hypot(*part.assembled.vertices[:, :2].astype(float).T).max())
        # A corner of a polygon drawn around its circle stands off by the chord.
        assert reach <= found.answer.size.across_mm + 2.0 * CHORD_MM, part.name


def test_fingers_take_their_share_of_the_resin() -> None:
    """What is poured is the space that is left round insert, ribs, legs and fingers."""
    for sets in (
        (*ROD, "mould.knock_out=true", "mould.draft=1 deg", "mould.gap=6 mm"),
        (*(f"insert.{key}" for key in SHAPES["taper up"]), "piece.diameter=12 mm"),
        ODD["halves"],
    ):
        found = made(*sets)
        parts, size = found.parts, found.answer.size
        assert found.plan.sockets.upper == "lid"
        lid = Solid.of_mesh(parts.part("lid").assembled)
        space = Solid.of_mesh(parts.hollow).below(size.level_mm)
        left = (space - Solid.of_mesh(parts.displacing) - lid).volume_mm3() / 1000.0
        asked = size.net_ml + size.riser_ml + parts.features_ml
        # The bore is drawn around its circle and the rod's corners on it: 2 t/3R of each.
        slack = 2.0 * 0.01 / (3.0 * size.foot_mm) * (size.cavity_ml + size.riser_ml)
        slack += 4.0 * 0.01 / (3.0 * 7.0) * size.insert_ml
        assert left == pytest.approx(asked, abs=1.1 * slack)


def test_a_finger_keeps_its_clearance_to_the_bore() -> None:
    found = made(*ODD["fingers in a draft"])
    plan, parts = found.plan, found.parts
    assert plan.sockets.upper == "lid"
    low, high = plan.insert_top_mm - plan.sockets.depth_mm, plan.size.rim_mm - 2.0
    block = box((-60.0, -60.0, low), (60.0, 60.0, high))
    lid = Solid.of_mesh(parts.part("lid").assembled) ^ block
    apart = lid.least_gap_mm(Solid.of_mesh(parts.part("body").assembled), within_mm=1.0)
    lean = math.cos(math.radians(10.0))
    assert apart == pytest.approx(plan.question.clearance_mm * lean, abs=0.005)


@pytest.mark.parametrize("name", ["steep tray", "tray of four lines", "loose tray"])
def test_feet_of_a_drafted_tray_stand_on_the_deck_clear_of_the_pockets(name: str) -> None:
    found = coarse(name)
    parts, size = found.parts, found.answer.size
    lid = Solid.of_mesh(parts.part("lid").assembled)
    slab = box((-300.0, -300.0, size.deck_mm - 0.1), (300.0, 300.0, size.deck_mm + 0.05))
    feet = (lid ^ slab).pieces()
    # Legs on the inserts reach through the slab too; they stand over a pocket.
    feet = [foot for foot in feet if foot.below(size.deck_mm).volume_mm3() < 1e-3]
    assert len(feet) == 4
    for foot in feet:
        across = math.sqrt(foot.volume_mm3() / 0.05)
        assert across >= 2.0 * found.plan.question.line_mm - 1e-3
        for x, y in parts.places:
            over = foot ^ Solid.of_mesh(parts.hollow).moved(x, y)
            assert over.volume_mm3() == pytest.approx(0.0, abs=1e-3)


@pytest.mark.parametrize(("sets", "least"), [((), "2.69"), (("mould.gap=2 mm",), "2.69")])
def test_a_bore_without_room_for_the_ring_of_its_lid_says_what_has(
    sets: tuple[str, ...], least: str
) -> None:
    """2.69 = line 0.42 + clearance 0.25 + wall 2.52 - the rod's radius of 0.5."""
    needle = ("insert.shape=rod", "insert.diameter=1 mm", "piece.diameter=1 mm",
              "piece.turning=0.5 mm", "mould.family=split", "mould.fill=70 mm", *COOL)  # fmt: skip
    with pytest.raises(JobError, match=f"no room for the ring.*at least {least} mm"):
        build_moulds(load_job(BARE, sets=[*needle, *sets]).job)
    found = build_moulds(load_job(BARE, sets=[*needle, f"mould.gap={least} mm"]).job)
    assert [f.id for f in found.findings if f.severity == "stop"] == []


@pytest.mark.parametrize(("across", "told"), [(3.0, True), (12.0, False)])
def test_a_lid_without_a_single_hole_is_told(across: float, told: bool) -> None:
    """Holes as the mesh counts them; a lid's disc and legs have no handle of their own."""
    found = made("insert.shape=rod", f"insert.diameter={across} mm", "insert.length=30 mm",
                 f"piece.diameter={across} mm", "piece.length=16 mm", "piece.turning=0.5 mm",
                 "mould.gap=3 mm")  # fmt: skip
    holes = topology_of(found.parts.part("lid").mesh).genus
    assert (holes == 0) == told
    warned = {f.id for f in found.findings if f.severity == "warn"}
    assert ("cup.no-opening" in warned) == told
    # Leaning is no way out of a lid that nothing leaves by.
    assert "pour.lean" not in warned
    assert found.tried.best == 0
    assert ("before the lid goes on" in found.tried.reason) == told
    assert all(pour.air.opens.any() != told for pour in found.tried.pours)
