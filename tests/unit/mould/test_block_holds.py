"""What holds the inserts of a block: handles, probes through rows, pools that keep, refusals."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from mouldgen.build import build_moulds
from mouldgen.errors import JobError
from mouldgen.job.load import load_job
from mouldgen.mould.families import NAMES, family_of
from mouldgen.mould.families.family import EVERY_HOLD
from mouldgen.mould.hold.tape import Tape
from mouldgen.mould.lid import lid_solid
from mouldgen.mould_set import MouldSet
from mouldgen.solid.kernel import Solid, box, cylinder, union
from mouldgen.solid.topology import topology_of

BARE = Path(__file__).parents[2] / "bare_job.toml"
HOLDS = ("tape", "weight", "band", "dowel", "screw", "glue")
CELLS = ("[1, 3]", "[3, 2]")


@cache
def block(hold: str, cells: str = "[2, 2]", *sets: str) -> MouldSet:
    """Rods of 24 x 50 mm, 10 mm of waste at either end of each."""
    own = [
        "insert.diameter=24 mm", "mould.gap=2 mm", "plastic.softens=130 C", "pour.shop=15 C",
        "printer.card=square-300", "mould.family=block", f"mould.cells={cells}",
        f"mould.hold={hold}", *sets,
    ]  # fmt: skip
    return build_moulds(load_job(BARE, sets=own).job)


def solids(found: MouldSet) -> tuple[Solid, Solid]:
    return tuple(Solid.of_mesh(found.parts.part(name).assembled) for name in ("body", "lid"))


def rod(radius: float, x: float, y: float, z: float, *, along_y: bool) -> Solid:
    upright = cylinder(radius, bottom_mm=-200.0, top_mm=200.0, chord_mm=0.001)
    turn = (
        ((1.0, 0.0, 0.0, x), (0.0, 0.0, -1.0, y), (0.0, 1.0, 0.0, z))
        if along_y
        else ((0.0, 0.0, 1.0, x), (1.0, 0.0, 0.0, y), (0.0, 1.0, 0.0, z))
    )
    return upright.placed(turn)


@pytest.mark.parametrize("cells", CELLS)
@pytest.mark.parametrize("hold", HOLDS)
def test_each_way_prints_and_adds_its_handles(hold, cells):
    """A dowel through m bores of each of n rows makes n (m + 1) holes, and 2 n in the lid."""
    found = block(hold, cells)
    rules = ("prints", "sound", "clear", "pour", "beds")
    assert [f.message for f in found.findings if f.rule in rules or f.severity == "stop"] == []
    rows, columns = found.plan.block.rows, found.plan.block.columns
    body, lid = (rows - 1) * (columns - 1), 4 * rows * columns
    if hold == "screw":
        body += rows * columns
    if hold == "dowel":
        lines, bores = (columns, rows) if found.plan.rows_held_by.columns else (rows, columns)
        body, lid = body + lines * (bores + 1), lid + 2 * lines
    for name, genus in (("body", body), ("lid", lid)):
        topology = topology_of(found.parts.part(name).mesh)
        assert (topology.closed, topology.genus, topology.shells) == (True, genus, 1)


@pytest.mark.parametrize("hold", HOLDS)
def test_parts_keep_apart_and_within_what_the_pot_sees(hold):
    found = block(hold, "[3, 2]")
    body, lid = solids(found)
    assert (body ^ lid).volume_mm3() == pytest.approx(0.0, abs=1e-3)
    wide, deep = found.plan.size.sides_mm
    corners = [v for part in found.parts.parts for v in part.assembled.vertices.astype(float)]
    assert max(abs(x) for x, _, _ in corners) <= wide / 2.0 + 0.05
    assert max(abs(y) for _, y, _ in corners) <= deep / 2.0 + 0.05
    assert max(math.hypot(x, y) for x, y, _ in corners) <= found.plan.size.across_mm + 0.05


@pytest.mark.parametrize("hold", HOLDS)
def test_twice_the_lift_of_all_bores_is_held(hold):
    one, six = block("lid", "[1, 1]").hold, block(hold, "[3, 2]").hold
    assert six.lift_n == pytest.approx(6 * one.lift_n)
    assert six.hold_n == pytest.approx(2.0 * six.lift_n)
    assert six.most_n >= six.hold_n
    way, many = six.ways[0]
    least = {"screw": 6, "tape": 3, "band": 3, "dowel": 3}.get(hold, 1)
    assert many >= least
    assert six.at_insert == (hold in ("screw", "glue"))
    assert way.holds_n == 0.0 or way.holds_n * many >= six.hold_n


@pytest.mark.parametrize("cells", CELLS)
def test_a_dowel_slides_through_a_whole_row_over_the_resin(cells):
    found = block("dowel", cells)
    held, size = found.plan.rows_held_by, found.plan.block
    assert held.one.through
    body, lid = solids(found)
    across = {x for x, _ in size.places} if held.columns else {y for _, y in size.places}
    assert held.most == len(across)
    for at in across:
        x, y = (at, 0.0) if held.columns else (0.0, at)
        slides = rod(1.5 + 0.249, x, y, held.one.height_mm, along_y=held.columns)
        assert (slides ^ body).volume_mm3() < 1e-6
        assert (slides ^ lid).volume_mm3() < 1e-6
        tight = rod(1.5 + 0.35, x, y, held.one.height_mm, along_y=held.columns)
        assert (tight ^ body).volume_mm3() > 1.0
        assert (tight ^ lid).volume_mm3() > 0.3
    low = held.one.height_mm - held.one.radius_mm
    assert low >= size.level_mm + 1.0 - 0.01


def pools(found: MouldSet, plugs: tuple[Solid, ...] = ()) -> int:
    """Bores, filled to the level, that are shut off from the outside."""
    size, bed = found.plan.size, -found.plan.question.floor_mm
    reach = size.across_mm + 20.0
    below = box((-reach, -reach, bed - 5.0), (reach, reach, size.level_mm - 0.05))
    room = below - union([solids(found)[0], *plugs])
    return len([piece for piece in room.pieces() if piece.volume_mm3() > 100.0]) - 1


@pytest.mark.parametrize("hold", ["tape", "weight", "band", "dowel", "glue"])
def test_no_opening_is_below_the_level(hold):
    assert pools(block(hold, "[3, 2]")) == 6


def test_only_the_sealed_screws_open_a_floor():
    found = block("screw", "[3, 2]")
    bed = -found.plan.question.floor_mm
    heads = tuple(
        cylinder(5.0, bottom_mm=bed - 1.0, top_mm=bed + 0.5, chord_mm=0.01, centre=place)
        for place in found.plan.block.places
    )
    assert pools(found) == 0
    assert pools(found, heads) == 6
    body, _ = solids(found)
    for x, y in found.plan.block.places:  # the webs do not fill what the screw goes through
        pilot = cylinder(
            0.85 * 1.75 - 0.02, bottom_mm=bed - 1.0, top_mm=2.5, chord_mm=0.001, centre=(x, y)
        )
        assert (pilot ^ body).volume_mm3() == 0.0


def test_the_ledge_is_a_ring_of_eight_millimetres():
    found, plain = block("weight"), block("lid")
    size, q = found.plan.block, found.plan.question
    reach, (wide, deep) = size.lid_reach_mm, size.core_mm
    ring = math.pi * ((reach + 8.0) ** 2 - reach**2) + 8.0 * 2.0 * (wide + deep)
    added = solids(found)[1].volume_mm3() - solids(plain)[1].volume_mm3()
    assert added == pytest.approx(ring * q.lid_mm, rel=5e-3)  # but for its lettering


def test_tape_has_a_notch_at_both_ends_of_every_row():
    found = block("tape", "[3, 2]")
    held, size, q = found.plan.rows_held_by, found.plan.block, found.plan.question
    _, lid = solids(found)
    assert held.share == pytest.approx((2.0 * held.half_mm - 1.0) / 25.0)
    side = size.core_mm[0] / 2.0 + size.reach_mm
    for y in {y for _, y in size.places}:
        for turn in (0.0, 180.0):
            half = held.half_mm - 0.05
            strip = box(
                (side + 0.02, y - half, size.rim_mm - q.skirt_mm),
                (side + 9.0, y + half, size.rim_mm + 9.0),
            )
            assert (strip.turned(turn) ^ lid).volume_mm3() < 0.5
    # No tape over a lifting tab: it stands out between two rows.
    tab = {abs(y - size.ear_at_mm) - 6.0 for _, y in size.places}
    assert held.half_mm <= min(tab)


def test_hooks_stand_on_the_outer_bores_of_every_row():
    found, plain = block("band", "[3, 2]"), block("lid", "[3, 2]")
    added = solids(found)[0].volume_mm3() - solids(plain)[0].volume_mm3()
    alone = block("band", "[1, 1]"), block("lid", "[1, 1]")
    pair = solids(alone[0])[0].volume_mm3() - solids(alone[1])[0].volume_mm3()
    assert added == pytest.approx(3.0 * pair, rel=1e-2)  # but for lettering


def test_bores_that_are_too_close_refuse_what_meets_a_tab():
    thin = ("insert.diameter=8 mm", "piece.diameter=6 mm", "mould.gap=1.5 mm", "piece.turning=1 mm")
    with pytest.raises(JobError, match="meet the lifting tab"):
        block("band", "[2, 2]", *thin)
    with pytest.raises(JobError, match="beside the lifting tabs"):
        block("tape", "[2, 2]", *thin)


# --------------------------------------------------------------------------- all families


@pytest.mark.parametrize("name", NAMES)
def test_every_family_declares_every_hold_or_why_not(name):
    family = family_of(name)
    assert set(family.holds) | set(family.no_hold) == set(EVERY_HOLD)
    assert not set(family.holds) & set(family.no_hold)
    assert all(len(reason) > 20 for reason in family.no_hold.values())


@pytest.mark.parametrize(
    ("job", "hold", "says"),
    [
        ("orchard-grips", "screw", "split mould is not made with.*parts along the axis"),
        ("orchard-grips", "dowel", "leak at the seam.*Allowed: lid, none in a split mould"),
        ("lamp-finials", "tape", "master mould is not made with.*does not stick to rubber"),
        ("burl-knobs", "dowel", "shell mould is not made with.*two bores seldom meet"),
    ],
)
def test_a_family_refuses_with_its_reason(job, hold, says):
    found = load_job(job, sets=[f"mould.hold={hold}", "pour.sequence=insert-first"]).job
    with pytest.raises(JobError, match=rf"\[mould\] hold: a .*{says}"):
        build_moulds(found)


def test_a_shells_round_lid_takes_tape_and_a_ledge_as_a_cups_does():
    found = build_moulds(load_job("burl-knobs", sets=["mould.hold=weight"]).job)
    rules = ("prints", "sound", "clear")
    assert [f.message for f in found.findings if f.rule in rules] == []
    plan = found.plan
    size, thick = plan.size, plan.question.lid_mm
    bare = lid_solid(replace(plan, held_by=None)).volume_mm3()
    ring = math.pi * ((size.lid_reach_mm + 8.0) ** 2 - size.lid_reach_mm**2) * thick
    made = found.parts.part("lid").mesh.volume_mm3
    assert made - bare == pytest.approx(ring, rel=1e-3)
    notched = lid_solid(replace(plan, held_by=Tape(way="tape", half_rad=0.3))).volume_mm3()
    skirt = size.lid_reach_mm**2 - (size.reach_mm + plan.question.clearance_mm) ** 2
    disc = size.lid_reach_mm**2 - size.reach_mm**2
    gone = 2.0 * 0.3 * (skirt * plan.question.skirt_mm + disc * thick)
    assert bare - notched == pytest.approx(gone, rel=0.03)  # whole facets at a sector's ends
