"""What holds the insert down: each way's geometry by closed forms, probes and counts."""

from __future__ import annotations

import math
import subprocess
import sys
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from mouldgen.build import build_moulds
from mouldgen.check.held import held_down, hold
from mouldgen.errors import JobError
from mouldgen.job.holding import holdings
from mouldgen.job.load import load_job
from mouldgen.memo import digest
from mouldgen.mould.body import body_solid, cavity_solid
from mouldgen.mould.hold.dowel import teardrop
from mouldgen.mould.lid import lid_solid
from mouldgen.mould_set import MouldSet
from mouldgen.solid.kernel import Solid, box, cylinder
from tests.demo_set import changed_set

BARE = Path(__file__).parents[2] / "bare_job.toml"
FAMILIES = ("cup", "contour")
HOLDS = ("tape", "screw", "dowel", "weight", "band", "glue", "none")


@cache
def made(hold: str, family: str = "cup", *more: str) -> MouldSet:
    sets = ("mould.gap=2 mm", f"mould.hold={hold}", f"mould.family={family}", *more)
    return changed_set(*sets)


@cache
def bolted(count: int, bolt: str = "M3", family: str = "cup") -> MouldSet:
    return made("lid", family, f"mould.lid_screws={count}", f"mould.bolt={bolt}")


def solids(found: MouldSet) -> tuple[Solid, Solid]:
    return (
        Solid.of_mesh(found.parts.part("body").assembled),
        Solid.of_mesh(found.parts.part("lid").assembled),
    )


def plain(found: MouldSet) -> tuple[Solid, Solid]:
    """The same mould without what holds it."""
    plan = replace(found.plan, held_by=None)
    return body_solid(plan, cavity_solid(plan)), lid_solid(plan)


def rod(radius: float, length: float, *, angle: float, height: float) -> Solid:
    """A rod across the axis."""
    turn = math.radians(angle)
    radial = [math.cos(turn), math.sin(turn), 0.0]
    tangent = [-math.sin(turn), math.cos(turn), 0.0]
    upright = cylinder(radius, bottom_mm=-length / 2, top_mm=length / 2, chord_mm=0.001)
    return upright.placed(np.column_stack([tangent, [0, 0, 1], radial, [0, 0, height]]))


@pytest.mark.parametrize("family", FAMILIES)
@pytest.mark.parametrize("hold", HOLDS)
def test_each_way_prints_and_nothing_must_be_fixed(hold: str, family: str) -> None:
    found = made(hold, family)
    told = {f.id for f in found.findings if f.rule in ("prints", "sound", "clear", "pour")}
    assert told == set()
    genus = {"screw": (1, 4), "dowel": (2, 6)}.get(hold, (0, 4))
    assert tuple(part.genus for part in found.parts.parts) == genus


@pytest.mark.parametrize("family", FAMILIES)
@pytest.mark.parametrize(("count", "bolt"), [(1, "M3"), (2, "M3"), (3, "M3"), (4, "M4"), (6, "M3")])
def test_ears_print_and_add_a_hole_each(count: int, bolt: str, family: str) -> None:
    found = bolted(count, bolt, family)
    assert {f.id for f in found.findings if f.rule in ("prints", "sound", "clear")} == set()
    assert tuple(part.genus for part in found.parts.parts) == (count, 4 + count)


@pytest.mark.parametrize("hold", HOLDS)
def test_lid_and_body_do_not_share_room(hold: str) -> None:
    body, lid = solids(made(hold))
    assert (body ^ lid).volume_mm3() == pytest.approx(0.0, abs=1e-3)


def test_a_plain_mould_has_none_of_it() -> None:
    plan = made("lid").plan
    assert (plan.held_by, plan.features, plan.tenon_mm) == (None, (), (0.0, 0.0))


# ------------------------------------------------------------------------------------- tape


def test_tape_notches_are_two_sectors_of_skirt_and_rim() -> None:
    found = made("tape")
    size, q, tape = found.plan.size, found.plan.question, found.plan.held_by
    skirt = size.lid_reach_mm**2 - (size.reach_mm + q.clearance_mm) ** 2
    disc = size.lid_reach_mm**2 - size.reach_mm**2
    gone = 2.0 * tape.half_rad * (skirt * q.skirt_mm + disc * q.lid_mm)
    without = plain(found)[1].volume_mm3() - solids(found)[1].volume_mm3()
    assert without == pytest.approx(gone, rel=0.02)  # whole facets at the ends of a sector
    # The tape of the presets, 25 mm, goes in.
    wide = 2.0 * size.reach_mm * math.sin(tape.half_rad)
    assert wide == pytest.approx(26.0, abs=1e-9)
    strip = box((size.reach_mm, -12.4, 0.0), (size.reach_mm + 9.0, 12.4, 200.0))
    assert (solids(found)[1] ^ strip).volume_mm3() < 0.5


