"""A quote: prices of what is bought, what it rests on, what it asks of the customer."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from itertools import pairwise

import pytest

from mouldgen.answer import answer_job
from mouldgen.build import build_moulds
from mouldgen.job.costs import costs
from mouldgen.job.load import load_job
from mouldgen.shop.material_price import plastic_price, resin_price
from mouldgen.shop.needs import built, needs_of
from mouldgen.shop.quote import VALID_DAYS, Quote, quote_of

DAY = dt.date(2026, 11, 2)
PEGS = "boathouse-pegs"


@dataclass(frozen=True)
class Ready:
    ready: dt.date


def quoted(job: str, *sets: str, ready: dt.date | None = None) -> Quote:
    loaded = load_job(job, sets=sets)
    answer = answer_job(loaded.job)
    needs = needs_of(answer)
    assert needs is not None
    return quote_of(
        loaded.job,
        needs,
        insert=answer.insert,
        facing_mm=answer.facing_mm,
        given=loaded.given,
        today=DAY,
        plan=None if ready is None else Ready(ready),
    )


# --------------------------------------------------------------------------- what is bought


@pytest.mark.parametrize(
    ("need_g", "money"),
    [
        (500.0, 500.0 * 48.0 / 1500.0),  # a third of the small pack, the dearest by the gram
        (3100.0, 3100.0 * 0.032),  # 99.2, under the 125 of the middle pack
        (4400.0, 125.0),  # 140.8 at that rate: no order pays more than its packs
        (15_000.0, 360.0),
    ],
)
def test_an_order_pays_for_what_it_uses_and_never_more_than_its_packs(
    need_g: float, money: float
) -> None:
    # Packs of the card: 1.5 kg for 48, 4.5 kg for 125, 15 kg for 360.
    job = load_job(PEGS).job
    found = resin_price(job.resin, costs(job.cost, job.shop), need_g=need_g)
    assert found.gram * need_g == pytest.approx(money, rel=1e-12)


def test_more_resin_never_costs_less() -> None:
    job = load_job(PEGS).job
    usual = costs(job.cost, job.shop)
    money = [n * resin_price(job.resin, usual, need_g=n).gram for n in range(100, 20_000, 100)]
    steps = [after - before for before, after in pairwise(money)]
    assert min(steps) > -1e-9  # rounding of a division that is multiplied back
    assert max(steps) > 0.0


def test_a_price_that_is_given_goes_before_packs_of_a_card_and_a_volume_is_weighed() -> None:
    job = load_job(PEGS, sets=["resin.price=0.04 per ml", "plastic.price=0.03 per ml"]).job
    usual = costs(job.cost, job.shop)
    # 2:1 by volume of 1.13 and 0.96 g/ml is 3.22/3 g/ml.
    by_price = resin_price(job.resin, usual, need_g=1.0, by_price=True)
    assert by_price.gram == pytest.approx(0.04 / (3.22 / 3.0))
    assert by_price.packs is None
    assert quoted(PEGS, "resin.price=0.04 per ml").resin.gram == by_price.gram
    assert plastic_price(job.plastic, usual).gram == pytest.approx(0.03 / 1.27)


def test_without_price_and_packs_the_usual_kilogram_is_taken_and_named() -> None:
    found = quoted(PEGS, "resin.packs=[]")
    assert (found.resin.gram, found.resin.given) == (0.03, False)
    assert "resin.price" in {each.key for each in found.taken}


# -------------------------------------------------------------------- plastic before the solids


@pytest.mark.parametrize("job", [PEGS, "drawer-knobs", "conference-pens", "locker-pegs"])
def test_plastic_and_resin_from_sizes_are_near_those_of_the_solids(job: str) -> None:
    loaded = load_job(job)
    made = build_moulds(loaded.job, given=loaded.given)
    needs = needs_of(made.answer)
    assert needs is not None
    assert made.print_time is not None
    assert made.amounts is not None
    # 0.15: the factor of a family stands for all its jobs; read off these and ten others.
    assert needs.plastic_g == pytest.approx(made.filament_g, rel=0.15)
    assert needs.print_s == pytest.approx(made.print_time.seconds, rel=0.15)
    assert abs(needs.beds - len(made.beds)) <= 1
    exact = needs_of(made.answer, found=made.amounts)
    assert exact is not None
    assert needs.resin_ml == pytest.approx(exact.resin_ml, rel=0.05)


def test_a_trial_prints_a_mould_more() -> None:
    needs = needs_of(answer_job(load_job(PEGS, sets=["order.customers_wood=true"]).job))
    assert needs is not None
    assert (needs.castings, needs.trials, needs.moulds) == (18, 1, 19)
    with_solids = built(needs, plastic_g=180.0, print_s=1800.0, beds=3)
    assert with_solids.plastic_g == pytest.approx(190.0)
    assert with_solids.print_s == pytest.approx(1900.0)
    assert with_solids.beds == 4


# -------------------------------------------------------------------------- what it rests on


def test_every_default_is_named_and_a_number_that_is_given_is_not() -> None:
    keys = {each.key: each.basis for each in quoted(PEGS).taken}
    wanted = {
        "order.fills", "order.first_article", "cost.wood", "cost.consumables", "cost.printing",
        "cost.order", "cost.profit", "cost.hardware", "shop.wage", "plastic.price", "spread.time",
        "spread.loss", "spread.fills", "spread.yield", "work.drill_setup", "work.finish",
        "work.sand", "resin.packs", "resin.loss", "fill",
    }  # fmt: skip
    assert wanted <= set(keys)
    assert "order.yield" not in keys  # the job gives it
    assert keys["cost.wood"].startswith("belief")
    for setting in ("cost.wood=2", "shop.wage=25", "work.finish=6 min", "order.fills=0.1",
                    "plastic.price=30 per kg"):  # fmt: skip
        key = setting.partition("=")[0]
        assert key not in {each.key for each in quoted(PEGS, setting).taken}


def test_what_is_given_changes_the_cost_by_what_it_says() -> None:
    base = quoted(PEGS).cost
    dearer = quoted(PEGS, "cost.wood=2.5").cost
    assert dearer.total - base.total == pytest.approx(base.needs.castings * 1.0)
    unpaid = quoted(PEGS, "shop.wage=0").cost
    assert base.total - unpaid.total == pytest.approx(20.0 * base.hours)


# ------------------------------------------------------------------------ what it asks and says


def test_wood_is_told_with_spares_saw_and_moisture() -> None:
    bring = quoted(PEGS).bring
    assert (bring.inserts, bring.spares, bring.thread, bring.wood) == (22, 4, "M6", "white ash")
    assert bring.rough_mm == pytest.approx((33.4, 33.4, 73.2))  # largest reading, a kerf of 3.2
    assert bring.most_moisture == 0.12
    assert bring.no_spares is None


def test_the_customers_wood_has_no_spares_and_a_test_goes_before_it() -> None:
    found = quoted(PEGS, "order.customers_wood=true")
    assert found.bring.spares == 0
    assert found.bring.no_spares is not None
    assert found.bring.no_spares.tests == found.cost.needs.trials == 1
    assert any("customer's wood" in each for each in found.leaves_out)
    assert found.cost.handed_over == pytest.approx(18 * 0.92)


def test_a_day_that_cannot_be_kept_is_late_and_no_plan_is_not() -> None:
    assert quoted(PEGS).due == dt.date(2026, 12, 18)
    assert not quoted(PEGS).late
    assert not quoted(PEGS, ready=dt.date(2026, 12, 18)).late
    assert quoted(PEGS, ready=dt.date(2026, 12, 19)).late
    assert (quoted(PEGS).valid_until - DAY).days == VALID_DAYS == 30


def test_no_gap_leaves_nothing_to_quote() -> None:
    answer = answer_job(load_job(PEGS, sets=["pot.height=60 mm"]).job)
    assert answer.size is None
    assert needs_of(answer) is None


def test_packs_are_bought_for_the_resin_of_the_fills_too() -> None:
    # Else an order with voids would pay more than its packs cost.
    found = quoted(PEGS, "order.fills=1", 'resin.packs=["0.5 kg for 100", "50 kg for 1000"]')
    packs = found.resin.packs
    assert packs is not None
    cost = found.cost
    poured_g = cost.needs.resin_ml * cost.needs.density_g_ml * (1.0 + cost.beliefs.loss)
    filled_g = cost.needs.cast * 5.0 * cost.needs.density_g_ml
    assert packs.need_g == pytest.approx(poured_g + filled_g)
    # One of the cheap large pack serves, and no more is paid than it costs.
    rework_g_money = filled_g * found.resin.gram
    assert cost.parts["resin"] + rework_g_money == pytest.approx(
        min(packs.cost, packs.need_g * 0.2), rel=1e-12
    )
