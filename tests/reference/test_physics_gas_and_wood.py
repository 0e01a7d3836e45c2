"""Boyle's law at the pots' pressures, and the Wood Handbook's formulas."""

import pytest

from mouldgen.errors import InternalError
from mouldgen.physics import gas, wood
from mouldgen.physics.buoyancy import lift

PSI, BAR = 6894.757293, 1e5  # [Pa], NIST SP 811, App. B

# ---------------------------------------------------------------------------- gas


@pytest.mark.parametrize(
    ("gauge", "volume", "diameter"),
    [
        (40 * PSI, 0.268684, 0.645279),
        (50 * PSI, 0.227154, 0.610155),
        (60 * PSI, 0.196744, 0.581612),
        (80 * PSI, 0.155191, 0.537389),
        (2 * BAR, 0.336265, 0.695388),
        (3 * BAR, 0.252476, 0.632034),
        (4 * BAR, 0.202114, 0.586857),
    ],
)
def test_boyle_table(gauge: float, volume: float, diameter: float) -> None:
    # p_atm/(p_atm + p) at 101325 Pa, worked apart from this code.
    assert gas.volume_share(gauge) == pytest.approx(volume, abs=5e-7)
    assert gas.diameter_share(gauge) == pytest.approx(diameter, abs=5e-7)


def test_shop_in_the_mountains() -> None:
    # 80 kPa of air under the same 400 kPa gauge: one sixth.
    assert gas.volume_share(400e3, atmospheric=80e3) == pytest.approx(1 / 6, rel=1e-14)


def test_no_pressure_and_a_half_vacuum() -> None:
    assert gas.volume_share(0.0) == gas.diameter_share(0.0) == 1.0
    assert gas.volume_share(-gas.STANDARD_ATMOSPHERE / 2) == pytest.approx(2.0, rel=1e-14)


def test_nothing_but_vacuum() -> None:
    with pytest.raises(InternalError, match="leaves no air"):
        gas.volume_share(-gas.STANDARD_ATMOSPHERE)


def test_laplace() -> None:
    # 2 gamma/r at 0.050 mm and 0.040 N/m: 1.6 kPa, under half a percent of 50 psi.
    pressure = gas.laplace_pressure(50e-6, surface_tension=0.04)

    assert pressure == pytest.approx(1600.0, rel=1e-12)
    assert pressure < 0.005 * 50 * PSI


def test_level_sinks_by_what_the_air_gives_up() -> None:
    # 5 ml shut in under 1000 mm2 at 50 psi: 5000 mm3 (1 - 0.227154)/1000 mm2 = 3.8642 mm.
    drop = gas.level_drop(5e-6, surface=1e-3, gauge_pressure=50 * PSI)

    assert 1e3 * drop == pytest.approx(3.8642, abs=5e-5)


# --------------------------------------------------------------------------- wood


def test_ash_of_the_handbook() -> None:
    # Chapter 4: white ash, basic 0.55, its chart gives 0.605 and 678 kg/m3 at 12 percent.
    gravity = wood.gravity_at(0.55, moisture=12.0)

    assert gravity == pytest.approx(0.6027, abs=5e-5)
    assert gravity == pytest.approx(0.605, rel=0.01)
    assert wood.density(gravity, moisture=12.0) == pytest.approx(678.0, rel=0.01)
    assert round(wood.density(0.605, moisture=12.0)) == 678


@pytest.mark.parametrize(
    ("gravity", "kg_m3"), [(0.4, 448.0), (0.55, 616.0), (0.63, 705.6), (0.5, 560.0), (0.68, 761.6)]
)
def test_density_at_12_percent(gravity: float, kg_m3: float) -> None:
    # Eq. 4-12; the first as printed in Table 4-6, the others by hand.
    assert wood.density(gravity, moisture=12.0) == pytest.approx(kg_m3, rel=1e-12)


def test_green_wood_has_its_basic_gravity() -> None:
    assert wood.gravity_at(0.55, moisture=30.0) == 0.55


@pytest.mark.parametrize(
    ("gravity", "moisture", "conductivity", "half_digit"),
    [
        (0.605, 12.0, 0.16558, 5e-6),
        (0.63, 12.0, 0.1716, 5e-5),
        (0.55, 12.0, 0.1522, 5e-5),
        # a published library's worked example: basic 0.54, 12.3 percent shrinkage, 10 percent
        (0.54 / (1.0 - 0.123 * (1.0 - 10.0 / 30.0)), 10.0, 0.15672, 5e-6),
    ],
)
def test_conductivity(
    gravity: float, moisture: float, conductivity: float, half_digit: float
) -> None:
    # Eq. 4-15, worked apart from this code.
    ours = wood.conductivity_across(gravity, moisture=moisture)

    assert ours == pytest.approx(conductivity, abs=half_digit)


