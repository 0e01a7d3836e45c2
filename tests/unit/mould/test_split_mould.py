"""The split mould: its halves close on each other, hold their shape, and leave the blank."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from itertools import pairwise

import numpy as np
import pytest

from mouldgen.answer import answer_job
from mouldgen.build import build_moulds
from mouldgen.check.prints import prints
from mouldgen.errors import JobError
from mouldgen.mould import halves, split_hollow
from mouldgen.mould.body import cavity_solid
from mouldgen.mould.plan import FILL_LINE
from mouldgen.mould.split_hollow import grooves_of_halves
from mouldgen.mould_set import MouldSet
from mouldgen.size.profile import drafted
from mouldgen.size.split import EAR_MM, KEY_MM, LAND_MM, split_size
from mouldgen.solid.kernel import Solid, box, cylinder, union
from tests.demo_set import job_with

ROUND = {"flutes": None, "flute_area": None, "measured": ()}
SHAPES = {
    "flute": {},
    "rod": {"shape": "rod", **ROUND},
    "twist": {
        "shape": "twist", "diameter": None, "width": 20.0, "thickness": 20.0,
        "turn_length": 120.0, **ROUND,
    },
    "coil": {"shape": "coil", "wire": 4.0, "pitch": 9.0, **ROUND},
    "taper": {"shape": "taper", "small": 12.0, **ROUND},
}  # fmt: skip


@cache
def split_set(
    shape: str = "flute", *, gap: float = 2.0, sequence: str = "bottom-feed", lettering: bool = True
) -> MouldSet:
    mould = {"family": "split", "gap": gap, "lettering": lettering}
    return build_moulds(job_with(insert=SHAPES[shape], mould=mould, pour={"sequence": sequence}))


def half(found: MouldSet, name: str) -> Solid:
    return Solid.of_mesh(found.parts.part(name).assembled)


# ------------------------------------------------------------------------ as solids


@pytest.mark.parametrize("sequence", ["bottom-feed", "resin-first"])
def test_genus_and_shells_of_each_part(sequence: str) -> None:
    """Bolts only: two up either side at this height; bore, runner and gate are troughs."""
    found = split_set(sequence=sequence)

    assert [(part.name, part.genus, part.shells) for part in found.parts.parts] == [
        ("front", 4, 1),
        ("back", 4, 1),
        ("lid", 4, 1),
    ]
    assert [f.id for f in found.findings if f.rule in ("sound", "clear", "prints")] == []


@pytest.mark.parametrize(("diameter", "fits"), [(116.0, True), (117.0, False)])
def test_a_foot_as_wide_as_where_the_floor_reaches_the_pips(diameter: float, fits: bool) -> None:
    """tan 2 deg over 57.27 mm is 2 mm, which pips are high; 1 mm of the floor is level."""
    insert = {"shape": "rod", "diameter": diameter, **ROUND}
    asked = job_with(insert=insert, mould={"family": "split", "gap": 5.0})
    if fits:
        assert answer_job(asked).size.floor_rise_mm > 2.0
        return
    with pytest.raises(JobError, match=r"58\.5 mm from the axis it is 2\.01 mm high") as caught:
        answer_job(asked)
    assert caught.value.where == "[mould] family"
    assert caught.value.allowed == "a foot of less than 116.5 mm across"


def test_the_halves_touch_and_do_not_overlap() -> None:
    found = split_set()
    front, back = half(found, "front"), half(found, "back")

    assert (front ^ back).volume_mm3() == 0.0
    assert front.least_gap_mm(back) == 0.0
    assert found.parts.part("front").assembled.bounds[1][1] == 0.0  # the keys are on the back


@pytest.mark.parametrize("sequence", ["bottom-feed", "resin-first"])
def test_halves_and_hollow_make_up_the_block(sequence: str) -> None:
    found = split_set(sequence=sequence, lettering=False)
    plan, size = found.plan, split_size(found.plan.size)
    block = halves.envelope_block(size)
    known = [
        half(found, "front"),
        half(found, "back"),
        Solid.of_mesh(found.parts.hollow),
        *halves.bolt_holes(plan, size),
        *halves.slots(size),
        *halves.key_pockets(plan, size),
    ]

    assert (block - union(known)).volume_mm3() / block.volume_mm3() < 1e-6
    # And nothing twice: what the bolts and slots take is not filled by a half.
    taken = union([*halves.bolt_holes(plan, size), *halves.slots(size)])
    both = union([half(found, "front"), half(found, "back")])
    assert (taken ^ both).volume_mm3() / block.volume_mm3() < 1e-6


def test_the_land_is_level_and_eight_millimetres_wide() -> None:
    """Within the land of bore and runner there is nothing but the parting plane."""
    found = split_set()
    plan, size = found.plan, split_size(found.plan.size)
    bore, rim, run = size.bore_mm(size.rim_mm), size.rim_mm, size.runner
    assert size.land_mm == LAND_MM == 8.0
    grown = box((-bore - LAND_MM, -0.2, -LAND_MM), (run.x_mm + run.radius_mm + LAND_MM, 0.2, rim))
    land = grown - Solid.of_mesh(found.parts.hollow)
    for name in ("front", "back"):
        plastic = land ^ half(found, name)
        # A level face: a slab of half the thickness, everywhere.
        assert plastic.volume_mm3() == pytest.approx(land.volume_mm3() / 2.0, rel=1e-4)
    assert -plan.question.floor_mm == -LAND_MM


def test_the_least_gap_is_measured_as_for_a_cup() -> None:
    for gap in (0.6, 2.0, 7.0):
        found = split_set(gap=gap)
        assert gap - 0.001 <= found.measured_least_mm <= gap + 0.021


def test_the_wall_behind_bore_and_grooves_is_whole_lines() -> None:
    found = split_set()
    size, line = split_size(found.plan.size), found.answer.job.printer.line
    # 3.2 mm of a reusable wall for a medium piece (belief), in whole lines.
    assert size.wall_mm == pytest.approx(8 * line)
    assert size.wall_mm >= 3.2
    behind = half(found, "front") ^ box((-3.0, -99.0, 10.0), (3.0, -size.bore_mm(20.0), 60.0))
    low, high = np.array(behind.any_mesh().bounds)
    assert high[1] - low[1] == pytest.approx(size.wall_mm + found.plan.question.groove_mm, abs=0.06)


# ------------------------------------------------------------------------ keys


@pytest.mark.parametrize("clearance", [0.1, 0.25, 0.5])
def test_keys_stand_off_their_pockets_by_the_printers_clearance(clearance: float) -> None:
    job = job_with(mould={"family": "split", "gap": 2.0}, printer={"clearance": clearance})
    found = build_moulds(job)
    front, size = half(found, "front"), split_size(found.plan.size)
    pegs = half(found, "back") ^ box((-99.0, -9.0, -99.0), (99.0, -0.001, 299.0))

    assert len(size.keys) == len(pegs.pieces()) == 4
    # Measured by the kernel; a micrometre of the feet is cut off, so that the land does not count.
    assert pegs.least_gap_mm(front) == pytest.approx(clearance, abs=0.002)


def test_keys_print_and_one_stands_out_of_line() -> None:
    foot, tip, high = KEY_MM
    assert math.degrees(math.atan2(high, foot - tip)) >= 45.0
    size = split_size(split_set().plan.size)
    left, right = size.keys[:2], size.keys[2:]
    assert left[0][1] == right[0][1]
    assert left[1][1] - right[1][1] == pytest.approx(6.0)


def test_a_half_turned_end_for_end_does_not_close() -> None:
    found = split_set(sequence="resin-first")
    size = split_size(found.plan.size)
    front, back = half(found, "front"), half(found, "back")
    middle = (size.rim_mm + size.bottom_mm) / 2.0
    turn = np.array([[-1.0, 0, 0, 0], [0, 1.0, 0, 0], [0, 0, -1.0, 2.0 * middle]])

    assert (front ^ back.placed(turn)).volume_mm3() > 100.0


# ------------------------------------------------------------------------ release


def in_the_way(found: MouldSet, name: str, hollow: Solid) -> float:
    """What of a hollow's resin a half runs into on its way off [mm3]."""
    way = -1.0 if name == "front" else 1.0
    part = half(found, name)
    steps = (0.01, 0.3, 1.0, 3.0, 8.0, 20.0)
    return max((part.moved(y=way * step) ^ hollow).volume_mm3() for step in steps)


