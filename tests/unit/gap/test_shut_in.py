"""Air below resin on top of an insert, and under one that is pushed into resin."""

import math
from dataclasses import replace
from itertools import pairwise

import pytest
from scipy.integrate import solve_ivp

from mouldgen.finding import Learned
from mouldgen.gap.aging import at_shop
from mouldgen.gap.air import SAFETY, air
from mouldgen.gap.budget import budget
from mouldgen.gap.shut_in import bridging_mm, on_top, poured_over, pushed_ml, shut_in
from mouldgen.physics.arrest import least_tube_diameter
from mouldgen.physics.cure import mixing_viscosity_at, viscosity_at
from tests.gap_questions import bar, cup, flute, pour, question, resin, rod, without_take_up

WEIGHT = 1100.0 * 9.80665
TUBE_MM = 1000.0 * least_tube_diameter(0.040, density_difference=1100.0)  # 3.534


def whole_ml(asked, gap_mm: float) -> float:
    """Ring and disc of a rod of 30 x 70 mm on pips of 1 mm, a straight bore."""
    radius = 15.0 + gap_mm
    return math.pi * (70.0 * (radius**2 - 225.0) + radius**2) / 1000.0


def test_a_bridge_that_holds_shuts_in_ring_and_disc_by_hand() -> None:
    # pi (16^2 - 15^2) 70 = 6817.3 mm3, pi 16^2 = 804.2 mm3; 9 mm of resin squeeze it by Boyle.
    found = on_top(without_take_up(), 1.0)

    assert found.most_ml == pytest.approx(
        (6.81726 + 0.80425) * 101325 / (101325 + 97.086), rel=1e-6
    )


def test_the_weight_of_the_resin_squeezes_out_next_to_nothing() -> None:
    asked = without_take_up()

    for gap_mm in (0.01, 0.5, 2.0, 3.2):
        share = on_top(asked, gap_mm).most_ml / whole_ml(asked, gap_mm)
        assert 0.998 < share < 1.0


def test_a_bridge_that_breaks_up_leaves_what_has_not_climbed_by_the_gel() -> None:
    asked = without_take_up(pour=pour(shop=21.0))
    gel, close = at_shop(asked.resin, asked.pour).gel_s, asked.pour.close
    fresh = mixing_viscosity_at(294.15, viscosity=0.5, reference_temperature=298.15)

    def speed(time: float, _way):
        viscosity = viscosity_at(time, gel_time=gel, mixing_viscosity=fresh)
        return [WEIGHT * 0.0004**2 / (12.0 * viscosity)]

    stepped = solve_ivp(speed, (close, gel * (1 - 1e-9)), [0.0], rtol=1e-8, max_step=gel / 200.0)
    way = 1000.0 * stepped.y[0, -1] / SAFETY
    ring = math.pi * (15.4**2 - 225.0) * 70.0 / 1000.0
    expected = ring * (1.0 - way / 70.0) + math.pi * 15.4**2 / 1000.0

    assert 10.0 < way < 60.0
    assert on_top(asked, 0.4).least_ml == pytest.approx(expected, rel=2e-3)


def test_from_the_air_rules_gap_on_a_broken_bridge_leaves_nothing() -> None:
    for learned in (Learned(), Learned(air_shift=0.4, castings=5)):
        asked = without_take_up(learned=learned)
        needed = air(asked).value_mm

        assert on_top(asked, needed * 1.0001).least_ml == 0.0
        # Just below it the ring has cleared; the disc of 1 mm under the insert has not.
        disc = math.pi * (15.0 + needed) ** 2 / 1000.0
        assert on_top(asked, needed * 0.9999).least_ml == pytest.approx(disc, rel=3e-3)


def test_a_wide_gap_shuts_in_nothing() -> None:
    asked = without_take_up()
    limit = bridging_mm(asked)

    assert on_top(asked, limit * 0.999).most_ml > 20.0
    for gap_mm in (limit, 4.0, 10.0):
        assert on_top(asked, gap_mm).most_ml == on_top(asked, gap_mm).least_ml == 0.0


def test_what_is_taken_up_narrows_the_gap_but_not_the_volume() -> None:
    bare, taken = without_take_up(), question(insert=rod(measured_mm=(30.6,) * 22))

    assert on_top(taken, 3.5).most_ml == pytest.approx(
        whole_ml(taken, 3.5) * 101325 / (101325 + 97.086), rel=1e-6
    )
    assert on_top(bare, 3.5).most_ml == 0.0
    assert on_top(taken, 0.5).most_ml == on_top(bare, 0.5).most_ml
    assert on_top(taken, 0.5).least_ml > on_top(bare, 0.5).least_ml


