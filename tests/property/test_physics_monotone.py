"""Each formula goes the way that physics goes in each of its arguments.

A case gives the formula, its arguments, and for each whether more of it gives more (1) or less
(-1).  Every argument is first scaled by half to twice, then the one under test is made larger.
"""

import math

import numpy as np
import pytest
from hypothesis import assume, given

from mouldgen.physics import (
    annulus,
    arrest,
    bridging,
    bubble,
    capillary,
    foot_film,
    gas,
    general_push,
    passage,
    wood,
)
from tests.strategies import factors, scalings

ROUNDING = 1e-12


def push_time(*, radius, gap, length, force, viscosity, grooves):
    """A stick of square section in a round bore, its corners at the radius."""
    turn = np.linspace(0.0, 2.0 * np.pi, 240, endpoint=False)
    profile = radius * math.sqrt(0.5) / np.cos(np.mod(turn, np.pi / 2) - np.pi / 4)
    drag = general_push.drag_factor(
        *general_push.radial_gap(profile, radius + gap), area=2.0 * radius**2, grooves=grooves
    )
    return general_push.push_time(drag, length=length, force=force, viscosity=viscosity)


CASES = {
    "mobile bubble": (
        bubble.mobile_rise_speed,
        {"diameter": 1e-3, "density_difference": 1e3, "viscosity": 0.5, "inner_viscosity": 2e-5},
        {"diameter": 1, "density_difference": 1, "viscosity": -1, "inner_viscosity": -1},
    ),
    "walls": (bubble.wall_factor, {"diameter": 1e-3, "gap": 1e-2}, {"diameter": -1, "gap": 1}),
    "tube that lets a bubble go": (
        arrest.least_tube_diameter,
        {"surface_tension": 0.04, "density_difference": 1e3},
        {"surface_tension": 1, "density_difference": -1},
    ),
    "slot that lets a bubble go": (
        arrest.least_slot_gap,
        {"surface_tension": 0.04, "density_difference": 1e3},
        {"surface_tension": 1, "density_difference": -1},
    ),
    "circle in a groove": (
        bridging.widest_circle,
        {"gap": 1.2e-3, "groove": 1.2e-3},
        {"gap": 1, "groove": 1},
    ),
    "ring that breaks up": (
        bridging.breaking_perimeter,
        {"surface_tension": 0.04, "density_difference": 1e3},
        {"surface_tension": 1, "density_difference": -1},
    ),
    "climb": (
        bridging.climb,
        {"gap": 1e-3, "density_difference": 1e3, "fluidity_integral": 500.0},
        {"gap": 1, "density_difference": 1, "fluidity_integral": 1},
    ),
    "air left": (
        bridging.air_left,
        {"ring": 7e-6, "under": 1e-6, "height": 0.07, "climbed": 0.05},
        {"ring": 1, "under": 1, "height": 1, "climbed": -1},
    ),
    "film under a foot": (
        foot_film.caught_film,
        {"radius": 0.015, "speed": 1e-3, "density": 1e3, "gas_viscosity": 2e-5},
        {"radius": 1, "speed": 1, "density": -1, "gas_viscosity": 1},
    ),
    "annulus": (
        annulus.flow,
        {"radius": 0.011, "gap": 5e-4, "length": 0.07, "pressure": 1e3, "viscosity": 0.5},
        {"radius": 1, "gap": 1, "length": -1, "pressure": 1, "viscosity": -1},
    ),
    "tube": (
        passage.tube_flow,
        {"radius": 2e-3, "length": 0.01, "pressure": 500.0, "viscosity": 0.5},
        {"radius": 1, "length": -1, "pressure": 1, "viscosity": -1},
    ),
    "slot": (
        passage.slot_flow,
        {"width": 2e-3, "gap": 1.5e-3, "length": 0.01, "pressure": 500.0, "viscosity": 0.5},
        {"width": 1, "gap": 1, "length": -1, "pressure": 1, "viscosity": -1},
    ),
    "capillary rise": (
        capillary.tube_rise,
        {"radius": 1e-3, "surface_tension": 0.04, "contact_angle": 0.7, "density": 1100.0},
        {"radius": -1, "surface_tension": 1, "contact_angle": -1, "density": -1},
    ),
    "capillary entry": (
        capillary.slot_depth,
        {"gap": 1e-3, "time": 60.0, "surface_tension": 0.04, "contact_angle": 0.3, "viscosity": 1},
        {"gap": 1, "time": 1, "surface_tension": 1, "contact_angle": -1, "viscosity": -1},
    ),
    "Boyle": (
        gas.diameter_share,
        {"gauge_pressure": 3e5, "atmospheric": 9e4},
        {"gauge_pressure": -1, "atmospheric": 1},
    ),
    "level": (
        gas.level_drop,
        {"trapped_volume": 5e-6, "surface": 1e-3, "gauge_pressure": 3e5, "atmospheric": 9e4},
        {"trapped_volume": 1, "surface": -1, "gauge_pressure": 1, "atmospheric": -1},
    ),
    "wood weighs": (
        wood.density,
        {"gravity": 0.4, "moisture": 8.0},
        {"gravity": 1, "moisture": 1},
    ),
    "wood dries and thickens": (
        wood.gravity_at,
        {"basic_gravity": 0.4, "moisture": 5.0},
        {"basic_gravity": 1, "moisture": -1},
    ),
    "wood conducts": (
        wood.conductivity_across,
        {"gravity": 0.62, "moisture": 4.0},
        {"gravity": 1, "moisture": 1},
    ),
    "wood takes heat": (
        wood.heat_capacity,
        {"temperature": 300.0, "moisture": 4.0},
        {"temperature": 1},
    ),
    "wood takes resin": (
        wood.most_uptake,
        {"gravity": 0.2, "moisture": 8.0, "resin_density": 1100.0},
        {"gravity": -1, "moisture": -1, "resin_density": 1},
    ),
    "groove": (
        general_push.groove_conductance,
        {"radius": 1e-3, "gap": 5e-4},
        {"radius": 1, "gap": 1},
    ),
    "push of a square stick": (
        push_time,
        {
            "radius": 0.011,
            "gap": 5e-4,
            "length": 0.07,
            "force": 20.0,
            "viscosity": 0.5,
            "grooves": 1e-13,
        },
        {"radius": 1, "gap": -1, "length": 1, "force": -1, "viscosity": 1, "grooves": -1},
    ),
}