@pytest.mark.parametrize("sequence", ["bottom-feed", "resin-first"])
@pytest.mark.parametrize("shape", SHAPES)
def test_each_half_leaves_the_blank_straight_away(shape: str, sequence: str) -> None:
    found = split_set(shape, sequence=sequence)
    hollow = Solid.of_mesh(found.parts.hollow)

    assert found.plan.groove_angles
    assert found.plan.sockets.lower
    for name in ("front", "back"):
        assert in_the_way(found, name, hollow) == pytest.approx(0.0, abs=1e-6)


def test_a_cups_features_would_lock_the_halves() -> None:
    """The measurement must be able to fail: ribs, pips and grooves of a cup, cut in two."""
    found = split_set()
    plan, size = found.plan, split_size(found.plan.size)
    cup = cavity_solid(replace(plan, centre_pip=(1.0, 1.0)))
    block = halves.envelope_block(size) - cup
    back = block ^ box((-99.0, 0.0, -99.0), (199.0, 99.0, 299.0))

    assert (back.moved(y=1.0) ^ cup).volume_mm3() > 1.0


def test_the_blanks_end_leaves_the_floor_at_two_degrees() -> None:
    """Moved off by 1 mm, the floor stands clear by the tangent of 2 degrees on the way."""
    size = split_set().plan.size
    rise = size.floor_rise_mm
    assert rise == pytest.approx(math.tan(math.radians(2.0)) * (size.bore_mm(50.0) - 1.0))
    assert size.bore.radius_mm(0.5 * rise) == pytest.approx(1.0 + 0.5 * (size.bore_mm(50.0) - 1.0))