def test_thicker_resin_shorter_gel_and_narrower_gap_never_leave_less() -> None:
    gaps = [0.02 * 1.25**k for k in range(30)]
    for seen in ("most_ml", "least_ml"):
        asked = without_take_up()
        shares = [getattr(on_top(asked, gap), seen) / whole_ml(asked, gap) for gap in gaps]
        assert all(b <= a * (1.0 + 1e-12) for a, b in pairwise(shares))  # rounding
        assert (shares[0] > 0.99, shares[-1]) == (True, 0.0)
        for gap in (0.3, 0.6, 3.4):
            thicker = [
                getattr(on_top(without_take_up(resin=resin(viscosity=v)), gap), seen)
                for v in (0.05, 0.2, 0.5, 1.0, 5.0, 50.0)
            ]
            shorter = [
                getattr(on_top(without_take_up(resin=resin(gel=60.0 * m)), gap), seen)
                for m in (600, 120, 40, 25, 15, 10)
            ]
            assert thicker == sorted(thicker)
            assert shorter == sorted(shorter)
            if (seen, gap) == ("least_ml", 0.3):
                assert thicker[0] < thicker[-1]
                assert shorter[0] < shorter[-1]


def test_a_thin_stick_is_too_small_round_for_its_bridge_to_break_up() -> None:
    # A ring breaks up from 2 pi l_c = 12.1 mm on; 3.0 + 0.5 mm of mean diameter make 11.0 mm.
    thin = on_top(without_take_up(insert=rod(envelope_mm=1.5)), 0.5)
    thick = on_top(without_take_up(insert=rod(envelope_mm=2.5)), 0.5)

    assert thin.least_ml == thin.most_ml
    assert thick.least_ml < thick.most_ml


# ---------------------------------------------------------------------- wider places


def test_a_wide_enough_vent_groove_lets_the_air_out() -> None:
    asked = without_take_up(vent_grooves=3)

    def grooved(radius_mm: float):
        return replace(asked, sizes=replace(asked.sizes, groove_mm=radius_mm))

    # At 1 mm of gap a half round of r holds a circle of 1 + r.
    assert on_top(grooved(TUBE_MM - 1.0 + 0.001), 1.0).most_ml == 0.0
    shut = on_top(grooved(TUBE_MM - 1.0 - 0.001), 1.0)
    assert shut.most_ml > whole_ml(asked, 1.0)  # the grooves are full of air as well
    assert bridging_mm(grooved(TUBE_MM - 1.0)) == pytest.approx(1.0, rel=1e-9)


def test_the_usual_vent_groove_does_not_in_a_tight_gap() -> None:
    asked = without_take_up(vent_grooves=3)
    usual = replace(asked, sizes=replace(asked.sizes, groove_mm=1.2))

    assert on_top(usual, 1.0).most_ml > 7.0
    assert 3.0 < bridging_mm(usual) < bridging_mm(without_take_up())


@pytest.mark.parametrize("insert", [bar(width=29.0, thickness=10.0), flute()], ids=["bar", "flute"])
def test_flutes_and_flats_wide_enough_do_too(insert) -> None:
    assert on_top(without_take_up(insert=insert), 0.2).most_ml == 0.0


@pytest.mark.parametrize(("share", "opens"), [(1.001, True), (0.999, False)])
def test_a_hole_through_the_insert_does_from_a_tubes_limit_on(share: float, opens: bool) -> None:
    """Its diameter, not its radius, is that of a tube that clears itself."""
    drilled = without_take_up(insert=rod(holes=1, hole_mm=share * TUBE_MM / 2.0))

    assert (on_top(drilled, 0.5).most_ml == 0.0) is opens
    assert (bridging_mm(drilled) == 0.0) is opens


@pytest.mark.parametrize("insert", [bar(width=10.0, thickness=10.0), flute(share=0.05)])
def test_shallow_ones_ask_for_some_gap(insert) -> None:
    asked = without_take_up(insert=insert)
    limit = bridging_mm(asked)

    assert 0.0 < limit < bridging_mm(without_take_up())
    assert on_top(asked, 0.99 * limit).most_ml > on_top(asked, 1.01 * limit).most_ml == 0.0


def test_a_draft_holds_the_frustum_more() -> None:
    asked = without_take_up()
    drafted = replace(asked, sizes=replace(cup(rod()), draft_deg=1.0))
    slope = math.tan(math.radians(1.0))
    low, foot, top = 16.0, 16.0 - slope, 16.0 + 70.0 * slope
    cavity = math.pi / 3.0 * 71.0 * (foot**2 + foot * top + top**2) / 1000.0

    assert low == pytest.approx(foot + slope)
    assert on_top(drafted, 1.0).most_ml == pytest.approx(
        (cavity - rod().volume_ml) * 101325 / (101325 + 97.086), rel=1e-6
    )


