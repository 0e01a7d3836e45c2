"""What holds what lies in a tray: each way by closed forms, probes, handles and a pool that keeps.

Figures of the holds themselves are belief, in ``presets/holding.toml`` and ``fastening.toml``.
"""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path

import pytest

from mouldgen.build import build_moulds
from mouldgen.check.finished import finished_of
from mouldgen.errors import JobError
from mouldgen.job.load import load_job
from mouldgen.mould.tray_hold.through import Through
from mouldgen.mould_set import MouldSet
from mouldgen.solid.kernel import Solid, box, cylinder, union
from mouldgen.solid.topology import topology_of

BARE = Path(__file__).parents[2] / "bare_job.toml"
APPLE = "apple-toppers"
HOLDS = ("tape", "weight", "band", "dowel", "screw", "glue")
ALONG = {
    "x": ((0.0, 0.0, 1.0, 0.0), (1.0, 0.0, 0.0, 0.0), (0.0, 1.0, 0.0, 0.0)),
    "y": ((1.0, 0.0, 0.0, 0.0), (0.0, 0.0, -1.0, 0.0), (0.0, 1.0, 0.0, 0.0)),
}


@cache
def bars(hold: str, *sets: str) -> MouldSet:
    """Bars 24 x 12 x 84 mm, a piece of 56 mm in each: 14 mm of waste at either end."""
    own = [
        "mould.family=tray", "insert.shape=bar", "insert.width=24 mm", "insert.thickness=12 mm",
        "insert.length=84 mm", "piece.diameter=8 mm", "piece.turning=1 mm", "piece.length=56 mm",
        "plastic.softens=130 C", "mould.cells=[1, 3]", f"mould.hold={hold}", *sets,
    ]  # fmt: skip
    return build_moulds(load_job(BARE, sets=own).job)


@cache
def apple(*sets: str) -> MouldSet:
    return build_moulds(load_job(APPLE, sets=list(sets)).job)


def body_of(found: MouldSet) -> Solid:
    return Solid.of_mesh(found.parts.part("body").assembled)


def rod(way: str, radius: float, long: float, x: float, y: float, z: float) -> Solid:
    """A round along x or y."""
    upright = cylinder(radius, bottom_mm=-long / 2.0, top_mm=long / 2.0, chord_mm=0.001)
    return upright.placed(ALONG[way]).moved(x, y, z)


def told(found: MouldSet, name: str):
    return next(f for f in found.findings if f.id == name)


@pytest.mark.parametrize(("cells", "draft"), [("[1, 3]", "2 deg"), ("[2, 2]", "0 deg")])
@pytest.mark.parametrize("hold", HOLDS)
def test_each_way_prints_and_nothing_must_be_fixed(hold, cells, draft):
    found = bars(hold, f"mould.cells={cells}", f"mould.draft={draft}", "printer.card=square-300")
    rules = ("prints", "sound", "clear", "pour", "beds")
    assert [f.message for f in found.findings if f.rule in rules or f.severity == "stop"] == []
    blanks = found.plan.size.blanks
    genus = {"dowel": 4, "screw": 2 * blanks}.get(hold, 0)
    for name, holes in (("body", genus), ("lid", blanks)):
        topology = topology_of(found.parts.part(name).mesh)
        assert (topology.closed, topology.genus, topology.shells) == (True, holes, 1)


@pytest.mark.parametrize("hold", HOLDS)
def test_lid_and_body_do_not_share_room_and_stay_in_the_round_of_the_pot(hold):
    found = bars(hold)
    lid = Solid.of_mesh(found.parts.part("lid").assembled)
    assert (body_of(found) ^ lid).volume_mm3() == pytest.approx(0.0, abs=1e-3)
    wide, deep = found.plan.size.sides_mm
    for part in found.parts.parts:
        corners = part.assembled.vertices[:, :2].astype(float)
        assert max(math.hypot(x, y) for x, y in corners) <= found.plan.size.across_mm + 1e-3
    low, high = found.parts.part("body").mesh.bounds
    x, y, z = (b - a for a, b in zip(low, high, strict=True))
    letters = 0.5 if found.plan.body_label is None else 0.0
    if found.plan.question.beyond_mm:
        letters = 0.0  # hooks on both sides stand out further
    assert (x, y) == pytest.approx((wide - letters, deep), abs=0.01)
    assert z == pytest.approx(found.plan.size.body_height_mm, abs=1e-4)


