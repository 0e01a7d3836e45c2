"""The shipped job of twelve grips: split moulds that are used again, filled from below.

The anchors are figures of our own for that job, by hand: a bore of 42 x 154 mm holds 213.4 ml, a
stick of 20 x 20 x 154 mm is 61.6 ml, 151.8 ml are left; 15 mm of resin over it are 20.8 ml; with
freeboard, funnel and floor the mould stands 227 mm high in a pot of 230 mm.  Where the mould that
is drawn differs, it is told beside the number.
"""

from __future__ import annotations

import math
from functools import cache

import pytest

from mouldgen.answer import answer_job
from mouldgen.build import build_moulds
from mouldgen.cli.story import say_story
from mouldgen.errors import JobError
from mouldgen.files.report import report_of
from mouldgen.job.load import load_job
from mouldgen.mould_set import MouldSet
from mouldgen.size.split import split_size
from tests.demo_set import demo_set

JOB = "orchard-grips"


@cache
def grips(*sets: str) -> MouldSet:
    loaded = load_job(JOB, sets=sets)
    return build_moulds(loaded.job, given=loaded.given)


def ids(found: MouldSet, severity: str) -> set[str]:
    return {f.id for f in found.findings if f.severity == severity}


# ------------------------------------------------------------------------ as shipped


def test_nothing_must_be_fixed_and_this_is_to_be_looked_at() -> None:
    found = grips()

    assert ids(found, "stop") == set()
    assert ids(found, "warn") == {
        "gap.heat",  # the ring is wide: the card's resin may soften the wall
        "pot.headroom",
    }


def test_the_volumes_are_the_anchors() -> None:
    size = grips().plan.size
    bore = size.bore_mm(100.0)

    assert 2.0 * bore == pytest.approx(42.0, abs=0.005)
    assert size.fill_mm == 154.0
    # 213.4 ml less what the floor's cone of 2 degrees takes: two thirds of a disc 0.7 mm high.
    cone = size.floor_rise_mm * math.pi * bore**2 * 2.0 / 3.0 / 1000.0
    assert size.cavity_ml + cone == pytest.approx(213.4, abs=0.1)
    # The stick stands on ridges of 2 mm, so it is 152 mm long for the same blank.
    assert size.insert_ml == pytest.approx(0.4 * 152.0)
    assert size.insert_ml + 0.4 * 2.0 == pytest.approx(61.6)
    assert size.net_ml == pytest.approx(151.8, abs=0.3)
    assert size.level_mm - size.fill_mm == 15.0
    assert size.riser_ml == pytest.approx(20.8, abs=0.05)


def test_fourteen_castings_take_about_three_kilograms() -> None:
    """2.9 kg by hand, without the runner; the lid's fingers take half of what that holds."""
    found = grips()
    plan, runner = found.plan, found.plan.size.runner

    assert (found.answer.moulds, found.answer.printed) == (14, 4)
    channel = math.pi * runner.radius_mm**2 * (plan.size.level_mm - 1.0) / 1000.0
    deep = plan.size.level_mm - (plan.insert_top_mm - plan.sockets.depth_mm)
    middle = plan.sockets.inner_mm + plan.sockets.finger_mm / 2.0
    arc = plan.sockets.width_mm * middle / plan.sockets.inner_mm
    fingers = 3.0 * arc * plan.sockets.finger_mm * deep / 1000.0
    # Gate and grooves add to it; ridges, legs and the seat under the stick take some back.
    assert found.parts.features_ml == pytest.approx(channel - fingers, abs=1.5)
    without = (found.amounts.per_mould_ml - found.parts.features_ml) * 14 * 1.1
    assert without * found.amounts.density_g_ml == pytest.approx(2900.0, rel=0.02)
    assert found.amounts.total_g == pytest.approx(2900.0, rel=0.01)


def test_what_is_weighed_out_is_what_the_virtual_pour_finds() -> None:
    found = grips()
    poured = found.tried.pours[0].volume_to(found.plan.size.level_mm)

    assert found.amounts.per_mould_ml == pytest.approx(poured, rel=0.005)


def test_the_stack_is_227_mm_in_a_pot_of_230() -> None:
    """By hand 3 + 154 + 15 + 15 + 40; here the land makes the floor 8 mm, the freeboard is 10."""
    found = grips()
    size = found.plan.size
    (told,) = [f for f in found.findings if f.id == "pot.headroom"]

    assert size.stack_height_mm == pytest.approx(8.0 + 154.0 + 15.0 + 10.0 + 40.0)
    assert told.measured == pytest.approx(3.0)
    assert (
        "with its funnel stands 227 mm high and the pot takes 230 mm: 3 mm are left" in told.message
    )


def test_the_stick_floats_with_thirty_grams() -> None:
    """30 gf by hand for 154 mm; (1.073 - 0.61) g/ml on 60.8 ml here."""
    lift = grips().hold.lift_n / 9.80665e-3

    assert lift == pytest.approx(30.0, rel=0.1)


