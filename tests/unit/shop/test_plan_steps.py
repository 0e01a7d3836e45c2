"""The steps of a job: what is done, how often, and what waits for what."""

from __future__ import annotations

from dataclasses import replace

import pytest

from mouldgen.errors import NoAnswerError
from mouldgen.shop.hours import DAY_S
from mouldgen.shop.pouring import load_step
from mouldgen.shop.readying import mould_steps
from mouldgen.shop.step import LONGEST_BATCH_S, Step, batch
from mouldgen.shop.steps import named, places_of, steps_of
from mouldgen.shop.work_facts import BedFacts, LoadFacts, RubberFacts, WorkFacts
from tests.plan_settings import DAY, HOUR, cure, facts, load, setting


def by_name(job: WorkFacts) -> dict[str, Step]:
    return {step.activity.name: step for step in steps_of(job)}


def before(steps: dict[str, Step], name: str) -> set[str]:
    """Everything that an activity waits for, far back."""
    found: set[str] = set()
    left = [name]
    while left:
        for earlier in steps[left.pop()].activity.after:
            if earlier not in found:
                found.add(earlier)
                left.append(earlier)
    return found


def hands(steps: dict[str, Step], start: str) -> int:
    return sum(
        stage.hands_s
        for name, step in steps.items()
        for stage in step.activity.stages
        if name.startswith(start)
    )


def counted(steps: dict[str, Step], start: str) -> int:
    return sum(step.count for name, step in steps.items() if name.startswith(start))


def test_a_batch_is_set_up_once_and_cut_into_two_hours():
    parts = list(batch("face", 100, of="piece", each_s=120.0, setup_s=300.0, after=("cure",)))
    hands_s = [part.activity.stages[0].hands_s for part in parts]
    assert sum(hands_s) == 300 + 100 * 120
    assert max(hands_s) <= LONGEST_BATCH_S
    assert [part.count for part in parts] == [57, 43]
    assert [part.activity.after for part in parts] == [("cure",), ("face, 1 of 2",)]


def test_a_piece_that_takes_longer_than_two_hours_is_a_part_of_its_own():
    parts = list(batch("carve", 3, of="piece", each_s=3.0 * HOUR))
    assert [part.count for part in parts] == [1, 1, 1]


def test_batches_of_nothing_are_none():
    assert list(batch("face", 0, of="piece", each_s=60.0, setup_s=300.0)) == []
    assert list(batch("face", 5, of="piece", each_s=0.0)) == []


def test_the_first_mould_is_tested_and_dry_before_any_other_is_printed():
    steps = by_name(facts())
    assert "test bed 1" in before(steps, "print bed 2")
    test = steps["test bed 1"].activity.stages
    assert [stage.what for stage in test] == ["leak-test", "release"]
    assert test[0].wait_s == 4 * HOUR  # dried before it is released


def test_a_mould_whose_parts_lie_on_several_beds_waits_for_all_of_them():
    beds = (
        BedFacts(HOUR, 0, first=True),
        BedFacts(HOUR, 1, first=True),
        BedFacts(HOUR, 0),
        BedFacts(HOUR, 19),
    )
    steps, ready = mould_steps(facts(beds=beds))
    after = {step.activity.name: step.activity.after for step in steps}
    assert after["test bed 2"] == ("print bed 1", "print bed 2")
    assert after["print bed 1"] == after["print bed 2"] == ()
    assert after["print bed 3"] == after["print bed 4"] == ("test bed 2",)
    assert after["test bed 4"] == ("print bed 3", "print bed 4")
    assert ready == ["test bed 2"] + 19 * ["test bed 4"]


def test_bodies_that_a_bed_leaves_over_come_whole_with_a_later_one_and_not_before():
    """20 bodies; 16 lids; 10 lids and 6 bodies: four of the last ten bodies lie on the first."""
    beds = (
        BedFacts(HOUR, 1, first=True),
        BedFacts(HOUR, 0),
        BedFacts(HOUR, 16),
        BedFacts(HOUR, 10),
    )
    steps, _ = mould_steps(facts(beds=beds))
    after = {step.activity.name: step.activity.after for step in steps}
    assert after["test bed 3"] == ("print bed 2", "print bed 3")
    assert after["test bed 4"] == ("print bed 2", "print bed 3", "print bed 4")