@pytest.mark.parametrize("grooves", [1, 2, 3, 4, 5, 6, 7, 8])
def test_as_many_grooves_as_asked_for_are_made(grooves: int) -> None:
    """Their solids, counted: each is a piece of the hollow outside of the bore."""
    found = build_moulds(
        job_with(mould={"family": "split", "gap": 2.0, "vent_grooves": grooves, "chord": 0.05})
    )
    assert [f for f in found.findings if f.id == "split.grooves"] == []
    plan, size, hollow = found.plan, found.plan.size, Solid.of_mesh(found.parts.hollow)
    high = size.level_mm - 8.0
    slab = box((-99.0, -99.0, high), (99.0, 99.0, high + 1.0))
    bore = cylinder(size.bore_mm(high) + 0.05, bottom_mm=0.0, top_mm=99.0, chord_mm=0.01)
    cut = ((hollow ^ slab) - bore).pieces()
    assert len([piece for piece in cut if piece.volume_mm3() > 0.5]) == grooves
    assert len(plan.groove_angles) == grooves
    for name in ("front", "back"):
        assert in_the_way(found, name, hollow) == pytest.approx(0.0, abs=1e-6)


def test_four_grooves_stand_evenly_and_three_where_they_did() -> None:
    four = build_moulds(job_with(mould={"family": "split", "gap": 2.0, "vent_grooves": 4}))
    assert four.plan.groove_angles == (45.0, 135.0, 225.0, 315.0)
    assert split_set().plan.groove_angles == (30.0, 150.0, 270.0)


def test_grooves_that_have_no_room_are_told() -> None:
    """A bore of 20 mm holds 2 (10 - 1.8)/(2.4 + 1) + 1 = 5 a half, no matter how they stand."""
    size = replace(split_set().plan.size, bore=drafted(10.0, 0.0))
    angles, (told,) = grooves_of_halves(12, size, 1.2)

    assert told.severity == "warn"
    assert len(angles) == told.measured == 10 < told.limit == 12
    along = sorted(10.0 * math.cos(math.radians(angle)) for angle in angles[:5])
    assert min(b - a for a, b in pairwise(along)) >= 2.0 * 1.2 + 1.0
    assert "Only 10 of 12" in told.message
    assert grooves_of_halves(10, size, 1.2)[1] == ()


# ------------------------------------------------------------------------ printing


@pytest.mark.parametrize("name", ["front", "back"])
def test_a_half_lies_on_its_back_and_prints_without_support(name: str) -> None:
    found = split_set()
    part, printer = found.parts.part(name), found.answer.job.printer
    check = prints(part.mesh, name=name, line_mm=printer.line, layer_mm=printer.layer)

    assert check.findings == ()
    assert check.figures.overhang.hanging_mm2 == 0.0
    assert check.figures.walls.thinnest.mm >= 2.0 * printer.line
    # The back is flat: but for lettering all of it lies on the bed.
    assert check.figures.standing.foot_mm == pytest.approx(
        min(split_size(found.plan.size).lies_mm[:2]), rel=0.2
    )


@pytest.mark.parametrize("name", ["front", "back"])
def test_the_printing_pose_is_the_half_to_the_last_bit(name: str) -> None:
    part = split_set().parts.part(name)
    x, y, z = part.assembled.vertices.astype(float).T
    turned = np.column_stack([x, -z, y] if name == "front" else [x, z, -y])
    shift = part.mesh.vertices.astype(float) - turned

    assert (shift == shift[0]).all()
    assert part.mesh.bounds[0][2] == 0.0
    assert part.mesh.volume_mm3 == pytest.approx(part.assembled.volume_mm3, rel=1e-9)