# ----------------------------------------------------------------------------------- weight


def test_the_ledge_is_a_ring_level_with_the_lid() -> None:
    found = made("weight")
    size, q = found.plan.size, found.plan.question
    ring = math.pi * ((size.lid_reach_mm + 8.0) ** 2 - size.lid_reach_mm**2) * q.lid_mm
    body, lid = solids(found)
    assert lid.volume_mm3() - plain(found)[1].volume_mm3() == pytest.approx(ring, rel=1e-3)
    assert found.parts.part("lid").mesh.bounds[1][0] == pytest.approx(size.across_mm, rel=1e-3)
    assert body.volume_mm3() == pytest.approx(plain(found)[0].volume_mm3(), rel=1e-5)


# ------------------------------------------------------------------------------------- band


def hook_mm3(found: MouldSet) -> float:
    """One hook outside the wall: flange, neck below the roof, roof; integrals over the radius."""
    h, size = found.plan.held_by, found.plan.size
    wall, inner, far = size.bore_mm(0.0) + size.wall_mm, h.channel_mm, h.outer_mm
    wide, neck = 4.5 / inner, 1.5 / inner
    squares, cubes = (inner**2 - wall**2) / 2.0, (inner**3 - wall**3) / 3.0
    # The roof's underside at a radius r: z(r) = foot + r.
    foot = h.top_mm - 2.0 - far
    flange = wide * (far**2 - inner**2) * (h.top_mm - h.bottom_mm)
    below = 2.0 * neck * ((foot - h.bottom_mm) * squares + cubes)
    roof = 2.0 * wide * ((h.top_mm - foot) * squares - cubes)
    return flange + below + roof


def test_hooks_have_the_volume_of_their_drawing() -> None:
    found = made("band")
    added = solids(found)[0].volume_mm3() - plain(found)[0].volume_mm3()
    assert added == pytest.approx(2.0 * hook_mm3(found), rel=0.01)


def test_a_band_lies_behind_the_flange_under_a_roof_of_45_degrees() -> None:
    found = made("band")
    h, body = found.plan.held_by, solids(found)[0]
    wall = found.plan.size.bore_mm(0.0) + found.plan.size.wall_mm
    bed = h.bottom_mm
    # 2.5 mm wide, beside the neck, from the bed up to the roof.
    at = h.channel_mm * math.sin(2.4 / h.channel_mm)
    roof = h.top_mm - 2.0 - (h.outer_mm - wall)
    band = box((wall + 0.3, at, bed), (h.channel_mm - 0.6, at + 1.5, roof - 0.05))
    assert (body ^ band).volume_mm3() == 0.0
    assert h.channel_mm - wall >= 2.5
    # Two thin posts under the roof: the difference of their heights is that of their radii.
    tops = []
    for radius in (wall + 0.6, h.channel_mm - 0.4):
        post = box((radius - 0.01, at, bed), (radius + 0.01, at + 0.02, h.top_mm + 5.0))
        tops.append((body ^ post).any_mesh().bounds[0][2])
    rise = (tops[1] - tops[0]) / (h.channel_mm - wall - 1.0)
    assert rise == pytest.approx(1.0, abs=0.02)
    # Nothing lets the band slip off: the flange stands in front of the whole channel.
    front = box((h.channel_mm + 0.2, at, bed + 0.01), (h.outer_mm - 0.7, at + 1.0, h.top_mm - 0.1))
    assert (body ^ front).volume_mm3() == pytest.approx(front.volume_mm3(), rel=1e-9)


# ------------------------------------------------------------------------------------ dowel