@pytest.mark.parametrize("hold", HOLDS)
def test_twice_the_lift_is_what_is_held_and_more_is_there(hold):
    found = bars(hold).hold
    # 3 bars of 24.19 ml and 0.68 g/ml in resin of 1.0733 g/ml, weighed by hand.
    assert found.lift_n == pytest.approx(3 * 24.192 * (1.0733 - 0.68) * 9.80665e-3, rel=1e-3)
    assert found.hold_n == pytest.approx(2.0 * found.lift_n)
    assert found.most_n >= found.hold_n
    assert len(found.ways) == 1
    way, many = found.ways[0]
    assert way.holds_n == 0.0 or many * way.holds_n >= found.hold_n


def test_without_any_of_it_a_tray_is_as_it_was():
    plain = bars("lid")
    assert (plain.plan.held_by, plain.plan.body_genus) == (None, 0)
    assert [way.name for way, _ in plain.hold.ways] == ["weight", "band", "tape"]


# ------------------------------------------------------------------------- tape, weight, band


def test_tape_lies_in_notches_that_are_over_the_drain():
    bare = "mould.lettering=false"
    found = bars("tape", bare)
    size, notches = found.plan.size, found.plan.held_by
    assert notches.half_mm == pytest.approx(13.0)  # a strip of 25 mm and 0.5 mm on either side
    body = body_of(found)
    gone = body_of(bars("lid", bare)).volume_mm3() - body.volume_mm3()
    # Two notches through the left wall and two through the right.
    assert gone == pytest.approx(4 * 26.0 * 2.0 * size.wall_mm, rel=1e-3)
    for y in notches.at_mm:
        strip = box((-60.0, y - 12.5, size.rim_mm - 1.99), (60.0, y + 12.5, size.rim_mm + 9.0))
        assert (body ^ strip).volume_mm3() == 0.0
    # What runs over still leaves by the drain notch, which is lower.
    assert size.rim_mm - notches.deep_mm > size.deck_mm + 1.0


def test_a_short_tray_takes_narrower_tape_and_trusts_it_less():
    short = bars("tape", "insert.length=30 mm", "piece.length=10 mm", "mould.cells=[1, 1]")
    by = short.plan.held_by
    assert by.share == pytest.approx((2.0 * by.half_mm - 1.0) / 25.0)
    assert by.share < 0.6
    assert short.hold.most_n == pytest.approx(2 * 4.0 * by.share)


def test_a_weight_needs_nothing_of_a_level_lid():
    found, plain = bars("weight"), bars("lid")
    for name in ("body", "lid"):
        assert found.parts.part(name).mesh.volume_mm3 == pytest.approx(
            plain.parts.part(name).mesh.volume_mm3, rel=2e-3
        )  # but for its lettering
    lid = found.parts.part("lid").assembled
    assert lid.bounds[1][2] > found.plan.size.rim_mm + 0.9  # it stands proud of the rim
    assert found.hold.ways[0][0].name == "weight"


def test_hooks_have_the_volume_of_their_drawing():
    found = bars("band", "mould.lettering=false")
    hook = found.plan.held_by
    added = body_of(found).volume_mm3() - body_of(bars("lid", "mould.lettering=false")).volume_mm3()
    out, channel, tall = hook.outer_mm, hook.channel_mm, hook.tall_mm
    flange = 9.0 * (out - channel) * tall
    # Before the flange: the neck up to the roof's underside, and the roof over 9 mm.
    roof = channel * 2.0 + (out * channel - channel**2 / 2.0)  # cap, and from 45 degrees up to it
    neck = channel * tall - roof
    assert added == pytest.approx(4.0 * (flange + 9.0 * roof + 3.0 * neck), rel=1e-4)


