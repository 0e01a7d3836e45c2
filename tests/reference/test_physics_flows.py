"""Rings, holes, slots and capillaries against worked textbook problems and tables."""

import math
from decimal import Decimal, getcontext

import numpy as np
import pytest

from mouldgen.errors import InternalError
from mouldgen.physics import annulus, capillary, passage
from tests.finite_elements import graded, open_section

INCH, FOOT, PSI, POUND, HOUR = 0.0254, 0.3048, 6894.757293, 0.45359237, 3600.0

# ------------------------------------------------------------------------- rings


def test_textbook_annulus() -> None:
    # Bird, Stewart & Lightfoot, 2nd ed., Problem 2A.3 (number from memory): 0.110 ft3/s.  A
    # solution by hydraulic diameter gives 3.117e-3 m3/s, 0.1101 ft3/s.
    rate = annulus.flow(
        0.495 * INCH,
        (1.1 - 0.495) * INCH,
        length=27 * FOOT,
        pressure=5.39 * PSI,
        viscosity=136.8 * POUND / (FOOT * HOUR),
    )

    assert rate / FOOT**3 == pytest.approx(0.1097, abs=5e-5)
    assert rate / FOOT**3 == pytest.approx(0.110, rel=0.01)
    assert rate == pytest.approx(3.117e-3, rel=0.01)


def test_narrow_annulus_viscometer() -> None:
    # Radii 50 and 49 mm, 1 m, 1e-3 m3/s at 250 kPa: a textbook's problem, its value worked apart.
    viscosity = annulus.conductance(0.049, 0.001) * 250e3 / (1e-3 * 1.0)

    assert viscosity == pytest.approx(0.00648, rel=0.005)


def test_wide_annulus() -> None:
    # Radii 5 and 1 mm, 10 kPa/m, 0.1 Pa s: a published problem, its value worked apart.
    rate = annulus.flow(1e-3, 4e-3, length=1.0, pressure=10e3, viscosity=0.1)

    assert rate == pytest.approx(1.0450e-5, abs=5e-10)


@pytest.mark.parametrize(
    ("k", "unit_value", "half_digit"),
    [
        (0.5, 0.0494738, 5e-8),
        (0.8, 3.773034e-3, 5e-10),
        (0.9, 4.975108e-4, 5e-11),
        (0.95, 6.381640e-5, 5e-12),
    ],
)
def test_unit_values(k: float, unit_value: float, half_digit: float) -> None:
    # R = mu = L = dP = 1, worked apart from this code.
    rate = annulus.flow(k, 1.0 - k, length=1.0, pressure=1.0, viscosity=1.0)

    assert rate == pytest.approx(unit_value, abs=half_digit)


@pytest.mark.parametrize(
    ("k", "error", "half_digit"),
    [
        (0.5, -7.81e-3, 5e-6),
        (0.8, -8.28e-4, 5e-7),
        (0.9, -1.85e-4, 5e-7),
        (0.95, -4.4e-5, 5e-7),
        (0.99, -1.7e-6, 5e-8),
    ],
)
def test_thin_over_exact(k: float, error: float, half_digit: float) -> None:
    # Worked apart from this code.
    ratio = annulus.thin_conductance(k, 1.0 - k) / annulus.conductance(k, 1.0 - k)

    assert ratio - 1.0 == pytest.approx(error, abs=half_digit)


@pytest.mark.parametrize("gap", [3.0, 1.8, 1.718, 0.7, 0.1, 1e-2, 1e-4, 1e-6, 1e-9])
def test_no_digits_are_lost(gap: float) -> None:
    # The printed bracket, with sixty digits; the insert's radius is 1.
    getcontext().prec = 60
    outer = 1 + Decimal(gap)
    k = 1 / outer
    bracket = (1 - k**4) + (1 - k**2) ** 2 / k.ln()
    exact = Decimal(math.pi) * outer**4 / 8 * bracket

    assert annulus.conductance(1.0, gap) == pytest.approx(float(exact), rel=1e-14)


def test_a_wire_leaves_the_whole_bore_in_the_end() -> None:
    # The limit goes as 1/ln(R/a): Hagen & Poiseuille is reached slowly and from below.
    shares = [
        annulus.conductance(10.0**-n, 1.0 - 10.0**-n) / passage.tube_conductance(1.0)
        for n in (2, 10, 100)
    ]

    assert shares == sorted(shares)
    assert shares[-1] == pytest.approx(1.0 - 1.0 / (100 * math.log(10)), rel=1e-6)


# --------------------------------------------------------------- holes and slots


def test_hole_under_a_head() -> None:
    # Bore 5 mm, 10 mm long, under 50 mm of 1100 kg/m3 at 0.5 Pa s, worked apart: 1.6548 ml/s.
    head = 1100.0 * 9.80665 * 0.050
    rate = passage.tube_flow(2.5e-3, length=0.010, pressure=head, viscosity=0.5)

    assert 1e6 * rate == pytest.approx(1.6548, abs=5e-5)


@pytest.mark.parametrize(
    ("ratio", "factor"), [(1, 0.421731), (2, 0.686045), (5, 0.873950), (10, 0.936975)]
)
def test_slot_factors(ratio: float, factor: float) -> None:
    # The series, worked apart; a square's 0.421731 is 12 times 0.03514 (any text on ducts).
    assert passage.slot_factor(ratio * 1e-3, 1e-3) == pytest.approx(factor, abs=5e-7)


