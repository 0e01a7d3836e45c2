"""The solids of a tray: handles and shells, what touches, what lets go, marks and lettering."""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from mouldgen.build import build_moulds
from mouldgen.job.load import load_job
from mouldgen.mould.tray import TrayPlan
from mouldgen.mould.tray_solids import pocket
from mouldgen.mould_set import MouldSet
from mouldgen.packing.shapes import Rectangle
from mouldgen.solid.kernel import Solid, box
from mouldgen.solid.topology import topology_of

BARE = Path(__file__).parents[2] / "bare_job.toml"
MEMBERS = (
    'member=[{shape="rod", diameter="8 mm", at=["5 mm", "0 mm"]},'
    ' {shape="tube", diameter="8 mm", inside="6 mm", at=["-5 mm", "0 mm"]}]'
)
SHAPES = {
    "bar": ("shape=bar", "width=24 mm", "thickness=12 mm"),
    "rod": ("shape=rod", "diameter=16 mm"),
    "tube": ("shape=tube", "diameter=12 mm", "inside=10 mm"),
    "honeycomb": ("shape=bundle", "cell=5.8 mm", "cell_wall=0.2 mm", "width=18 mm",
                  "thickness=17.4 mm"),
    "heap": ("shape=bundle", "width=40 mm", "thickness=20 mm", "displaced=20 ml"),
    "members": ("shape=bundle", MEMBERS),
}  # fmt: skip


@cache
def tray(name: str, *sets: str) -> MouldSet:
    """In a cool shop and a plastic that stands heat: heat is not what is asked about here."""
    own = [f"insert.{key}" for key in SHAPES[name]]
    own += ["mould.family=tray", "insert.length=70 mm", "piece.diameter=8 mm", "piece.turning=1 mm"]
    own += ["piece.length=56 mm", "pour.shop=15 C", "plastic.softens=130 C", "resin.hottest=180 C"]
    own += ["printer.card=square-300", *sets]
    return build_moulds(load_job(BARE, sets=own).job)


@pytest.mark.parametrize("cells", ["[1, 1]", "[1, 3]", "[2, 2]"])
@pytest.mark.parametrize("name", SHAPES)
def test_a_tray_is_made_and_nothing_must_be_fixed(name, cells):
    """A body of open pockets has no handle; the lid has one for each port."""
    found = tray(name, f"mould.cells={cells}")
    assert [f.message for f in found.findings if f.severity == "stop"] == []
    ports = {"[1, 1]": 1, "[1, 3]": 3, "[2, 2]": 4}[cells]
    for part, genus in (("body", 0), ("lid", ports)):
        topology = topology_of(found.parts.part(part).mesh)
        assert (topology.closed, topology.genus, topology.shells) == (True, genus, 1)


@pytest.mark.parametrize("name", SHAPES)
def test_printing_finds_nothing_to_fix_or_to_look_at(name):
    found = tray(name, "mould.cells=[1, 3]")
    assert [f.message for f in found.findings if f.rule == "prints"] == []


@pytest.mark.parametrize("draft", ["0 deg", "1 deg", "3 deg"])
@pytest.mark.parametrize("name", SHAPES)
def test_the_gap_is_measured_from_the_sides(name, draft):
    found = tray(name, f"mould.draft={draft}")
    size = found.plan.size
    wanted = size.gap_mm * math.cos(math.atan(size.slope))
    assert found.measured_least_mm == pytest.approx(wanted, abs=2e-4)


@pytest.mark.parametrize("name", SHAPES)
def test_legs_and_pips_touch_every_insert(name):
    found = tray(name, "mould.cells=[2, 2]")
    insert = Solid.of_mesh(found.parts.insert)
    for part in ("lid", "body"):
        solid = Solid.of_mesh(found.parts.part(part).assembled)
        for x, y in found.parts.places:
            put = insert.moved(x, y)
            assert put.least_gap_mm(solid, within_mm=1.0) < 0.001
            assert (put ^ solid).volume_mm3() < 0.5


def test_the_insert_lies_as_high_as_it_is_planned():
    found = tray("bar")
    (left, front, low), (right, back, high) = found.parts.insert.bounds
    assert (low, high) == pytest.approx((2.0, 14.0), abs=1e-3)  # on its width, on pips of 2 mm
    assert (right - left, back - front) == pytest.approx((24.0, 70.0), abs=1e-3)


@pytest.mark.parametrize("more", [(), ("pour.layers=2", "mould.head=9 mm")])
def test_a_pocket_opens_upward_so_that_the_blank_comes_out(more):
    """Filled to the deck, lines and all, it passes nothing on its way up."""
    found = tray("bar", "mould.cells=[1, 2]", "mould.draft=1 deg", *more)
    body = Solid.of_mesh(found.parts.part("body").assembled)
    blank = Solid.of_mesh(found.parts.hollow).below(found.plan.size.deck_mm)
    for lift in (0.5, 5.0, 12.0, 40.0):
        for x, y in found.parts.places:
            assert (blank.moved(x, y, lift) ^ body).volume_mm3() < 0.01


