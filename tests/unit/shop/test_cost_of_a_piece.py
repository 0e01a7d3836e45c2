"""What pieces and orders cost: by hand, against a million draws, and which way they move."""

from __future__ import annotations

import math
from dataclasses import fields, replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from mouldgen.answer import answer_job
from mouldgen.errors import InternalError, JobError
from mouldgen.job.costs import Costs
from mouldgen.job.load import load_job
from mouldgen.job.mixed import mixed_g_ml
from mouldgen.job.shop_tables import Work
from mouldgen.job.work import WorkTimes, work_times
from mouldgen.shop.cost import PARTS, OrderCost, Prices, order_cost
from mouldgen.shop.counts import moulds_to_start
from mouldgen.shop.effort import effort
from mouldgen.shop.needs import Needs, needs_of
from mouldgen.shop.spread import CASES, Beliefs, percentiles, spread_of

MINUTE = 60.0
# A minute each, but for two that need no hands.
TIMES = WorkTimes(**{f.name: MINUTE for f in fields(WorkTimes)})
COSTS = Costs(
    wood=2.0, hardware=3.0, consumables=1.0, printing=0.5, order=10.0, profit=0.5, resin_kg=100.0,
    plastic_kg=20.0, wage=60.0, time_spread=0.15, loss_spread=0.3, fills_seen=12.0, yield_seen=12.0,
)  # fmt: skip
PRICES = Prices(resin_g=0.1, plastic_g=0.02)
BELIEFS = Beliefs(
    yield_=0.8, fills=0.25, loss=0.1, yield_seen=12.0, fills_seen=12.0, loss_spread=0.3,
    time_spread=0.15,
)  # fmt: skip
# Two pieces of three castings in a cup each, tinted once, drilled and tapped, without a pot.
TINY = Needs(
    pieces=2, per_blank=1, castings=3, trials=0, fillings=3, moulds=3, turned_away=True,
    resin_ml=100.0, density_g_ml=1.0, plastic_g=100.0, print_s=7200.0, beds=1, mixes=1, tints=1,
    pours=1, loads=0, batches=1, drilled=True, tapped=True, pushed_s=0.0, customers_wood=False,
)  # fmt: skip


def cost(needs: Needs = TINY, *, costs: Costs = COSTS, beliefs: Beliefs = BELIEFS) -> OrderCost:
    return order_cost(needs, costs=costs, times=TIMES, prices=PRICES, beliefs=beliefs)


# ------------------------------------------------------------------------------ sums by hand


def test_every_part_of_a_tiny_order_is_the_sum_by_hand() -> None:
    # A minute of hands costs 1.  Once: bed, weigh, stir and four set-ups.  Every casting: wood,
    # leak test, release, pour, place, lid, demould, face, drill, tap, rough.  Every good piece:
    # finish, sand, hardware, inspect, pack.
    assert cost().parts == pytest.approx(
        {
            "wood": 3 * 2.0,
            "resin": 100.0 * 1.1 * 0.1,
            "plastic": 100.0 * 0.02,
            "printer": 2.0 * 0.5,
            "consumables": 3 * 1.0,
            "hardware": 2 * 3.0,
            "set-ups": 7.0,
            "casting work": 3 * 11.0,
            "finishing work": 2 * 5.0,
            "rework": 0.25 * 3 * (1.0 + 5.0 * 0.1),
            "order": 10.0,
        },
        rel=1e-14,
    )
    assert tuple(cost().parts) == PARTS
    assert cost().total == pytest.approx(90.125, rel=1e-14)


def test_a_good_piece_carries_what_is_lost_and_an_order_its_surplus() -> None:
    found = cost()
    assert found.expected_good == pytest.approx(2.4)
    assert found.handed_over == 2.0
    # 16 of the 90.125 go into finishing two; 2.4 good ones share the rest and finish themselves.
    assert found.good_piece.middle == pytest.approx((90.125 - 16.0) / 2.4 + 8.0, rel=1e-14)
    assert found.piece.middle == pytest.approx(90.125 / 2.0, rel=1e-14)
    assert found.order.middle == pytest.approx(90.125, rel=1e-14)
    assert found.price(found.order).middle == pytest.approx(1.5 * 90.125, rel=1e-14)
    assert found.hours == pytest.approx((7.0 + 33.0 + 0.25 * 3.0 + 10.0) / 60.0, rel=1e-14)


def test_a_lost_casting_has_cost_all_up_to_the_lathe() -> None:
    before = 6.0 + 11.0 + 3.0 + 33.0 + 1.125
    assert cost().lost == pytest.approx((before + 2.0 + 1.0) / 3.0, rel=1e-14)
    # A mould that is used again is not lost with its casting.
    assert cost(replace(TINY, turned_away=False)).lost == pytest.approx(before / 3.0, rel=1e-14)