def test_the_parting_plane_looks_up_and_is_the_top_but_for_the_keys() -> None:
    found = split_set()
    deep = split_size(found.plan.size).deep_mm
    tops = [found.parts.part(name).mesh.bounds[1][2] for name in ("front", "back")]

    assert tops == pytest.approx([deep, deep + KEY_MM[2]], abs=1e-4)


def test_what_lies_on_the_bed_is_what_the_sizes_say() -> None:
    found = split_set()
    width, length, high = split_size(found.plan.size).lies_mm
    shape = found.parts.part("back").footprint

    assert (shape.width_mm, shape.depth_mm) == pytest.approx((width, length), abs=0.001)
    assert found.parts.part("back").mesh.bounds[1][2] == pytest.approx(high, abs=0.001)


# ------------------------------------------------------------------------ lid and counts


@pytest.mark.parametrize("sequence", ["bottom-feed", "resin-first"])
def test_the_closed_halves_go_into_the_round_that_the_sizes_say(sequence: str) -> None:
    """Corner to corner about the block's middle: what a pot has to take."""
    found = split_set(sequence=sequence)
    parts = (found.parts.part(name).assembled for name in ("front", "back", "lid"))
    points = np.concatenate([mesh.vertices.astype(float) for mesh in parts])
    middle = (points[:, 0].min() + points[:, 0].max()) / 2.0
    reach = np.hypot(points[:, 0] - middle, points[:, 1]).max()

    assert reach <= split_size(found.plan.size).across_mm + 1e-3
    # The ears, which make it so wide, stand at the parting plane and not at the corners.
    assert reach >= split_size(found.plan.size).across_mm - EAR_MM[0]


def test_the_lid_goes_into_the_bore_and_clears_the_chimney() -> None:
    found = split_set()
    lid, size = half(found, "lid"), found.plan.size
    for name in ("front", "back"):
        assert (lid ^ half(found, name)).volume_mm3() == pytest.approx(0.0, abs=1e-9)
    ring = lid ^ box((-99.0, -99.0, size.rim_mm - 0.3), (99.0, 99.0, size.rim_mm - 0.1))
    side = union([half(found, "front"), half(found, "back")]).below(size.rim_mm - 0.05)
    assert ring.least_gap_mm(side) == pytest.approx(found.plan.question.clearance_mm, abs=0.01)
    assert size.rim_mm - size.ring_mm >= size.level_mm


def test_moulds_are_fewer_than_castings_and_lids_are_not() -> None:
    found = split_set()
    answer = found.answer
    assert (answer.moulds, answer.printed, answer.reused) == (22, 6, True)
    assert [part.count for part in found.parts.parts] == [None, None, 22]
    laid = [item.part for bed in found.beds for item in bed.items]
    assert {name: laid.count(name) for name in set(laid)} == {"front": 6, "back": 6, "lid": 22}
    assert sorted(item.part for item in found.beds[0].items) == ["back", "front"]
    ml = [part.mesh.volume_mm3 / 1000.0 for part in found.parts.parts]
    grams = (6 * (ml[0] + ml[1]) + 22 * ml[2]) * answer.job.plastic.density
    assert found.filament_g == pytest.approx(grams, rel=1e-12)
    # Resin is for castings.
    assert found.amounts.moulds == 22


def test_the_maker_says_how_many_are_printed() -> None:
    found = build_moulds(job_with(mould={"family": "split", "gap": 2.0, "sets": 2}))
    (note,) = [f for f in found.findings if f.id == "reuse.rounds"]

    assert found.answer.printed == 2
    assert "22 castings in 2 moulds are 11 rounds, each 72 h in the mould: 33 days" in note.message


# ------------------------------------------------------------------------ the hollow


def test_the_hollow_is_the_bore_with_its_features() -> None:
    """The closed form, and what is added and taken, measured one by one."""
    found = split_set(sequence="resin-first")
    plan, size = found.plan, split_size(found.plan.size)
    level = size.level_mm - 2.0 * FILL_LINE
    hollow = Solid.of_mesh(found.parts.hollow).below(level).volume_mm3()
    bore = split_hollow._bore(plan)
    cut = union([bore, *(split_hollow._groove(plan, angle) for angle in plan.groove_angles)])
    standing = union([*split_hollow._ridges(plan), *split_hollow._seat(plan, size)])

    wanted = (cut - standing).below(level).volume_mm3()
    assert hollow == pytest.approx(wanted, rel=1e-6)
    exact = 1000.0 * size.bore.volume_ml(level)
    excess = 2.0 * plan.chord_mm / (3.0 * size.bore_mm(level))
    assert exact <= bore.below(level).volume_mm3() <= exact * (1.0 + excess)
