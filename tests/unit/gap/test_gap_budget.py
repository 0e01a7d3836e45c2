import math
from dataclasses import replace

import pytest

from mouldgen.finding import Bound, Learned
from mouldgen.gap.budget import budget
from mouldgen.gap.choice import choose, round_up
from mouldgen.gap.findings import findings_of
from tests.gap_questions import PLASTIC, pot, pour, printer, question, resin, rod

RULES = ["slide", "air", "push", "turn", "heat", "depth", "fits", "habit", "sequence"]
MEASURED = rod(measured_mm=(29.8, 30.1, 30.0))


def bound(rule: str, kind: str, value: float | None) -> Bound:
    return Bound(rule, kind, value, f"{rule} says so", "belief")


def value_of(gap, rule: str) -> float | None:
    return next(b.value_mm for b in gap.bounds if b.rule == rule)


def ids(gap, asked) -> list[tuple[str, str]]:
    return [(f.id, f.severity) for f in findings_of(gap, asked)]


@pytest.mark.parametrize(
    ("length", "rounded"),
    [(0.461, 0.47), (0.46, 0.46), (0.4600000000001, 0.46), (0.07 + 0.01, 0.08), (0.0, 0.0)],
)
def test_gaps_are_rounded_up_to_a_hundredth(length: float, rounded: float) -> None:
    assert round_up(length) == rounded


def test_the_smallest_gap_that_meets_every_rule() -> None:
    choice = choose(
        (
            bound("slide", "at_least", 0.60),
            bound("air", "at_least", 0.914),
            bound("fits", "at_most", 7.0),
            bound("heat", "at_most", math.inf),
            bound("habit", "advice", 3.0),
        )
    )

    assert (choice.gap_mm, choice.set_by, choice.conflict) == (0.92, "air", None)


def test_advice_never_bounds() -> None:
    choice = choose((bound("slide", "at_least", 0.6), bound("habit", "advice", None)))

    assert (choice.gap_mm, choice.set_by) == (0.6, "slide")


def test_a_conflict_names_both_sides() -> None:
    choice = choose((bound("air", "at_least", 3.1), bound("fits", "at_most", 2.2)))

    assert choice.gap_mm is None
    assert choice.conflict == (
        "Air asks for at least 3.10 mm and fits allows at most 2.20 mm: air says so; fits says so."
    )
    assert [b.rule for b in choice.contested] == ["air", "fits"]


def test_a_gap_rounded_past_the_limit_is_a_conflict() -> None:
    assert choose((bound("air", "at_least", 1.001), bound("fits", "at_most", 1.005))).gap_mm is None
    assert choose((bound("air", "at_least", 1.001), bound("fits", "at_most", 1.01))).gap_mm == 1.01


@pytest.mark.parametrize("kind", ["at_least", "at_most"])
def test_a_rule_that_no_gap_satisfies_is_a_conflict(kind: str) -> None:
    choice = choose((bound("slide", "at_least", 0.5), bound("air", kind, None)))

    assert (choice.gap_mm, choice.set_by, choice.conflict) == (None, "air", "Air says so.")


def test_the_coat_pegs_in_a_slow_epoxy() -> None:
    asked = question(insert=MEASURED, pour=pour(shop=21.0))
    gap = budget(asked)
    least = max(b.value_mm for b in gap.bounds if b.kind == "at_least")

    assert gap.set_by == "push"
    assert [b.rule for b in gap.bounds] == RULES
    assert least <= gap.gap_mm < least + 0.01
    assert gap.take_up_mm == pytest.approx(value_of(gap, "slide") - 0.25, rel=1e-12)
    assert (gap.conflict, gap.remedies) == (None, ())


def test_closing_after_the_gel_has_remedies_that_work() -> None:
    asked = question(pour=pour(close=45 * 60.0))
    gap = budget(asked)

    assert gap.gap_mm is None
    assert gap.conflict.count("the resin gels 40 min after mixing starts") == 1
    for remedy in gap.remedies[:2]:
        close = 60.0 * float(remedy.text.split("sooner, ")[1].split(" min")[0])
        assert budget(replace(asked, pour=pour(close=close))).gap_mm == remedy.gap_mm
    cooler = next(r for r in gap.remedies if r.text == "cool the shop and the resin to 17 degC")
    assert cooler.changes == (("pour.shop", "17 C"),)
    assert cooler.gap_mm == budget(replace(asked, pour=pour(close=2700.0, shop=17.0))).gap_mm


def test_a_cooler_shop_is_told_to_a_tenth_of_a_degree() -> None:
    """70 degF are 21.1111 degC; nobody sets a heater to 17.1111 degC."""
    gap = budget(question(pour=pour(close=45 * 60.0, shop=(70.0 - 32.0) / 1.8)))

    (cooler,) = [r for r in gap.remedies if r.text.startswith("cool the shop")]
    assert cooler.text == "cool the shop and the resin to 17.1 degC"


def test_the_smallest_change_is_offered_and_the_smallest_to_a_usual_gap() -> None:
    asked = question(pour=pour(close=45 * 60.0))
    sooner = {
        step: budget(replace(asked, pour=pour(close=2700.0 - 60.0 * step))).gap_mm
        for step in range(2, 40, 2)
    }
    works = min(step for step, gap in sooner.items() if gap is not None)
    usual = min(step for step, gap in sooner.items() if gap is not None and gap <= 3.0)
    remedies = [r for r in budget(asked).remedies if "sooner" in r.text]

    assert [(r.text.split(" sooner")[0], r.gap_mm) for r in remedies] == [
        (f"close the mould {step} min", sooner[step]) for step in (works, usual)
    ]
    assert sooner[works] > 3.0


