"""Plans of shipped jobs: dates, spares, what stops them, and what a card must tell."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from functools import cache
from itertools import pairwise

import pytest

from mouldgen.answer import Answer, answer_job
from mouldgen.errors import JobError, NoAnswerError
from mouldgen.job.load import load_job
from mouldgen.layout.pot_order import pot_of_order
from mouldgen.shop.needs import needs_of
from mouldgen.shop.plan import Plan, plan_of
from mouldgen.shop.plan_facts import estimated_beds
from mouldgen.shop.steps import places_of
from mouldgen.shop.validate import validate
from mouldgen.shop.work_facts import BedFacts

MONDAY = dt.date(2026, 11, 30)


def answered(name: str, *sets: str) -> Answer:
    return answer_job(load_job(name, sets=sets).job)


@cache
def planned(name: str, *sets: str) -> Plan:
    return plan_of(answered(name, *sets), today=MONDAY)


@pytest.mark.parametrize(
    ("name", "start"),
    [
        ("boathouse-pegs", dt.date(2026, 11, 2)),  # its own first day
        ("orchard-grips", MONDAY),
        ("lamp-finials", MONDAY),
        ("apple-toppers", MONDAY),
        ("bell-pulls", MONDAY),
    ],
)
def test_the_plan_of_a_shipped_job_passes_its_check_under_the_names_that_are_told(name, start):
    plan = planned(name)
    validate(
        [step.activity for step in plan.steps],
        plan.schedule,
        hours=plan.setting.hours,
        people=plan.setting.shop.people,
        places=places_of(plan.setting.facts, plan.setting.shop),
    )
    assert plan.ready == plan.calendar[-1].end.date()
    assert plan.start == start


def test_a_plan_comes_out_the_same_again():
    again = plan_of(answered("boathouse-pegs"), today=MONDAY)
    assert dict(again.schedule.stages) == dict(planned("boathouse-pegs").schedule.stages)


def test_the_first_day_is_the_jobs_own_and_the_slack_is_counted_from_ready_to_due():
    plan = planned("bell-pulls", "order.start=2027-01-04", "order.due=2027-02-12")
    assert plan.start == dt.date(2027, 1, 4)
    assert plan.slack_days == (dt.date(2027, 2, 12) - plan.ready).days > 0
    assert not plan.late
    assert plan.keeps_due == ()
    assert planned("bell-pulls").slack_days is None


def test_what_keeps_a_date_is_told_by_itself_or_all_together():
    usual = planned("bell-pulls").ready
    single = planned("bell-pulls", f"order.due={usual - dt.timedelta(days=1)}")
    assert single.late
    assert [change.what for change in single.keeps_due][-1] == "no first article"
    assert all(change.ready < usual for change in single.keeps_due)
    never = planned("bell-pulls", f"order.due={MONDAY + dt.timedelta(days=4)}")
    assert never.late
    assert never.keeps_due == ()  # one cure alone takes a week


def test_every_piece_of_the_order_is_packed_and_every_casting_poured():
    for name, castings, pieces in (("boathouse-pegs", 22, 18), ("orchard-grips", 14, 12)):
        plan = planned(name)
        poured = sum(e.count for e in plan.calendar if e.what == "mix and pour")
        packed = sum(e.count for e in plan.calendar if e.what == "pack" and not e.goes_on)
        assert (poured, packed) == (castings, pieces)
        assert plan.moulds == castings


def test_a_customers_wood_has_a_trial_and_no_spares():
    plan = planned("burl-knobs", "mould.family=cup")
    facts = plan.setting.facts
    assert facts.trial
    assert facts.castings == facts.pieces == 6
    assert facts.moulds == sum(bed.moulds for bed in facts.beds) == 7  # the trial's is turned away
    assert sum(load.fillings for load in facts.loads) == 6


def test_one_piece_has_no_first_article_before_it():
    plan = planned("bell-pulls", "order.pieces=1")
    assert plan.setting.facts.first is None


def test_moulds_that_are_used_again_are_held_and_one_more_is_asked():
    """Four moulds, four rounds; pot and moulds both take four, so one more of either is idle."""
    plan = planned("orchard-grips", "pot.hold=24 h")
    assert places_of(plan.setting.facts, plan.setting.shop)["mould"] == 4
    assert [load.fillings for load in plan.setting.facts.loads] == [4, 3, 3, 3]
    gains = {change.what: change.earlier_s for change in plan.changes}
    assert gains["one more mould"] == gains["one more pot"] == 0
    assert plan.bottleneck.change is not None
    assert plan.bottleneck.change.what == "Saturday worked too"


def test_a_mould_fewer_makes_more_rounds():
    few, more = (planned("orchard-grips", f"mould.sets={n}") for n in (2, 4))
    assert len(few.setting.facts.loads) == 7
    assert few.ready > more.ready


def test_a_pot_more_or_a_shorter_hold_is_ready_earlier():
    one = planned("boathouse-pegs")
    assert planned("boathouse-pegs", "shop.pots=2").ready < one.ready
    assert planned("boathouse-pegs", "pot.hold=20 h").ready < one.ready


def test_closed_days_are_kept_free():
    def worked(plan: Plan) -> set[dt.date]:
        return {entry.start.date() for entry in plan.calendar if entry.end > entry.start}

    free = min(worked(planned("bell-pulls")) - {MONDAY})
    assert free not in worked(planned("bell-pulls", f"shop.closed=[{free}]"))


def test_layers_are_poured_in_their_window():
    plan = planned("gear-knob")
    for one, other in pairwise(plan.schedule.stages["load 1"][:3]):
        assert one.hands_end_s + 2 * 3600 <= other.start_s
        assert other.hands_end_s <= one.start_s + 24 * 3600


def test_a_pot_without_a_rating_stops_the_plan():
    job = answered("boathouse-pegs").job
    unrated = replace(
        answered("boathouse-pegs"),
        job=job.model_copy(update={"pot": job.pot.model_copy(update={"rating": None})}),
    )
    with pytest.raises(NoAnswerError, match=r"the pot has no rating.*Read it off the plate"):
        plan_of(unrated, today=MONDAY)


def test_a_conflict_has_no_plan():
    with pytest.raises(NoAnswerError, match="no gap fits this job, so there is nothing to plan"):
        plan_of(replace(answered("bell-pulls"), size=None), today=MONDAY)


@pytest.mark.parametrize(
    ("name", "table", "key", "where"),
    [
        ("bell-pulls", "resin", "demould", r"\[resin\] demould"),
        ("gear-knob", "resin", "recoat", r"\[resin\] recoat"),
        ("lamp-finials", "rubber", "cure", r"\[rubber\] cure"),
    ],
)
def test_what_a_card_does_not_tell_is_asked_for(name, table, key, where):
    answer = answered(name)
    changed = getattr(answer.job, table).model_copy(update={key: None})
    job = answer.job.model_copy(update={table: changed})
    with pytest.raises(JobError, match=where):
        plan_of(replace(answer, job=job), today=MONDAY)


def test_a_session_that_does_not_fit_the_day_is_told():
    with pytest.raises(NoAnswerError, match="of work in one go do not fit a day of"):
        planned("bell-pulls", "shop.hours=0.2")


def test_estimated_printing_is_near_that_of_the_solids():
    """Reckoned from sizes: within a factor of 1.5 of the solids' for plain cups."""
    from mouldgen.build import build_moulds
    from mouldgen.shop.plan_beds import bed_facts

    found = build_moulds(load_job("boathouse-pegs").job)
    meshes = {part.name: part.mesh for part in found.printed}
    true = bed_facts(found.beds, found.parts.parts, meshes=meshes, printer=found.answer.job.printer)
    guessed = estimated_beds(found.answer.job, found.answer.size, moulds=found.answer.printed)
    for beds in (true, guessed):
        assert sum(bed.moulds for bed in beds) == 22
        assert (beds[0].moulds, beds[0].first) == (1, True)
    assert sum(bed.seconds for bed in true) == pytest.approx(found.print_time.seconds)
    ratio = sum(bed.seconds for bed in guessed) / sum(bed.seconds for bed in true)
    assert 1 / 1.5 < ratio < 1.5
    plan = plan_of(found.answer, today=MONDAY, beds=true, amounts=found.amounts)
    assert plan.printing_known
    assert not planned("boathouse-pegs").printing_known