def test_repair_is_not_scrap() -> None:
    filled = cost(beliefs=replace(BELIEFS, fills=0.5))
    assert filled.expected_good == cost().expected_good
    assert filled.total - cost().total == pytest.approx(cost().parts["rework"], rel=1e-12)
    lost = cost(beliefs=replace(BELIEFS, yield_=0.7))
    assert lost.expected_good < cost().expected_good
    assert lost.parts["rework"] == cost().parts["rework"]


def test_wood_of_the_customer_is_not_paid_and_the_trial_before_it_is() -> None:
    theirs = cost(replace(TINY, customers_wood=True, trials=1, fillings=4, moulds=4))
    assert theirs.parts["wood"] == 2.0
    assert theirs.parts["consumables"] == 4.0
    assert theirs.expected_good == pytest.approx(2.4)  # a trial hands nothing over


def test_several_pieces_of_one_blank_share_its_cost() -> None:
    two = cost(replace(TINY, pieces=4, per_blank=2))
    assert two.expected_good == pytest.approx(4.8)
    assert two.parts["wood"] == cost().parts["wood"]
    assert two.parts["casting work"] == pytest.approx(3 * 7.0 + 6 * 4.0)  # faced to roughed: each


def test_an_order_of_nothing_is_refused() -> None:
    with pytest.raises(InternalError, match="0 castings"):
        cost(replace(TINY, castings=0))


# ----------------------------------------------------------------- drilling in batches is quicker


def test_drilling_and_tapping_in_batches_takes_less_than_one_by_one() -> None:
    # Common practice, no source: jig, stop and drill are set up once for all.
    def minutes(batches: int) -> float:
        steps = effort(replace(TINY, castings=20, batches=batches), TIMES)
        keys = ("drill_setup", "drill", "tap_setup", "tap")
        return sum(step.seconds for step in steps if step.key in keys) / MINUTE

    assert minutes(1) == 2 * (1 + 20)
    assert minutes(20) == 2 * (20 + 20)


def test_a_plain_hole_is_not_tapped_and_no_hole_is_not_drilled() -> None:
    def keys(needs: Needs) -> set[str]:
        return {step.key for step in effort(needs, TIMES)}

    assert {"drill", "tap", "hardware"} <= keys(TINY)
    assert not {"tap", "tap_setup"} & keys(replace(TINY, tapped=False))
    bare = keys(replace(TINY, drilled=False, tapped=False))
    assert not {"drill", "drill_setup", "tap", "hardware", "load"} & bare


# ------------------------------------------------------------------------ against a million draws