def test_without_a_draft_sides_are_square():
    found = tray("bar", "mould.draft=0 deg")
    size = found.plan.size
    assert size.pocket_mm(0.0) == size.pocket_mm(30.0)


def test_air_leaves_all_round_under_the_lid():
    found = tray("bar", "mould.cells=[1, 3]")
    size = found.plan.size
    lid = Solid.of_mesh(found.parts.part("lid").assembled)
    x, y = size.body_mm
    layer = box((-x, -y, size.deck_mm + 1.0), (x, y, size.deck_mm + 2.0)) ^ lid
    legs = sum((c - a) * (d - b) for a, b, c, d in found.plan.legs) * 3
    feet = layer.volume_mm3() - legs
    assert 4 * 1.0**2 < feet <= 4 * 3.0**2 + 1e-3  # four, no wider than 3 mm


def test_the_deck_is_lower_than_the_rim_and_drains():
    found = tray("bar", "mould.cells=[1, 3]")
    size = found.plan.size
    body = Solid.of_mesh(found.parts.part("body").assembled)
    x, y = size.body_mm[0] / 2.0, size.body_mm[1] / 2.0
    over = box((-x, -y, size.deck_mm + 0.5), (x, y, size.deck_mm + 1.5)) ^ body
    ring = 4.0 * (x * y - (x - size.wall_mm) * (y - size.wall_mm)) - 8.0 * size.wall_mm
    assert over.volume_mm3() == pytest.approx(ring, rel=1e-3)
    notch = box((-x - 1.0, -3.9, size.deck_mm + 0.1), (-x + size.wall_mm, 3.9, size.rim_mm))
    assert (notch ^ body).volume_mm3() == 0.0


def test_lands_are_hollow_below_and_keep_their_walls():
    """A channel under each land, open on the bed, a wall to either pocket."""
    found = tray("bar", "mould.cells=[1, 3]")
    body = Solid.of_mesh(found.parts.part("body").assembled)
    size = found.plan.size
    middle = size.pitch_mm[0] / 2.0
    probe = box((middle - 0.2, -1.0, -found.plan.question.floor_mm), (middle + 0.2, 1.0, 5.0))
    assert (probe ^ body).volume_mm3() == 0.0
    assert found.prints[0].figures.walls.thinnest.mm >= size.wall_mm - 0.4 - 0.01


def test_pieces_end_to_end_and_their_saw_marks():
    sets = ("piece.per_blank=3", "piece.length=18 mm", "piece.facing=1 mm", "mould.gap=3 mm")
    found = tray("bar", *sets)
    plan = found.plan
    assert isinstance(plan, TrayPlan)
    assert [pose.y_mm for pose in plan.poses] == pytest.approx([21.2, 0.0, -21.2])  # 18 + 3.2
    assert [(b + d) / 2.0 for _, b, _, d in plan.marks] == pytest.approx([10.6, -10.6])
    assert [f.id for f in found.findings if f.severity == "stop"] == []
    assert found.cuts.stack.pieces == 3
    assert found.cuts.stack.needed_mm == pytest.approx(3 * 18 + 2 * 1 + 2 * 3.2)
    # Each mark stands 0.4 mm over the floor from wall to wall: two layers, two lines of 0.42 mm.
    hollow = Solid.of_mesh(found.parts.hollow)
    width, _ = plan.size.foot_mm
    at = box((-width, 10.0, -1.0), (width, 11.2, 0.4))
    whole = pocket(plan.size, top_mm=0.4)
    lost = ((whole ^ at) - hollow).volume_mm3()
    assert lost == pytest.approx(width * 0.84 * 0.4, rel=2e-3)


def test_pieces_side_by_side_and_their_saw_marks():
    found = tray("heap", "piece.saw=[2, 3]", "piece.length=18 mm", "piece.facing=1 mm",
                 "mould.gap=2 mm", "mould.fill=24 mm")  # fmt: skip
    plan = found.plan
    assert len(plan.poses) == 6
    assert not any(pose.lies for pose in plan.poses)
    wide, deep = plan.sawn_mm
    assert (wide, deep) == pytest.approx(
        ((plan.size.foot_mm[0] - 3.2) / 2.0, (plan.size.foot_mm[1] - 6.4) / 3.0)
    )
    assert len(plan.marks) == 1 + 2
    assert found.piece.count == 6
    assert found.piece.resin_share == pytest.approx(plan.size.net_ml / plan.size.cavity_ml)


def test_a_finished_piece_lies_inside_its_blank():
    found = tray("rod", "piece.per_blank=2", "piece.length=25 mm", "mould.gap=2 mm")
    from mouldgen.check.finished import finished_of

    job, plan = found.answer.job, found.plan
    blank = Solid.of_mesh(found.parts.cavity)
    for one in finished_of(job.piece, plan, chord_mm=0.05):
        assert (one - blank).volume_mm3() == 0.0
    # A rod of 16 mm round a piece of 8: the piece is wood where both axes are as high.
    assert found.piece.resin_share < 0.05