@pytest.mark.parametrize("family", FAMILIES)
@pytest.mark.parametrize("thick", [2.0, 3.0])
def test_a_dowel_slides_through_over_the_resin(thick: float, family: str) -> None:
    found = made("dowel", family, f"mould.dowel={thick} mm")
    d, size = found.plan.held_by, found.plan.size
    assert {f.id for f in found.findings if f.rule in ("prints", "sound", "clear")} == set()
    assert d.through
    slides = rod(thick / 2.0 + 0.249, 100.0, angle=d.angle_deg, height=d.height_mm)
    tight = rod(thick / 2.0 + 0.35, 100.0, angle=d.angle_deg, height=d.height_mm)
    for solid in solids(found):
        assert (solid ^ slides).volume_mm3() < 1e-6
        assert (solid ^ tight).volume_mm3() > 1.0
    # No hole below the level poured to, nor within a millimetre over it.
    (bore,) = d.off_body(found.plan)
    low, high = (float(end[2]) for end in bore.any_mesh().bounds)
    assert low >= size.level_mm + 1.0 - 0.01
    assert (
        high <= size.rim_mm - 2.0 * found.plan.question.line_mm + 0.02
    )  # the point of the roof is drawn around too
    whole, cut = (
        s.below(size.level_mm + 0.9).volume_mm3() for s in (plain(found)[0], solids(found)[0])
    )
    assert cut == pytest.approx(whole, rel=1e-5)
    assert solids(found)[0].volume_mm3() < plain(found)[0].volume_mm3() - 5.0


def test_a_bore_is_a_teardrop() -> None:
    ring = teardrop(2.0, chord_mm=1e-5)
    x, y = ring[:, 0], ring[:, 1]
    area = 0.5 * float(x @ np.roll(y, -1) - y @ np.roll(x, -1))
    assert area == pytest.approx(4.0 * (0.75 * math.pi + 1.0), rel=1e-4)
    assert float(y.max()) == pytest.approx(2.0 * math.sqrt(2.0), rel=1e-4)


# ------------------------------------------------------------------------------------ screw


def test_a_screw_hole_is_countersunk_and_its_collar_meets_the_insert() -> None:
    found = made("screw")
    body, lid = solids(found)
    pilot, head, recess = 0.85 * 1.75, 3.5 + 0.25, 0.4
    q = found.plan.question
    cone = head - pilot
    gone = math.pi * (
        head**2 * recess
        + cone * (head**2 + head * pilot + pilot**2) / 3.0
        + pilot**2 * (q.floor_mm - recess - cone + q.pip_mm)
    )
    filled = body_solid(replace(found.plan, held_by=None), cavity_solid(found.plan))
    assert filled.volume_mm3() - body.volume_mm3() == pytest.approx(gone, rel=5e-3)
    assert q.floor_mm - recess - cone >= 3.0 - 1e-9
    insert = Solid.of_mesh(found.parts.insert)
    ring = cylinder(3.0, bottom_mm=0.5, top_mm=q.pip_mm, chord_mm=0.01) - cylinder(
        1.6, bottom_mm=0.0, top_mm=9.0, chord_mm=0.01
    )
    assert (body ^ ring).volume_mm3() == pytest.approx(ring.volume_mm3(), rel=1e-6)
    assert insert.least_gap_mm(body) == pytest.approx(0.0, abs=1e-4)
    assert found.plan.legs == ()
    assert insert.least_gap_mm(lid, limit_mm=16.0) > 2.0
    # It stands level: the foot is the whole bottom but for the bore of the head.
    bottom = body.below(-q.floor_mm + 0.01).any_mesh().bounds
    assert bottom[1][0] == pytest.approx(found.plan.size.reach_mm, abs=1.3)


@pytest.mark.parametrize(
    ("sets", "says"),
    [
        (("piece.length=64 mm",), "would reach the finished piece: only 2.7 mm"),
        (("insert.hole=6 mm",), "would run into its hole"),
        (("mould.lid_screws=2",), "the lid is bolted"),
        (("mould.tenon=12 mm",), "where the tenon is"),
    ],
)
def test_a_screw_is_refused_where_it_cannot_be(sets: tuple[str, ...], says: str) -> None:
    with pytest.raises(JobError, match=says):
        made("screw", "cup", *sets)


# ------------------------------------------------------------------------------------- glue