def test_the_rest_is_cast_once_the_first_article_is_approved():
    steps = by_name(facts(approval_s=2.0 * DAY))
    shown = steps["finish the first article"].activity.stages[-1]
    assert shown.wait_s == 2 * DAY
    for number in (1, 2, 3, 4):
        assert "finish the first article" in steps[f"load {number}"].activity.after
    assert "cut the wood" in before(steps, "first load")


def test_a_customers_wood_waits_for_a_trial_in_other_wood():
    steps = by_name(facts(trial=True, loads=(load(5),) * 4))
    assert "cut the wood" not in before(steps, "trial load")
    assert "finish the trial" in before(steps, "load 1")
    # The trial is nobody's: all castings are still turned, all pieces still finished.
    assert counted(steps, "face") == 20
    assert counted(steps, "finish-turn") == counted(steps, "fit the hardware") == 18
    assert hands(steps, "finish the trial") == hands(by_name(facts()), "finish the first") - 180


def test_pieces_are_counted_once_the_first_article_is_one_of_them():
    steps = by_name(facts())
    assert counted(steps, "face") == counted(steps, "rough-turn") == 19
    assert counted(steps, "fill voids") == 4  # a fifth of 19, rounded up
    assert counted(steps, "finish-turn") == 13 + 4
    assert counted(steps, "finish-turn what was filled") == 4
    assert counted(steps, "fit the hardware") == counted(steps, "inspect") == 17
    assert counted(steps, "pack") == 18


def test_all_is_turned_round_before_any_void_is_filled_and_sound_ones_do_not_wait_for_the_fills():
    steps = by_name(facts(60, fills=0.25))
    rough = {name for name in steps if name.startswith("rough-turn")}
    assert len(rough) == 3
    assert rough <= before(steps, "fill voids")
    last_sound = [name for name in steps if name.startswith("sand and polish, ")][-1]
    assert "fill voids" not in before(steps, last_sound)
    assert "fill voids" in before(steps, "finish-turn what was filled, 1 of 2")
    assert "finish-turn what was filled, 2 of 2" in before(steps, "pack")


def test_fills_take_a_pot_and_cure_as_the_castings_do():
    fill = by_name(facts())["fill voids"].activity
    assert fill.holds == (("pot", 1),)
    assert fill.stages[1].since == (0, DAY)
    assert fill.stages[1].frees == ("pot",)
    assert fill.stages[2].since == (0, 3 * DAY)
    open_air = by_name(facts(cure=cure(hold_s=None)))["fill voids"].activity
    assert open_air.holds == ()
    assert [stage.what for stage in open_air.stages] == ["fill voids", "cure"]


def test_without_voids_nothing_is_filled():
    assert not any(name.startswith("fill voids") for name in by_name(facts(fills=0.0)))


def test_a_piece_without_a_hole_is_neither_drilled_nor_fitted():
    names = by_name(facts(drilled=False, tapped=False))
    assert not {"drill", "tap", "fit the hardware"} & set(names)


def test_wood_at_constant_weight_is_not_dried_again():
    steps = by_name(facts(drying=False))
    assert "dry the wood" not in steps
    assert steps["cut the wood"].activity.after == ()


def test_a_pot_is_held_overnight_and_free_before_the_cure_is_over():
    step = load_step("load", load(5), facts(), after=())
    pour, out, demould, cured = step.activity.stages
    assert out.since == (0, DAY)
    assert out.frees == ("pot",)
    assert demould.since == (0, DAY)
    assert demould.hands_s == 5 * 120
    assert cured.since == (0, 3 * DAY)
    assert pour.hands_s == 600 + 5 * 120


def test_moulds_that_are_used_again_are_held_until_the_demould_and_released_anew():
    job = facts(reused=True, moulds=5, beds=(BedFacts(HOUR, 1, first=True), BedFacts(HOUR, 4)))
    step = load_step("load", load(5), job, after=())
    assert step.activity.holds == (("pot", 1), ("mould", 5))
    assert step.activity.stages[2].frees == ("mould",)
    assert step.activity.stages[0].hands_s == 600 + 5 * 120 + 5 * 60
    assert all(
        "release" not in stage.what for s in mould_steps(job)[0] for stage in s.activity.stages
    )
    assert places_of(job, setting().shop) == {"printer": 1, "pot": 1, "mould": 5}


