from __future__ import annotations

import math
import time
from dataclasses import replace

import numpy as np
import pytest

from mouldgen.castings.design_columns import design
from mouldgen.castings.least_cost import GapCost, costs_of_good
from mouldgen.castings.load_luck import chance_in_new_load
from mouldgen.castings.records import Casting
from mouldgen.castings.tune import FULLY, LEAST_CASTINGS, Tuned, posterior_of, tune
from mouldgen.errors import InternalError
from tests.casting_rows import TAKEN_MM, Truth, casting, counted, job, peg_cost, poured

LEAST_MM, MOST_MM = 0.6, 4.0


def tuned(castings: list[Casting], **changes: object) -> Tuned:
    settings: dict[str, object] = {
        "job": job(),
        "cost_at": peg_cost,
        "least_mm": LEAST_MM,
        "most_mm": MOST_MM,
    }
    return tune(castings, **{**settings, **changes})  # type: ignore[arg-type]


def loads(
    voids: int, *, open_mm: float = 1.0, count: int = 4, first: int = 1, **changes: object
) -> list[Casting]:
    """Loads of five castings at one gap."""
    return [one for load in range(first, first + count) for one in
            counted(load, open_mm, voids, 5, **changes)]  # fmt: skip


def finite(found: Tuned) -> bool:
    numbers = [
        *found.posterior.mean(), *found.posterior.sd(), found.air_shift, found.least.gap_mm,
        found.least.low_mm, found.least.high_mm, found.least.cost_per_good, found.least.now_cost,
        found.least.minutes_less, *(point.mean for point in found.band),
    ]  # fmt: skip
    return bool(np.isfinite(numbers).all())


def width(found: Tuned) -> float:
    """Of the range of the best gap, as a factor of the open gap."""
    return (found.least.high_mm - TAKEN_MM) / (found.least.low_mm - TAKEN_MM)


# ------------------------------------------------------------------ what is believed alone


def test_without_rows_it_only_has_the_physics() -> None:
    found = tuned([])
    assert (found.castings, found.voids, found.loads) == (0, 0, 0)
    assert found.air_shift == 0.0
    assert found.trust == 0.0
    assert found.shift.middle == pytest.approx(0.0, abs=0.01)
    assert found.shift.contradicts == ""


def test_without_rows_one_in_seven_has_a_void_at_the_rules_own_gap() -> None:
    at_rule = min(tuned([]).band, key=lambda point: abs(point.gap_mm - 1.0 - TAKEN_MM))
    # a belief: median near 1 in 6, eight times in ten between 2 % and one half
    found = tuned([])
    chance = found.chance[:, list(found.choices.gap_mm).index(at_rule.gap_mm)]
    assert found.posterior.quantile(chance, 0.5) == pytest.approx(1.0 / 6.5, abs=0.02)
    assert 0.02 < at_rule.low < 0.04
    assert 0.5 < at_rule.high < 0.6


def test_five_rows_leave_the_range_wide_and_the_gap_that_of_the_physics() -> None:
    found = tuned(loads(1, count=1))
    assert found.castings == 5
    assert width(found) > 1.4
    assert found.air_shift == 0.0


# ------------------------------------------------------------------ all alike, separated


def test_all_good_is_finite_and_narrower_than_belief_alone() -> None:
    found = tuned(loads(0))
    assert finite(found)
    assert found.share.low == 0.0
    assert 0.0 < found.share.high < 0.15
    assert found.least.gap_mm < tuned([]).least.gap_mm
    assert all(0.0 < point.low < point.mean < point.high < 0.5 for point in found.band[8:])
    assert width(found) > 1.3


def test_all_bad_is_finite_and_wider_than_belief_alone() -> None:
    found = tuned(loads(5))
    assert finite(found)
    assert found.share.high == 1.0
    assert found.least.gap_mm > tuned([]).least.gap_mm
    at_rule = min(found.band, key=lambda point: abs(point.gap_mm - 1.0 - TAKEN_MM))
    assert 0.75 < at_rule.low < at_rule.mean < at_rule.high < 1.0
    assert width(found) > 1.3


def test_all_tight_ones_bad_and_no_wide_one_is_finite_with_its_gap_between() -> None:
    rows = loads(5, open_mm=0.8, count=2) + [
        replace(one, id=one.id + 10**7, load=one.load + 10)
        for one in loads(0, open_mm=1.6, count=2)
    ]
    found = tuned(rows)
    assert finite(found)
    slope = found.posterior.mean()[1]
    assert -12.0 < slope < -4.0  # maximum likelihood has it at minus infinity
    assert 0.8 + TAKEN_MM < found.least.gap_mm < 2.0 * 1.6
    assert found.shift.wrong_way < 1e-3