def drawn(needs: Needs, beliefs: Beliefs, seed: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Costs of a good piece, of the order and of a piece handed over: numpy's own draws."""
    rng, n = np.random.default_rng(seed), 1_000_000
    q = rng.beta(beliefs.yield_ * beliefs.yield_seen, (1 - beliefs.yield_) * beliefs.yield_seen, n)
    f = rng.beta(beliefs.fills * beliefs.fills_seen, (1 - beliefs.fills) * beliefs.fills_seen, n)

    def lognormal(spread: float) -> np.ndarray:
        s2 = math.log(1 + spread**2)
        return rng.lognormal(-s2 / 2, math.sqrt(s2), n)

    loss, time = beliefs.loss * lognormal(beliefs.loss_spread), lognormal(beliefs.time_spread)
    # Of the tiny order: money that is fixed, by resin, by hours, by voids.
    before = 22.0 + 10.0 * (1 + loss) + 40.0 * time + f * (3.0 * time + 1.5)
    each = 3.0 + 5.0 * time
    good = needs.castings * q
    handed = np.minimum(needs.pieces, good)
    order = before + handed * each
    return before / good + each, order, order / handed


@pytest.mark.parametrize(
    "beliefs",
    [
        BELIEFS,
        replace(BELIEFS, yield_=0.92, yield_seen=4.0, time_spread=0.4),
        replace(BELIEFS, yield_=0.5, fills=0.05, yield_seen=40.0, loss_spread=1.0, loss=0.4),
    ],
)
def test_percentiles_and_cover_agree_with_a_million_draws(beliefs: Beliefs) -> None:
    found = cost(beliefs=beliefs)
    ranges = (found.good_piece, found.order, found.piece)
    for own, other in zip(ranges, drawn(TINY, beliefs, 20261126), strict=True):
        low, high = np.percentile(other, [10, 90])
        # Error of a drawn percentile is sqrt(0.09/n) over the density there: 0.1 % or so.
        assert own.low == pytest.approx(low, rel=5e-3)
        assert own.high == pytest.approx(high, rel=5e-3)
        inside = np.mean((other >= own.low) & (other <= own.high))
        assert inside == pytest.approx(0.80, abs=5e-3)


def test_percentiles_stand_when_there_are_eight_times_as_many_cases() -> None:
    for beliefs in (BELIEFS, replace(BELIEFS, yield_=0.95, yield_seen=2.0)):
        found = cost(beliefs=beliefs)
        many = percentiles(found.values("good piece", spread_of(beliefs, cases=8 * CASES)))
        assert (found.good_piece.low, found.good_piece.high) == pytest.approx(many, rel=1e-3)


def test_the_mean_of_a_good_piece_is_the_closed_form() -> None:
    found = cost()
    # E[1/q] of Beta(9.6, 2.4) is 11/8.6.
    assert found.mean_good_piece == pytest.approx(74.125 / 3.0 * 11.0 / 8.6 + 8.0, rel=1e-14)
    cases = found.values("good piece", spread_of(BELIEFS))
    assert float(np.mean(cases)) == pytest.approx(found.mean_good_piece, rel=2e-3)
    assert found.mean_good_piece > found.good_piece.middle  # 1/q is convex


def test_a_certain_yield_leaves_nothing_to_be_divided() -> None:
    sure = replace(BELIEFS, yield_=1.0, fills=0.0, time_spread=0.0, loss_spread=0.0)
    found = cost(beliefs=sure)
    for each in (found.good_piece, found.order, found.piece):
        assert each.low == pytest.approx(each.middle, rel=1e-13)
        assert each.high == pytest.approx(each.middle, rel=1e-13)
    assert found.mean_good_piece == pytest.approx(found.good_piece.middle, rel=1e-13)


def test_a_belief_held_on_nothing_is_refused() -> None:
    with pytest.raises(JobError, match=r"believed on 0 castings.*above 0"):
        replace(BELIEFS, yield_seen=0.0)


# ------------------------------------------------------------------------------ which way they move


def ordered(pieces: int, yield_: float, *, wage: float = 60.0) -> OrderCost:
    """The tiny order with as many castings as its yield asks for."""
    castings = moulds_to_start(pieces, yield_=yield_, confidence=0.95)
    needs = replace(
        TINY, pieces=pieces, castings=castings, fillings=castings, moulds=castings,
        resin_ml=30.0 * castings, plastic_g=30.0 * castings, print_s=2400.0 * castings,
    )  # fmt: skip
    return cost(needs, costs=replace(COSTS, wage=wage), beliefs=replace(BELIEFS, yield_=yield_))


@given(
    pieces=st.integers(1, 40), low=st.floats(0.3, 1.0), high=st.floats(0.3, 1.0),
    wage=st.floats(0.0, 100.0),
)  # fmt: skip
def test_a_higher_yield_never_makes_an_order_dearer(
    pieces: int, low: float, high: float, wage: float
) -> None:
    low, high = sorted((low, high))
    worse, better = ordered(pieces, low, wage=wage), ordered(pieces, high, wage=wage)
    a, b = (each.total / each.handed_over for each in (worse, better))
    assert b <= a * (1 + 1e-12)


@given(low=st.floats(0.3, 1.0), high=st.floats(0.3, 1.0))
def test_of_the_same_castings_a_higher_yield_never_makes_a_good_piece_dearer(
    low: float, high: float
) -> None:
    low, high = sorted((low, high))
    better, worse = (cost(beliefs=replace(BELIEFS, yield_=q)) for q in (high, low))
    assert better.expected("good piece") <= worse.expected("good piece") * (1 + 1e-12)


@given(pieces=st.integers(1, 40), low=st.floats(0.0, 100.0), more=st.floats(0.0, 100.0))
def test_a_higher_wage_never_makes_it_cheaper(pieces: int, low: float, more: float) -> None:
    cheap, dear = ordered(pieces, 0.9, wage=low), ordered(pieces, 0.9, wage=low + more)
    for basis in ("good piece", "order"):
        assert dear.expected(basis) >= cheap.expected(basis) * (1 - 1e-12)


def test_without_a_wage_only_what_is_bought_is_left() -> None:
    parts = ordered(10, 0.9, wage=0.0).parts
    assert parts["set-ups"] == parts["casting work"] == parts["finishing work"] == 0.0
    assert parts["rework"] > 0.0  # the resin of it


def test_more_pieces_never_carry_more_of_the_set_ups_each() -> None:
    keys = {"face_setup", "drill_setup", "tap_setup", "turn_setup"}
    shares = []
    for pieces in (1, 2, 3, 5, 8, 13, 24):
        answer = answer_job(load_job("boathouse-pegs", sets=[f"order.pieces={pieces}"]).job)
        needs = needs_of(answer)
        assert needs is not None
        once = sum(
            step.seconds
            for step in effort(needs, TIMES)
            if step.key in keys and step.when == "set-up"  # not the lathe's for what was filled
        )
        shares.append(once / pieces)
    assert shares == sorted(shares, reverse=True)
    assert shares[-1] == pytest.approx(shares[0] * 2.0 / 24.0)  # one batch for the first piece


def test_filling_voids_mixes_loads_and_sets_the_lathe_up_once() -> None:
    # A minute each costs 1: weigh, stir and lathe in the open; load and unload under pressure.
    bare, under = (cost(replace(TINY, fill_mixes=1, loads=loads)) for loads in (0, 1))
    assert bare.parts["rework"] - cost().parts["rework"] == pytest.approx(3.0)
    assert under.parts["rework"] - cost().parts["rework"] == pytest.approx(5.0)
    assert bare.hours - cost().hours == pytest.approx(3.0 / 60.0)
    assert bare.lost == pytest.approx(cost().lost)  # no casting's own
    needs = {f: needs_of(answer_job(load_job("boathouse-pegs", sets=[f"order.fills={f}"]).job))
             for f in (0.0, 0.2)}  # fmt: skip
    assert [each.fill_mixes for each in needs.values() if each is not None] == [0, 1]


def test_hands_that_come_with_each_casting_filling_or_mix_are_counted_as_such() -> None:
    def number(needs: Needs) -> dict[tuple[str, str], float]:
        return {(step.key, step.when): step.seconds / MINUTE for step in effort(needs, TIMES)}

    # Four moulds filled three times over, two pours, three tints.
    many = replace(
        TINY, castings=12, fillings=12, moulds=4, turned_away=False, pours=2, mixes=6, tints=3
    )
    found = number(many)
    assert found["release", "casting"] == 12.0  # before every filling
    assert found["leak_test", "casting"] == 4.0
    assert found["pour", "casting"] == 24.0
    assert found["stir", "set-up"] == found["split", "set-up"] == 18.0
    assert ("split", "set-up") not in number(TINY)  # one tint is stirred into all of it
    pushed = number(replace(TINY, pushed_s=150.0))
    assert pushed["place", "casting"] == 3 * 2.5  # pushed home in 150 s, not laid in in 60


def test_a_box_for_rubber_is_printed_once_for_any_number_of_moulds() -> None:
    one, three = (
        needs_of(answer_job(load_job("lamp-finials", sets=[f"mould.sets={n}"]).job)) for n in (1, 3)
    )
    assert one is not None
    assert three is not None
    assert (one.moulds, three.moulds) == (1, 3)
    assert (three.plastic_g, three.print_s, three.beds) == (one.plastic_g, one.print_s, one.beds)


def test_a_trial_or_a_first_article_takes_its_own_mix_load_and_resin() -> None:
    def needs(*sets: str) -> Needs:
        found = needs_of(answer_job(load_job("boathouse-pegs", sets=sets).job), most_per_load=17)
        assert found is not None
        return found

    none, shown = needs("order.first_article=false"), needs()
    assert (shown.mixes, shown.loads) == (none.mixes + 1, none.loads + 1)
    # It is one of those that are ordered, so that only its own cup takes more: 8 g stay in it,
    # where the card's tenth of one mould is less.
    assert (shown.castings, shown.trials) == (none.castings, none.trials) == (22, 0)
    answer = answer_job(load_job("boathouse-pegs").job)
    job, size = answer.job, answer.size
    kept_ml = answer.allowances.cup_loss_g / mixed_g_ml(job.resin)
    more_ml = kept_ml - job.resin.loss * (size.net_ml + size.riser_ml)
    assert more_ml > 0.0
    assert shown.resin_ml - none.resin_ml == pytest.approx(more_ml / (1.0 + job.resin.loss))
    trial = needs("order.customers_wood=true")
    certain = needs("order.yield=1", "order.first_article=false")  # as many castings, no trial
    assert trial.castings == certain.castings == 18
    assert trial.resin_ml == pytest.approx(certain.resin_ml * 19 / 18)


def test_sanding_takes_a_share_of_all_the_turning_unless_it_is_told() -> None:
    slower = work_times(Work.model_validate({"rough": "10 min", "finish": "5 min"}))
    usual = work_times(None)
    share = usual.sand / (usual.rough + usual.finish)
    assert slower.sand == pytest.approx(share * 900.0)
