"""The two rules on thick rings: what they allow, what they say, and when they run no history."""

import math
import re
from dataclasses import replace

import pytest

from mouldgen.finding import Bound
from mouldgen.gap.budget import budget
from mouldgen.gap.depth import depth
from mouldgen.gap.findings import findings_of
from mouldgen.gap.heat import (
    data_sheet,
    heat,
    heat_j_kg,
    hot_at,
    likely_way,
    limits_of,
    resin_limit_c,
    section,
)
from mouldgen.gap.words import most_mm
from mouldgen.physics import overheat
from mouldgen.physics.constants import ZERO_CELSIUS
from mouldgen.physics.exotherm import cure_in_mould
from tests.gap_questions import PLASTIC, pour, question, resin, rod


def softening(celsius: float):
    return PLASTIC.model_copy(update={"softens": celsius})


# ---------------------------------------------------------------- heat


@pytest.mark.parametrize("softens", [59.0, 76.0, 100.0])
def test_at_the_rules_gap_the_wall_is_just_cool_enough(softens: float) -> None:
    asked = question(plastic=softening(softens))
    bound = heat(asked)
    told = [
        cure_in_mould(
            data_sheet(asked.resin),
            section(asked, bound.value_mm + more),
            belief=likely_way(asked.resin),
            air=asked.pour.shop + ZERO_CELSIUS,
        ).wall_peak
        - ZERO_CELSIUS
        for more in (0.0, 0.1)
    ]

    assert bound.kind == "at_most"
    assert told[0] <= softens - 10.0 < told[1]
    assert bound.why == (
        f"above {most_mm(bound.value_mm)} the wall may pass {softens - 10:g} degC, 10 C degrees"
        " below where the plastic softens"
    )
    assert bound.relax
    assert not any("pours" in text for text in bound.relax)  # a layer is as thick a ring


def test_a_resin_that_may_not_become_hot_is_told() -> None:
    asked = question(plastic=softening(150.0), resin=resin(hottest=60.0))
    bound = heat(asked)

    assert 1.0 < bound.value_mm < heat(question(plastic=softening(150.0))).value_mm
    assert "the resin may pass 60 degC" in bound.why
    assert "wall" not in bound.why


def test_worse_conditions_allow_no_wider_gap() -> None:
    base = heat(question()).value_mm

    assert heat(question(plastic=softening(60.0))).value_mm < base
    assert heat(question(resin=resin(gel=1200.0))).value_mm < base
    assert heat(question(resin=resin(heat_j_g=450.0))).value_mm < base
    assert heat(question(pour=pour(shop=32.0))).value_mm < base
    assert heat(question(resin=resin(heat_j_g=150.0))).value_mm > base


def test_a_resin_slow_in_the_bucket_does_not_bind() -> None:
    bound = heat(question(resin=resin(gel=86_400.0, gel_mass=5000.0)))

    assert bound.value_mm == math.inf
    assert bound.why == "does not bind: up to 15 mm neither the resin nor the wall gets too hot"


@pytest.mark.parametrize("shop", [60.0, 75.0])
def test_a_shop_as_hot_as_the_plastic_may_become_leaves_no_gap(shop: float) -> None:
    bound = heat(question(pour=pour(shop=shop)))

    assert bound.value_mm is None
    assert bound.why.startswith(f"the shop's {shop:g} degC")


def test_hollows_full_of_resin_can_leave_no_gap() -> None:
    # A cross of thin blades: three quarters of a round of 60 mm are resin.
    blades = rod(envelope_mm=30.0, core_mm=3.0, section_mm2=700.0)
    bound = heat(question(insert=blades))

    assert bound.value_mm is None
    assert bound.why.startswith("in any gap the wall may pass 60 degC")


def cleared_mm(bound: Bound) -> float:
    """How far the sentence says that the gap may go."""
    told = re.fullmatch(
        r"does not bind: up to (\d+\.\d\d) mm at least,"
        r" neither the resin nor the wall gets too hot",
        bound.why,
    )
    assert told, bound.why
    return float(told[1])


def test_where_the_quick_bound_clears_the_gap_no_history_is_run(monkeypatch) -> None:
    asked = question(pour=pour(shop=21.0))
    true = heat(asked).value_mm
    monkeypatch.setattr(overheat, "run", None)  # a history would need it
    bound = heat(asked, at_mm=1.0)

    assert bound.value_mm == math.inf
    assert 1.0 <= cleared_mm(bound) <= true


