"""What castings teach a job, and what they leave alone."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from mouldgen.answer import answer_job
from mouldgen.build import build_moulds
from mouldgen.finding import NOTHING_LEARNED, Bound, Finding, Learned
from mouldgen.gap.budget import Gap
from mouldgen.gap.findings import findings_of
from mouldgen.gap.heat import heat
from mouldgen.job.load import LoadedJob, load_job
from mouldgen.job.mixed import mixed_g_ml
from mouldgen.learn import learn, teach
from tests.castings_seeds import PEG_AIR_MM, TIGHT_AND_WIDE, pegs

JOB = "boathouse-pegs"
BARE = Path(__file__).parent.parent / "bare_job.toml"
ROD = "insert.diameter='12 mm'"
LOADS = pegs(TIGHT_AND_WIDE)


def loaded(*sets: str) -> LoadedJob:
    return load_job(JOB, sets=sets)


def without_yield(*sets: str) -> LoadedJob:
    """As if the job file had no yield: 0.9 is then believed."""
    found = loaded(*sets)
    order = found.job.order.model_copy(update={"yield_": 0.9})
    given = tuple(key for key in found.given if key != "order.yield")
    return replace(found, job=found.job.model_copy(update={"order": order}), given=given)


def gap_of(found: LoadedJob) -> Gap:
    return answer_job(found.job, learned=found.learned).gap


def air(gap: Gap) -> Bound:
    return next(bound for bound in gap.bounds if bound.rule == "air")


def ids(found: LoadedJob) -> dict[str, Finding]:
    answer = answer_job(found.job, learned=found.learned)
    return {finding.id: finding for finding in findings_of(answer.gap, answer.question)}


def test_a_shift_moves_what_air_asks_for_and_not_what_is_taken_up() -> None:
    job = loaded().job
    alone, moved = answer_job(job).gap, answer_job(job, learned=Learned(air_shift=0.37)).gap
    asked = air(alone).value_mm - alone.take_up_mm

    assert moved.take_up_mm == alone.take_up_mm
    assert air(moved).value_mm - moved.take_up_mm == pytest.approx(
        math.exp(0.37) * asked, rel=1e-12
    )
    assert moved.gap_mm == math.ceil(100.0 * air(moved).value_mm) / 100.0


def test_with_enough_castings_the_gap_is_the_one_of_least_cost() -> None:
    told = teach(loaded(), LOADS)
    gap = gap_of(told.loaded)

    assert told.tuned.trust == 1.0
    assert gap.set_by == "air"
    assert gap.gap_mm == pytest.approx(told.tuned.least.gap_mm, abs=1e-9)
    assert gap.gap_mm > told.answer.gap.gap_mm
    assert told.loaded.learned.air_shift == pytest.approx(
        math.log((gap.gap_mm - gap.take_up_mm) / told.tuned.job.air_mm), rel=1e-9
    )


def test_what_is_learned_counts_the_castings_and_the_bound_names_them() -> None:
    found = learn(loaded(), LOADS)
    learned = found.learned

    assert (learned.castings, learned.voids, learned.loads) == (28, 7, 3)
    assert "your own 28 castings in 3 loads, of which 7 had voids" in air(gap_of(found)).why
    assert air(gap_of(found)).why.startswith("air needs 0.46 mm to clear 70 mm")


def test_the_same_castings_teach_the_same_to_the_last_bit() -> None:
    once, again = learn(loaded(), LOADS).learned, learn(loaded(), LOADS).learned

    assert all(getattr(once, n) == getattr(again, n) for n in Learned.__dataclass_fields__)


def test_no_castings_teach_nothing_at_all() -> None:
    found = loaded()

    assert learn(found, ()) is found
    assert found.learned is NOTHING_LEARNED


def test_few_castings_leave_the_gap_to_the_physics_and_silence_the_habit() -> None:
    found = learn(loaded(), pegs([(0.46, 2, 7)]))

    assert (found.learned.air_shift, found.learned.castings) == (0.0, 7)
    assert gap_of(found).gap_mm == gap_of(loaded()).gap_mm
    assert air(gap_of(found)).why == air(gap_of(loaded())).why
    assert "gap.habit" in ids(loaded())
    assert "gap.habit" not in ids(found)


def test_castings_without_voids_may_narrow_the_gap_but_not_below_another_rule() -> None:
    found = learn(loaded(), pegs([(0.46, 0, 30), (0.35, 0, 30), (0.3, 0, 30), (0.25, 0, 30)]))
    gap = gap_of(found)

    assert found.learned.air_shift < 0.0
    assert gap.gap_mm < gap_of(loaded()).gap_mm
    assert gap.gap_mm >= max(b.value_mm for b in gap.bounds if b.kind == "at_least")
    assert gap.set_by == "turn"


@pytest.mark.parametrize("loads", [LOADS, pegs([(0.9, 6, 10), (1.8, 6, 10)])])
def test_a_learned_gap_meets_every_rule(loads: tuple) -> None:
    gap = gap_of(learn(loaded(), loads))

    assert gap.conflict is None
    assert all(gap.gap_mm <= b.value_mm for b in gap.bounds if b.kind == "at_most")


def test_where_castings_ask_for_more_than_heat_allows_the_gap_stays_cool() -> None:
    hot = loaded("pour.shop='30 C'", "resin.heat_j_g=430")
    limit_mm = heat(answer_job(hot.job).question).value_mm
    assert 2.0 < limit_mm < 3.0
    # Voids end at 3.5 mm only.
    found = teach(
        hot, pegs([(0.46, 9, 10), (0.9, 7, 10), (1.4, 5, 10), (2.5, 2, 10), (3.5, 0, 30)])
    )
    gap = gap_of(found.loaded)

    assert gap.conflict is None
    assert gap.gap_mm == found.tuned.choices.gap_mm[-1] == math.floor(100.0 * limit_mm) / 100.0
    assert found.tuned.least.at_most


def test_a_written_gap_is_not_touched() -> None:
    written = loaded("mould.gap='1.1 mm'")
    found = learn(written, LOADS)

    assert found.learned.air_shift == 0.0
    assert gap_of(found).gap_mm == 1.1
    assert air(gap_of(found)).why == air(gap_of(written)).why
    # All the same it can be said what castings make of it.
    told = teach(written, LOADS)
    assert told.written
    assert told.tuned.least.now_mm == 1.1
    assert told.loaded.learned.air_shift == 0.0


def test_the_fingerprint_follows_what_castings_move_and_nothing_else() -> None:
    job = load_job(BARE, sets=[ROD]).job
    narrow = {"air_shift": 0.4, "castings": 9}
    prints = [
        build_moulds(job, learned=learned).fingerprint
        for learned in (
            NOTHING_LEARNED,
            Learned(castings=5),
            Learned(**narrow),
            Learned(**narrow),
            Learned(air_shift=0.5, castings=9),
        )
    ]

    assert prints[0] == prints[1]
    assert prints[2] == prints[3]
    assert len(set(prints)) == 3


def test_a_written_gap_keeps_its_fingerprint() -> None:
    job = load_job(BARE, sets=[ROD, "mould.gap='2 mm'"]).job
    shifted = build_moulds(job, learned=Learned(air_shift=0.4, castings=9))

    assert shifted.fingerprint == build_moulds(job).fingerprint


def test_a_yield_that_nobody_wrote_is_the_belief_moved_by_the_castings() -> None:
    found = learn(without_yield(), pegs(TIGHT_AND_WIDE, scrapped=2))
    # 12 castings are believed on, as presets/cost.toml has it; 4 of 28 are scrapped.
    expected = (12.0 * 0.9 + 24.0) / (12.0 + 28.0)

    assert found.job.order.yield_ == pytest.approx(expected, abs=5e-5)
    assert found.learned.yield_ == found.job.order.yield_
    assert (found.learned.yield_castings, found.learned.yield_seen) == (28, pytest.approx(40.0))


def test_fills_that_nobody_wrote_are_moved_by_the_castings_and_cost() -> None:
    repaired = [(0.46, 10, 10), (0.46, 10, 10)]
    found = learn(without_yield(), pegs(repaired))
    # 12 castings are believed on; all 20 were filled, and none was lost.
    assert found.job.order.fills == pytest.approx((12.0 * 0.2 + 20.0) / 32.0, abs=5e-5)
    assert found.learned.fills_seen == pytest.approx(32.0)
    written = learn(without_yield("order.fills=0.1"), pegs(repaired))
    assert (written.job.order.fills, written.learned.fills) == (0.1, None)


def test_more_are_started_where_the_log_shows_more_are_lost() -> None:
    bad = learn(without_yield(), pegs([(0.46, 9, 20), (0.46, 9, 20)], scrapped=9))

    assert answer_job(bad.job).moulds > answer_job(without_yield().job).moulds


def test_a_written_yield_wins() -> None:
    found = teach(loaded(), pegs(TIGHT_AND_WIDE, scrapped=2))

    assert found.loaded.job.order.yield_ == 0.92
    assert found.loaded.learned.yield_ is None
    assert found.good.mean == pytest.approx((12.0 * 0.92 + 24.0) / 40.0)


def weighed(left_g: float, **changes: object) -> tuple[object, ...]:
    facts = {"job": JOB, "mixed_g": 400.0, "left_g": left_g, **changes}
    return pegs([(0.46, 0, 10)], **facts)


def test_a_loss_is_what_was_weighed_over_what_the_moulds_take() -> None:
    question = answer_job(loaded().job).question
    size = question.mould_size(0.46 + 0.42)
    poured_g = 10.0 * (size.net_ml + size.riser_ml) * mixed_g_ml(loaded().job.resin)
    found = learn(loaded(), weighed(30.0))
    # The card's tenth counts for three loads of this size.
    expected = (3.0 * 0.1 * poured_g + 400.0 - 30.0 - poured_g) / (4.0 * poured_g)

    assert found.job.resin.loss == pytest.approx(expected, abs=5e-5)
    assert (found.learned.loss, found.learned.loss_loads) == (found.job.resin.loss, 1)


@pytest.mark.parametrize("changes", [{"job": "pegs"}, {"left_g": None}, {"mixed_g": None}])
def test_a_load_that_tells_no_loss_leaves_it(changes: dict[str, object]) -> None:
    found = learn(loaded(), weighed(**{"left_g": 30.0, **changes}))

    assert found.learned.loss is None
    assert found.job.resin.loss == loaded().job.resin.loss


def test_a_written_loss_wins() -> None:
    found = teach(loaded("resin.loss=0.2"), weighed(30.0))

    assert found.loaded.job.resin.loss == 0.2
    assert found.loss.loads == 1
    assert found.loss.share != 0.2


def test_where_the_resin_gels_before_the_mould_is_shut_castings_say_nothing() -> None:
    found = teach(loaded("pour.close='80 min'"), LOADS)

    assert found.tuned is None
    assert "gels 53 min after mixing starts, before the mould is closed" in found.why_not
    assert found.loaded.learned.air_shift == 0.0


def test_castings_of_another_size_count_by_how_wide_they_were() -> None:
    mine = LOADS
    other = tuple(
        replace(
            load,
            castings=tuple(
                replace(c, air_mm=3.0 * c.air_mm, open_mm=3.0 * c.open_mm) for c in load.castings
            ),
        )
        for load in mine
    )

    assert learn(loaded(), other).learned.air_shift == learn(loaded(), mine).learned.air_shift


def test_both_ends_of_what_is_compared_are_the_other_rules() -> None:
    found = teach(loaded(), LOADS)
    least = max(
        b.value_mm for b in found.answer.gap.bounds if b.kind == "at_least" and b.rule != "air"
    )

    assert found.tuned.choices.gap_mm[0] == math.ceil(100.0 * least) / 100.0
    assert np.all(np.diff(found.tuned.choices.gap_mm) > 0.0)
    assert found.tuned.least.high_mm < found.tuned.choices.gap_mm[-1]
    assert found.tuned.job.air_mm == pytest.approx(PEG_AIR_MM, abs=0.001)


def test_without_castings_it_can_still_be_said_what_is_believed() -> None:
    found = teach(loaded(), ())

    assert (found.noted, found.tuned.castings, found.tuned.trust) == (0, 0, 0.0)
    assert found.loaded.learned.air_shift == 0.0
