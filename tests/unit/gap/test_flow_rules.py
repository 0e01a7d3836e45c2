"""push, run-down and feed on shapes: against exact values, and stepped through in time."""

import math
from dataclasses import replace

import pytest
from scipy.integrate import solve_ivp

from mouldgen.gap.aging import at_shop
from mouldgen.gap.feed import feed, feed_gap_mm, least_runner_mm
from mouldgen.gap.passage import least_gap_mm, passage_of
from mouldgen.gap.push import push, push_gap_mm
from mouldgen.gap.run_down import CONTACT_ANGLE, SURFACE_TENSION, run_down, run_down_gap_mm
from mouldgen.physics import annulus, general_push
from mouldgen.physics import push as round_push
from mouldgen.physics.cure import mixing_viscosity_at, viscosity_at
from mouldgen.size.question import FUNNEL_MM
from tests.gap_questions import bar, flute, pour, question, resin, rod, without_take_up

WEIGHT = 1100.0 * 9.80665


def viscosity(asked, time: float) -> float:
    shop_k = asked.pour.shop + 273.15
    fresh = mixing_viscosity_at(
        shop_k, viscosity=asked.resin.viscosity, reference_temperature=298.15
    )
    gel = at_shop(asked.resin, asked.pour).gel_s
    return viscosity_at(time, gel_time=gel, mixing_viscosity=fresh)


# ------------------------------------------------------------------------ push


def test_a_rod_without_grooves_is_the_falling_cylinder() -> None:
    asked = without_take_up()
    aged = at_shop(asked.resin, asked.pour)
    exact = round_push.least_gap(
        0.015, length=0.07, force=20.0, time=60.0, viscosity=aged.viscosity_pa_s
    )

    assert push_gap_mm(asked, aged) == pytest.approx(1000.0 * exact, rel=1e-11)


@pytest.mark.parametrize("gap", [1e-5, 5e-4, 3e-3])
def test_grooves_in_closed_form_are_those_of_the_strips(gap: float) -> None:
    ring = general_push.radial_gap([0.015] * 48, 0.015 + gap)
    strips = general_push.drag_factor(*ring, area=math.pi * 0.015**2, grooves=1e-11)

    assert round_push.grooved_drag_factor(0.015, gap, grooves=1e-11) == pytest.approx(
        float(strips), rel=1e-12
    )
    assert round_push.grooved_drag_factor(0.015, gap, grooves=1e-40) == pytest.approx(
        round_push.drag_factor(0.015, gap), rel=1e-11
    )


def test_each_vent_groove_leaves_less_to_push() -> None:
    values = [push(without_take_up(vent_grooves=n)).value_mm for n in range(4)]

    assert values == sorted(values, reverse=True)
    assert values[0] == pytest.approx(0.51, abs=0.005)
    assert values[3] < 0.3


def test_flutes_carry_the_resin_past() -> None:
    shallow, deep = (push(without_take_up(insert=flute(share=share))) for share in (0.02, 0.2))

    assert deep.value_mm < shallow.value_mm < push(without_take_up()).value_mm
    assert "needs no more than flutes, flats and grooves" in deep.why


def test_a_gap_that_is_hardly_there_does_not_read_as_zeros() -> None:
    easy = push(without_take_up(pour=pour(push=1e9)))
    grooved = push(without_take_up(pour=pour(push=1e9), vent_grooves=3))

    assert 0.0 < easy.value_mm < 0.005
    assert "needs under 0.01 mm in resin" in easy.why
    assert "needs no more than flutes, flats and grooves in resin" in grooved.why


def test_a_bar_in_thick_resin_binds_by_its_corners() -> None:
    asked = without_take_up(insert=bar(), resin=resin(viscosity=400.0))
    aged = at_shop(asked.resin, asked.pour)
    gap = push_gap_mm(asked, aged)
    passage = passage_of(asked)

    assert 0.0 < gap < push_gap_mm(replace(asked, insert=rod()), aged)
    drag = 2.0 * 20.0 * 60.0 / (aged.viscosity_pa_s * 0.07**2)
    assert passage.drag(gap / 1000.0) == pytest.approx(drag, rel=1e-9)


def test_a_bar_passes_its_resin_along_the_flats_alone() -> None:
    assert push(without_take_up(insert=bar())).value_mm == 0.0


def test_the_open_section_is_the_bore_less_the_insert() -> None:
    asked = question(insert=bar(width=24.0, thickness=18.0), vent_grooves=2)

    # Two half rounds of 1.5 mm, and a bore of 15 + 1 mm.
    expected = math.pi * 16.0**2 - 24.0 * 18.0 + math.pi * 1.5**2
    assert passage_of(asked).open_area(0.001) * 1e6 == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize(("demand", "gap_mm"), [(3.0, 12.0), (1e-30, 0.0), (1e30, math.inf)])
def test_a_cube_law_is_inverted(demand: float, gap_mm: float) -> None:
    found = least_gap_mm(lambda gap: demand * (0.012 / gap) ** 3 / 3.0, 1.0)

    assert found == pytest.approx(gap_mm, rel=1e-11)


