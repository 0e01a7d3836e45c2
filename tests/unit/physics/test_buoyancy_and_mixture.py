import math

import pytest

from mouldgen.physics.buoyancy import lift
from mouldgen.physics.mixture import mass_share_a, mixed_density


def test_lift_of_a_walnut_rod() -> None:
    # 40 x 150 mm, 116.1 g, in 1100 kg/m3: 0.8947 N (91.2 gf), worked by hand.
    force = lift(1100.0, immersed_volume=math.pi * 0.02**2 * 0.15, mass=0.1161)

    assert force == pytest.approx(0.8947, abs=1.5e-4)
    assert force / 9.80665e-3 == pytest.approx(91.2, abs=0.05)


def test_a_dense_insert_sinks() -> None:
    assert lift(1000.0, immersed_volume=1e-3, mass=1.5) == pytest.approx(-0.5 * 9.80665)


@pytest.mark.parametrize(
    ("ratio", "b_per_100_a", "density"),
    [((2, 1), 42.48, 1.0733), ((1, 1), 84.96, 1.0450), ((3, 1), 28.32, 1.0875)],
)
def test_a_volume_ratio_by_mass(
    ratio: tuple[float, float], b_per_100_a: float, density: float
) -> None:
    parts = {"density_a": 1.13, "density_b": 0.96, "by_volume": True}
    share = mass_share_a(*ratio, **parts)

    assert 100 * (1 - share) / share == pytest.approx(b_per_100_a, abs=0.005)
    assert mixed_density(*ratio, **parts) == pytest.approx(density, abs=5e-5)


def test_the_two_bases_tell_of_the_same_mixture() -> None:
    volume = mixed_density(2, 1, density_a=1.13, density_b=0.96, by_volume=True)
    mass = mixed_density(2 * 1.13, 0.96, density_a=1.13, density_b=0.96, by_volume=False)

    assert mass == pytest.approx(volume, rel=1e-14)
    assert mass_share_a(3, 1, density_a=1.2, density_b=0.9, by_volume=False) == 0.75
