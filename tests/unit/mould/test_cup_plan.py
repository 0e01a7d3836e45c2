"""Where features go, and what is left out when there is no room."""

from __future__ import annotations

import dataclasses
import itertools
import math

import pytest

from mouldgen.build import build_moulds
from mouldgen.job.model import Insert
from mouldgen.mould.body import body_solid, cavity_solid
from mouldgen.mould.lid import lid_solid
from mouldgen.mould.naming import LETTERS, mould_id
from mouldgen.mould.plan import CupPlan
from mouldgen.mould.stands import WEB
from mouldgen.solid.kernel import Solid, cylinder
from tests.demo_set import demo_set, job_with


def plan_of(**tables: dict[str, object]) -> CupPlan:
    plan = build_moulds(job_with(**tables)).plan
    assert plan is not None
    return plan


def test_demo_parts_are_what_they_look_like() -> None:
    """Literal counts: a cup has no hole; the lid has three vents and a port."""
    parts = demo_set().parts
    plan = demo_set().plan
    assert [(p.name, p.genus, p.shells) for p in parts.parts] == [("body", 0, 1), ("lid", 4, 1)]
    assert len(plan.groove_angles) == len(plan.sockets.angles) == len(plan.legs) == 3
    assert plan.body_label.text.endswith(f" {plan.size.gap_mm:.2f}")
    assert plan.lid_label.text in plan.body_label.text


@pytest.mark.parametrize("grooves", [0, 3, 4, 5, 6])
def test_ribs_and_grooves_take_turns(grooves: int) -> None:
    plan = plan_of(mould={"vent_grooves": grooves, "gap": 2.0})
    assert len(plan.groove_angles) == grooves
    assert len(plan.sockets.angles) == (grooves or 3)
    apart = [
        abs((a - b + 180.0) % 360.0 - 180.0)
        for a in plan.groove_angles
        for b in plan.sockets.angles
    ]
    assert min(apart, default=60.0) == pytest.approx(180.0 / (grooves or 3))


@pytest.mark.parametrize("across", [9.0, 12.0, 16.0, 22.0, 30.0, 45.0, 60.0, 90.0])
def test_holes_and_legs_keep_their_webs(across: float) -> None:
    plan = plan_of(insert={"shape": "rod", "diameter": across, "measured": ()}, mould={"gap": 1.5})
    holes = [*plan.vents, *([plan.port] if plan.port else [])]
    for (x, y, r), (a, b, s) in itertools.combinations([*holes, *plan.legs], 2):
        assert math.hypot(x - a, y - b) >= r + s + WEB - 1e-9
    for x, y, r in holes:
        assert math.hypot(x, y) + r + WEB <= plan.size.bore_mm(plan.size.rim_mm) + 1e-9
    for x, y, r in [*plan.legs, *plan.pips]:
        assert math.hypot(x, y) + r <= plan.insert.core_mm


def test_the_cavity_is_the_bore_with_every_feature() -> None:
    """Grooves add, ribs, pips and the cone take: each volume worked on its own."""
    plan = plan_of(mould={"gap": 2.0, "lettering": False, "fill": 80.0})
    assert plan.sockets.width_mm > plan.insert.opening_mm
    size, level = plan.size, plan.size.level_mm
    bare = cylinder(size.bore_mm(0.0), bottom_mm=0.0, top_mm=level, chord_mm=0.01)
    sides = plan.sides
    without = dataclasses.replace(
        plan,
        groove_angles=(),
        sockets=dataclasses.replace(plan.sockets, lower=False, upper="none"),
        pips=(),
    )
    plain = cavity_solid(without).below(level).volume_mm3()
    cone = math.pi * plan.centre_pip[0] ** 2 * plan.centre_pip[1] / 3.0
    # The lower flank of the fill line, a ring of triangular section (Pappus).
    line = 0.5 * 0.4 * 0.4 * 2.0 * math.pi * (size.bore_mm(level) + 0.4 / 3.0)
    exact = math.pi * size.bore_mm(0.0) ** 2 * level - cone + line
    assert plain == pytest.approx(exact, rel=1e-3)
    assert bare.volume_mm3() == pytest.approx(math.pi * 17.0**2 * level, rel=1e-3)
    grooved = dataclasses.replace(without, groove_angles=plan.groove_angles)
    added = cavity_solid(grooved).below(level).volume_mm3() - plain
    one = half_outside(1.2, 17.0) * (level - plan.question.pip_mm)
    assert added == pytest.approx(3.0 * one, rel=0.01)
    assert sides == plan.sides