def test_a_band_lies_behind_its_flange():
    found = bars("band")
    size, hook, bed = found.plan.size, found.plan.held_by, -found.plan.question.floor_mm
    wall = size.body_mm[0] / 2.0
    for turn in (0.0, 180.0):
        for y in (-hook.at_mm, hook.at_mm):
            band = box((wall + 0.05, y + 1.6, bed), (wall + 2.4, y + 4.4, bed + 5.0)).turned(turn)
            assert (band ^ body_of(found)).volume_mm3() == 0.0
            front = box((wall + 2.6, y + 1.6, bed), (wall + 3.7, y + 4.4, bed + 5.0)).turned(turn)
            assert (front ^ body_of(found)).volume_mm3() == pytest.approx(
                front.volume_mm3(), rel=1e-4
            )


# -------------------------------------------------------------------------- dowels, across


@pytest.mark.parametrize("thick", [3.0, 6.0])
def test_dowels_slide_through_over_lid_and_resin(thick):
    found = bars("dowel", f"mould.dowel={thick} mm")
    size, by, body = found.plan.size, found.plan.held_by, body_of(found)
    lid = Solid.of_mesh(found.parts.part("lid").assembled)
    top = found.parts.part("lid").assembled.bounds[1][2]
    assert found.plan.legs
    for y in (-by.at_mm, by.at_mm):
        slides = rod("x", thick / 2.0 + 0.249, 200.0, 0.0, y, by.height_mm)
        assert (body ^ slides).volume_mm3() < 1e-6
        tight = rod("x", thick / 2.0 + 0.35, 200.0, 0.0, y, by.height_mm)
        assert (body ^ tight).volume_mm3() > 0.5
        # It lies on the lid with the clearance of the printer over it and under it.
        lying = rod("x", thick / 2.0, 200.0, 0.0, y, by.height_mm)
        apart = lying.least_gap_mm(lid, within_mm=5.0)
        assert 0.2 <= apart <= 0.25 + 0.2 + 1e-3  # and a layer that the rim is rounded up by
    assert by.height_mm - thick / 2.0 > top > size.deck_mm > size.level_mm
    plain = bars("lid", "mould.draft=1 deg")
    assert size.rim_mm > plain.plan.size.rim_mm
    assert size.stack_height_mm == pytest.approx(size.body_height_mm)


# ------------------------------------------------------------------------- dowels, through


def dowels(found: MouldSet, radius: float) -> list[Solid]:
    by = found.plan.held_by
    long = 400.0
    return [
        rod(bore.along, radius, long, x, y, bore.height_mm)
        for bore, x, y in by.lines(found.plan.size)
    ]


def test_the_apples_dowels_are_in_the_saw_cuts_and_pass_every_topper():
    """Four squares of 53.4 mm, toppers of 42 mm in their middles: 5.7 mm of waste and half a kerf.

    By hand: (53.4 + 3.2) / 2 - 42 / 2 - 6 / 2 = 4.3 mm from a dowel to the nearest topper.
    """
    found = apple()
    by = found.plan.held_by
    assert isinstance(by, Through)
    assert sorted((bore.along, bore.at_mm) for bore in by.bores) == [("x", 0.0), ("y", 0.0)]
    job = found.answer.job
    measured = [
        one.least_gap_mm(dowel, within_mm=10.0)
        for one in finished_of(job.piece, found.plan, chord_mm=0.01)
        for dowel in dowels(found, job.mould.dowel / 2.0)
    ]
    assert min(measured) == pytest.approx(4.3, abs=0.02)
    note = told(found, "hold.dowel")
    assert (note.severity, note.measured) == ("note", pytest.approx(4.3, abs=1e-6))


