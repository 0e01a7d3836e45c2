from __future__ import annotations

from dataclasses import replace

import pytest

from mouldgen.castings.next_trial import Trial
from mouldgen.castings.records import Casting
from mouldgen.castings.tune import Tuned, tune
from mouldgen.castings.words import (
    against_physics,
    first_sentence,
    further_sentences,
    trial_sentence,
)
from tests.casting_rows import casting, counted, job, peg_cost


def tuned(castings: list[Casting], **changes: object) -> Tuned:
    settings: dict[str, object] = {
        "job": job(),
        "cost_at": peg_cost,
        "least_mm": 0.6,
        "most_mm": 4.0,
    }
    return tune(castings, **{**settings, **changes})  # type: ignore[arg-type]


def loads(voids: int, *, of: int = 5, open_mm: float = 1.0, count: int = 4, first: int = 1,
          **changes: object) -> list[Casting]:  # fmt: skip
    return [one for load in range(first, first + count) for one in
            counted(load, open_mm, voids, of, **changes)]  # fmt: skip


def test_the_answer_is_one_sentence_of_voids_gap_resin_and_minutes() -> None:
    found = tuned(loads(2))
    least = found.least
    assert first_sentence(found) == (
        "4 of 10 castings of the last 2 loads had voids; a good piece costs least at a gap of"
        f" {least.gap_mm:.2f} mm: against 1.20 mm each casting takes {least.resin_ml_more:.1f} ml"
        f" more resin and saves {least.minutes_less:.1f} min of repair."
    )


def test_without_castings_it_says_that_it_only_has_the_physics() -> None:
    found = tuned([])
    said = first_sentence(found)
    assert said.startswith(
        "No castings are logged yet, so there is only the physics, which asks for 1.20 mm; by what"
        " is believed of voids a good piece costs least at"
    )
    rest = further_sentences(found)
    assert rest[0].endswith("a wide range, since it is belief.")
    assert rest[1] == (
        "The job's gap stays that of the physics until 8 castings of 2 loads have a result."
    )


def test_five_castings_are_said_to_leave_the_range_wide() -> None:
    rest = further_sentences(tuned(loads(1, count=1)))
    assert "a wide range, since 5 castings cannot say more." in rest[0]
    assert "until 8 castings of 2 loads" in rest[1]
    assert "All were cast at one gap for their resin, so what another gap saves is belief." in rest


def test_a_part_of_the_way_is_told() -> None:
    rest = further_sentences(tuned(loads(1, of=5, count=2)))
    assert "The job's gap goes 33 % of the way there, from 16 castings on all the way." in rest


@pytest.mark.parametrize(
    ("count", "where"),
    [(1, "of the only load"), (2, "of both loads"), (3, "of the last 2 loads")],
)
def test_loads_are_named_as_one_would(count: int, where: str) -> None:
    assert where in first_sentence(tuned(loads(1, count=count)))
    assert "all 3 loads" in first_sentence(tuned(loads(1, of=3, count=3)))


def test_no_voids_are_none() -> None:
    assert first_sentence(tuned(loads(0))).startswith("None of 10 castings")


def test_the_gap_of_today_is_told_as_such() -> None:
    gap = tuned(loads(2)).least.gap_mm
    said = first_sentence(tuned(loads(2), now_mm=gap))
    assert said.endswith(f"at a gap of {gap:.2f} mm, which it has today.")


def test_a_narrower_gap_takes_less_resin_and_more_repair() -> None:
    said = first_sentence(tuned(loads(2), now_mm=3.5))
    assert "ml less resin and" in said
    assert said.endswith(("min more repair.", "no repair to speak of."))


def test_it_is_told_in_inches_to_who_reads_inches() -> None:
    def inches(length_mm: float) -> str:
        return f"{length_mm / 25.4:.3f} in"

    found = tuned(loads(2))
    said = " ".join(
        [first_sentence(found, length=inches), *further_sentences(found, length=inches)]
    )
    assert " in " in said
    assert " mm" not in said


def test_a_wrong_slope_speaks_against_the_physics() -> None:
    rows = loads(0, open_mm=0.8, count=6) + loads(4, open_mm=1.6, count=6, first=20)
    found = tuned(rows)
    assert first_sentence(found).endswith(
        "which speaks against the physics; until it is known why, the gap stays 1.20 mm."
    )
    assert "that a wider gap has more voids" in against_physics(found)
    assert not any("Eight times in ten" in each for each in further_sentences(found))


def test_voids_that_no_gap_cures_are_told() -> None:
    found = tuned(loads(10, of=10, open_mm=1.65))
    assert found.hopeless
    assert found.air_shift == 0.0
    assert "which no gap is known to cure" in first_sentence(found)
    assert "times the rule's gap, outside of 95 %" in against_physics(found)


def test_far_fewer_voids_than_believed_are_told() -> None:
    said = against_physics(tuned(loads(0, open_mm=0.3, count=24)))
    assert said.startswith("Your castings speak against the physics: they have voids as if")
    assert "as if air asked for less than 0.1 times the rule's gap" in said


def test_loads_that_differ_are_told() -> None:
    rows = [one for load in range(12) for one in counted(load, 1.0, (3, 0, 0)[load % 3], 6)]
    assert any(
        each.startswith("Loads differ 2.6 times as much as chance has it")
        for each in further_sentences(tuned(rows))
    )


def test_columns_and_what_is_left_out_are_told() -> None:
    rows = [replace(one, pressure_kpa=0.0 if one.load <= 2 else 345.0) for one in loads(3)]
    said = further_sentences(tuned([*rows, casting(-0.1, True, load=9)]))
    assert "Told apart beside the gap: pressure." in said
    assert said[-1].startswith("1 casting says nothing of the gap")


def test_the_ends_that_other_rules_leave_are_told() -> None:
    assert "It is the widest gap that the other rules leave." in further_sentences(
        tuned(loads(3), most_mm=1.3)
    )
    assert "It is the narrowest gap that the other rules leave." in further_sentences(
        tuned(loads(0), least_mm=3.0)
    )


def trial(**changes: object) -> Trial:
    facts: dict[str, object] = {
        "gaps_mm": (0.85, 1.3), "each": 3, "costs": 2.5, "saves": 11.0, "pieces": 200, "sold": True,
    }  # fmt: skip
    return Trial(**{**facts, **changes})  # type: ignore[arg-type]


def test_a_trial_is_told_with_its_sum() -> None:
    assert trial_sentence(trial()) == (
        "Worth a trial: 3 castings each at 0.85 mm and 1.30 mm; it costs 2.50 with its good pieces"
        " sold and is expected to save 11.00 over 200 good pieces."
    )


def test_that_none_is_worth_it_is_told_with_the_sum() -> None:
    best = trial(costs=12.0, sold=False)
    assert trial_sentence(trial(gaps_mm=(), best=best)) == (
        "No trial is worth it: the best one, 3 castings each at 0.85 mm and 1.30 mm, costs 12.00"
        " and is expected to save 11.00 over 200 good pieces."
    )
    assert trial_sentence(trial(gaps_mm=())) == (
        "There is no trial to cast: the other rules leave one gap."
    )


def test_how_far_off_is_not_told_where_it_is_a_guess() -> None:
    found = tuned(loads(9, of=12, open_mm=2.6))

    assert "as if air asked for more than 10.0 times the rule's gap" in against_physics(found)


def test_one_casting_is_told_in_plain_words() -> None:
    assert first_sentence(tuned(loads(0, of=1, count=1))).startswith(
        "The one casting of the only load had no void; a good piece costs least"
    )
