from __future__ import annotations

import time
from dataclasses import replace

import numpy as np
import pytest

from mouldgen.castings.least_cost import GapCost
from mouldgen.castings.load_luck import chance_in_new_load
from mouldgen.castings.next_trial import Trial, next_trial
from mouldgen.castings.tune import Tuned, tune
from tests.casting_rows import TAKEN_MM, counted, job, peg_cost


def dear_cost(gap_mm: float) -> GapCost:
    """Dear resin and a cheap rest: the gap matters."""
    plain = peg_cost(gap_mm)
    return replace(plain, per_casting=2.0 + 0.3 * plain.resin_ml, rework_per_void=4.0)


def tuned(loads: int = 1, **changes: object) -> Tuned:
    rows = [one for load in range(loads) for one in
            (*counted(load, 0.9, 2, 4), *counted(load, 1.5, 0, 4))]  # fmt: skip
    settings: dict[str, object] = {
        "job": job(),
        "cost_at": dear_cost,
        "least_mm": 0.5,
        "most_mm": 4.0,
    }
    return tune(rows, **{**settings, **changes})  # type: ignore[arg-type]


def net(trial: Trial) -> float:
    told = trial if trial.worth_it else trial.best
    assert told is not None
    return told.saves - told.costs


def test_a_trial_is_two_to_five_gaps_of_two_to_four_castings() -> None:
    found = next_trial(tuned(0), pieces=2000)
    assert found.worth_it
    assert 2 <= len(found.gaps_mm) <= 5
    assert found.each in {2, 3, 4}
    assert list(found.gaps_mm) == sorted(set(found.gaps_mm))
    assert found.gaps_mm[0] >= 0.5
    assert found.gaps_mm[-1] <= 4.0
    assert found.saves > found.costs


def test_it_is_the_same_every_time_and_quick() -> None:
    known = tuned()
    start = time.process_time()
    one, two = next_trial(known, pieces=300), next_trial(known, pieces=300)
    assert time.process_time() - start < 4.0  # two of them
    assert (one.gaps_mm, one.each, one.costs, one.saves) == (
        two.gaps_mm, two.each, two.costs, two.saves,
    )  # fmt: skip


def test_the_more_pieces_are_to_be_made_the_more_a_trial_is_worth() -> None:
    known = tuned(0)
    nets = [net(next_trial(known, pieces=pieces)) for pieces in (10, 100, 1000)]
    assert nets == sorted(nets)
    assert nets[-1] > 5.0 * nets[1] > 0.0


def test_for_few_pieces_no_trial_is_worth_it_and_the_sum_is_told() -> None:
    found = next_trial(tuned(0), pieces=5, sold=False)
    assert not found.worth_it
    assert found.gaps_mm == ()
    assert found.best is not None
    assert 0.0 < found.best.saves < found.best.costs


def test_unsold_castings_make_a_trial_dearer_by_what_they_are_worth() -> None:
    known = tuned(0)
    sold = next_trial(known, pieces=5000, sold=True, each=(3,), most=2)
    kept = next_trial(known, pieces=5000, sold=False, each=(3,), most=2)
    assert net(kept) < net(sold)
    places = [list(known.choices.gap_mm).index(gap) for gap in kept.gaps_mm]
    weights = known.posterior.weights
    chance = weights @ known.chance[:, places]
    money = (
        known.choices.casting[places]
        + chance * (1 - known.scrap.mean) * known.choices.repair[places]
    )
    assert kept.costs == pytest.approx(3.0 * money.sum(), rel=0.01)


def test_its_set_up_is_paid() -> None:
    known = tuned(0)
    free, paid = (next_trial(known, pieces=1000, set_up=money) for money in (0.0, 3.0))
    assert net(paid) == pytest.approx(net(free) - 3.0, abs=1e-9)


def test_a_trial_saves_less_where_more_is_known() -> None:
    nets = [net(next_trial(tuned(loads), pieces=1000)) for loads in (0, 2, 20)]
    assert nets == sorted(nets, reverse=True)
    assert nets[-1] < 0.2 * nets[0]


def test_what_it_saves_is_what_a_long_simulation_saves() -> None:
    # All draws of the posterior as truths and as cases, several outcomes of each, and the luck of
    # the load by a finer sum than the one under test.
    known = tuned(0, draws=256)
    found = next_trial(known, pieces=1000)
    places = [list(known.choices.gap_mm).index(gap) for gap in found.gaps_mm]
    weights, coefficients = known.posterior.weights, known.posterior.coefficients
    linear = coefficients[:, :-1] @ known.rows.at(known.job, np.array(found.gaps_mm)).T
    spread = np.exp(coefficients[:, -1])
    random = np.random.default_rng(0)
    truths = random.choice(len(weights), size=1500, p=weights)
    lucks = np.linspace(-4.0, 4.0, 33)
    share = np.exp(-0.5 * lucks**2)
    gains = []
    today = int(np.argmin(weights @ known.cost))
    at = linear[:, :, None] + spread[:, None, None] * lucks
    chance = np.clip(1.0 / (1.0 + np.exp(-at)), 1e-12, 1.0 - 1e-12)
    for truth in truths:
        logit = linear[truth] + spread[truth] * random.standard_normal()
        voids = random.binomial(found.each, 1.0 / (1.0 + np.exp(-logit)))
        log = np.einsum("g,dgk->dk", voids, np.log(chance))
        log += np.einsum("g,dgk->dk", found.each - voids, np.log1p(-chance))
        after = weights * (np.exp(log) @ share)
        costs = (after @ known.cost) / after.sum()
        gains.append(costs[today] - costs.min())
    assert places
    error = np.std(gains) / np.sqrt(len(gains))
    # The one under test goes through all outcomes: the error is that of these 1500.
    assert found.saves / 1000.0 == pytest.approx(np.mean(gains), abs=3.0 * error)
    assert error < 0.05 * np.mean(gains)


def test_where_one_gap_is_left_there_is_no_trial() -> None:
    found = next_trial(tuned(most_mm=0.5))
    assert not found.worth_it
    assert found.best is None


def test_the_chance_that_trials_are_paid_with_is_that_of_the_posterior() -> None:
    known = tuned()
    x = known.rows.at(known.job, known.choices.gap_mm)
    assert (chance_in_new_load(known.posterior.coefficients, x) == known.chance).all()
    assert known.choices.gap_mm[0] > TAKEN_MM
