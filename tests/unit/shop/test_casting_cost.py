"""What one casting more costs at a gap, held against the quote and against hand-made sums."""

from __future__ import annotations

import pytest

from mouldgen.answer import Answer, answer_job
from mouldgen.job.costs import costs
from mouldgen.job.load import load_job
from mouldgen.job.work import work_times
from mouldgen.shop.casting_cost import CastingCosts, casting_costs
from mouldgen.shop.cost import FILL_ML, Prices, order_cost
from mouldgen.shop.mould_plastic import mould_plastic_ml
from mouldgen.shop.needs import needs_of
from mouldgen.shop.quote import beliefs_of

OWN_MM, WIDE_MM = 0.88, 2.0


def asked(*sets: str, job: str = "boathouse-pegs") -> tuple[Answer, CastingCosts]:
    loaded = load_job(job, sets=sets)
    answer = answer_job(loaded.job)
    size_at = answer.question.mould_size
    return answer, casting_costs(answer, size_at=size_at, own_mm=OWN_MM, given=loaded.given)


def test_a_casting_costs_what_the_quote_says_that_a_lost_one_has_cost() -> None:
    answer, found = asked("order.fills=0")
    job = answer.job
    needs = needs_of(answer, size=answer.question.mould_size(OWN_MM))
    money = costs(job.cost, job.shop)
    quote = order_cost(
        needs,
        costs=money,
        times=work_times(job.work),
        prices=Prices(found.resin.gram, found.plastic.gram),
        beliefs=beliefs_of(job, money),
    )

    assert found.at(OWN_MM).money == pytest.approx(quote.lost, rel=1e-12)


def test_a_wider_gap_costs_its_resin_its_plastic_and_the_printer() -> None:
    answer, found = asked()
    job, money = answer.job, costs(answer.job.cost, answer.job.shop)
    tight, wide = (answer.question.mould_size(gap) for gap in (OWN_MM, WIDE_MM))
    resin_ml = wide.net_ml + wide.riser_ml - tight.net_ml - tight.riser_ml
    density = needs_of(answer, size=wide).density_g_ml
    plastic_ml = mould_plastic_ml(wide, "cup") - mould_plastic_ml(tight, "cup")
    # On every bed of the order a layer is changed as often as the moulds are high; 22 share that.
    height = [needs_of(answer, size=size).beds * size.body_height_mm for size in (tight, wide)]
    layers = (height[1] - height[0]) / job.printer.layer / 22
    seconds = 1000.0 * plastic_ml / job.printer.flow + layers * job.printer.layer_change
    expected = (
        resin_ml * 1.1 * density * found.resin.gram
        + plastic_ml * job.plastic.density * found.plastic.gram
        + seconds / 3600.0 * money.printing
    )

    assert found.at(WIDE_MM).money - found.at(OWN_MM).money == pytest.approx(expected, rel=1e-9)
    assert found.at(WIDE_MM).resin_ml - found.at(OWN_MM).resin_ml == pytest.approx(1.1 * resin_ml)


def test_a_mould_that_is_used_again_is_no_cost_of_a_casting() -> None:
    cheap, dear = (
        asked(f"cost.printing={hour}", f"plastic.price='{kg} /kg'", job="orchard-grips")[1].at(2.0)
        for hour, kg in ((0, 1), (50, 500))
    )

    assert dear.money == cheap.money


def test_a_void_costs_its_filling_its_resin_and_its_part_of_the_common_work() -> None:
    answer, found = asked("order.fills=0.5", "work.fill='10 min'", "shop.wage=30")
    times, needs = work_times(answer.job.work), needs_of(answer, size=answer.size)
    together_s = times.weigh + times.stir + times.load + times.unload + times.turn_setup
    repair_s = 600.0 + together_s / (0.5 * needs.cast)
    resin = FILL_ML * needs.density_g_ml * found.resin.gram

    assert found.at(OWN_MM).repair_s == pytest.approx(repair_s, rel=1e-12)
    assert found.at(OWN_MM).repair == pytest.approx(repair_s * 30.0 / 3600.0 + resin, rel=1e-12)


def test_a_price_that_nobody_gave_is_the_quotes_belief() -> None:
    assert not asked("resin.packs=[]")[1].resin.given
    assert asked("resin.packs=[]")[1].resin.says == "30 a kg, the usual one"
    given = asked("resin.packs=[]", "resin.price='50 /kg'")[1].resin
    assert given.given
    assert given.gram == pytest.approx(0.05)


def test_no_mixes_are_planned_for_it() -> None:
    needs = needs_of(asked()[0], size=asked()[0].size)

    assert (needs.mixes, needs.loads) == (1, 1)
    assert needs_of(asked()[0]).mixes > 1