def test_a_pad_takes_the_place_of_the_pips() -> None:
    found = made("glue")
    body, _ = solids(found)
    pad, q = found.plan.held_by, found.plan.question
    assert found.plan.pips == ()
    assert pad.deep_mm == pytest.approx(0.6)
    well = cylinder(50.0, bottom_mm=q.pip_mm - 2.0, top_mm=q.pip_mm, chord_mm=0.01)
    inside = cylinder(pad.pad_mm, bottom_mm=0.5, top_mm=q.pip_mm, chord_mm=0.01)
    kept = (body ^ inside).volume_mm3()
    deep = math.pi * (pad.pad_mm**2 * (q.pip_mm - 0.5) - pad.well_mm**2 * 0.6)
    assert kept == pytest.approx(deep, rel=2e-3)
    assert well.volume_mm3() > kept
    assert Solid.of_mesh(found.parts.insert).least_gap_mm(body) == pytest.approx(0.0, abs=1e-4)
    # The glue's well holds neither resin nor shut-in air.
    whole = math.pi * pad.pad_mm**2 * q.pip_mm
    hollow = Solid.of_mesh(found.parts.hollow) ^ cylinder(
        pad.pad_mm, bottom_mm=0.0, top_mm=q.pip_mm, chord_mm=0.01
    )
    assert hollow.volume_mm3() < 0.01 * whole
    note = next(f for f in found.findings if f.id == "hold.glue")
    assert note.measured == pytest.approx(5.0)


# ------------------------------------------------------------------------------------- ears


@pytest.mark.parametrize(("bolt", "hole", "tap"), [("M3", 1.7, 1.25), ("M4", 2.25, 1.65)])
def test_bolts_go_through_the_lid_and_cut_their_thread_in_the_body(
    bolt: str, hole: float, tap: float
) -> None:
    found = bolted(4, bolt)
    body, lid = solids(found)
    ears, size, q = found.plan.held_by, found.plan.size, found.plan.question
    for angle in ears.angles:
        x = ears.centre_mm * math.cos(math.radians(angle))
        y = ears.centre_mm * math.sin(math.radians(angle))
        for solid, radius in ((lid, hole), (body, tap)):
            low, high = -q.floor_mm - 1.0, size.rim_mm + 20.0
            free = cylinder(
                radius - 0.01, bottom_mm=low, top_mm=high, chord_mm=0.001, centre=(x, y)
            )
            tight = cylinder(
                radius + 0.1, bottom_mm=low, top_mm=high, chord_mm=0.001, centre=(x, y)
            )
            assert (solid ^ free).volume_mm3() == 0.0
            held = (solid ^ tight).volume_mm3()
            thick = q.skirt_mm + q.lid_mm if solid is lid else ears.ear.grip_mm
            ring = math.pi * ((radius + 0.1) ** 2 - radius**2)
            assert held >= 0.95 * ring * thick  # the hole's own corners stand off by 0.01 mm
    # The lid sits on the rim: the ears stay apart.
    assert lid.least_gap_mm(body) == pytest.approx(0.0, abs=1e-4)
    high = size.rim_mm - q.skirt_mm
    ring = box((-60, -60, high - 0.39), (60, 60, high - 0.01))
    ring = ring - cylinder(size.reach_mm + 0.01, bottom_mm=0, top_mm=200, chord_mm=0.01)
    assert ((body + lid) ^ ring).volume_mm3() == pytest.approx(0.0, abs=1e-3)


def test_ears_keep_off_the_lettering() -> None:
    for count in range(1, 7):
        for angle in bolted(count).plan.held_by.angles if count != 5 else ():
            assert abs(math.remainder(angle - 90.0, 360.0)) >= 29.9


@pytest.mark.parametrize(
    ("sets", "says"),
    [
        (("mould.hold=band",), "hooks for a band need"),
        (("mould.hold=glue",), "no flat place 6 mm across"),
        (("mould.hold=screw",), "not solid there"),
        (("mould.hold=dowel", "mould.dowel=8 mm"), "too thick for a cup"),
        (
            ("mould.lid_screws=2", "insert.length=5 mm", "piece.length=3 mm"),
            "has no room for 2 ears with M3",
        ),
    ],
)
def test_a_thin_mould_refuses_what_it_has_no_room_for(sets: tuple[str, ...], says: str) -> None:
    thin = ("insert.diameter=4 mm", "piece.diameter=3 mm", "mould.gap=2 mm")
    with pytest.raises(JobError, match=says):
        build_moulds(load_job(BARE, sets=(*thin, *sets)).job)


def test_where_a_leg_is_in_the_way_two_pegs_do() -> None:
    found = made("dowel", "cup", "mould.dowel=6 mm")
    d = found.plan.held_by
    assert not d.through
    assert "two pegs of 6 mm" in d.use
    assert {f.id for f in found.findings if f.rule in ("prints", "sound", "clear")} == set()