# -------------------------------------------------------------------- run-down


@pytest.mark.parametrize(
    ("insert", "thick"),
    [(rod(), 0.5), (flute(share=0.05), 20.0), (bar(), 200.0)],
    ids=["rod", "flute", "bar"],
)
@pytest.mark.parametrize("mix_min", [2.0, 10.0])
def test_at_its_gap_the_resin_is_down_and_up_again_when_the_mould_closes(
    insert, thick: float, mix_min: float
) -> None:
    asked = without_take_up(
        insert=insert,
        resin=resin(viscosity=thick),
        pour=pour(mix=mix_min * 60.0, close=840.0),
    )
    gap = run_down_gap_mm(asked, at_shop(asked.resin, asked.pour)) / 1000.0
    passage, area = passage_of(asked), passage_of(asked).open_area(gap)
    width = area / (math.pi * (2.0 * passage.envelope + gap))
    drawn = 2.0 * SURFACE_TENSION * math.cos(CONTACT_ANGLE) / (WEIGHT * width)

    def speed(time: float, way):
        fall = passage.conductance(gap) * WEIGHT / (area * viscosity(asked, time))
        down = way[0] < 0.07
        return [fall * (1.0 + drawn / max(way[0], 1e-9)) if down else fall]

    def home(_time: float, way) -> float:
        return way[0] - 0.14

    home.terminal = True
    step = solve_ivp(speed, (asked.pour.mix, 2000.0), [1e-6], events=home, rtol=1e-9, max_step=2.0)
    assert step.t[-1] == pytest.approx(840.0, rel=2e-3)


def test_more_time_to_run_down_asks_for_less() -> None:
    values = [
        run_down(without_take_up(pour=pour(mix=mix * 60.0))).value_mm for mix in (2, 6, 10, 13)
    ]

    assert values == sorted(values)
    assert values[-1] > 1.5 * values[0]


def test_no_time_to_run_down_leaves_no_gap() -> None:
    bound = run_down(without_take_up(pour=pour(mix=839.9999)))

    assert bound.value_mm is None
    assert "does not run down 70 mm past the insert in any gap up to 100 mm" in bound.why


@pytest.mark.parametrize("rule", [run_down, feed])
def test_the_take_up_comes_on_top_of_what_runs(rule) -> None:
    bare = rule(without_take_up()).value_mm
    bound = rule(question(insert=rod(measured_mm=(30.6,) * 22)))

    assert bound.value_mm == pytest.approx(bare + 0.4, rel=1e-12)
    assert bound.why.endswith("plus 0.40 mm that the thickest insert and the printer take up")


@pytest.mark.parametrize("rule", [run_down, feed])
def test_nothing_runs_once_it_has_gelled(rule) -> None:
    bound = rule(question(pour=pour(close=40 * 60.0)))

    assert bound.value_mm is None
    assert bound.why.startswith("at this temperature the resin gels 40 min after")


# ------------------------------------------------------------------------ feed


@pytest.mark.parametrize("gap_times", [1.0, 2.0])
def test_with_its_runner_the_mould_is_full_when_it_closes(gap_times: float) -> None:
    asked = without_take_up(pour=pour(mix=600.0))
    aged = at_shop(asked.resin, asked.pour)
    gap = gap_times * feed_gap_mm(asked, aged) / 1000.0
    # Insert, resin over it, freeboard, and the funnel over the rim.
    head = (70.0 + 9.0 + 10.0 + FUNNEL_MM) / 1000.0
    runner = math.pi * (least_runner_mm(asked, 1000.0 * gap) / 2000.0) ** 4 / 8.0
    ring, area = annulus.conductance(0.015, gap), passage_of(asked).open_area(gap)

    def speed(time: float, level):
        held = area * (head / runner + level[0] / ring)
        return [WEIGHT * (head - level[0]) / (held * viscosity(asked, time))]

    def full(_time: float, level) -> float:
        return level[0] - 0.07

    full.terminal = True
    step = solve_ivp(speed, (600.0, 4000.0), [0.0], events=full, rtol=1e-9, max_step=5.0)
    if gap_times == 1.0:
        assert step.t[-1] == pytest.approx(840.0, rel=1e-3)
    else:
        assert step.t[-1] < 840.0


def test_a_wider_bore_takes_a_wider_runner() -> None:
    asked = without_take_up()

    narrow, wide = (least_runner_mm(asked, gap) for gap in (1.0, 4.0))
    # Four times the gap is a little more than four times the resin, and the fourth root of that.
    assert 4.0**0.25 < wide / narrow < 5.0**0.25


def test_a_resin_that_has_gelled_comes_through_no_runner() -> None:
    assert least_runner_mm(question(pour=pour(mix=2400.0, close=2500.0)), 1.0) == math.inf


def test_a_demand_of_nothing_is_met_at_any_gap() -> None:
    """What a passage of next to no length asks is no more than a number can hold."""
    assert least_gap_mm(lambda _: 0.0, 1.0) == 0.0
    assert least_gap_mm(lambda gap: 0.0 if gap > 1e-3 else 2.0, 1.0) == pytest.approx(1.0, rel=1e-6)