def test_a_dowel_that_meets_a_topper_must_be_fixed():
    """53.4 mm of square leave none of a piece of 51 mm beside a dowel of 6 mm: 0.2 mm into it."""
    found = apple("piece.diameter=51 mm", "piece.turning=1 mm")
    stop = told(found, "hold.dowel")
    assert (stop.severity, stop.measured) == ("stop", pytest.approx(-0.2, abs=1e-6))
    assert "reaches 0.2 mm into it" in stop.message
    near = told(apple("piece.diameter=50 mm", "piece.turning=1 mm"), "hold.dowel")
    assert (near.severity, near.measured) == ("note", pytest.approx(0.3, abs=1e-6))


def test_a_waisted_topper_lets_a_thicker_dowel_pass():
    """Only what of the outline is as high as the dowel counts."""
    waisted = 'piece.outline=[["0 mm","25.4 mm"],["80 mm","10 mm"]]'
    found = apple("piece.diameter=50.8 mm", "piece.turning=1 mm", waisted)
    job = found.answer.job
    measured = min(
        one.least_gap_mm(dowel, within_mm=15.0)
        for one in finished_of(job.piece, found.plan, chord_mm=0.01)
        for dowel in dowels(found, 3.0)
    )
    said = told(found, "hold.dowel").measured
    assert said > 0.3
    assert said <= measured + 1e-3  # never more than there is
    assert measured - said < 2.0


def test_the_bores_are_a_slide_fit_with_a_well_at_either_end():
    found = apple()
    by, body, size = found.plan.held_by, body_of(found), found.plan.size
    assert by.radius_mm == pytest.approx(3.25)
    for dowel in dowels(found, 3.249):
        assert (dowel ^ body).volume_mm3() < 1e-6
    for dowel in dowels(found, 3.4):
        assert (dowel ^ body).volume_mm3() > 1.0
    for bore, x, y in by.lines(size):
        side = size.body_mm["xy".index(bore.along)]
        whole = rod(bore.along, 5.24, side, x, y, bore.height_mm)
        inner = rod(bore.along, 5.3, side - 4.0, x, y, bore.height_mm)
        assert ((whole - inner) ^ body).volume_mm3() < 1e-3  # 2 mm deep, 2 mm round the bore
        wall = (side - size.pocket_mm(bore.height_mm)["xy".index(bore.along)]) / 2.0
        assert wall - by.deep_mm >= 3.0


def pools(found: MouldSet, plugs: list[Solid]) -> int:
    """How many of the pockets, filled to the level, are shut off from the outside.

    The room round the body below the level falls into pieces: the outside, and every pool.
    """
    size, bed = found.plan.size, -found.plan.question.floor_mm
    reach = size.across_mm + 20.0
    below = box((-reach, -reach, bed - 5.0), (reach, reach, size.level_mm - 0.05))
    room = below - union([body_of(found), *plugs])
    return len([piece for piece in room.pieces() if piece.volume_mm3() > 100.0]) - 1


def wax(found: MouldSet) -> list[Solid]:
    """What fills the wells round the dowels' ends."""
    size, by = found.plan.size, found.plan.held_by
    plugs = []
    for bore, x, y in by.lines(size):
        side = size.body_mm["xy".index(bore.along)] / 2.0
        for end in (side - 1.0, 1.0 - side):
            shift = (end, 0.0) if bore.along == "x" else (0.0, end)
            plugs.append(
                rod(bore.along, by.well_mm * 1.5, 2.0, x + shift[0], y + shift[1], bore.height_mm)
            )
    return plugs


@pytest.mark.parametrize(
    ("sets", "count", "genus"),
    [
        ((), 1, 4),
        (("mould.cells=[1, 2]",), 2, 4),  # two along y; channels are in the way along x
        (("mould.cells=[2, 1]",), 2, 3 + 2 * 2),  # one along y through the land, two along x
        (("piece.saw=[1, 2]",), 1, 2),
        (("piece.saw=[3, 2]", "piece.diameter=20 mm"), 1, 2 * 2 + 2),
    ],
)
def test_no_opening_below_the_level_is_left_but_the_sealed_bores(sets, count, genus):
    found = apple("printer.card=square-300", "pot.card=pot-305", "pot.rating=60 psi", *sets)
    assert {f.id for f in found.findings if f.rule in ("prints", "sound", "clear")} == set()
    topology = topology_of(found.parts.part("body").mesh)
    assert (topology.closed, topology.genus, topology.shells) == (True, genus, 1)
    assert pools(found, wax(found)) >= 1
    joined = 1 if sets == ("mould.cells=[2, 1]",) else count  # a land's bore joins two pockets
    assert pools(found, wax(found)) == joined
    assert pools(found, []) == 0  # the bores do open the pockets, and only wax shuts them
    assert count * len(found.plan.held_by.bores) >= 1


