"""The falling cylinder: its factor by quadrature of the velocity, and tables worked apart."""

import math

import pytest
from scipy.integrate import quad

from mouldgen.physics import push


@pytest.mark.parametrize(
    ("k", "factor", "half_digit"),
    [
        (0.80, 1730.259, 5e-4),
        (0.90, 16187.94, 5e-3),
        (0.95, 139822.2, 0.05),
        (0.99, 1.856851e7, 5.0),
    ],
)
def test_drag_factor_table(k: float, factor: float, half_digit: float) -> None:
    # 2 pi / [ln(1/k) - (1 - k^2)/(1 + k^2)] (Bird, Stewart & Lightfoot, Problem 2C.4).
    assert push.drag_factor(k, 1.0 - k) == pytest.approx(factor, abs=half_digit)


@pytest.mark.parametrize("k", [0.3, 0.5, 0.8, 0.9])
def test_drag_factor_by_quadrature_of_the_flow(k: float) -> None:
    # Radius of the bore, viscosity and the insert's speed are 1.  The axial velocity is
    # v = G (r^2 - 1)/4 + B ln r, with v(k) = -1; no net flow: the insert's own pi k^2 returns.
    def shape_g(r: float) -> float:
        return (r * r - 1.0) / 4.0 - (k * k - 1.0) / 4.0 * math.log(r) / math.log(k)

    def shape_1(r: float) -> float:
        return -math.log(r) / math.log(k)

    flow_g, flow_1 = (
        quad(lambda r, f=f: 2 * math.pi * r * f(r), k, 1.0)[0] for f in (shape_g, shape_1)
    )
    gradient = (math.pi * k * k - flow_1) / flow_g
    log_part = -(gradient * (k * k - 1.0) / 4.0 + 1.0) / math.log(k)
    shear = gradient * k / 2.0 + log_part / k
    force = -(gradient * math.pi * k * k - shear * 2 * math.pi * k)

    assert force == pytest.approx(push.drag_factor(k, 1.0 - k), rel=1e-7)


@pytest.mark.parametrize(
    ("gap_mm", "seconds", "half_digit"),
    [
        (0.5, 643.0, 0.5),
        (1.0, 78.0, 0.05),
        (1.5, 22.4, 0.05),
        (2.0, 9.17, 0.005),
        (2.5, 4.55, 0.005),
        (3.0, 2.55, 0.005),
    ],
)
def test_time_table(gap_mm: float, seconds: float, half_digit: float) -> None:
    # Bore of radius 25 mm, 150 mm deep, 0.5 Pa s, 20 N; worked apart from this code.
    time = push.push_time(
        (25.0 - gap_mm) / 1000, gap_mm / 1000, length=0.15, force=20.0, viscosity=0.5
    )

    assert time == pytest.approx(seconds, abs=half_digit)
