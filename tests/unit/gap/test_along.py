"""The passage past an insert that is not the same all along: sums by hand, integrals by scipy."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from scipy.integrate import quad

from mouldgen.gap.along import Along, passages
from mouldgen.gap.passage import Passage
from mouldgen.gap.push import push_gap_mm
from mouldgen.gap.question import GapQuestion
from mouldgen.insert import facts_of
from mouldgen.insert.facts import Slice
from mouldgen.physics import annulus
from mouldgen.physics.push import drag_factor
from tests.gap_questions import ROD, pour, rod, without_take_up
from tests.insert_shapes import COIL, OUTLINE, TAPER_DOWN, TAPER_UP, TUBE, insert

GAPS = (0.2e-3, 0.8e-3, 3e-3)  # m


def asked(made: object, **changes: object) -> GapQuestion:
    return without_take_up(insert=facts_of(made, density_g_ml=0.68), **changes)


def radius(made: object, z: float) -> float:
    """Of a taper of 30 to 18 mm, 70 mm long, at a height [m]."""
    low, high = (0.015, 0.009) if made is TAPER_UP else (0.009, 0.015)
    return low + (high - low) * z / 0.07


def stepped(lower: float, upper: float) -> GapQuestion:
    """A rod of two thicknesses, 30 mm and 40 mm long [mm]."""
    pieces = tuple(
        Slice(length, r, r, math.pi * r * r, math.pi * r * r)
        for length, r in ((30.0, lower), (40.0, upper))
    )
    section = sum(p.section_mm2 * p.length_mm for p in pieces) / 70.0
    made = replace(ROD, envelope_mm=max(lower, upper), section_mm2=section, slices=pieces)
    return without_take_up(insert=made)


@pytest.mark.parametrize("gap", GAPS)
def test_push_past_two_slices_is_the_sum_worked_by_hand(gap: float) -> None:
    """t = mu/F [C_1 (L^2 - l^2)/2 + C_2 l^2/2]: the lower slice goes through all of L, the upper
    through its own l."""
    (past,) = passages(stepped(12.0, 15.0))
    bore = 0.015 + gap
    lower, upper = drag_factor(0.012, bore - 0.012), drag_factor(0.015, gap)
    by_hand = (lower * (0.07**2 - 0.04**2) + upper * 0.04**2) / 0.07**2
    assert past.drag(gap) == pytest.approx(by_hand, rel=1e-12)


@pytest.mark.parametrize("made", [TAPER_UP, TAPER_DOWN], ids=["up", "down"])
@pytest.mark.parametrize("gap", [1e-6, *GAPS])
def test_push_past_a_taper_is_the_integral(made: object, gap: float) -> None:
    (past,) = passages(asked(made))
    bore = 0.015 + gap

    def weighed(z: float) -> float:
        return drag_factor(radius(made, z), bore - radius(made, z)) * (0.07 - z)

    thick = 0.0 if made is TAPER_UP else 0.07
    narrow = [abs(thick - d) for d in (1e-6, 1e-5, 1e-4, 1e-3, 1e-2)]
    whole, _ = quad(weighed, 0.0, 0.07, points=narrow, limit=500, epsabs=0.0, epsrel=1e-10)
    assert past.drag(gap) == pytest.approx(2.0 * whole / 0.07**2, rel=1e-6)


@pytest.mark.parametrize("made", [TAPER_UP, TAPER_DOWN], ids=["up", "down"])
@pytest.mark.parametrize("gap", GAPS)
def test_feed_and_run_down_past_a_taper_are_their_integrals(made: object, gap: float) -> None:
    """J rho g from the front's own law: A dz/dt = Q, rho g (drive) = mu Q integral dz/K behind."""
    (past,) = passages(asked(made, vent_grooves=0))
    bore, length, head = 0.015 + gap, 0.07, 0.11

    def area(z: float) -> float:
        return math.pi * (bore**2 - radius(made, z) ** 2)

    def resistance(z: float) -> float:
        return 1.0 / annulus.conductance(radius(made, z), bore - radius(made, z))

    def filling(way: object, drive: object) -> float:
        def rate(z: float) -> float:
            behind, _ = quad(lambda y: resistance(way(y)), 0.0, z, limit=200)
            return area(way(z)) * behind / drive(z)

        return quad(rate, 0.0, length, limit=200)[0]

    up = filling(lambda z: z, lambda z: head - z)
    down = filling(lambda d: length - d, lambda d: d or 1e-300)
    slowness = past.open_area(gap) / past.conductance(gap)
    assert slowness * length == pytest.approx(down, rel=3e-3)
    assert slowness * past.way_up(gap, head=head) == pytest.approx(up, rel=3e-3)


