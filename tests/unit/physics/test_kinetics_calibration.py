"""The cure at any temperature agrees with the curve at one, and its slopes with its rates."""

import math

import numpy as np
import pytest
from scipy.optimize import minimize_scalar

from mouldgen.errors import InternalError
from mouldgen.physics import cure
from mouldgen.physics.constants import ZERO_CELSIUS
from mouldgen.physics.glass import Glass
from mouldgen.physics.kinetics import Kinetics, calibrated, duration, energy_of_rule
from mouldgen.physics.reaction import Curing

C = ZERO_CELSIUS
GEL_S, SHEET = 2400.0, C + 25.0
FREEZING = {"plain": None, "freezing": Glass()}


@pytest.mark.parametrize("share", [0.01, 0.1, 0.35, 0.7, 0.99, 1.0])
def test_where_the_temperature_is_held_it_is_the_curve_of_the_gap(share: float) -> None:
    ours = calibrated(GEL_S, temperature=SHEET)

    assert duration(ours, cure.conversion_at(share), temperature=SHEET) == pytest.approx(
        share * GEL_S, rel=1e-9
    )


@pytest.mark.parametrize("share", [0.1, 0.5, 1.0])
def test_the_coming_glass_leaves_the_curve_to_the_gel_alone(share: float) -> None:
    ours = calibrated(GEL_S, temperature=SHEET, glass=Glass())

    assert duration(ours, cure.conversion_at(share), temperature=SHEET) == pytest.approx(
        share * GEL_S, rel=1e-4
    )


@pytest.mark.parametrize("celsius", [15.0, 21.0, 30.0])
def test_with_the_makers_rule_for_an_energy_both_say_the_same_gel_time(celsius: float) -> None:
    energy = energy_of_rule(2.0, cold=C + celsius, warm=C + celsius + 10.0)
    ours = calibrated(GEL_S, temperature=C + celsius, energy=energy)
    theirs = cure.gel_time_at(C + celsius + 10.0, gel_time=GEL_S, gel_temperature=C + celsius)

    assert duration(ours, cure.GEL_CONVERSION, temperature=C + celsius + 10.0) == pytest.approx(
        theirs, rel=1e-9
    )


def test_twice_as_fast_is_half_the_time() -> None:
    ours = calibrated(GEL_S, temperature=SHEET)

    assert duration(ours.scaled(2.0), 0.4, temperature=SHEET) == pytest.approx(
        duration(ours, 0.4, temperature=SHEET) / 2.0
    )


@pytest.mark.parametrize("transition", [C - 60.0, C - 20.0, C + 18.83, C + 90.0, C + 150.0])
def test_glass_and_conversion_are_inverse(transition: float) -> None:
    glass = Glass()

    assert glass.transition(glass.conversion(transition)) == pytest.approx(transition, rel=1e-12)


def test_cure_at_room_temperature_stops_where_it_turns_to_glass() -> None:
    ours = calibrated(GEL_S, temperature=SHEET, glass=Glass())
    stopped = Glass().conversion(SHEET + 20.0)

    assert stopped == pytest.approx(0.7831, abs=5e-5)  # 65/110 = 0.4 a/(1 - 0.6 a), by hand
    assert ours.rate(stopped, SHEET) == pytest.approx(0.5 * ours_plain(stopped), rel=1e-9)
    assert ours.rate(stopped + 0.1, SHEET) < 0.01 * ours_plain(stopped + 0.1)


def ours_plain(conversion: float) -> float:
    glassless = calibrated(GEL_S, temperature=SHEET)
    withglass = calibrated(GEL_S, temperature=SHEET, glass=Glass())
    same = withglass.growth_factor / glassless.growth_factor
    return same * glassless.rate(conversion, SHEET)


def test_a_shop_so_cold_that_glass_comes_before_the_gel_is_refused() -> None:
    with pytest.raises(InternalError, match="turns to glass before"):
        calibrated(GEL_S, temperature=C - 5.0, glass=Glass())


@pytest.mark.parametrize("kelvin", [280.0, 320.0, 400.0])
@pytest.mark.parametrize("energies", [(55e3, 55e3), (80e3, 50e3)])
def test_no_conversion_is_faster_than_the_fastest(
    kelvin: float, energies: tuple[float, float]
) -> None:
    ours = Kinetics(1e6, energies[0], 1e6, energies[1])
    found = minimize_scalar(
        lambda a: -ours.rate(a, kelvin),
        bounds=(0.0, 0.99),
        options={"xatol": 1e-10},
        method="bounded",
    )

    assert -found.fun <= ours.fastest(kelvin) < -found.fun * 1.0005


@pytest.mark.parametrize("glass", FREEZING.values(), ids=FREEZING)
@pytest.mark.parametrize("energies", [(55e3, 55e3), (80e3, 50e3)])
def test_rates_of_many_places_are_those_of_each(
    glass: Glass | None, energies: tuple[float, float]
) -> None:
    ours = Kinetics(1e6, energies[0], 1e6, energies[1], glass=glass)
    a, T = np.array([0.0, 0.01, 0.3, 0.577, 0.75, 0.95]), np.linspace(285.0, 400.0, 6)

    assert Curing(ours).rate(a, T) == pytest.approx(
        [ours.rate(float(x), float(t)) for x, t in zip(a, T, strict=True)], rel=1e-12
    )


@pytest.mark.parametrize("glass", FREEZING.values(), ids=FREEZING)
@pytest.mark.parametrize("energies", [(55e3, 55e3), (80e3, 50e3)])
def test_slopes_are_those_of_the_rates(glass: Glass | None, energies: tuple[float, float]) -> None:
    curing = Curing(Kinetics(1e6, energies[0], 1e6, energies[1], glass=glass))
    a, T = np.array([0.01, 0.3, 0.577, 0.75, 0.95]), np.array([290.0, 300.0, 310.0, 320.0, 370.0])
    by_a, by_T = curing.slopes(a, T)

    assert by_a == pytest.approx(
        (curing.rate(a + 1e-6, T) - curing.rate(a - 1e-6, T)) / 2e-6, rel=1e-6
    )
    assert by_T == pytest.approx(
        (curing.rate(a, T + 1e-3) - curing.rate(a, T - 1e-3)) / 2e-3, rel=1e-6
    )


def test_steps_beyond_the_ends_are_read_as_the_ends() -> None:
    curing = Curing(calibrated(GEL_S, temperature=SHEET))
    inside = curing.rate(np.array([0.0, 1.0 - 1e-9]), np.full(2, SHEET))

    assert curing.rate(np.array([-0.01, 1.01]), np.full(2, SHEET)) == pytest.approx(inside)
    assert math.isfinite(float(curing.slopes(np.zeros(1), np.full(1, SHEET))[0][0]))
