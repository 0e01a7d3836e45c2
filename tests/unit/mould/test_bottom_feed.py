"""A runner that fills from below: as wide as its rule asks, drawn so that it prints, and poured."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest

from mouldgen.answer import answer_job
from mouldgen.build import build_moulds
from mouldgen.errors import JobError
from mouldgen.gap.changes import changed
from mouldgen.gap.feed import least_runner_mm
from mouldgen.gap.findings import findings_of
from mouldgen.gap.runner import runner_bore_mm
from mouldgen.job.load import load_job
from mouldgen.memo import digest
from mouldgen.mould.runner import runner_hollow
from mouldgen.mould_set import MouldSet
from mouldgen.pour.pour import pour
from mouldgen.pour.slices import slice_air
from mouldgen.pour.space import Space
from mouldgen.size.runner import FUNNEL_MM, LEAST_RUNNER_MM, MOST_RUNNER_MM, Runner
from mouldgen.solid.circle import excess, segments
from mouldgen.solid.kernel import Solid, box, prism
from tests.demo_set import demo_set, job_with

FAMILIES = ("cup", "contour", "split")


@cache
def fed_set(family: str, gap: float = 2.0) -> MouldSet:
    mould = {"family": family, "gap": gap, "lettering": False}
    return build_moulds(job_with(mould=mould, pour={"sequence": "bottom-feed"}))


def body_of(found: MouldSet) -> Solid:
    solid, *more = [Solid.of_mesh(part.assembled) for part in found.parts.bodies]
    for other in more:
        solid = solid + other
    return solid


@pytest.mark.parametrize("family", FAMILIES)
def test_a_fed_mould_has_nothing_wrong_with_it(family: str) -> None:
    found = fed_set(family)
    rules = ("sound", "clear", "prints", "pour")

    assert [f.message for f in found.findings if f.rule in rules] == []
    assert found.measured_least_mm == pytest.approx(2.0, abs=0.021)
    for check in found.prints:
        assert check.figures.overhang.hanging_mm2 == 0.0


def test_the_loop_through_gate_and_funnel_is_one_handle() -> None:
    """In a cup it goes round through the body; halves have half of it each, as a trough."""
    assert [(p.name, p.genus) for p in fed_set("cup").parts.parts] == [("body", 1), ("lid", 4)]
    assert [(p.name, p.genus) for p in fed_set("contour").parts.parts] == [("body", 1), ("lid", 4)]
    assert [(p.name, p.genus) for p in fed_set("split").parts.parts] == [
        ("front", 4),
        ("back", 4),
        ("lid", 4),
    ]


@pytest.mark.parametrize("family", FAMILIES)
def test_the_runner_is_as_wide_as_its_rule_and_the_trade_ask(family: str) -> None:
    found = fed_set(family)
    runner, question = found.plan.size.runner, found.answer.question
    (note,) = [f for f in found.findings if f.id == "gap.runner"]

    assert note.severity == "note"
    # 6 mm: belief, told as the least for a bottom feed.
    assert 2.0 * runner.radius_mm == note.measured >= max(note.limit, 6.0)
    assert note.limit == pytest.approx(least_runner_mm(question, 2.0))
    assert f"It is drawn {note.measured:g} mm wide" in note.message


@pytest.mark.parametrize("family", FAMILIES)
def test_nowhere_is_the_way_narrower_than_its_bore(family: str) -> None:
    """A round bar of the bore goes down the channel, and a ball's section through the gate."""
    found = fed_set(family)
    runner, body = found.plan.size.runner, body_of(found)
    radius = runner.radius_mm
    sides = segments(radius, chord_mm=0.01)
    turn = np.arange(sides) * 2.0 * math.pi / sides
    ring = 0.999 * radius * np.column_stack([np.cos(turn), np.sin(turn)])
    middle = np.array([runner.x_mm, 0.0])
    bar = prism([ring + middle], bottom_mm=1.01, top_mm=runner.brim_mm)
    reach = prism([ring], bottom_mm=found.plan.size.bore_mm(20.0), top_mm=runner.x_mm)
    reach = reach.placed(np.array([[0.0, 0, 1, 0], [1, 0, 0, 0], [0, 1, 0, runner.gate_mm]]))

    assert (bar ^ body).volume_mm3() == pytest.approx(0.0, abs=1e-6)
    assert (reach ^ body).volume_mm3() == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize("family", FAMILIES)