@pytest.mark.parametrize(
    ("case", "argument"), [(case, name) for case, (_, _, ways) in CASES.items() for name in ways]
)
@given(scales=scalings(6), factor=factors())
def test_more_of_it(case: str, argument: str, scales: list[float], factor: float) -> None:
    formula, base, ways = CASES[case]
    given_values = {name: base[name] * by for name, by in zip(base, scales, strict=False)}
    more = given_values | {argument: given_values[argument] * factor}
    # the formulas' own ranges
    assume(more.get("contact_angle", 0.0) < math.pi / 2)
    assume(case != "walls" or max(v["diameter"] / v["gap"] for v in (given_values, more)) <= 0.5)
    assume(case not in ("wood conducts", "wood dries and thickens") or more["moisture"] <= 25.0)
    assume(case != "wood takes heat" or 250.0 < given_values["temperature"] < 430.0)
    assume(case != "wood takes resin" or more["gravity"] <= 0.9)

    before, after = formula(**given_values), formula(**more)
    assert ways[argument] * (after - before) >= -ROUNDING * abs(before)


@given(scales=scalings(2), factor=factors())
def test_a_wider_tube_is_not_slower(scales: list[float], factor: float) -> None:
    bond = 0.5 * scales[0]  # 0.25 to 1
    liquid = {"density_difference": 1100.0, "surface_tension": 0.04 * scales[1]}
    length = arrest.capillary_length(
        liquid["surface_tension"], density_difference=liquid["density_difference"]
    )

    slow, fast = (
        arrest.tube_rise_speed(math.sqrt(number) * length, viscosity=0.5, **liquid)
        for number in (bond, min(1.0399, bond * factor))
    )
    assert 0.0 <= slow <= fast


@given(scales=scalings(2))
def test_walls_never_speed_a_sphere_up(scales: list[float]) -> None:
    share = 0.25 * scales[0]
    assume(share <= 0.5)

    assert 0.5 < bubble.wall_factor(share * scales[1], scales[1]) <= 1.0