def test_where_it_does_not_one_history_can() -> None:
    asked = question(pour=pour(shop=21.0))
    true = heat(asked).value_mm
    bound = heat(asked, at_mm=true / 1.25)

    assert bound.value_mm == math.inf
    assert cleared_mm(bound) == pytest.approx(1.2 * true / 1.25, abs=0.006)


@pytest.mark.parametrize("at_mm", [9.0, 40.0])
def test_where_neither_does_the_rule_is_asked_in_full(at_mm: float) -> None:
    assert heat(question(), at_mm=at_mm).value_mm == heat(question()).value_mm


def test_an_opening_bore_counts_at_the_fill_line() -> None:
    asked = question()
    wider = replace(asked, sizes=replace(asked.sizes, draft_deg=math.degrees(math.atan(0.02))))
    size = wider.size(1.0)

    assert section(wider, 1.0).bore_radius * 1000 == pytest.approx(
        size.foot_mm + 0.02 * size.fill_mm
    )


def test_what_no_card_says_is_believed() -> None:
    assert heat_j_kg(resin()) == 325e3
    assert heat_j_kg(resin(kind="urethane")) == 200e3
    assert heat_j_kg(resin(heat_j_g=280.0)) == 280e3
    assert resin_limit_c(resin()) == 120.0
    assert resin_limit_c(resin(hottest=95.0)) == 95.0


def test_the_rules_facts_in_si() -> None:
    asked = question()
    sheet, ring = data_sheet(asked.resin), section(asked, 2.0)

    assert (sheet.gel_time, sheet.mass) == (2400.0, pytest.approx(0.1))
    assert sheet.density == pytest.approx(1100.0)
    assert sheet.temperature == pytest.approx(298.15)
    assert ring.insert_radius == pytest.approx(0.015)
    assert ring.bore_radius == pytest.approx(0.017)
    assert ring.wall == pytest.approx(0.00168)
    assert ring.insert.density == pytest.approx(680.0)
    assert limits_of(asked).wall == pytest.approx(60.0 + 273.15)


# ---------------------------------------------------------------- depth


def test_a_ring_on_wood_may_be_about_half_as_thick_as_a_slab() -> None:
    bound = depth(question(resin=resin(depth=4.0)))
    bore = 15.0 + bound.value_mm

    assert (bore**2 - 15.0**2) / bore == pytest.approx(4.0, rel=1e-12)  # 2 V/A_cooled
    assert bound.value_mm == pytest.approx(2.0, rel=0.1)
    assert "on its outside only" in bound.why


def test_a_solid_round_may_be_as_wide_as_the_slab_is_thick() -> None:
    bare = rod(envelope_mm=1e-6, core_mm=1e-6, section_mm2=0.0)

    # Without an insert 2 V/A is the radius.
    assert depth(question(insert=bare, resin=resin(depth=50.0))).value_mm == pytest.approx(50.0)


def test_without_a_depth_on_the_card_nothing_binds() -> None:
    bound = depth(question())

    assert bound.value_mm == math.inf
    assert bound.why == "does not bind: the data sheet's greatest thickness is not given"
    assert bound.relax == ()


def test_hollows_thicker_than_the_data_sheet_allows_leave_no_gap() -> None:
    blades = rod(envelope_mm=30.0, core_mm=3.0, section_mm2=700.0)
    bound = depth(question(insert=blades, resin=resin(depth=10.0)))

    assert bound.value_mm is None
    assert "own hollows" in bound.why


def test_the_hot_end_warns_where_the_likely_middle_allows() -> None:
    """Between the two limits a build is told to look; below the lower one it is told nothing."""
    asked = question(pour=pour(shop=21.0))
    likely = heat(asked).value_mm
    hot = next(gap for gap in (0.25 * k for k in range(1, 60)) if hot_at(asked, gap))
    assert hot < likely
    for gap, told in ((hot, True), (0.5 * hot, False)):
        given = replace(asked, given_mm=gap)
        found = [f for f in findings_of(budget(given), given) if f.id == "gap.hot"]
        assert bool(found) is told
        assert all(f.severity == "warn" and "may run hot" in f.message for f in found)