def test_the_beds_of_a_box_for_rubber_wait_for_no_test():
    from mouldgen.build import build_moulds
    from mouldgen.shop.plan_beds import bed_facts

    found = build_moulds(load_job("lamp-finials").job)
    meshes = {part.name: part.mesh for part in found.printed}
    beds = bed_facts(found.beds, found.parts.parts, meshes=meshes, printer=found.answer.job.printer)
    assert all(bed.first for bed in beds)
    assert sum(bed.moulds for bed in beds) == 1
    assert beds[-1].seconds > 0.0
    assert isinstance(beds[0], BedFacts)


def test_the_halves_make_the_moulds_and_a_lid_makes_the_first_one_whole():
    """Fourteen lids and four pairs of halves: four moulds, none of them before there is a lid."""
    from mouldgen.build import build_moulds
    from mouldgen.shop.plan_beds import bed_facts

    found = build_moulds(load_job("orchard-grips").job)
    parts = found.parts.parts
    meshes = {part.name: part.mesh for part in found.printed}
    facts = bed_facts(found.beds, parts, meshes=meshes, printer=found.answer.job.printer)
    assert sum(bed.moulds for bed in facts) == found.answer.printed
    lids = [part.name for part in parts if part.count is not None]
    first_lid = next(
        n for n, bed in enumerate(found.beds) if any(item.part in lids for item in bed.items)
    )
    assert all(bed.moulds == 0 for bed in facts[:first_lid])
    plan = plan_of(found.answer, today=MONDAY, beds=facts, amounts=found.amounts)
    poured = plan.schedule.start_s("first load")
    assert poured >= plan.schedule.end_s(f"print bed {first_lid + 1}")