def test_a_narrow_lid_takes_narrower_tape_and_trusts_it_less() -> None:
    sets = ("insert.diameter=12 mm", "piece.diameter=10 mm", "mould.gap=2 mm", "mould.hold=tape")
    found = build_moulds(load_job(BARE, sets=sets).job)
    tape, reach = found.plan.held_by, found.plan.size.reach_mm
    fits = math.sqrt(2.0) * reach - 1.0
    assert fits < 25.0
    assert tape.share == pytest.approx(fits / 25.0)
    assert found.hold.most_n == pytest.approx(4.0 * tape.share)  # 4 N: presets/holding.toml, belief
    assert {f.id for f in found.findings if f.rule in ("prints", "sound", "clear")} == set()


# ----------------------------------------------------------------------------------- counts


@pytest.mark.parametrize(
    ("hold", "way", "count"),
    [
        ("tape", "tape", 1), ("screw", "screw", 1), ("dowel", "dowel", 1), ("band", "hooked", 1),
        ("glue", "glue", 1),
    ],
)  # fmt: skip
def test_one_of_each_holds_twice_the_lift_of_the_demo(hold: str, way: str, count: int) -> None:
    found = made(hold).hold
    assert [(w.name, many) for w, many in found.ways] == [(way, count)]
    assert found.method == hold
    assert found.most_n >= found.hold_n == pytest.approx(2.0 * found.lift_n)


def test_a_weight_is_twice_the_lift_in_grams() -> None:
    found = made("weight").hold
    assert found.ways[0][1] == math.ceil(2.0 * found.lift_n / 9.80665 * 1000.0)


def test_plain_moulds_are_told_the_ways_they_always_had() -> None:
    assert [way.name for way, _ in made("lid").hold.ways] == ["weight", "band", "tape"]


def test_what_is_too_weak_must_be_fixed() -> None:
    plan = made("glue").plan
    heavy = hold(plan, resin_g_ml=60.0, push_n=20.0, holdings=holdings())
    assert heavy.most_n == pytest.approx(10.0 * math.pi * plan.held_by.well_mm**2 / 100.0)
    assert heavy.hold_n > heavy.most_n
    assert [f.severity for f in held_down(heavy) if f.id == "held.short"] == ["stop"]


def test_nothing_at_all_is_warned_of_until_a_first_pour_locks() -> None:
    loose = next(f for f in made("none").findings if f.id == "held.lift")
    assert (loose.severity, "nothing holds it" in loose.message) == ("warn", True)
    locked = made("none", "cup", "pour.layers=3").findings
    told = next(f for f in locked if f.id == "held.lift")
    assert (told.severity, "until the first pour has set" in told.message) == ("note", True)


@pytest.mark.parametrize("key", ["hold=band", "hold=glue", "lid_screws=2", "tenon=12 mm"])
def test_moulds_that_are_not_one_round_wall_refuse_them(key: str) -> None:
    with pytest.raises(JobError, match="a split mould is not made with"):
        changed_set("mould.family=split", f"mould.{key}")


@pytest.mark.parametrize("key", ["hold=band", "hold=dowel", "lid_screws=2", "tenon=12 mm"])
def test_a_runner_takes_their_place(key: str) -> None:
    with pytest.raises(JobError, match="fed from the bottom"):
        changed_set("pour.sequence=bottom-feed", f"mould.{key}")


def test_a_job_that_asks_for_none_of_it_keeps_its_fingerprint() -> None:
    """Keys that joined later do not count while they are as they were; given ones do."""
    job = load_job("boathouse-pegs").job
    same = load_job("boathouse-pegs", sets=("mould.hold=lid", "mould.lid_screws=0")).job
    assert digest(job) == digest(same)
    for key in ("hold=band", "lid_screws=2", "tenon=12 mm", "bolt=M4", "screw=4 mm", "dowel=4 mm"):
        assert digest(load_job("boathouse-pegs", sets=(f"mould.{key}",)).job) != digest(job)
    question = made("lid").plan.question
    assert digest(question) != digest(replace(question, beyond_mm=1.0))


def test_a_plain_build_reads_none_of_its_files() -> None:
    ask = (
        "import sys; from mouldgen.build import build_moulds; from mouldgen.job.load import"
        " load_job; build_moulds(load_job('boathouse-pegs').job); print([m for m in sys.modules if"
        " m.startswith(('mouldgen.mould.hold', 'mouldgen.mould.ears', 'mouldgen.mould.tenon',"
        " 'mouldgen.mould.feature', 'mouldgen.size.fastened', 'mouldgen.job.fastening',"
        " 'mouldgen.job.mould_checks'))])"
    )
    said = subprocess.run([sys.executable, "-c", ask], capture_output=True, check=True, text=True)
    assert said.stdout.strip() == "[]"