@pytest.mark.parametrize("gap", GAPS)
def test_an_insert_that_only_looks_sliced_is_the_straight_one(gap: float) -> None:
    (straight,) = passages(without_take_up(insert=rod(envelope_mm=15.0)))
    (sliced,) = passages(stepped(15.0, 15.0))
    assert isinstance(sliced, Passage)
    apart = Along(
        0.015, tuple(s for q in (stepped(15.0, 14.9999999),) for s in passages(q)[0].stretches)
    )
    for one in (sliced, apart):
        assert one.drag(gap) == pytest.approx(straight.drag(gap), rel=1e-6)
        assert one.open_area(gap) == pytest.approx(straight.open_area(gap), rel=1e-6)
        assert one.conductance(gap) == pytest.approx(straight.conductance(gap), rel=1e-3)
    head, length = 0.11, 0.07
    closed = head * math.log(head / (head - length)) - length
    assert apart.way_up(gap, head=head) == pytest.approx(closed, rel=2e-3)


def test_resin_comes_up_through_an_open_tube() -> None:
    """Through 8 mm of bore a tube goes home in a gap that would stop a rod of its size."""
    gap = 0.1e-3
    (open_,), (shut,) = (
        passages(asked(TUBE)),
        passages(asked(insert(shape="rod", diameter="12 mm"))),
    )
    pipe, full = math.pi * 0.004**4 / 8.0, math.pi * 0.006**2
    assert open_.drag(gap) < 1e-3 * shut.drag(gap)
    # Nearly all of it passes the bore, C = (pi R^2)^2/(pi b^4/8), beside the ring's own shear;
    # what the wall drags along, a thirtieth, is left out here.
    shear = 2.0 * math.pi / math.log1p(gap / 0.006)
    assert open_.drag(gap) == pytest.approx(full**2 / pipe + shear, rel=0.02)
    # Past the ring it runs as past the rod.
    assert open_.conductance(gap) == shut.conductance(gap)
    assert open_.open_area(gap) == shut.open_area(gap)


def test_a_taper_asks_for_less_than_the_rod_that_encloses_it() -> None:
    resin_first = pour(push=2.0, push_time=20.0)
    question = asked(TAPER_UP, pour=resin_first, vent_grooves=0)
    enclosing = without_take_up(insert=rod(envelope_mm=15.0), pour=resin_first, vent_grooves=0)
    from mouldgen.gap.aging import at_shop

    resin = at_shop(question.resin, question.pour)
    needed, most = push_gap_mm(question, resin), push_gap_mm(enclosing, resin)
    assert 0.0 < needed < most
    down = push_gap_mm(asked(TAPER_DOWN, pour=resin_first, vent_grooves=0), resin)
    # The thick end last is in the narrow bore for a shorter way.
    assert down < needed


def test_layers_have_a_passage_each() -> None:
    layered = passages(asked(OUTLINE, pour=pour(layers=2)))
    assert [sum(s.length for s in one.stretches) for one in layered] == pytest.approx(
        [0.035, 0.035]
    )
    assert [len(one.stretches) for one in layered] == [2, 1]
    assert layered[1].stretches[0].lower == pytest.approx(0.0093)
    (alone,) = passages(asked(COIL, pour=pour(layers=2)))
    assert alone.holes == pytest.approx(math.pi * 0.005**4 / 8.0)
