"""The riser's sum, and what a second pour takes."""

from __future__ import annotations

import numpy as np
import pytest

from mouldgen.errors import InputError
from mouldgen.physics.wood import void_fraction
from mouldgen.pour.air_space import runs_of_voxels
from mouldgen.pour.pour import pour
from mouldgen.pour.pressure import level_drop_mm, share_left
from mouldgen.pour.riser import REACHED_SHARE, open_pores_ml, pockets_ml, riser

PSI = 6.894757293


def test_the_riser_is_the_sum_of_what_sinks() -> None:
    """(1 - 0.227154)(1.5 + 2.0) + 0.01 * 24: Boyle at 50 psi gauge."""
    found = riser(
        pockets_ml=1.5,
        pores_ml=2.0,
        shrinkage=0.01,
        net_ml=24.0,
        pressure_kpa=50.0 * PSI,
        room_ml=3.0,
    )

    assert found.pockets_ml == pytest.approx(1.5 * 0.772846, abs=1e-6)
    assert found.pores_ml == pytest.approx(2.0 * 0.772846, abs=1e-6)
    assert found.shrinkage_ml == pytest.approx(0.24)
    assert found.needed_ml == pytest.approx(2.944961, abs=1e-6)
    assert found.fits
    assert found.second_ml == 0.0


@pytest.mark.parametrize(("room", "second"), [(0.0, 1.0), (0.4, 0.6), (1.0, 0.0), (1.5, 0.0)])
def test_what_finds_no_room_is_the_second_pour(room: float, second: float) -> None:
    found = riser(
        pockets_ml=0.0, pores_ml=0.0, shrinkage=0.05, net_ml=20.0, pressure_kpa=0.0, room_ml=room
    )

    assert found.second_ml == pytest.approx(second)
    assert found.fits is (second == 0.0)


def test_without_a_pot_only_shrinkage_sinks() -> None:
    found = riser(
        pockets_ml=9.0, pores_ml=9.0, shrinkage=0.02, net_ml=50.0, pressure_kpa=0.0, room_ml=0.0
    )

    assert found.needed_ml == found.shrinkage_ml == pytest.approx(1.0)


def test_under_50_psi_the_level_sinks_and_a_second_pour_fills_it() -> None:
    """Common practice, no source: air shut in and soak make a second pour necessary.

    A stick of 30 x 120 mm of walnut (12 %) in a bore of 36 mm filled to its top.
    """
    wood_ml, net_ml, area = 84.8, 37.3, 311.0
    pores = open_pores_ml(wood_ml, void_share=void_fraction(0.55, moisture=12.0))
    found = riser(
        pockets_ml=1.0,
        pores_ml=pores,
        shrinkage=0.01,
        net_ml=net_ml,
        pressure_kpa=50.0 * PSI,
        room_ml=0.0,
    )

    sunk = level_drop_mm(
        1.0 + pores, pressure_kpa=50.0 * PSI, shrunk_ml=0.01 * net_ml, area_mm2=area
    )
    assert not found.fits
    assert found.second_ml == pytest.approx(sunk * area / 1000.0)
    assert sunk > 2.0


def test_level_drop_of_six_millilitres_at_60_psi() -> None:
    """Worked: 6 ml of air at 60 psi gauge give up 4.8 ml (4.8195, share left 0.196744)."""
    assert level_drop_mm(6.0, pressure_kpa=60.0 * PSI, area_mm2=1000.0) == pytest.approx(
        4.819536, abs=3e-6
    )


def test_thin_air_outside_leaves_less() -> None:
    """At 80 kPa, about 2000 m up, the same gauge pressure presses relatively harder."""
    assert share_left(100.0, atmosphere_kpa=80.0) == pytest.approx(80.0 / 180.0)
    assert share_left(100.0, atmosphere_kpa=80.0) < share_left(100.0)


def test_pores_of_a_walnut_stick() -> None:
    """Void share of walnut at 12 % moisture, 0.567; a tenth of it is reached by default."""
    walnut = void_fraction(0.55, moisture=12.0)

    assert open_pores_ml(100.0, void_share=walnut) == pytest.approx(5.67, abs=0.005)
    assert open_pores_ml(100.0, void_share=walnut, reached=1.0) == pytest.approx(100.0 * walnut)
    assert REACHED_SHARE == 0.1


GOOD = {
    "pockets_ml": 1.0,
    "pores_ml": 1.0,
    "shrinkage": 0.01,
    "net_ml": 10.0,
    "pressure_kpa": 300.0,
    "room_ml": 1.0,
}


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"pockets_ml": -1.0}, "pockets: -1 ml is no amount"),
        ({"room_ml": float("nan")}, "room: nan ml is no amount"),
        ({"shrinkage": 1.0}, "a shrinkage of 1 is no share"),
        ({"pressure_kpa": -1.0}, "no pot's pressure"),
    ],
)
def test_impossible_amounts_are_refused(wrong: dict[str, float], words: str) -> None:
    with pytest.raises(InputError, match=words):
        riser(**(GOOD | wrong))


def test_impossible_shares_and_surfaces_are_refused() -> None:
    with pytest.raises(InputError, match=r"void_share: 1\.2 is no share"):
        open_pores_ml(10.0, void_share=1.2)
    with pytest.raises(InputError, match=r"reached: -0\.1 is no share"):
        open_pores_ml(10.0, void_share=0.5, reached=-0.1)
    with pytest.raises(InputError, match="a surface of 0 mm2 has no level"):
        level_drop_mm(1.0, pressure_kpa=100.0, area_mm2=0.0)


def test_a_pocket_beside_the_insert_lies_in_the_bridged_air() -> None:
    # Voxels of 10 mm: a shut one of 1 ml in the second layer, one of 2 ml in the fourth.
    air = np.zeros((6, 1, 5), bool)
    air[1, 0, 0] = air[3, 0, 2:4] = air[5] = True
    found = pour(runs_of_voxels(air, voxel_mm=10.0))

    def total(bridged_ml: float, top_mm: float) -> float:
        return pockets_ml(found, bridged_ml=bridged_ml, insert_top_mm=top_mm)

    assert found.shut_in_ml == pytest.approx(3.0)
    assert total(0.0, 30.0) == pytest.approx(3.0)  # nothing is poured on top
    assert total(0.4, 30.0) == pytest.approx(3.0)  # less than the pocket it lies over
    assert total(8.0, 30.0) == pytest.approx(10.0)  # the lower pocket is part of it
    assert total(8.0, 40.0) == pytest.approx(8.0)
    assert total(8.0, 10.0) == pytest.approx(11.0)