def half_outside(groove: float, bore: float) -> float:
    """Area of a circle on the rim of another that lies outside it [mm2]."""
    from mouldgen.insert.flute import lens_mm2

    return math.pi * groove**2 - lens_mm2(bore, groove)


def test_features_volume_is_resin_that_the_closed_form_does_not_know() -> None:
    """The air really there, measured on the parts, less bare bore and insert, legs taken off."""
    found = build_moulds(job_with(mould={"gap": 1.2, "fill": 80.0}))
    plan, parts = found.plan, found.parts
    level = plan.size.level_mm
    wide = plan.size.reach_mm
    plug = cylinder(wide, bottom_mm=-1.0, top_mm=level, chord_mm=0.01)
    outside = body_solid(plan, cavity_solid(plan)) + cavity_solid(plan)
    air = (plug ^ outside) - Solid.of_mesh(parts.part("body").assembled)
    air = air - Solid.of_mesh(parts.part("lid").assembled) - Solid.of_mesh(parts.insert)
    closed = plan.size.net_ml + plan.size.riser_ml
    # Facets: the bore is drawn around its circle, the flutes have their corners on theirs.
    assert air.volume_mm3() / 1000.0 - closed == pytest.approx(parts.features_ml, abs=0.06)


def test_ribs_leave_the_thickest_insert_its_way() -> None:
    plan = plan_of(mould={"gap": 2.0})
    body = body_solid(plan, cavity_solid(plan))
    thick = cylinder(
        plan.sockets.inner_mm - 0.0005, bottom_mm=plan.insert_foot_mm, top_mm=200.0, chord_mm=0.0002
    )
    assert (body ^ thick).volume_mm3() == 0.0
    tight = cylinder(
        plan.sockets.inner_mm + 0.1, bottom_mm=plan.insert_foot_mm, top_mm=200.0, chord_mm=0.005
    )
    assert (body ^ tight).volume_mm3() > 0.0


def test_legs_reach_the_insert_and_vents_go_through() -> None:
    plan = plan_of()
    lid = lid_solid(plan)
    bounds = lid.any_mesh().bounds
    assert bounds[0][2] == pytest.approx(plan.insert_top_mm, abs=1e-4)
    for x, y, r in plan.vents:
        rod = cylinder(r - 0.01, bottom_mm=0.0, top_mm=200.0, chord_mm=0.01, centre=(x, y))
        assert (lid ^ rod).volume_mm3() == 0.0


def test_small_inserts_say_what_was_left_out() -> None:
    found = build_moulds(
        job_with(
            insert={"shape": "rod", "diameter": 9.0, "length": 40.0, "measured": ()},
            piece={"diameter": 6.0, "length": 30.0},
            mould={"fill": None},
        )
    )
    left_out = {f.id for f in found.findings if f.rule == "cup"}
    assert "cup.no-lettering" in left_out
    assert all(f.severity == "note" for f in found.findings if f.rule == "cup")
    assert found.plan.lid_genus == found.parts.part("lid").genus


def test_lettering_off_means_none() -> None:
    plan = plan_of(mould={"lettering": False})
    assert plan.body_label is None
    assert plan.lid_label is None
    assert not [f for f in plan.remarks if f.id == "cup.no-lettering"]


