"""Rise of bubbles: speeds of Taylor & Saffman's formula and of Stokes', and their integrals."""

import pytest

from mouldgen.physics import heleshaw
from mouldgen.physics.cure import fluidity_integral

LIQUID = {"density_difference": 1100.0, "viscosity": 0.5}
CLIMB = {"density_difference": 1100.0, "safety": 2.0}


@pytest.mark.parametrize(
    ("gap_mm", "speed"),
    [(1, 1.79789e-3), (2, 7.19154e-3), (3, 1.61810e-2), (5, 4.49471e-2)],
)
def test_flat_bubble_in_a_gap(gap_mm: float, speed: float) -> None:
    # Taylor & Saffman 1959: drho g b^2/(12 mu), worked to six digits.
    assert heleshaw.rise_speed(gap_mm / 1000, **LIQUID) == pytest.approx(speed, rel=4e-6)


@pytest.mark.parametrize(
    ("diameter", "drho", "viscosity", "speed", "rel"),
    [
        (1e-3, 1100.0, 0.5, 1.198591e-3, 5e-7),  # Stokes, worked to seven digits
        (70e-6, 1600.0, 1e-3, 4.1425e-3, 0.04),  # a drag correlation's worked example
    ],
)
def test_small_free_bubble(
    diameter: float, drho: float, viscosity: float, speed: float, rel: float
) -> None:
    ours = heleshaw.free_rise_speed(diameter, density_difference=drho, viscosity=viscosity)

    assert ours == pytest.approx(speed, rel=rel)


def test_flat_bubble_in_its_own_width_is_half_again_as_fast() -> None:
    # A gas bubble with a free surface (Hadamard 1911) also has the 12.
    ratio = heleshaw.rise_speed(2e-3, **LIQUID) / heleshaw.free_rise_speed(2e-3, **LIQUID)

    assert ratio == pytest.approx(1.5, rel=1e-15)


@pytest.mark.parametrize("gap_mm", [0.3, 1.0, 2.5])
def test_the_integral_is_speed_times_time_while_nothing_thickens(gap_mm: float) -> None:
    seconds = 300.0
    climbed = heleshaw.rise_speed(gap_mm / 1000, **LIQUID) * seconds

    least = heleshaw.least_gap(climbed / 2.0, fluidity_integral=seconds / 0.5, **CLIMB)

    assert 1000 * least == pytest.approx(gap_mm, rel=1e-14)


def test_free_bubble_and_gap_keep_a_fixed_ratio() -> None:
    integral = fluidity_integral(840.0, gel_time=2400.0, mixing_viscosity=0.5)
    bubble = heleshaw.least_free_bubble(0.07, fluidity_integral=integral, **CLIMB)

    assert bubble / heleshaw.least_gap(0.07, fluidity_integral=integral, **CLIMB) == (
        pytest.approx(1.5**0.5, rel=1e-14)
    )


def test_a_gap_half_as_wide_is_four_times_as_slow() -> None:
    fast, slow = (
        heleshaw.least_gap(0.07, fluidity_integral=integral, **CLIMB)
        for integral in (4000.0, 1000.0)
    )

    assert slow / fast == pytest.approx(2.0, rel=1e-14)