def test_all_lost_still_has_a_cost() -> None:
    found = tuned(loads(5, outcome="scrapped"))
    assert finite(found)
    assert found.scrap.mean == pytest.approx((1 + 20) / (4 + 20))
    assert found.least.gap_mm > tuned(loads(5)).least.gap_mm


# ------------------------------------------------------------------ costs


def test_the_cost_at_the_gap_of_least_cost_is_the_least() -> None:
    found = tuned(loads(2))
    mean = found.posterior.weights @ found.cost
    assert found.least.cost_per_good == pytest.approx(mean.min(), rel=1e-12)
    assert found.least.now_cost >= found.least.cost_per_good
    assert found.least.now_mm == pytest.approx(1.0 + TAKEN_MM)


def test_what_it_takes_in_resin_and_saves_in_minutes_is_against_the_gap_of_now() -> None:
    found = tuned(loads(2), now_mm=0.9)
    least = found.least
    more = peg_cost(least.gap_mm).resin_ml - peg_cost(0.9).resin_ml
    assert least.resin_ml_more == pytest.approx(more, rel=1e-12)
    assert least.minutes_less > 0.0
    same = tuned(loads(2), now_mm=least.gap_mm).least
    assert same.resin_ml_more == 0.0
    assert same.minutes_less == pytest.approx(0.0, abs=1e-12)


def test_dearer_resin_never_asks_for_a_wider_gap() -> None:
    def at(factor: float) -> float:
        def cost(gap: float) -> GapCost:
            plain = peg_cost(gap)
            return replace(plain, per_casting=9.0 + factor * plain.resin_ml)

        return tuned(loads(1), cost_at=cost).least.gap_mm

    gaps = [at(factor) for factor in (0.01, 0.03, 0.1, 0.3, 1.0)]
    assert gaps == sorted(gaps, reverse=True)
    assert gaps[-1] < gaps[0]


def test_minutes_of_repairs_move_the_jobs_own_by_how_many_there_are() -> None:
    found = tuned(loads(2, rework_min=20.0))
    # 8 repairs of 20 min on a belief of 4 at 5 min: (20 + 160)/12
    assert found.repairs == 8
    assert found.rework_min == pytest.approx(15.0)
    assert found.choices.repair[0] == pytest.approx(3.0 * peg_cost(1.0).rework_per_void)


def test_where_nothing_is_repaired_the_jobs_own_minutes_stand() -> None:
    assert tuned(loads(2, outcome="scrapped")).rework_min == pytest.approx(5.0)


def test_the_ends_that_other_rules_leave_are_told() -> None:
    free = tuned(loads(2)).least
    assert not free.at_least
    assert not free.at_most
    assert tuned(loads(2), most_mm=free.gap_mm - 0.2).least.at_most
    assert tuned(loads(2), least_mm=free.gap_mm + 0.2).least.at_least


# ------------------------------------------------------------------ learning


def test_castings_find_a_truth_that_the_physics_has_not() -> None:
    random = np.random.default_rng(4)
    truth = Truth(at_rule=1.25, slope=-5.0, luck=0.3)  # as if air asked for 1.8 times the gap
    rows = [
        one
        for load in range(12)
        for one in poured(truth, [1.0, 1.4, 1.8, 2.2] * 5, load=load, random=random)
    ]
    found = tuned(rows)
    true_shift = (1.25 + 1.75) / 5.0
    assert found.shift.low < true_shift < found.shift.high
    assert found.shift.high - found.shift.low < 0.25
    gaps = np.arange(LEAST_MM, MOST_MM, 0.01)
    cost = [_true_cost(truth, float(gap)) for gap in gaps]
    assert _true_cost(truth, found.least.gap_mm) < 1.003 * min(cost)


def _true_cost(truth: Truth, gap_mm: float) -> float:
    cost = peg_cost(gap_mm)
    chance = float(truth.mean_chance(math.log(gap_mm - TAKEN_MM)))
    lost = chance * truth.scrap
    return (cost.per_casting + (chance - lost) * cost.rework_per_void) / (1.0 - lost)