def test_a_rack_in_the_pot_cuts_the_loads_of_the_plan_as_it_does_those_of_the_pot():
    """A seat takes more room than a mould: thirteen without a rack, eight in one."""
    for sets, most in (((), 13), (("extras.pot_rack=true",), 8)):
        answer = answered("drawer-knobs", *sets)
        pot = pot_of_order(
            answer.job, answer.size, sizes=answer.sizes, blanks=27, printed=answer.printed
        )
        assert pot.per_load == most
        facts = plan_of(answer, today=MONDAY).setting.facts
        assert sum(load.fillings for load in facts.loads) == 26
        assert max(load.fillings for load in facts.loads) <= most
        assert facts.pot_takes == most


def test_a_trial_of_other_wood_is_cast_whatever_is_said_of_a_first_article():
    """The quote prices it either way."""
    sets = ("order.customers_wood=true", "order.first_article=false")
    assert planned("bell-pulls", *sets).setting.facts.trial
    assert needs_of(answered("bell-pulls", *sets)).trials == 1
    changes = {change.what for change in planned("bell-pulls", *sets).changes}
    assert "no trial in other wood" in changes


def test_the_resin_that_waits_longest_for_its_cure_is_waited_for():
    """Turned after the full cure of the card, 7 days; out of the mould after pot and demould."""
    cure = planned("bell-pulls").setting.facts.cure
    assert cure.full_s == answered("bell-pulls").job.resin.full_cure == 7 * 86_400
    held = planned("boathouse-pegs", "pot.hold=90 h").setting.facts.cure
    assert held.demould_s == held.hold_s == 90 * 3600


def test_a_plan_of_a_large_job_does_not_claim_to_be_the_earliest():
    assert not planned("boathouse-pegs").schedule.earliest


def test_the_mould_of_a_trial_is_printed_on_top_of_the_beds_of_the_solids():
    beds = (BedFacts(3600.0, 1, first=True), BedFacts(7200.0, 5))
    plan = plan_of(answered("burl-knobs", "mould.family=cup"), today=MONDAY, beds=beds)
    assert [(bed.seconds, bed.moulds) for bed in plan.setting.facts.beds] == [
        (3600.0, 1), (7200.0, 5), (3600.0, 1),
    ]  # fmt: skip