def test_the_brim_stands_forty_millimetres_over_the_rim(family: str) -> None:
    size = fed_set(family).plan.size

    assert FUNNEL_MM == 40.0  # belief
    assert size.runner.brim_mm - size.rim_mm == pytest.approx(FUNNEL_MM)
    top = max(part.assembled.bounds[1][2] for part in fed_set(family).parts.bodies)
    assert top == pytest.approx(size.runner.brim_mm, abs=1e-4)
    assert size.stack_height_mm == pytest.approx(top + fed_set(family).plan.question.floor_mm)


def test_the_channel_and_its_funnel_have_the_volume_of_their_closed_forms() -> None:
    """Cylinder and cone by hand; what the polygons add is known."""
    runner = Runner(
        radius_mm=3.0, x_mm=30.0, gate_mm=4.0, cone_mm=90.0, brim_mm=102.0, wide_mm=9.0,
        wall_mm=1.68,
    )  # fmt: skip
    hollow = runner_hollow(runner, start_mm=20.0, chord_mm=0.01)
    column = hollow ^ box((0.0, -50.0, 20.0), (99.0, 50.0, 102.0))
    cylinder = math.pi * 9.0 * 70.0
    cone = math.pi * 12.0 * (9.0 + 27.0 + 81.0) / 3.0
    sides = segments(runner.wide_mm, chord_mm=0.01)

    assert column.volume_mm3() == pytest.approx((cylinder + cone) * excess(sides), rel=1e-6)
    # The gate: three quarters of a circle and a square that stands on its corner's half.
    gate = hollow ^ box((20.0, -50.0, -50.0), (26.0, 50.0, 50.0))
    drop = (0.75 * math.pi + 1.0) * 9.0 * 6.0
    assert drop <= gate.volume_mm3() <= excess(segments(3.0, chord_mm=0.01)) * drop


def test_resin_in_the_runner_is_weighed_out() -> None:
    """To the level it fills gate and channel: the difference to the same mould without one."""
    fed = fed_set("cup")
    plain = build_moulds(
        job_with(
            mould={"family": "cup", "gap": 2.0, "lettering": False},
            pour={"sequence": "resin-first"},
        )
    )
    runner, size = fed.plan.size.runner, fed.plan.size
    more = fed.parts.features_ml - plain.parts.features_ml
    channel = math.pi * runner.radius_mm**2 * (size.level_mm - 1.0) / 1000.0
    gate = (
        (0.75 * math.pi + 1.0)
        * runner.radius_mm**2
        * (runner.x_mm - runner.radius_mm - size.bore_mm(9.0))
        / 1000.0
    )

    # The two meet, and the gate ends on a curve: a tenth of a millilitre.
    assert more == pytest.approx(channel + gate, abs=0.1)
    assert fed.amounts.per_mould_ml > plain.amounts.per_mould_ml + 0.9 * channel


@pytest.mark.parametrize("family", FAMILIES)
def test_the_virtual_pour_sees_the_runner_as_a_way(family: str) -> None:
    """No air stays in it, and the resin's volume to the level is what is weighed out."""
    found = fed_set(family)
    upright = found.tried.pours[0]
    resin = found.answer.size
    filled = upright.volume_to(found.plan.size.level_mm)

    assert upright.shut_in_ml < 0.05
    assert not upright.runs_over
    wanted = resin.net_ml + resin.riser_ml + found.parts.features_ml
    assert filled == pytest.approx(wanted, rel=0.02)


def test_without_vents_in_the_lid_the_runner_does_not_let_the_bores_air_out() -> None:
    """It reaches the bore at the floor only: what stands over the gate's roof
    stays in."""
    found = fed_set("cup")
    size = found.plan.size
    plug = box((-size.lid_reach_mm, -99.0, size.rim_mm - 0.1), (size.lid_reach_mm, 99.0, 500.0))
    space = Space(found.parts.hollow, (found.parts.displacing, plug.any_mesh()), size.rim_mm)
    shut = pour(slice_air(space), level_mm=size.level_mm).shut_in_ml

    assert shut > 0.8 * size.net_ml
    # What leaves does so by the gate: the space up to its roof.
    assert shut < size.net_ml + size.riser_ml + found.answer.size.bore.volume_ml(size.rim_mm)