def test_conductivity_as_tabulated() -> None:
    # Table 4-7 prints 0.18 W/(m K) for sugar maple at 12 percent, from its own gravity.
    assert wood.conductivity_across(0.63, moisture=12.0) == pytest.approx(0.18, rel=0.10)


@pytest.mark.parametrize(
    ("gravity", "moisture", "match"),
    [(0.29, 12.0, "specific gravity 0.29"), (0.5, 26.0, "26 percent"), (0.5, -1.0, "-1 percent")],
)
def test_conductivity_outside_its_range(gravity: float, moisture: float, match: str) -> None:
    with pytest.raises(InternalError, match=match):
        wood.conductivity_across(gravity, moisture=moisture)


@pytest.mark.parametrize(("kelvin", "kj"), [(340.0, 1.91463), (300.0, 1.66324)])
def test_heat_capacity(kelvin: float, kj: float) -> None:
    # Eqs 4-16 and 4-17 at 12 percent; 1.91 at 340 K is a published library's worked example.
    assert wood.heat_capacity(kelvin, moisture=12.0) / 1000 == pytest.approx(kj, abs=5e-6)


def test_heat_capacity_of_dry_wood() -> None:
    # Eq. 4-16 alone: 0.1031 + 0.003867 * 300 = 1.2632 kJ/(kg K), by hand.
    assert wood.heat_capacity(300.0, moisture=0.0) == pytest.approx(1263.2, rel=1e-12)


@pytest.mark.parametrize("function", [wood.heat_capacity, wood.gravity_at])
def test_no_value_above_fibre_saturation(function) -> None:
    with pytest.raises(InternalError, match="31 percent moisture"):
        function(0.5, moisture=31.0)


@pytest.mark.parametrize(
    ("gravity", "voids"), [(0.55, 0.567), (0.63, 0.504), (0.60, 0.528), (0.50, 0.607)]
)
def test_void_fraction_at_12_percent(gravity: float, voids: float) -> None:
    # 1 - G (0.667 + 0.01 x), Siau 1984 from memory: walnut, sugar maple, white ash, cherry.
    assert wood.void_fraction(gravity, moisture=12.0) == pytest.approx(voids, abs=6e-4)


def test_void_fraction_of_dry_wood() -> None:
    assert wood.void_fraction(0.6, moisture=0.0) == pytest.approx(1.0 - 0.6 / 1.5, rel=1e-14)


@pytest.mark.parametrize(
    ("basic", "handbook", "other"), [(0.3, 268, 267), (0.5, 135, 133), (0.9, 46, 44)]
)
def test_most_moisture(basic: float, handbook: float, other: float) -> None:
    # Wood Handbook with 1.54 for the cell wall; 1.50 is in use too.
    assert round(wood.most_moisture(basic)) == handbook
    assert round(wood.most_moisture(basic, cell_wall_gravity=1.50)) == other


def test_full_of_water_is_full() -> None:
    most = wood.most_moisture(0.5, cell_wall_gravity=1.5)

    assert wood.void_fraction(0.5, moisture=most - 1e-9) == pytest.approx(0.0, abs=1e-9)
    with pytest.raises(InternalError, match=r"cannot hold 134 percent.*up to 133 percent"):
        wood.void_fraction(0.5, moisture=134.0)


def test_most_uptake() -> None:
    # Walnut at 12 percent in 1100 kg/m3: 624 kg/m3, worked apart.
    assert wood.most_uptake(0.55, moisture=12.0, resin_density=1100.0) == pytest.approx(624, abs=1)


def test_movement() -> None:
    # 40 mm of walnut along the rings, 7.8 percent to oven-dry (Table 4-3, from memory), from 12
    # to 6 percent: 40 * 0.078 * 6/30 = 0.624 mm less.
    change = wood.movement(0.040, shrinkage=7.8, moisture_change=-6.0)

    assert 1e3 * change == pytest.approx(-0.624, rel=1e-12)


def test_walnut_dowel_under_resin() -> None:
    # 40 x 150 mm at 12 percent in 1100 kg/m3: 0.8947 N, worked apart.
    volume = 188.50e-6
    mass = wood.density(0.55, moisture=12.0) * volume
    force = lift(1100.0, immersed_volume=volume, mass=mass)

    assert force == pytest.approx(0.8947, abs=1e-4)


def test_live_oak_barely_floats() -> None:
    # 986 kg/m3 at 12 percent: sinks in a resin lighter than that.
    heavy = wood.density(0.88, moisture=12.0)

    assert round(heavy) == 986
    assert lift(980.0, immersed_volume=1e-4, mass=heavy * 1e-4) < 0.0
