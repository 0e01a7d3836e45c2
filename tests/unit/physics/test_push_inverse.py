import math

import pytest

from mouldgen.physics import push

EFFORT = {"length": 0.07, "viscosity": 1.0, "force": 20.0}


@pytest.mark.parametrize("gap", [1e-7, 1e-5, 1e-4, 5e-4, 1.577e-3, 2e-3, 0.05, 3.0])
def test_least_gap_inverts_the_time(gap: float) -> None:
    time = push.push_time(0.015, gap, **EFFORT)

    assert push.least_gap(0.015, time=time, **EFFORT) == pytest.approx(gap, rel=1e-10)


@pytest.mark.parametrize("ratio", [1e-3, 0.02, 0.0999, 0.1001])
def test_series_and_closed_form_agree(ratio: float) -> None:
    # At a ratio this large the plain difference still has ten digits.
    w = math.log1p(ratio)

    assert push.drag_factor(1.0, ratio) == pytest.approx(
        2 * math.pi / (w - math.tanh(w)), rel=1e-15 / ratio**3 * 10
    )


@pytest.mark.parametrize("ratio", [1e-9, 1e-6, 1e-4])
def test_leading_orders_for_a_narrow_gap(ratio: float) -> None:
    # The terms left out are of the order of the ratio squared.
    two_terms = 6 * math.pi / ratio**3 * (1 + 1.5 * ratio)

    assert push.drag_factor(1.0, ratio) == pytest.approx(two_terms, rel=2 * ratio**2 + 1e-14)


def test_force_is_resistance_times_speed() -> None:
    force = push.push_force(0.9, 0.1, length=2.0, speed=3.0, viscosity=0.5)

    assert force == pytest.approx(3.0 * 16187.94, rel=1e-6)


def test_solid_resin_lets_nothing_through() -> None:
    solid = {**EFFORT, "viscosity": math.inf}

    assert push.least_gap(0.015, time=60.0, **solid) == math.inf


def test_a_gap_beyond_floats_is_infinite() -> None:
    thick = {**EFFORT, "viscosity": 1e9}

    assert push.least_gap(0.015, time=60.0, **thick) == math.inf
