"""Which sequence suits, what it says of resin on top of an insert, and what auto picks."""

import math
from dataclasses import replace

import pytest

from mouldgen.gap.budget import budget
from mouldgen.gap.findings import findings_of
from mouldgen.gap.rules import bounds_of
from mouldgen.gap.sequence import WORTH_MM
from mouldgen.gap.shut_in import bridging_mm
from tests.gap_questions import (
    bar,
    flute,
    pour,
    question,
    resin,
    rod,
    without_take_up,
)

FLOW = {"resin-first": "push", "insert-first": "run-down", "bottom-feed": "feed"}
THICK = resin(viscosity=3.0)


def bound(asked, rule: str):
    return next(b for b in bounds_of(asked) if b.rule == rule)


@pytest.mark.parametrize("sequence", FLOW)
def test_each_sequence_has_its_own_rule_and_no_other(sequence: str) -> None:
    gap = budget(question(pour=pour(sequence=sequence)))

    assert [b.rule for b in gap.bounds if b.rule in FLOW.values()] == [FLOW[sequence]]
    assert gap.sequence == sequence


def test_the_slot_limit_is_the_capillary_one() -> None:
    # 1.6944 capillary lengths of sqrt(0.040/(1100 x 9.80665)) m.
    length_mm = 1000.0 * math.sqrt(0.040 / (1100.0 * 9.80665))

    assert bridging_mm(without_take_up()) == pytest.approx(1.6944 * length_mm, rel=1e-4)
    assert bridging_mm(without_take_up()) == pytest.approx(3.263, abs=0.001)
    taken = question(insert=rod(measured_mm=(30.6,) * 22))
    assert bridging_mm(taken) == pytest.approx(bridging_mm(without_take_up()) + 0.4, rel=1e-9)


@pytest.mark.parametrize("insert", [bar(width=29.0, thickness=10.0), flute()], ids=["bar", "flute"])
def test_wide_hollows_are_never_bridged_all_round(insert) -> None:
    asked = question(insert=insert, pour=pour(sequence="insert-first"))
    advice = bound(asked, "sequence")

    assert bridging_mm(asked) == 0.0
    assert advice.value_mm == math.inf
    assert "too wide for the resin to bridge" in advice.why
    assert "gap.sequence" not in {f.id for f in findings_of(budget(asked), asked)}


def test_resin_on_top_of_an_insert_in_a_tight_bore_is_warned_of() -> None:
    asked = question(pour=pour(sequence="insert-first"))
    gap = budget(asked)
    found = {f.id: f for f in findings_of(gap, asked)}

    assert gap.gap_mm < bridging_mm(asked)
    assert found["gap.sequence"].severity == "warn"
    assert found["gap.sequence"].measured == gap.gap_mm
    assert "can bridge all round and shut in the air below" in found["gap.sequence"].message
    assert "resin first, or feeding from the bottom, drives it out" in found["gap.sequence"].message
    assert bound(asked, "sequence").kind == "advice"


@pytest.mark.parametrize("sequence", ["resin-first", "bottom-feed", "auto"])
def test_air_that_is_driven_out_is_not_warned_of(sequence: str) -> None:
    asked = question(pour=pour(sequence=sequence))

    assert bound(asked, "sequence").value_mm == math.inf
    assert "drives the air out ahead of it" in bound(asked, "sequence").why
    assert "gap.sequence" not in {f.id for f in findings_of(budget(asked), asked)}


def test_a_gap_wide_enough_not_to_bridge_is_not_warned_of() -> None:
    asked = question(pour=pour(sequence="insert-first"), given_mm=4.5)

    assert bridging_mm(asked) < 4.5
    assert "gap.sequence" not in {f.id for f in findings_of(budget(asked), asked)}


def test_bottom_feed_says_how_wide_its_runner_must_be() -> None:
    asked = question(pour=pour(sequence="bottom-feed"))
    found = next(f for f in findings_of(budget(asked), asked) if f.id == "gap.runner")

    assert found.severity == "warn"
    assert f"at least {found.limit:.1f} mm wide inside" in found.message
    assert 1.0 < found.limit < 10.0


# ------------------------------------------------------------------------ auto


def gaps(asked) -> dict[str, float]:
    """The gap of each sequence by itself, without heat."""
    found = {}
    for sequence in FLOW:
        one = replace(asked, pour=asked.pour.model_copy(update={"sequence": sequence}))
        least = [b.value_mm for b in bounds_of(one) if b.kind == "at_least"]
        found[sequence] = math.inf if None in least else max(least)
    return found


def test_resin_goes_first_where_all_tie() -> None:
    # The air rule asks for more than any flow.
    asked = without_take_up(insert=flute())

    assert len(set(gaps(asked).values())) == 1
    assert budget(asked).sequence == "resin-first"


def test_a_little_less_gap_is_not_worth_a_runner() -> None:
    asked = without_take_up(vent_grooves=0, pour=pour(push=10.0))
    by = gaps(asked)

    assert 0.0 < by["resin-first"] - by["bottom-feed"] < WORTH_MM
    assert budget(asked).sequence == "resin-first"


def test_the_bottom_is_fed_where_the_push_asks_for_much_more() -> None:
    asked = without_take_up(pour=pour(push=0.1), insert=rod(length_mm=140.0))
    by = gaps(asked)
    chosen = budget(replace(asked, resin=resin(heat_j_g=60.0)))

    assert by["resin-first"] - by["bottom-feed"] > WORTH_MM
    assert chosen.sequence == "bottom-feed"
    assert chosen.gap_mm == pytest.approx(by["bottom-feed"], abs=0.01)
    advice = next(b for b in chosen.bounds if b.rule == "sequence")
    assert (
        f"chosen because it asks for {by['bottom-feed']:.2f} mm against {by['resin-first']:.2f} mm"
        " with the resin first"
    ) in advice.why


def test_resin_on_top_is_never_picked_where_it_would_bridge() -> None:
    # A funnel fed mould has to rise; here running down alone would be the easiest.
    asked = without_take_up(insert=rod(length_mm=250.0), pour=pour(push=0.001, mix=60.0))
    by = gaps(asked)

    assert by["insert-first"] < bridging_mm(asked)
    assert budget(asked).sequence == "bottom-feed"


def test_where_nothing_flows_the_resin_goes_first() -> None:
    gap = budget(question(pour=pour(close=45 * 60.0)))

    assert (gap.gap_mm, gap.sequence) == (None, "resin-first")


@pytest.mark.parametrize(
    ("layers", "told"),
    [(2, "its other layer is poured on top of it"), (4, "its other 3 layers are poured on top")],
)
def test_the_layers_on_top_are_counted_in_words(layers: int, told: str) -> None:
    asked = without_take_up(pour=pour(sequence="resin-first", layers=layers), given_mm=4.0)
    (advice,) = (bound for bound in budget(asked).bounds if bound.rule == "sequence")
    assert told in advice.why