@pytest.mark.parametrize("family", ["cup", "split"])
def test_the_lid_comes_off_past_the_funnel(family: str) -> None:
    found = fed_set(family)
    lid, body = Solid.of_mesh(found.parts.part("lid").assembled), body_of(found)
    for up in (0.0, 5.0, 20.0, FUNNEL_MM, 80.0):
        assert (lid.moved(z=up) ^ body).volume_mm3() == pytest.approx(0.0, abs=1e-6)


# ------------------------------------------------------------------------ what does not fit


def test_the_funnel_counts_in_the_pot() -> None:
    """The demo's cup is 94.9 mm high, 134.9 mm with its funnel."""
    fed = fed_set("cup").plan.size.stack_height_mm
    sets = ("pour.sequence=bottom-feed", f"pot.height={fed - 1.0:.3f} mm")
    answer = answer_job(load_job("boathouse-pegs", sets=(*sets, "mould.gap=2 mm")).job)
    (bound,) = [b for b in answer.gap.bounds if b.rule == "fits"]

    assert bound.value_mm is None
    assert "the closed mould with its funnel is" in bound.why
    plain = load_job("boathouse-pegs", sets=(f"pot.height={fed - 1.0:.3f} mm",)).job
    assert answer_job(plain).gap.conflict is None


def test_a_runner_wider_than_any_that_is_drawn_is_told() -> None:
    sets = ("pour.sequence=bottom-feed", "mould.gap=14 mm", "resin.viscosity=30 Pa s")
    loaded = load_job("boathouse-pegs", sets=sets)
    answer = answer_job(loaded.job)
    (told,) = [f for f in findings_of(answer.gap, answer.question) if f.id == "gap.runner"]
    assert told.severity == "warn"
    assert told.measured == MOST_RUNNER_MM < told.limit
    assert "No wider one than 16 mm is drawn" in told.message


def test_bores_are_whole_steps_between_the_least_and_the_most() -> None:
    question = fed_set("cup").answer.question

    assert runner_bore_mm(question, 0.5) == LEAST_RUNNER_MM
    assert runner_bore_mm(question, 2.0) % 0.5 == 0.0


def test_a_sequence_that_the_rules_pick_draws_no_runner() -> None:
    assert demo_set().plan.size.runner is None
    assert fed_set("cup").plan.size.runner is not None


@pytest.mark.parametrize("key", ["drip_tray", "pot_rack"])
def test_round_seats_are_refused_beside_a_runner(key: str) -> None:
    sets = ("pour.sequence=bottom-feed", f"extras.{key}=true")
    with pytest.raises(JobError, match="its seats are for round moulds, and a mould that is fed"):
        load_job("boathouse-pegs", sets=sets)


def test_a_change_of_the_sequence_draws_the_runner_or_leaves_it_out() -> None:
    """What a remedy is reckoned with is the mould that the job would make."""
    plain, fed = (
        answer_job(load_job("boathouse-pegs", sets=(f"pour.sequence={name}", "mould.gap=2 mm")).job)
        for name in ("resin-first", "bottom-feed")
    )
    there = changed(plain.question, (("pour.sequence", "bottom-feed"),))
    back = changed(fed.question, (("pour.sequence", "resin-first"),))

    assert digest(there.sizes) == digest(fed.sizes)
    assert digest(back.sizes) == digest(plain.sizes)


def test_a_split_mould_goes_from_one_to_the_other_too() -> None:
    sets = ("mould.family=split", "mould.gap=2 mm", "pour.sequence=bottom-feed")
    fed = answer_job(load_job("boathouse-pegs", sets=sets).job).question
    back = changed(fed, (("pour.sequence", "resin-first"),))

    assert fed.size(2.0).runner is not None
    assert back.size(2.0).runner is None
    assert back.size(2.0).halves