def test_other_trays_have_no_opening_below_the_level():
    for hold in ("tape", "band", "dowel", "glue"):
        assert pools(bars(hold), []) == 3
    screwed = bars("screw")
    plan = screwed.plan
    heads = [
        cylinder(
            4.5, bottom_mm=-plan.question.floor_mm - 1.0, top_mm=-plan.question.floor_mm + 0.5,
            chord_mm=0.01, centre=(x + a, y + b),
        )
        for x, y in plan.size.places for a, b in plan.held_by.spots
    ]  # fmt: skip
    assert pools(screwed, []) == 0
    assert pools(screwed, heads) == 3  # the tape over the heads that the build asks for


def test_what_a_dowel_displaces_is_taken_off_the_resin():
    """Two of 6 mm through 110 mm, 45 % of that in resin: 2.8 ml of 490."""
    whole = math.pi * 3.0**2 * 220.0 / 1000.0
    off = apple().parts.features_ml - apple("mould.hold=none").parts.features_ml
    assert off == pytest.approx(-0.4503 * whole, rel=2e-3)


def test_every_bore_takes_a_dowel_whatever_the_lift():
    held = apple().hold
    assert [(way.name, many) for way, many in held.ways] == [("through", 2)]
    assert held.most_n == pytest.approx(100.0)
    assert held.at_insert
    assert "Hold the insert" in told(apple(), "held.lift").message
    assert apple().plan.legs == ()


# ---------------------------------------------------------------------------- screw and glue


def test_screws_go_into_the_waste_beyond_the_pieces():
    found = bars("screw")
    plan, by, body = found.plan, found.plan.held_by, body_of(found)
    # 14 mm of waste at either end: in the middle of it, 35 mm from the middle of 84.
    assert [at for spot in by.spots for at in spot] == pytest.approx([0.0, -35.0, 0.0, 35.0])
    longest = plan.insert_top_mm - 1.0
    for x, y in plan.size.places:
        for a, b in by.spots:
            screw = cylinder(1.75, bottom_mm=0.0, top_mm=longest, chord_mm=0.001, centre=(a, b))
            for one in finished_of(found.answer.job.piece, plan, chord_mm=0.01):
                assert screw.least_gap_mm(one, within_mm=20.0) == pytest.approx(5.25, abs=0.01)
            pilot = cylinder(
                0.85 * 1.75 - 0.02, bottom_mm=-20.0, top_mm=2.5, chord_mm=0.001,
                centre=(x + a, y + b),
            )  # fmt: skip
            assert (pilot ^ body).volume_mm3() == 0.0
    insert = Solid.of_mesh(found.parts.insert)
    x, y = plan.size.places[0]
    assert insert.moved(x, y).least_gap_mm(body, within_mm=1.0) < 0.001
    assert plan.question.floor_mm >= by.hole.floor_mm


def test_screws_stand_in_the_corners_of_a_solid_block_that_is_sawn():
    """A bar 60 x 30 x 60 mm with 2 x 2 pieces of 16 mm: corners off both cuts and outlines."""
    sets = ("insert.width=60 mm", "insert.thickness=30 mm", "insert.length=60 mm",
            "piece.saw=[2, 2]", "piece.diameter=16 mm", "piece.length=24 mm", "mould.cells=[1, 1]",
            "mould.draft=0 deg", "mould.gap=2 mm", "mould.fill=34 mm")  # fmt: skip
    found = bars("screw", *sets)
    by = found.plan.held_by
    assert len(by.spots) == 4
    pieces = finished_of(found.answer.job.piece, found.plan, chord_mm=0.01)
    gaps = [
        cylinder(1.75, bottom_mm=0.0, top_mm=31.0, chord_mm=0.001, centre=spot).least_gap_mm(
            one, within_mm=60.0
        )
        for spot in by.spots for one in pieces
    ]  # fmt: skip
    assert min(gaps) >= 0.3
    for a, b in by.spots:  # and half of a cut off its middle
        assert min(abs(a), abs(b)) > 1.6 + 1.75
    assert found.parts.part("body").genus == 4