def test_the_gap_moves_from_eight_castings_of_two_loads_on_and_all_the_way_at_sixteen() -> None:
    rows = [one for load in range(1, 6) for one in counted(load, 1.0, 1, 4)]
    trusts = [tuned(rows[:count]).trust for count in range(len(rows) + 1)]
    assert trusts[:LEAST_CASTINGS] == [0.0] * LEAST_CASTINGS
    assert 0.0 < trusts[LEAST_CASTINGS] < 0.2
    assert trusts[FULLY:] == [1.0] * (len(rows) + 1 - FULLY)
    assert max(np.diff(trusts)) < 0.12


def test_one_load_alone_does_not_move_the_gap() -> None:
    assert tuned(counted(1, 1.0, 3, 20)).air_shift == 0.0


def test_no_single_row_throws_the_gap_about() -> None:
    random = np.random.default_rng(9)
    truth = Truth(at_rule=0.0)
    rows = [one for load in range(6) for one in poured(truth, [1.0] * 6, load=load, random=random)]
    shifts = [tuned(rows[:count]).air_shift for count in range(len(rows) + 1)]
    steps = np.abs(np.diff(shifts))
    # A factor of the open gap: 20 % while trust grows, 10 % from 24 castings on.
    assert steps.max() < math.log(1.2)
    assert steps[24:].max() < math.log(1.1)


def test_where_wider_has_more_voids_it_says_so_and_the_gap_stays() -> None:
    rows = loads(0, open_mm=0.8, count=6) + [
        replace(one, id=one.id + 10**7, load=one.load + 10)
        for one in loads(4, open_mm=1.6, count=6)
    ]
    found = tuned(rows)
    assert found.shift.wrong_way > 0.9
    assert found.shift.contradicts == "slope"
    assert found.air_shift == 0.0


def test_a_draw_in_which_wider_is_worse_has_as_many_voids_in_any_gap_as_where_it_was_cast() -> None:
    rows = loads(1, open_mm=1.5, count=3) + loads(2, open_mm=2.5, count=3, first=20)
    found = tuned(rows)
    drawn = found.posterior.coefficients
    against = drawn[:, 1] > 0.0
    assert 100 < against.sum() < len(drawn)
    middle = 0.5 * (math.log(1.5) + math.log(2.5))
    cast = chance_in_new_load(drawn, np.array([[1.0, middle]]))
    gaps = found.helped_chance.shape[1]
    assert found.helped_chance[against] == pytest.approx(np.repeat(cast[against], gaps, axis=1))
    assert (found.helped_chance[~against] == found.chance[~against]).all()


def test_voids_in_every_gap_are_no_reason_to_stay_where_a_wider_gap_is_the_best() -> None:
    # Repairs as dear as the casting: that most have a void does not make the resin matter more.
    def dear_repairs(gap_mm: float) -> GapCost:
        return replace(peg_cost(gap_mm), rework_per_void=10.0)

    found = tuned(loads(5, open_mm=1.2), cost_at=dear_repairs, most_mm=1.5)
    assert (found.posterior.weights @ found.helped_chance).min() > 0.5
    assert found.least.at_most
    assert not found.hopeless
    assert found.air_shift == pytest.approx(found.trust * math.log(1.5 - TAKEN_MM))
    assert found.trust > 0.5


def test_what_is_lost_has_nothing_to_do_with_the_coefficients() -> None:
    # cost = (casting + P (1 - q) R)/(1 - P q) is solved for q
    found = tuned(loads(2))
    chance, cost, repair = found.helped_chance[:, 0], found.cost[:, 0], found.choices.repair[0]
    lost = (cost - found.choices.casting[0] - chance * repair) / (chance * (cost - repair))
    assert np.unique(np.round(lost, 9)) == pytest.approx(found.scrap.points(64), abs=1e-8)
    for column in found.posterior.coefficients.T:
        low = [column[np.abs(lost - each) < 1e-7] < np.median(column)
               for each in found.scrap.points(64)]  # fmt: skip
        # 32 draws of each value, half of them below the median: the counts' variance is 8
        counts = np.array([part.sum() for part in low])
        assert counts.sum() == len(column) // 2
        assert 4.0 < counts.var() < 14.0


def test_far_more_and_far_fewer_voids_than_believed_are_told() -> None:
    assert tuned(loads(5, open_mm=2.5, count=8)).shift.contradicts == "above"
    assert tuned(loads(0, open_mm=0.45, count=12)).shift.contradicts == "below"
    assert tuned(loads(1)).shift.contradicts == ""


