"""Heat goes the way that physics goes: more resin, more heat, a worse film never cool a mould."""

import math
from dataclasses import replace

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from mouldgen.errors import InputError
from mouldgen.physics.constants import ZERO_CELSIUS
from mouldgen.physics.cup import calibrate, gel_in_cup
from mouldgen.physics.cure import GEL_CONVERSION
from mouldgen.physics.exotherm import cure_in_mould
from mouldgen.physics.kinetics import calibrated, duration
from mouldgen.physics.lumped import fastest_cure
from mouldgen.physics.lumped_ring import ring_rise
from mouldgen.physics.material import printed, resin, wood
from mouldgen.physics.overheat import could_overheat
from mouldgen.physics.section import Section
from mouldgen.physics.steady import Limits, resistances
from tests.strategies import data_sheets, factors, heat_beliefs

SHOP = ZERO_CELSIUS + 21.0
ASH, PETG = wood(678.0, temperature=SHOP), printed(1270.0)
STEPS_K = 0.5  # what steps and cells may add or take
STEPS_SHARE = 0.03


def ring(gap_mm: float) -> Section:
    return Section(0.015, 0.015 + gap_mm / 1000.0, 0.00168, ASH, PETG)


def rises(sheet, belief, gap_mm: float) -> tuple[float, float]:
    told = cure_in_mould(sheet, ring(gap_mm), belief=belief, air=SHOP)
    return told.peak - SHOP, told.wall_peak - SHOP


def no_less(more: float, less: float) -> bool:
    return more >= less * (1.0 - STEPS_SHARE) - STEPS_K


@given(sheet=data_sheets(), belief=heat_beliefs())
def test_every_resin_can_be_calibrated(sheet, belief) -> None:
    found = gel_in_cup(sheet, sheet.mass, belief=belief, air=sheet.temperature)

    assert abs(found / sheet.gel_time - 1.0) < 0.01


@given(sheet=data_sheets(), belief=heat_beliefs())
def test_self_heating_is_never_taken_for_a_fast_cure(sheet, belief) -> None:
    held = calibrated(sheet.gel_time, temperature=sheet.temperature, energy=belief.energy)
    try:
        cure = calibrate(sheet, replace(belief))
    except InputError:  # a kilogram that gels in two minutes: refused in plain words
        assume(False)
    found = duration(cure, GEL_CONVERSION, temperature=sheet.temperature)

    assert found >= duration(held, GEL_CONVERSION, temperature=sheet.temperature) * 0.99


@given(sheet=data_sheets(), belief=heat_beliefs(), factor=factors())
def test_a_larger_batch_never_gels_later(sheet, belief, factor: float) -> None:
    small = gel_in_cup(sheet, 0.05, belief=belief, air=SHOP)
    large = gel_in_cup(sheet, 0.05 * factor, belief=belief, air=SHOP)

    assert large <= small * 1.01


@given(sheet=data_sheets(), belief=heat_beliefs(), gap=st.floats(0.5, 4.0), factor=factors())
def test_a_thicker_ring_never_stays_cooler(sheet, belief, gap: float, factor: float) -> None:
    # In the range in which the limits of plastics lie; beyond, peaks hang on a front's width.
    thin, thick = rises(sheet, belief, gap), rises(sheet, belief, gap * factor)
    assume(max(thin) < 80.0)

    assert no_less(thick[0], thin[0])
    assert no_less(thick[1], thin[1])


@given(sheet=data_sheets(), belief=heat_beliefs(), gap=st.floats(0.5, 8.0), warmer=st.floats(0, 10))
def test_a_warmer_shop_never_gives_a_cooler_mould(sheet, belief, gap: float, warmer: float) -> None:
    cool = cure_in_mould(sheet, ring(gap), belief=belief, air=SHOP)
    warm = cure_in_mould(sheet, ring(gap), belief=belief, air=SHOP + warmer)
    assume(cool.peak < SHOP + 80.0)

    assert no_less(warm.peak - SHOP, cool.peak - SHOP)
    assert warm.gel <= cool.gel * 1.01 or math.isinf(cool.gel)


@given(
    sheet=data_sheets(),
    belief=heat_beliefs(),
    gap=st.floats(0.2, 6.0),
    limit=st.floats(5.0, 60.0),
)
def test_the_quick_no_holds(sheet, belief, gap: float, limit: float) -> None:
    limits = Limits(resin=SHOP + limit, wall=SHOP + limit)
    try:
        assume(not could_overheat(sheet, ring(gap), belief=belief, air=SHOP, limits=limits))
    except InputError:  # no rate fits the data sheet: refused in plain words
        assume(False)

    assert max(rises(sheet, belief, gap)) <= limit


@given(sheet=data_sheets(), belief=heat_beliefs())
def test_a_cup_at_one_temperature_asks_for_no_slower_a_cure(sheet, belief) -> None:
    try:
        true = calibrate(sheet, belief)
    except InputError:
        assume(False)
    found = fastest_cure(sheet, belief)

    assert found.growth_factor >= true.growth_factor
    assert found.start_factor >= true.start_factor


@settings(max_examples=200)
@given(
    sheet=data_sheets(),
    belief=heat_beliefs(),
    insert=st.just(0.0) | st.floats(0.001, 0.03),
    gap=st.floats(0.2, 8.0),
    wall=st.floats(0.0008, 0.005),
)
def test_a_ring_at_one_temperature_is_no_cooler(
    sheet, belief, insert: float, gap: float, wall: float
) -> None:
    section = Section(insert, insert + gap / 1000.0, wall, ASH, PETG)
    try:
        cure = calibrate(sheet, belief)
    except InputError:
        assume(False)
    material = resin(sheet.density)
    to_air, within = resistances(section, belief.film, material.conductivity)
    gain = sheet.density * belief.heat / material.stored
    rise = ring_rise(
        cure, gain=gain, to_air=to_air + within, stored=material.stored, air=SHOP, most=gain
    )
    # Near to the whole heat of the cure there is nothing left to bound.
    assume(rise < 0.5 * gain)
    true = cure_in_mould(sheet, section, belief=belief, air=SHOP)

    step = 0.05  # K, what the history allows itself a step
    assert true.peak - SHOP <= rise + step
    assert true.wall_peak - SHOP <= rise * to_air / (to_air + within) + step