def wide_contour():
    """A bore of 18 mm round the rod, as its piece is; over 71 mm it closes to 16 mm."""
    asked = without_take_up()
    outline = ((0.0, 18.0), (70.0, 18.0))
    return replace(asked, sizes=replace(asked.sizes, family="contour", outline_mm=outline))


def test_a_contour_holds_the_air_of_its_own_bore() -> None:
    # pi (18^2 71 - 15^2 70) = 22786 mm3, where a cup of that gap would hold 7622 mm3.
    assert on_top(wide_contour(), 1.0).most_ml == pytest.approx(
        math.pi * (18.0**2 * 71.0 - 15.0**2 * 70.0) / 1000.0 * 101325 / (101325 + 97.086), rel=1e-6
    )


def test_a_bulge_is_reckoned_in() -> None:
    """From 16 mm at 21 mm to 26 mm at 31 and back at 41: two frusta in place of a cylinder."""
    asked = without_take_up()
    outline = ((0.0, 14.0), (20.0, 16.0), (30.0, 26.0), (40.0, 16.0), (70.0, 14.0))
    sizes = replace(asked.sizes, family="contour", outline_mm=outline)
    more = math.pi * 20.0 * ((16.0**2 + 16.0 * 26.0 + 26.0**2) / 3.0 - 16.0**2) / 1000.0
    squeezed = 101325 / (101325 + 97.086)

    bulged, plain = on_top(replace(asked, sizes=sizes), 1.0), on_top(asked, 1.0)
    assert bulged.most_ml - plain.most_ml == pytest.approx(more * squeezed, rel=1e-6)


# -------------------------------------------------------------------------- pushed in


def test_what_is_under_a_pushed_insert_by_hand() -> None:
    # The film of 0.19039 mm under 706.86 mm2; the resin stands 9 + 1 mm and the ring's 6.8173 ml
    # over 804.25 mm2 high, 18.477 mm, before the insert goes into it, and 1 mm when it is home.
    depth = 10.0 + 6817.26 / 804.248

    assert pushed_ml(without_take_up(), 1.0) == pytest.approx(0.70686 * 0.19039 / depth, rel=1e-4)


def test_a_contour_is_filled_as_high_as_its_own_bore_asks() -> None:
    """The resin of 80 mm less the rod stands 18 mm wide before the rod goes in."""
    closing = 2.0 * (18.0**2 + 18.0 * 16.0 + 16.0**2) / 3.0
    depth = (18.0**2 * 71.0 + closing + 16.0**2 * 7.0 - 15.0**2 * 70.0) / 18.0**2

    assert pushed_ml(wide_contour(), 1.0) == pytest.approx(0.70686 * 0.19039 / depth, rel=1e-4)


def test_pushing_more_slowly_catches_less() -> None:
    slow, fast = (pushed_ml(without_take_up(pour=pour(push_time=t)), 1.0) for t in (160.0, 10.0))

    assert fast == pytest.approx(2.0 * slow, rel=1e-12)  # the fourth root of 16


# --------------------------------------------------------------------------- which of them


def test_only_what_is_poured_on_top_is_bridged() -> None:
    once, twice = without_take_up(), without_take_up(pour=pour(layers=2))

    for sequence in ("resin-first", "bottom-feed"):
        assert poured_over(once, 1.0, sequence=sequence) is None
        upper = poured_over(twice, 1.0, sequence=sequence)
        # The upper half of the ring, nothing under the foot.
        assert upper.most_ml == pytest.approx(6.81726 / 2 * 101325 / (101325 + 97.086), rel=1e-6)
    first = poured_over(once, 1.0, sequence="insert-first")
    assert first.most_ml == shut_in(once, 1.0).on_top.most_ml


@pytest.mark.parametrize("sequence", ["insert-first", "resin-first", "auto", "bottom-feed"])
def test_the_sentence_has_both_volumes(sequence: str) -> None:
    asked = without_take_up(pour=pour(sequence=sequence), given_mm=1.0)
    (advice,) = (bound for bound in budget(asked).bounds if bound.rule == "sequence")

    assert (
        "at 1.00 mm, with resin poured on top, up to 7.6 ml of air can stay shut in below (under"
        " 0.1 ml should the bridge break up), with the insert pushed into resin, under 0.1 ml"
    ) in advice.why


def test_the_sentence_keeps_quiet_where_nothing_bridges_or_no_gap_is_known() -> None:
    wide = without_take_up(pour=pour(sequence="insert-first"), given_mm=4.0)
    none = without_take_up(pour=pour(close=45 * 60.0))
    open_ = without_take_up(insert=flute(), pour=pour(sequence="insert-first"), given_mm=1.0)

    for asked in (wide, none, open_):
        (advice,) = (bound for bound in budget(asked).bounds if bound.rule == "sequence")
        assert "ml" not in advice.why