def test_a_shop_is_never_cooled_below_fifteen_degrees() -> None:
    gap = budget(question(pour=pour(close=90 * 60.0, shop=18.0)))

    assert not any("cool the shop" in remedy.text for remedy in gap.remedies)


def test_the_mould_is_never_closed_before_the_resin_is_mixed() -> None:
    gap = budget(question(pour=pour(close=45 * 60.0, mix=40 * 60.0)))

    assert not any("sooner" in remedy.text for remedy in gap.remedies)


def test_a_pot_that_is_too_low() -> None:
    asked = question(pot=pot(height=80.0))
    gap = budget(asked)
    free = budget(replace(asked, pot=None))

    assert gap.set_by == "fits"
    (remedy,) = gap.remedies
    wide = 2 * (20.11 + free.gap_mm + 8)
    assert remedy.text == (
        f"cast in a pot at least {math.ceil(wide)} mm wide and 94 mm high, or without one"
    )
    assert remedy.gap_mm == free.gap_mm


def test_a_bed_that_is_too_small() -> None:
    gap = budget(question(printer=printer(width=45.0), pot=None))

    (remedy,) = gap.remedies
    wide = 2 * (20.11 + remedy.gap_mm + 5)
    assert remedy.text == f"print on a bed at least {math.ceil(wide)} mm wide with 92 mm of height"
    assert remedy.gap_mm == budget(question(pot=None)).gap_mm


def test_measuring_all_can_be_what_helps() -> None:
    # The pot leaves 0.7 mm; unmeasured inserts take up most of it.
    asked = question(pot=pot(diameter=2 * (15 + 5.11 + 0.7 + 8)))
    remedy = next(r for r in budget(asked).remedies if r.text.startswith("measure all 22"))

    assert remedy.text == "measure all 22 inserts: enough if none is over 30 mm"
    assert remedy.gap_mm == budget(replace(asked, insert=rod(measured_mm=(30.0,) * 22))).gap_mm


def test_where_nothing_helps_alone_the_rules_say_what_would_relax_them() -> None:
    gap = budget(question(pour=pour(close=45 * 60.0), pot=pot(height=80.0)))

    assert gap.remedies
    assert all(remedy.gap_mm is None for remedy in gap.remedies)
    assert "close the mould sooner" in [remedy.text for remedy in gap.remedies]


def test_the_makers_own_gap_is_kept() -> None:
    asked = question(given_mm=0.333)
    gap = budget(asked)

    assert (gap.gap_mm, gap.set_by, gap.conflict) == (0.333, "you", None)
    assert [b.rule for b in gap.bounds] == RULES


def test_a_given_gap_under_a_rule_is_to_be_looked_at() -> None:
    asked = question(insert=MEASURED, given_mm=0.75)
    gap = budget(asked)
    found = {f.id: f for f in findings_of(gap, asked)}

    assert found["gap.air"].severity == "warn"
    assert (found["gap.air"].measured, found["gap.air"].limit) == (0.75, value_of(gap, "air"))
    assert "Your gap of 0.75 mm is under the" in found["gap.air"].message
    assert "gap.slide" not in found
    assert "gap.habit" not in found


def test_a_given_gap_that_the_insert_cannot_enter_must_be_fixed() -> None:
    asked = question(insert=rod(measured_mm=(30.6,) * 22), given_mm=0.39)
    found = ids(budget(asked), asked)

    assert found[0] == ("gap.take-up", "stop")
    assert ("gap.slide", "warn") in found


def test_a_given_gap_equal_to_the_take_up_is_only_warned_of() -> None:
    asked = question(insert=rod(measured_mm=(30.6,) * 22), given_mm=0.4)

    assert "gap.take-up" not in dict(ids(budget(asked), asked))


def test_a_given_gap_too_wide_for_the_pot_must_be_fixed() -> None:
    asked = question(pot=pot(diameter=70.0), given_mm=6.9)

    assert ids(budget(asked), asked)[0] == ("gap.fits", "stop")
    assert "gap.fits" not in dict(ids(budget(replace(asked, given_mm=6.8)), asked))


def test_a_gelled_resin_must_be_fixed_whatever_the_gap() -> None:
    asked = question(pour=pour(close=45 * 60.0), given_mm=2.0)

    assert ids(budget(asked), asked)[:2] == [("gap.air", "stop"), ("gap.push", "stop")]


def test_a_conflict_must_be_fixed() -> None:
    asked = question(pour=pour(close=45 * 60.0))

    assert ids(budget(asked), asked) == [("gap.conflict", "stop")]


def test_a_gap_narrower_than_the_habit_is_to_be_looked_at() -> None:
    asked = question()
    gap = budget(asked)
    found = {f.id: f for f in findings_of(gap, asked)}

    assert found["gap.habit"].severity == "warn"
    assert (found["gap.habit"].measured, found["gap.habit"].limit) == (gap.gap_mm, 3.0)


def test_castings_silence_the_habit() -> None:
    asked = question(learned=Learned(air_shift=0.1, castings=1))

    assert "gap.habit" not in dict(ids(budget(asked), asked))


def test_a_gap_as_wide_as_the_habit_is_not_mentioned() -> None:
    asked = question(
        resin=resin(viscosity=0.8, gel=1000.0, heat_j_g=150.0),
        plastic=PLASTIC.model_copy(update={"softens": 110.0}),
    )
    gap = budget(asked)

    assert gap.gap_mm > 3.0
    assert "gap.habit" not in dict(ids(gap, asked))


def test_bubbles_that_stay_in_are_noted() -> None:
    asked = question(pour=pour(shop=21.0))
    note = next(f for f in findings_of(budget(asked), asked) if f.id == "gap.bubbles")

    assert note.severity == "note"
    assert note.limit == pytest.approx(0.56, abs=0.01)