def test_a_second_pour_vents_slowly_in_the_window_and_presses_again():
    job = facts(cure=cure(recoat_s=(2.0 * HOUR, 24.0 * HOUR)))
    first, second, third, out, *_ = load_step(
        "load", load(4, pours=3), job, after=()
    ).activity.stages
    assert [first.what, second.what] == ["mix and pour", "vent slowly, refill, press again"]
    assert first.hands_s == 1080
    assert second.hands_s == third.hands_s == 1080 + 300  # five minutes to vent
    assert first.wait_s == 2 * HOUR
    # Counted from the first mixing, and over before the window is, for the last mould too.
    assert first.within_s == 24 * HOUR - first.hands_s - second.hands_s
    assert third.within_s is None
    assert out.since == (2, DAY)


def test_a_refill_that_outlasts_its_window_is_told():
    job = facts(cure=cure(recoat_s=(1200.0, 2400.0)))
    with pytest.raises(
        NoAnswerError, match=r"filling 20 moulds twice takes longer than the window"
    ):
        load_step("load", load(20, pours=2), job, after=())


def test_rubber_moulds_come_one_after_another_out_of_one_box():
    rubber = RubberFacts(sets=2, hands_s=600.0, cure_s=float(DAY))
    beds = (BedFacts(5 * HOUR, 0, first=True), BedFacts(5 * HOUR, 1, first=True))
    job = facts(
        beds=beds, rubber=rubber, reused=True, moulds=2, loads=(LoadFacts(4, 1, (600.0,)),) * 5
    )
    steps, ready = mould_steps(job)
    assert ready == ["rubber mould 1", "rubber mould 2"]
    assert steps[-1].activity.holds == (("box", 1), ("pot", 1))
    found = setting(job)
    planned = found.schedule(found.steps())
    assert planned.start_s("rubber mould 2") >= planned.end_s("rubber mould 1")
    assert planned.start_s("load 1") >= planned.end_s("rubber mould 1")


def test_loads_wait_for_their_own_moulds_only():
    beds = (BedFacts(HOUR, 1, first=True), BedFacts(HOUR, 10), BedFacts(HOUR, 9))
    steps = by_name(facts(beds=beds))
    assert "test bed 3" not in before(steps, "load 1")
    assert "test bed 3" not in before(steps, "load 2")
    assert "test bed 3" in before(steps, "load 3")


def test_names_under_a_prefix_share_the_pot_and_not_the_moulds():
    job = facts(reused=True, moulds=5, beds=(BedFacts(HOUR, 5, first=True),))
    own = {s.activity.name: s.activity for s in named(steps_of(job), "a ")}
    assert own["a load 1"].holds == (("pot", 1), ("a mould", 5))
    assert own["a load 1"].stages[2].frees == ("a mould",)
    assert "a cut the wood" in own["a load 1"].after


def test_the_wood_is_put_to_dry_when_the_shop_opens():
    steps = steps_of(facts(), opens_s=8 * HOUR)
    dry = next(step.activity for step in steps if step.activity.name == "dry the wood")
    assert dry.not_before_s == 8 * HOUR
    assert dry.stages[0].wait_s == 2 * DAY_S


def test_without_a_first_article_every_load_begins_once_its_moulds_are_ready():
    job = replace(facts(first=None), loads=(load(5),) * 4)
    steps = by_name(job)
    assert "first load" not in steps
    assert counted(steps, "face") == 20
    assert counted(steps, "pack") == 18


def test_a_bar_of_three_pieces_has_its_void_in_one_of_them():
    """The share is of castings: a fifth of ten bars is two voids, not six."""
    steps = by_name(facts(10, first=None, loads=(load(5),) * 2, pieces_each=3, pieces=27))
    assert counted(steps, "rough-turn") == 30
    assert counted(steps, "fill voids") == 2
    assert counted(steps, "finish-turn what was filled") == 2
    assert counted(steps, "pack") == 27


def test_no_more_voids_are_filled_at_once_than_pieces_go_into_the_pot():
    job = facts(60, fills=0.5, pot_takes=5)
    fills = [step for name, step in by_name(job).items() if name.startswith("fill voids")]
    assert sum(step.count for step in fills) == 30
    assert max(step.count for step in fills) == 5
    open_air = by_name(replace(job, cure=cure(hold_s=None)))
    assert max(s.count for n, s in open_air.items() if n.startswith("fill voids")) > 5


def test_every_blank_of_a_tray_is_demoulded():
    step = load_step("load", load(3), facts(blanks=4), after=())
    assert step.activity.stages[2].what == "demould"
    assert step.activity.stages[2].hands_s == 3 * 4 * 120