def test_lettering_adds_to_the_body_and_takes_from_the_lid() -> None:
    with_, without = (
        build_moulds(job_with(mould={"lettering": flag})).parts for flag in (True, False)
    )
    assert with_.part("body").mesh.volume_mm3 > without.part("body").mesh.volume_mm3 + 5.0
    assert with_.part("lid").mesh.volume_mm3 < without.part("lid").mesh.volume_mm3 - 2.0


def test_ids_are_the_makers_or_initials_and_two_clear_letters() -> None:
    assert mould_id("boathouse-pegs", given="X1", fingerprint=b"\0\0\0\0") == "X1"
    made = mould_id("boathouse-coat-pegs-again", given=None, fingerprint=b"\x12\x34\x56\x78")
    assert made[:4] == "BCP-"
    assert set(made[4:]) <= set(LETTERS)
    assert not set("01OIS5B82ZQG6") & set(LETTERS)


def test_another_gap_has_another_id() -> None:
    ids = {plan_of(mould={"gap": gap}).body_label.text for gap in (1.0, 1.1, 1.2)}
    assert len(ids) == 3


def test_an_insert_model_is_frozen() -> None:
    with pytest.raises(ValueError, match="frozen"):
        Insert.model_validate({"shape": "rod", "length": "1 mm"}).length = 2.0


def wide(**piece: float) -> CupPlan:
    """A slim rod in a wide bore: the piece is of resin outside, and reaches past the sockets."""
    return plan_of(
        insert={"shape": "rod", "diameter": 22.0, "length": 45.0, "measured": ()},
        piece={"diameter": 28.0, **piece},
        mould={"gap": 7.0, "fill": None},
    )


def test_where_ribs_would_mark_the_piece_the_lid_centres_the_insert() -> None:
    """5 mm of waste: room for a socket, not for a rib that takes 6 mm of ramp."""
    plan = wide(length=35.0)
    assert (plan.sockets.lower, plan.sockets.upper) == (True, "lid")
    lid, body = lid_solid(plan), body_solid(plan, cavity_solid(plan))
    piece = cylinder(14.0, bottom_mm=7.0, top_mm=42.0, chord_mm=0.01)
    assert (piece ^ lid).volume_mm3() == 0.0
    assert (piece ^ body).volume_mm3() == 0.0
    assert lid.mesh(genus=plan.lid_genus).bounds[0][2] == pytest.approx(44.0, abs=1e-4)
    thick = cylinder(plan.sockets.inner_mm - 0.0005, bottom_mm=2.0, top_mm=47.0, chord_mm=0.0002)
    assert (thick ^ lid).volume_mm3() == pytest.approx(0.0, abs=1e-6)


def test_with_no_waste_there_is_no_socket_and_the_plan_says_so() -> None:
    plan = wide(length=44.0)
    assert (plan.sockets.lower, plan.sockets.upper) == (False, "none")
    assert "cup.no-sockets" in {f.id for f in plan.remarks}


@pytest.mark.parametrize("grooves", [0, 3, 4, 5, 6])
def test_fingers_keep_their_webs_to_vents_and_port(grooves: int) -> None:
    plan = plan_of(
        insert={"shape": "rod", "diameter": 22.0, "length": 45.0, "measured": ()},
        piece={"diameter": 28.0, "length": 35.0},
        mould={"gap": 7.0, "fill": None, "vent_grooves": grooves},
    )
    assert plan.sockets.upper == "lid"
    assert len(plan.vents) == 3
    whole = lid_solid(plan)
    for hole in (*plan.vents, plan.port):
        x, y, r = hole
        around = cylinder(r + 0.9, bottom_mm=30.0, top_mm=80.0, chord_mm=0.01, centre=(x, y))
        below = around.below(plan.size.rim_mm - 0.5)
        assert (whole ^ below).volume_mm3() == pytest.approx(0.0, abs=1e-6)