def test_thread_and_wood_are_measured_lying():
    """A hole on the axis of a piece that lies wholly in a bar."""
    found = tray("bar", "piece.thread=M4", "piece.hole_depth=10 mm", "mould.fill=16 mm")
    assert found.piece.thread_wood == pytest.approx(1.0, abs=0.01)


def test_the_lids_legs_are_held_against_every_insert():
    one, four = tray("bar"), tray("bar", "mould.cells=[2, 2]")
    assert four.hold.lift_n == pytest.approx(4 * one.hold.lift_n)
    assert four.hold.push_n == 0.0
    # 20.16 ml of 0.68 g/ml in 1.0733 g/ml, weighed by hand.
    assert one.hold.lift_n == pytest.approx(20.16 * (1.0733 - 0.68) * 9.80665e-3, rel=1e-3)


@pytest.mark.parametrize("draft", ["0 deg", "1 deg"])
def test_features_are_what_the_hollow_says(draft):
    found = tray("bar", "mould.cells=[1, 2]", f"mould.draft={draft}")
    plan = found.plan
    legs = sum((c - a) * (d - b) for a, b, c, d in plan.legs)
    legs *= plan.size.level_mm - plan.insert_top_mm
    pips = sum((c - a) * (d - b) for a, b, c, d in plan.pips) * plan.question.pip_mm
    around = 2.0 * sum(plan.size.pocket_mm(plan.size.level_mm))
    # Between square sides the lower half of a V 0.4 mm deep; else a step that begins at the level.
    line = around * 0.5 * 0.4 * 0.4 if draft == "0 deg" else 0.0
    assert found.parts.features_ml == pytest.approx(2 * (line - legs - pips) / 1000.0, abs=2e-3)


def test_the_virtual_pour_fills_a_pocket_and_finds_what_is_shut_in():
    """A tube whose ends meet the pocket's walls would keep its air; one with a gap keeps none."""
    found = tray("tube")
    assert found.tried.pours[0].shut_in_ml < 0.02
    poured = found.tried.pours[0]
    wanted = found.amounts.per_mould_ml
    assert poured.volume_to(poured.level_mm) == pytest.approx(wanted, rel=0.01)


def test_a_pocket_of_air_under_the_insert_is_found():
    """A trough with its opening down lies over air: cut into a bar, it is found as a pocket."""
    from dataclasses import replace

    from mouldgen.pour.attitudes import attitudes
    from mouldgen.pour.space import Space

    found = tray("bar", "mould.gap=2 mm")
    bar = Solid.of_mesh(found.parts.displacing)
    trough = box((-8.0, -20.0, 1.0), (8.0, 20.0, 6.0))
    mesh = (bar - trough).any_mesh()
    parts = replace(found.parts, displacing=mesh)
    size = found.plan.size
    x, y = parts.places[0]
    lid = parts.part("lid").assembled.moved(-x, -y)
    tried = attitudes(Space(parts.hollow, (mesh, lid), size.open_mm), level_mm=size.level_mm)
    shut = tried.pours[0].pockets
    assert len(shut) == 1
    assert shut[0].volume_ml == pytest.approx(16.0 * 40.0 * 4.0 / 1000.0, rel=0.05)


def test_parts_lie_on_the_bed_as_rectangles():
    found = tray("bar", "mould.cells=[1, 3]")
    body = found.parts.part("body").footprint
    assert isinstance(body, Rectangle)
    wide, deep = found.plan.size.sides_mm
    assert body.width_mm == pytest.approx(wide, abs=0.01)  # raised letters on one side
    assert body.depth_mm == pytest.approx(deep, abs=0.01)


def test_everything_stays_in_the_round_that_the_pot_sees():
    found = tray("bar", "mould.cells=[1, 3]")
    for part in found.parts.parts:
        corners = part.assembled.vertices[:, :2].astype(float)
        assert np.sqrt((corners**2).sum(axis=1)).max() <= found.plan.size.across_mm + 1e-3


def test_pockets_are_numbered():
    plan = tray("bar", "mould.cells=[2, 2]").plan
    assert [label.text for label in plan.numbers] == ["1", "2", "3", "4"]
    assert plan.lid_label.text.startswith("BJ-")
    assert plan.body_label.text.startswith("BJ-")
    bare = tray("bar", "mould.lettering=false").plan
    assert (bare.numbers, bare.lid_label, bare.body_label) == ((), None, None)


def test_a_lid_without_legs_where_nothing_holds():
    found = tray("bar", "mould.hold=none")
    assert found.plan.legs == ()
    assert [f.id for f in found.findings if f.severity == "stop"] == []


def test_a_trials_letter_is_on_the_parts():
    job = load_job(BARE, sets=[
        "mould.family=tray", "insert.shape=bar", "insert.width=24 mm", "insert.thickness=12 mm",
        "piece.diameter=8 mm", "piece.turning=1 mm", "plastic.softens=130 C",
    ]).job  # fmt: skip
    plan = build_moulds(job, letter="C").plan
    assert plan.lid_label.text.startswith("C ")
    assert plan.body_label.text.startswith("C ")
