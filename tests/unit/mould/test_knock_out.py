"""A hole through the floor with a disc over it, by which a rod pushes the blank out."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache

import pytest

from mouldgen.errors import JobError
from mouldgen.mould.body import body_solid, cavity_solid
from mouldgen.mould.families.cup import features_ml
from mouldgen.mould.knock_out import KnockOut, place_knock_out
from mouldgen.mould.stands import ring
from mouldgen.mould_set import MouldSet
from mouldgen.solid.kernel import Solid, cylinder
from tests.demo_set import changed_set

ASKED = ("mould.gap=2 mm", "mould.knock_out=true")


@cache
def made(draft: str, *more: str) -> MouldSet:
    return changed_set(*ASKED, f"mould.draft={draft}", *more)


def hole_of(found: MouldSet) -> KnockOut:
    (hole,) = found.plan.released_by
    assert isinstance(hole, KnockOut)
    return hole


def on_disc_mm3(found: MouldSet) -> float:
    """Pips and cone that stand on the disc, by their closed forms."""
    plan, hole = found.plan, hole_of(found)
    cone, high = plan.centre_pip
    pips = [r for x, y, r in plan.pips if math.hypot(x, y) < hole.disc_mm]
    return math.pi * (cone**2 * high / 3.0 + sum(r * r for r in pips) * plan.question.pip_mm)


@pytest.mark.parametrize("draft", ["1.5 deg", "3 deg"])
def test_the_volumes_are_those_of_hole_seat_and_disc(draft: str) -> None:
    found = made(draft)
    plan, hole = found.plan, hole_of(found)
    disc, floor = found.parts.part("disc"), plan.question.floor_mm
    lies = math.pi * hole.disc_mm**2 * hole.thick_mm
    assert disc.mesh.volume_mm3 == pytest.approx(lies + on_disc_mm3(found), rel=1e-3)

    bare = replace(plan, released_by=())
    hollow, plain = cavity_solid(plan), cavity_solid(bare)
    gone = body_solid(bare, plain).volume_mm3() - body_solid(plan, hollow).volume_mm3()
    seat = math.pi * hole.seat_mm**2 * hole.thick_mm
    bore = math.pi * hole.hole_mm**2 * (floor - hole.thick_mm)
    assert gone == pytest.approx(seat + bore + on_disc_mm3(found), rel=1e-3)

    # The resin gains the ring of clearance round the disc and nothing else.
    clear = math.pi * (hole.seat_mm**2 - hole.disc_mm**2) * hole.thick_mm / 1000.0
    more = features_ml(plan, hollow) - features_ml(bare, plain)
    assert more == pytest.approx(clear, rel=2e-3)
    assert found.parts.features_ml == pytest.approx(features_ml(plan, hollow), abs=1e-4)


def test_it_is_one_hole_one_disc_a_mould_and_passes_every_check() -> None:
    found = made("1.5 deg")
    named = {part.name: (part.genus, part.count) for part in found.parts.parts}
    assert named["body"] == (1, None)
    assert named["disc"] == (0, None)
    plain = changed_set("mould.gap=2 mm", "mould.draft=1.5 deg")
    assert plain.parts.part("body").genus == 0
    assert {f.id for f in found.findings if f.rule in ("prints", "sound", "clear")} == set()
    assert "cup.knock-out" in {f.id for f in found.findings}
    # 6 to 8 mm: common practice, no source.
    assert 3.0 <= hole_of(found).hole_mm <= 4.0
    # The floor under the disc is no thinner than a plain one, in whole layers.
    layer = found.answer.job.printer.layer
    under = found.plan.question.floor_mm - hole_of(found).thick_mm
    assert under >= plain.plan.question.floor_mm - 1e-9
    assert under / layer == pytest.approx(round(under / layer))
    assert sum(item.part == "disc" for bed in found.beds for item in bed.items) == (
        found.answer.printed
    )


def test_the_disc_lies_in_its_seat_with_the_printers_clearance() -> None:
    found = made("1.5 deg")
    body = Solid.of_mesh(found.parts.part("body").assembled)
    disc = Solid.of_mesh(found.parts.part("disc").assembled)
    assert (disc ^ body).volume_mm3() == pytest.approx(0.0, abs=1e-2)
    assert disc.least_gap_mm(body) == pytest.approx(0.0, abs=1e-4)
    clearance = found.answer.job.printer.clearance
    lifted = disc.moved(z=2.0 * clearance)
    assert lifted.least_gap_mm(body) == pytest.approx(clearance, abs=2e-3)


def test_a_rod_pushes_disc_and_blank_out_past_nothing() -> None:
    found = made("1.5 deg")
    plan, hole = found.plan, hole_of(found)
    body = Solid.of_mesh(found.parts.part("body").assembled)
    rod = cylinder(hole.hole_mm - 0.05, bottom_mm=-20.0, top_mm=60.0, chord_mm=0.01)
    assert (rod ^ body).volume_mm3() == pytest.approx(0.0, abs=1e-9)
    blank = Solid.of_mesh(found.parts.hollow).below(plan.size.level_mm)
    blank = blank + Solid.of_mesh(found.parts.part("disc").assembled)
    for up in (0.05, 0.5, 2.0, 6.0, 20.0, 50.0):
        # A film of the mesh grid's 0.0001 mm over the 9000 mm2 of wall would be 0.9 mm3.
        assert (blank.moved(z=up) ^ body).volume_mm3() == pytest.approx(0.0, abs=0.05), up


def test_without_it_ribs_and_fill_line_would_keep_the_blank_in() -> None:
    plain = changed_set("mould.gap=2 mm", "mould.draft=1.5 deg")
    body = Solid.of_mesh(plain.parts.part("body").assembled)
    blank = Solid.of_mesh(plain.parts.hollow).below(plain.plan.size.level_mm)
    assert (blank.moved(z=2.0) ^ body).volume_mm3() > 1.0


def test_no_resin_goes_below_the_seat_and_no_more_air_stays_in() -> None:
    found, plain = made("1.5 deg"), changed_set("mould.gap=2 mm", "mould.draft=1.5 deg")
    hole = hole_of(found)
    assert found.parts.hollow.bounds[0][2] == pytest.approx(-hole.thick_mm, abs=1e-4)
    over = cylinder(hole.hole_mm, bottom_mm=-9.0, top_mm=-0.001, chord_mm=0.01)
    assert (Solid.of_mesh(found.parts.hollow) ^ over).volume_mm3() == pytest.approx(0.0, abs=1e-9)
    assert found.tried.pours[0].shut_in_ml <= plain.tried.pours[0].shut_in_ml + 0.01


def test_the_insert_stands_as_high_on_the_disc_as_on_the_floor() -> None:
    found = made("1.5 deg")
    insert = Solid.of_mesh(found.parts.insert)
    disc = Solid.of_mesh(found.parts.part("disc").assembled)
    assert found.parts.insert.bounds[0][2] == pytest.approx(found.plan.question.pip_mm, abs=1e-4)
    assert insert.least_gap_mm(disc) == pytest.approx(0.0, abs=1e-4)


@pytest.mark.parametrize("away", [1.0, 4.0, 5.5, 7.0, 7.6, 8.0, 10.0, 12.0])
def test_no_pip_stands_on_the_edge(away: float) -> None:
    plan = made("1.5 deg").plan
    pips = ring(3, away, 1.2, start=30.0)
    found, _ = place_knock_out(
        plan.question, plan.size, pips=pips, sockets=plan.sockets, layer_mm=0.2
    )
    line = plan.question.line_mm
    on = away + 1.2 <= found.disc_mm - line + 1e-9
    beside = away - 1.2 >= found.seat_mm + line - 1e-9
    assert on != beside
    assert on == (away <= 7.6)
    assert found.disc_mm >= found.hole_mm + 2.0


@pytest.mark.parametrize(
    ("more", "says"),
    [
        (("mould.draft=0 deg",), "out of a straight bore"),
        (("mould.family=contour",), "out of a contour mould"),
        (("mould.family=split",), "out of a split mould"),
        (("mould.draft=1 deg", "mould.tenon=12 mm", "piece.hole_from=top"), "tenon is where"),
        (("mould.draft=1 deg", "mould.hold=screw"), "needs the floor under the insert"),
        (("mould.draft=1 deg", "mould.hold=glue"), "needs the floor under the insert"),
        (("mould.draft=1 deg", "pour.sequence=bottom-feed"), "runner's gate"),
        (("mould.draft=1 deg", "pour.layers=2"), "earlier pours are grooves"),
        (("mould.draft=1 deg", "mould.score=true"), "lets the blank go in one piece"),
    ],
)
def test_a_hole_that_cannot_be_is_refused(more: tuple[str, ...], says: str) -> None:
    with pytest.raises(JobError, match=says):
        changed_set(*ASKED, *more)


def test_a_floor_without_room_is_refused() -> None:
    plan = made("1.5 deg").plan
    tight = replace(plan.sockets, lower=True, foot_inner_mm=5.5)
    with pytest.raises(JobError, match="has no room for a hole of 6 mm"):
        place_knock_out(plan.question, plan.size, pips=(), sockets=tight, layer_mm=0.2)
    # A quarter of a millimetre of radius at a time the hole gives way to the ribs.
    less = replace(plan.sockets, lower=True, foot_inner_mm=6.3)
    found, _ = place_knock_out(plan.question, plan.size, pips=(), sockets=less, layer_mm=0.2)
    assert found.hole_mm == pytest.approx(3.5)
