"""Bridged air and the film under a foot: against geometry, integrals and numbers by hand."""

import math

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp

from mouldgen.errors import InternalError
from mouldgen.physics.bridging import (
    air_left,
    breaking_perimeter,
    clearing_gap,
    climb,
    widest_circle,
)
from mouldgen.physics.foot_film import AIR_VISCOSITY, caught_film, share_kept

# ------------------------------------------------------------------ circle in a groove


@pytest.mark.parametrize("gap", [0.0, 0.3, 1.2, 1.7, 5.0])
def test_the_widest_circle_is_the_one_that_geometry_finds(gap: float) -> None:
    # The facing wall is y = 0, the groove a half round of 1.2 about (0, gap); by symmetry the
    # circle's centre is on x = 0.  Its radius is the least distance to wall, lips and back.
    height = np.linspace(0.0, gap + 1.2, 400_001)
    turn = np.linspace(0.0, math.pi, 2001)
    back = gap + 1.2 - height
    lips = np.hypot(1.2, gap - height)
    found = np.minimum(np.minimum(height, lips), back).max()

    assert widest_circle(gap, groove=1.2) == pytest.approx(2.0 * found, abs=1e-5)
    y = widest_circle(gap, groove=1.2) / 2.0
    arc = np.hypot(1.2 * np.cos(turn), gap + 1.2 * np.sin(turn) - y)
    assert arc.min() == pytest.approx(y, abs=1e-6)  # it touches the groove, and crosses it nowhere


@pytest.mark.parametrize("groove", [0.8, 1.2, 1.8, 3.0])
@pytest.mark.parametrize("gap", [0.2, 1.2, 2.5, 4.0])
def test_the_gap_that_clears_inverts_it(groove: float, gap: float) -> None:
    wide = widest_circle(gap, groove=groove)

    assert clearing_gap(wide, groove=groove) == pytest.approx(gap, rel=1e-7)


def test_a_groove_wide_enough_by_itself_asks_for_no_gap() -> None:
    assert clearing_gap(3.5, groove=3.6) == 0.0


# ------------------------------------------------------------------------ the bridge


def test_a_ring_breaks_up_from_where_its_longest_wave_grows() -> None:
    around = breaking_perimeter(0.040, density_difference=1100.0)

    # drho g = gamma k^2 for the wave that goes once round.
    assert 0.040 * (2.0 * math.pi / around) ** 2 == pytest.approx(1100.0 * 9.80665, rel=1e-12)
    # l_c is 1.926 mm for these (reference table of the arrest limits): rods over 3.85 mm.
    assert around / math.pi == pytest.approx(2.0 * 1.926e-3, rel=5e-4)


@pytest.mark.parametrize(
    ("gap", "speed"), [(1e-3, 1.79789e-3), (2e-3, 7.19154e-3), (5e-3, 4.49471e-2)]
)
def test_the_climb_is_the_published_speed_times_the_time(gap: float, speed: float) -> None:
    # Taylor & Saffman 1959 at 1100 kg/m3 and 0.5 Pa s, for 100 s.
    way = climb(gap, density_difference=1100.0, fluidity_integral=100.0 / 0.5)

    assert way == pytest.approx(100.0 * speed, rel=5e-6)


def test_what_stays_by_hand_and_at_its_limits() -> None:
    def left(climbed: float) -> float:
        return air_left(ring=6.0, under=2.0, height=0.06, climbed=climbed)

    assert left(0.0) == 8.0  # a bridge that holds, or no gap: all of it
    assert left(0.015) == pytest.approx(4.5 + 2.0)
    assert left(0.059999) == pytest.approx(2.0, abs=2e-4)  # what is under the insert goes last
    assert left(0.06) == left(1.0) == 0.0


# -------------------------------------------------------------------- under the foot


def test_the_caught_film_weighs_what_the_air_presses() -> None:
    film = caught_film(0.015, speed=0.07 / 60.0, density=1100.0)

    # By hand: 3 x 1.8e-5 x 1.1667e-3 x 2.25e-4/(1100 x 9.80665) = 1.3140e-15, its fourth root.
    assert film == pytest.approx(1.9039e-4, rel=1e-4)
    # Lubrication: what the foot sweeps inside r, pi r^2 U, leaves through 2 pi r h^3/(12 mu).
    middle, _ = quad(lambda r: 6.0 * AIR_VISCOSITY * (0.07 / 60.0) * r / film**3, 0.0, 0.015)
    assert middle == pytest.approx(1100.0 * 9.80665 * film, rel=1e-12)


def test_air_goes_out_with_the_liquid_below_the_foot() -> None:
    # Stepped: the foot comes down at 1 mm/s on 20 mm and stops at 2 mm; at depth H the liquid
    # runs outward at U r/(2 H) on average.
    step = solve_ivp(
        lambda t, r: 0.001 * r / (2.0 * (0.02 - 0.001 * t)), (0, 18), [1.0], rtol=1e-10, atol=1e-12
    )

    assert share_kept(0.002, start_depth=0.02) == pytest.approx(step.y[0, -1] ** -2, rel=1e-7)


def test_a_foot_that_meets_no_resin_on_its_way_keeps_all() -> None:
    assert share_kept(0.002, start_depth=0.001) == 1.0
    assert share_kept(0.0, start_depth=0.0) == 1.0
    assert share_kept(0.0, start_depth=0.01) == 0.0
    with pytest.raises(InternalError, match="are none"):
        share_kept(-1.0, start_depth=0.01)