def test_pads_are_under_the_waste_and_hold_their_wells():
    found = bars("glue")
    plan, by, body = found.plan, found.plan.held_by, body_of(found)
    assert plan.pips == by.pads
    # 16 mm wide, 13.7 mm long, less a rim of three lines of 0.42 mm, three layers of 0.2 mm deep.
    wide, long = 16.0 - 2.52, 13.7 - 2.52
    assert found.hold.most_n == pytest.approx(10.0 * 6 * wide * long / 100.0)
    x, y = plan.size.places[0]
    left, front, right, back = by.pads[0]
    pad = box((x + left, y + front, 1.0), (x + right, y + back, plan.question.pip_mm)) ^ body
    solid = (right - left) * (back - front) * (plan.question.pip_mm - 1.0)
    assert pad.volume_mm3() == pytest.approx(solid - wide * long * 0.6, rel=1e-3)
    # Their wells hold neither resin nor shut-in air, and none of them is under a piece.
    hollow = Solid.of_mesh(found.parts.hollow)
    assert (
        hollow ^ box((left, front, 0.0), (right, back, plan.question.pip_mm))
    ).volume_mm3() < 1.0
    assert back <= -28.0 - 0.3 + 1e-9  # and the pad at the other end is its mirror
    assert [-y for y in by.pads[1][3:0:-2]] == pytest.approx([front, back])
    assert told(found, "hold.glue").measured == pytest.approx(14.0)


# ------------------------------------------------------------------------------- refusals


@pytest.mark.parametrize(
    ("hold", "sets", "says"),
    [
        ("screw", ("piece.length=81 mm",), "only 1.5 mm of the insert lie beyond the finished"),
        ("screw", ("insert.thickness=4 mm", "piece.diameter=3 mm"), "finds too little wood"),
        ("screw", ("insert.hole=4 mm",), "a hole runs along it"),
        ("glue", ("piece.length=76 mm",), "no flat place 6.0 mm wide and long"),
        ("tape", ("insert.length=14 mm", "piece.length=8 mm"), "no room for notches"),
        ("band", ("insert.length=8 mm", "piece.length=4 mm", "insert.width=40 mm"), "hooks for a"),
        ("dowel", ("insert.length=14 mm", "piece.length=8 mm"), "do not fit across a lid"),
    ],
)
def test_what_there_is_no_room_for_is_refused(hold, sets, says):
    with pytest.raises(JobError, match=says):
        bars(hold, *sets)


@pytest.mark.parametrize(
    ("sets", "says"),
    [
        (("mould.draft=1 deg",), r"\[mould\] draft: .*does not come out of a tray upward"),
        (("piece.saw=[1, 1]", "piece.diameter=60 mm"), "no saw cut of this block can take a dowel"),
        (("piece.saw=[1, 2]", "mould.cells=[1, 2]"), "no saw cut of this block can take a dowel"),
        (("insert.thickness=24 mm", "insert.weight=100 g", "piece.length=18 mm",
          "piece.hole_depth=10 mm", "mould.fill=28 mm", "mould.dowel=10 mm"),
         "do not fit into a block 28 mm high"),
        (("mould.hold=screw",), "only the one offcut or cell it meets is held"),
        (("mould.hold=glue",), "only the one offcut or cell it meets is held"),
    ],
)  # fmt: skip
def test_what_makes_no_sense_in_a_heap_is_refused_with_its_reason(sets, says):
    with pytest.raises(JobError, match=says):
        apple("printer.card=square-300", "pot.card=pot-305", "pot.rating=60 psi", *sets)