def test_four_moulds_are_cast_four_times() -> None:
    found = grips()
    (note,) = [f for f in found.findings if f.id == "reuse.rounds"]

    assert note.measured == 4.0
    assert "14 castings in 4 moulds are 4 rounds, each 72 h in the mould: 12 days" in note.message


def test_a_half_has_six_bolts_and_its_runner_no_handle() -> None:
    assert [(p.name, p.genus, p.shells) for p in grips().parts.parts] == [
        ("front", 6, 1),
        ("back", 6, 1),
        ("lid", 4, 1),
    ]
    assert len(split_size(grips().plan.size).bolts) == 6


def test_a_hole_right_through_lies_in_the_wood_all_along() -> None:
    assert grips().piece.thread_wood == pytest.approx(1.0)


def test_both_ends_are_centred_within_what_the_thickest_stick_needs() -> None:
    """A seat in the floor and fingers of the lid, each wider than a corner of the square leaves."""
    found = grips()
    slide = found.plan.sockets.inner_mm - found.plan.insert.envelope_mm

    assert (found.plan.sockets.lower, found.plan.sockets.upper) == (True, "lid")
    assert found.hold.off_mm == pytest.approx((slide, slide))
    assert slide < 1.0


# ------------------------------------------------------------------------ when it goes wrong


def test_a_pot_that_is_too_low_is_a_must_fix_finding() -> None:
    found = grips("pot.height=220 mm")
    (told,) = [f for f in found.findings if f.id == "gap.fits"]

    assert told.severity == "stop"
    assert (
        "the closed mould with its funnel is 227 mm high and the pot takes 220 mm" in told.message
    )


def test_a_bed_that_a_half_does_not_lie_on_is_a_must_fix_finding() -> None:
    found = grips("printer.card=square-220")
    told = {f.id: f for f in found.findings if f.severity == "stop"}

    assert set(told) == {"gap.fits", "beds.no-room"}
    assert "a half is 93.48 mm x 227 mm, lying, and the bed has no room" in told["gap.fits"].message


def test_a_blank_that_is_one_millimetre_short_is_a_must_fix_finding() -> None:
    needed = grips().cuts.stack.needed_mm
    found = grips(f"mould.fill={needed - 1.0:g} mm")
    (told,) = [f for f in found.findings if f.id == "clear.length"]

    assert told.severity == "stop"
    assert "and 1 mm short" in told.message


def test_the_wrong_ratio_basis_is_another_amount_of_part_b() -> None:
    """No number of a job can tell which is meant; the split of the two parts shows it."""
    right, wrong = grips(), grips("resin.ratio_basis=mass")

    assert wrong.amounts.b_per_100_a == pytest.approx(50.0)
    # 2:1 by volume of 1.13 and 0.96 g/ml: 0.96 / 2 / 1.13.
    assert right.amounts.b_per_100_a == pytest.approx(100.0 * 0.96 / 2.26, rel=1e-9)
    assert wrong.amounts.b_g / right.amounts.b_g > 1.1


def test_a_density_that_is_missing_is_refused(tmp_path) -> None:
    from mouldgen.job.presets import shipped_folder

    text = (shipped_folder() / "jobs" / f"{JOB}.toml").read_text(encoding="utf-8")
    bare = tmp_path / "grips.toml"
    bare.write_text(text.replace('wood = "black walnut"\n', ""), encoding="utf-8")

    with pytest.raises(JobError, match=r"neither \[insert\] wood nor density is given"):
        load_job(bare)


def test_a_draft_is_refused_because_the_halves_part() -> None:
    with pytest.raises(JobError, match="the halves of a split mould part and need no draft"):
        load_job(JOB, sets=("mould.draft=1 deg",))


def test_a_mould_too_low_for_bolts_and_keys_is_refused() -> None:
    low = (
        "insert.length=20 mm",
        "mould.fill=22 mm",
        "piece.length=10 mm",
        "piece.hole_depth=10 mm",
    )
    with pytest.raises(JobError, match="has no room for its bolts and keys"):
        answer_job(load_job(JOB, sets=low).job)


# ------------------------------------------------------------------------ as told


def test_the_report_tells_castings_from_moulds() -> None:
    report = report_of(grips())

    assert report["reuse"] == {"castings": 14, "moulds": 4, "casts_each": 4}
    assert report["volume"]["moulds"] == 14
    assert {part["name"]: part["count"] for part in report["parts"]} == {
        "front": 4,
        "back": 4,
        "lid": 14,
    }


def test_a_mould_that_is_turned_away_is_not_told_of_so() -> None:
    assert "reuse" not in report_of(demo_set())


def test_the_story_says_how_often_each_mould_is_cast(capsys) -> None:
    say_story(grips(), quiet=False, verbose=False)
    told = " ".join(capsys.readouterr().out.split())

    assert "Castings start 14: with 95 % of castings good" in told
    assert "Moulds print 4 moulds, each cast up to 4 times, and a lid for every casting" in told
    assert "prise the halves apart at the two slots" in told