@pytest.mark.parametrize("ratio", [1.0, 1.3, 2.0, 7.0, 40.0, 900.0])
def test_slot_factor_is_the_plain_series(ratio: float) -> None:
    terms = (math.tanh(n * math.pi * ratio / 2) / n**5 for n in range(1, 4001, 2))
    series = 1.0 - 192.0 / (math.pi**5 * ratio) * math.fsum(terms)

    assert passage.slot_factor(ratio, 1.0) == pytest.approx(series, rel=1e-12)


def test_slot_factor_by_finite_elements() -> None:
    # A quarter of a 2 x 2 square seen from its middle: walls on two sides, symmetry on two.
    ticks = graded(12, 1.0)

    section = open_section(
        [np.meshgrid(ticks, ticks, indexing="ij")],
        insert=lambda x, _: abs(x - 1.0) < 1e-8,
        bore=lambda _, y: abs(y - 1.0) < 1e-8,
        copies=4,
    )
    assert section.area == pytest.approx(4.0, rel=1e-9)
    assert section.passed == pytest.approx(passage.slot_conductance(2.0, 2.0), rel=1e-4)


@pytest.mark.parametrize(
    ("ratio", "error", "within"), [(1, -0.12, 0.005), (2, 0.0, 0.002), (10, 0.0, 0.002)]
)
def test_wide_slot_approximation(ratio: float, error: float, within: float) -> None:
    approximate = passage.wide_slot_factor(ratio * 1e-3, 1e-3)

    assert approximate / passage.slot_factor(ratio, 1.0) - 1.0 == pytest.approx(error, abs=within)


def test_rectangle_has_no_long_side_of_its_own() -> None:
    one, other = passage.slot_conductance(3e-3, 1e-3), passage.slot_conductance(1e-3, 3e-3)

    assert one == other == pytest.approx(3e-12 / 12 * passage.slot_factor(3, 1), rel=1e-14)


def test_slot_flow_is_conductance_times_gradient() -> None:
    rate = passage.slot_flow(10e-3, 1e-3, length=0.02, pressure=500.0, viscosity=0.5)

    # w h^3 dP/(12 mu L) f by hand, f = 0.936975
    assert rate == pytest.approx(1e-11 * 500.0 / (12 * 0.5 * 0.02) * 0.936975, rel=1e-6)


# ------------------------------------------------------------------- capillaries


def test_jurin() -> None:
    # Water at 20 degC in a tube of radius 1 mm: 14.87 mm, worked apart.
    water = {"surface_tension": 0.0728, "contact_angle": 0.0, "density": 998.2}

    assert 1e3 * capillary.tube_rise(1e-3, **water) == pytest.approx(14.87, abs=0.005)
    assert capillary.slot_rise(1e-3, **water) == capillary.tube_rise(1e-3, **water)


EPOXY = {"surface_tension": 0.04, "contact_angle": math.radians(30.0)}


def test_washburn() -> None:
    # 0.040 N/m, 30 degrees, 0.5 Pa s, 60 s, worked apart: 22.80 mm and 26.32 mm.
    tube = capillary.tube_depth(0.25e-3, time=60.0, viscosity=0.5, **EPOXY)
    slot = capillary.slot_depth(0.5e-3, time=60.0, viscosity=0.5, **EPOXY)

    assert 1e3 * tube == pytest.approx(22.80, abs=0.005)
    assert 1e3 * slot == pytest.approx(26.32, abs=0.005)


def test_washburn_is_poiseuille_under_the_capillary_pressure() -> None:
    # dL/dt from the flow of a tube of length L driven by its entry suction.
    radius, depth = 0.25e-3, 0.0228
    suction = -capillary.tube_entry_pressure(radius, **EPOXY)
    speed = passage.tube_flow(radius, length=depth, pressure=suction, viscosity=0.5)
    speed /= math.pi * radius**2
    before, after = (
        capillary.tube_depth(radius, time=t, viscosity=0.5, **EPOXY)
        for t in (depth / (2 * speed) - 0.5, depth / (2 * speed) + 0.5)
    )

    assert after - before == pytest.approx(speed, rel=1e-4)
    assert (after + before) / 2 == pytest.approx(depth, rel=1e-4)


def test_released_wall_asks_for_pressure() -> None:
    # 2 gamma |cos theta|/b at 120 degrees and 0.5 mm: 80 Pa by hand.
    repelled = {"surface_tension": 0.04, "contact_angle": math.radians(120.0)}

    assert capillary.slot_entry_pressure(0.5e-3, **repelled) == pytest.approx(80.0, rel=1e-12)
    assert capillary.slot_entry_pressure(0.5e-3, **EPOXY) < 0.0
    assert capillary.slot_rise(0.5e-3, density=1100.0, **repelled) < 0.0


@pytest.mark.parametrize("depth", [capillary.tube_depth, capillary.slot_depth])
def test_released_wall_draws_nothing_in(depth) -> None:
    with pytest.raises(InternalError, match="does not enter by itself"):
        depth(
            0.5e-3,
            time=60.0,
            viscosity=0.5,
            surface_tension=0.04,
            contact_angle=math.radians(91.0),
        )