def test_loads_that_differ_widen_the_band() -> None:
    alike, unlike = (
        tuned([one for load in range(12) for one in counted(load, 1.0, voids[load % 3], 6)])
        for voids in ((1, 1, 1), (3, 0, 0))
    )
    assert alike.voids == unlike.voids == 12
    assert alike.luck.ratio == pytest.approx(0.0, abs=0.01)
    # of each load a mean of 1 and a variance of 5/6: (4 x 4 + 8 x 1)/(5/6)/11 = 2.62
    assert unlike.luck.ratio == pytest.approx(2.62, rel=0.02)
    assert unlike.luck.sd > 4.0 * alike.luck.sd
    at_rule = [
        min(found.band, key=lambda point: abs(point.gap_mm - 1.0 - TAKEN_MM))
        for found in (alike, unlike)
    ]
    widths = [point.high - point.low for point in at_rule]
    assert widths[1] > 1.25 * widths[0]


def test_pressure_is_told_apart_and_the_job_is_asked_at_its_own() -> None:
    rows = [
        one
        for load in range(1, 9)
        for one in counted(load, 1.0, 4 if load % 2 else 0, 6,
                           pressure_kpa=0.0 if load % 2 else 345.0)
    ]  # fmt: skip
    under, without = tuned(rows), tuned(rows, job=job(pressure_kpa=0.0))
    assert under.columns == ("pressure",)
    assert under.least.gap_mm < without.least.gap_mm


def test_the_last_loads_hold_ten_castings() -> None:
    voids = [4, 0, 1, 2, 1]
    rows = [one for load in range(5) for one in counted(load + 1, 1.0, voids[load], 4)]
    recent = tuned(rows).recent
    assert (recent.loads, recent.castings, recent.voids) == (3, 12, 1 + 2 + 1)


# ------------------------------------------------------------------ surer


def test_so_many_more_castings_halve_the_range_as_foretold() -> None:
    first = [
        one for load in (1, 2) for one in (*counted(load, 0.8, 3, 5), *counted(load, 1.4, 0, 5))
    ]
    found = tuned(first)
    surer = found.surer
    assert surer.castings is not None
    assert surer.width_mm == pytest.approx(found.least.high_mm - found.least.low_mm, abs=0.051)
    gaps, widths = found.choices.gap_mm, []
    for seed, (constant, slope, log_luck) in enumerate(found.cases.coefficients[32::64]):
        truth = Truth(at_rule=constant, slope=slope, luck=math.exp(log_luck))
        random = np.random.default_rng(seed)
        more = [
            one
            for load in range(surer.castings // 10)
            for one in poured(truth, [surer.gap_mm - TAKEN_MM] * 10, load=100 + load, random=random)
        ]
        after = posterior_of(design(first + more))
        # what is lost and how long repairs take is not foretold: as before
        cost = costs_of_good(
            found.choices,
            chance=chance_in_new_load(after.coefficients, found.rows.at(job(), gaps)),
            scrap=np.random.default_rng(1).permutation(found.scrap.points(len(after.weights))),
        )
        low, high = after.interval(gaps[np.argmin(cost, axis=1)], 0.8)
        widths.append(float(high - low))
    # 16 truths, whose widths spread by a third: the mean is within 3 x 0.33/sqrt(16)
    assert np.mean(widths) == pytest.approx(0.5 * surer.width_mm, rel=0.25)


def test_it_is_the_same_every_time() -> None:
    one, two = tuned(loads(2)), tuned(loads(2))
    assert (one.cost == two.cost).all()
    assert one.surer.castings == two.surer.castings
    assert one.surer.gap_mm == two.surer.gap_mm


# ------------------------------------------------------------------ refusals, speed


def test_a_gap_that_is_taken_up_is_refused() -> None:
    with pytest.raises(InternalError, match=r"no open gap from 0\.2 mm on"):
        tuned([], least_mm=0.2)


@pytest.mark.parametrize("air_mm", [0.0, math.inf])
def test_an_air_gap_that_is_none_is_refused(air_mm: float) -> None:
    with pytest.raises(InternalError, match="an air gap of"):
        tuned([], job=job(air_mm), now_mm=1.0)


@pytest.mark.bench
def test_a_hundred_thousand_rows_take_less_than_three_seconds() -> None:
    random = np.random.default_rng(1)
    wide = random.uniform(0.6, 2.0, 100_000)
    void = random.random(100_000) < Truth().chance(np.log(wide))
    rows = [
        casting(float(gap), bool(has), load=i // 20, number=i % 20)
        for i, (gap, has) in enumerate(zip(wide, void, strict=True))
    ]
    start = time.process_time()
    found = tuned(rows)
    assert found.least.high_mm - found.least.low_mm < 0.16
    assert time.process_time() - start < 3.0
