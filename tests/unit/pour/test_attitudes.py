"""Upright and leaning either way: what is proposed, and why."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from mouldgen.build import build_moulds
from mouldgen.mould.body import cavity_solid
from mouldgen.pour.attitudes import attitudes
from mouldgen.pour.slices import pitch_mm
from mouldgen.pour.space import Attitude, Space
from tests.demo_set import job_with
from tests.spaces import blind_hole, rod, space

ROD: dict[str, Any] = {
    "shape": "rod",
    "diameter": 22.0,
    "length": 60.0,
    "flutes": None,
    "flute_area": None,
    "measured": (),
}
BAR = ROD | {"shape": "bar", "diameter": None, "width": 22.0, "thickness": 14.0}


def side_hole(*, rises_deg: float, azimuth_deg: float = 0.0, rim: float = 60.0) -> Space:
    """A block with a blind hole in its side that rises inward from +x, then turned about."""
    rise, turn = math.radians(rises_deg), math.radians(azimuth_deg)
    inward = np.array([-math.cos(rise), 0.0, math.sin(rise)])
    across = np.array([0.0, 1.0, 0.0])
    frame = np.column_stack([np.cross(across, inward), across, inward])
    about = np.array(
        [[math.cos(turn), -math.sin(turn), 0], [math.sin(turn), math.cos(turn), 0], [0, 0, 1]]
    )
    placed = np.column_stack([about @ frame, about @ np.array([15.0, 0.0, 20.0])])
    hole = rod(3.0, -4.0, 22.0).placed(placed)
    return space(rod(20.0, 0.0, rim), rod(12.0, 2.0, 45.0) - hole)


def test_upright_is_proposed_where_nothing_stays() -> None:
    found = attitudes(blind_hole(4.0, 15.0, at=2.0, facing_up=True), level_mm=40.0)

    assert found.best == 0
    assert found.proposed is found.pours[0]
    assert found.reason == "Pour it upright: no air to speak of stays shut in."
    assert [p.air.attitude.tilt_deg for p in found.pours] == [0.0, 15.0, 15.0]
    assert [p.air.attitude.azimuth_deg for p in found.pours] == [0.0, 0.0, 180.0]


@pytest.mark.parametrize("azimuth", [0.0, 90.0, 210.0])
def test_the_lean_that_lets_a_rising_hole_run_out_is_proposed(azimuth: float) -> None:
    """Its mouth must come up: the top leans away from the side that the hole opens on."""
    found = attitudes(
        side_hole(rises_deg=12.0, azimuth_deg=azimuth), level_mm=50.0, azimuth_deg=azimuth
    )

    towards, away = found.pours[1], found.pours[2]
    assert towards.shut_in_ml > found.pours[0].shut_in_ml > 0.05
    assert away.pockets == ()
    assert found.best == 2
    assert found.reason == (
        f"Lean it by 15 degrees towards {(azimuth + 180) % 360:g} degrees from its x axis:"
        f" 0.00 ml of air stays shut in instead of {found.pours[0].shut_in_ml:.2f} ml upright."
    )


def test_a_lean_that_runs_over_is_not_proposed() -> None:
    """The rim at 54 mm sinks by 20 sin(15) at its low side, under the level of 52."""
    found = attitudes(side_hole(rises_deg=12.0, rim=56.0), level_mm=52.0)

    assert [p.runs_over for p in found.pours] == [False, True, True]
    assert found.best == 0
    assert found.reason.startswith("Pour it upright: leaning that far, resin runs out. Air of")


def test_the_same_amount_is_poured_in_every_attitude() -> None:
    found = attitudes(side_hole(rises_deg=12.0), level_mm=45.0)

    amount = found.pours[0].volume_to(45.0)
    for tried in found.pours:
        assert tried.volume_to(tried.level_mm) == pytest.approx(amount)


def test_what_no_longer_goes_in_when_leaning_counts_as_running_over() -> None:
    """Upright it is filled to the brim with a level hole in its side, which a lean shuts."""
    found = attitudes(side_hole(rises_deg=0.0), level_mm=60.0)

    assert found.pours[0].pockets == ()
    assert found.pours[1].shut_in_ml > 0.05
    assert found.pours[1].level_mm == math.inf
    assert found.pours[1].runs_over
    assert found.best == 0


def test_a_hole_that_stays_shut_either_way_is_poured_upright_and_told() -> None:
    found = attitudes(blind_hole(4.0, 15.0, at=2.0), level_mm=40.0)

    # Leaning loses what stands under the mouth's high side, pi r^2 r tan(15) = 0.05 ml.
    assert found.pours[1].shut_in_ml < found.pours[0].shut_in_ml
    assert f"{found.pours[0].shut_in_ml:.2f} ml" in found.reason


@pytest.mark.parametrize("azimuth", [0.0, 77.0])
@pytest.mark.parametrize(
    "tables",
    [
        pytest.param({}, id="flute"),
        pytest.param({"insert": ROD}, id="rod"),
        pytest.param({"insert": BAR}, id="bar"),
        pytest.param({"mould": {"draft": 2.0}}, id="drafted"),
        pytest.param({"mould": {"vent_grooves": 0}}, id="no grooves"),
        pytest.param({"mould": {"gap": 0.3}}, id="narrow"),
    ],
)
def test_the_shipped_shapes_in_the_shipped_cup_shut_nothing_in(
    tables: dict[str, Any], azimuth: float
) -> None:
    """Also under the flat foot on its pips: below it every layer is open to the side."""
    cool = {"plastic": {"softens": 200.0}, "resin": {"hottest": 250.0}}  # whatever the thickness
    made = build_moulds(job_with(**cool, **tables))
    assert made.plan is not None
    assert made.parts is not None
    size = made.plan.size
    hollow = cavity_solid(made.plan).any_mesh()
    solids = (made.parts.insert, made.parts.part("lid").assembled)
    pitch = pitch_mm(size.gap_mm)

    found = attitudes(
        Space(hollow, solids, size.rim_mm),
        level_mm=size.level_mm,
        layer_mm=pitch,
        row_mm=pitch,
        azimuth_deg=azimuth,
    )

    assert [p.pockets for p in found.pours] == [(), (), ()]
    assert [p.runs_over for p in found.pours] == [False] * 3
    assert made.amounts is not None
    # The resin that the closed forms ask for is the air below the level.
    assert found.pours[0].volume_to(size.level_mm) == pytest.approx(
        made.amounts.one.poured_ml, rel=5e-3
    )


def test_directions_of_a_lean() -> None:
    """The top of a mould that leans towards its y axis points along the lean."""
    turn = Attitude(15.0, 90.0).turn

    assert turn @ turn.T == pytest.approx(np.eye(3))
    assert turn @ np.array([0.0, 0.0, 1.0]) == pytest.approx(
        [math.sin(math.radians(15.0)), 0.0, math.cos(math.radians(15.0))]
    )
    assert turn @ np.array([0.0, 1.0, 0.0]) == pytest.approx(
        [math.cos(math.radians(15.0)), 0.0, -math.sin(math.radians(15.0))]
    )
