"""Levels and amounts of one pour, its pockets under pressure, and where it runs over."""

from __future__ import annotations

import math

import numpy as np
import pytest

from mouldgen.errors import InputError, NoAnswerError
from mouldgen.pour.air_space import runs_of_voxels
from mouldgen.pour.pour import Pour, pour
from mouldgen.pour.slices import slice_air
from mouldgen.pour.space import Attitude
from mouldgen.solid.kernel import box
from tests.spaces import blind_hole, rod, space

PSI = 6.894757293


def stepped() -> Pour:
    """A shaft of 10 x 10 mm to 20 mm, of 20 x 10 mm from there to 40, open above 38."""
    return pour(slice_air(space(box((0, 0, 0), (20, 10, 40)), box((10, 0, 0), (20, 10, 20)))))


@pytest.mark.parametrize(
    ("level", "volume"), [(0.0, 0.0), (7.3, 0.73), (20.0, 2.0), (31.0, 4.2), (39.9, 5.98)]
)
def test_levels_and_amounts_of_a_stepped_shaft(level: float, volume: float) -> None:
    found = stepped()

    assert found.volume_to(level) == pytest.approx(volume)
    assert found.level_for(volume) == pytest.approx(level)


def test_below_the_space_is_nothing_and_above_it_the_whole() -> None:
    assert stepped().volume_to(-5.0) == 0.0
    assert stepped().volume_to(99.0) == pytest.approx(6.0)


@pytest.mark.parametrize("lean", [Attitude(), Attitude(15.0), Attitude(30.0, 200.0)])
def test_level_and_amount_undo_each_other(lean: Attitude) -> None:
    found = pour(slice_air(blind_hole(4.0, 15.0, at=3.0), attitude=lean))

    for share in np.linspace(0.0, 1.0, 23):
        amount = share * found.filled_ml[-1]
        assert found.volume_to(found.level_for(amount)) == pytest.approx(amount, abs=1e-12)


def test_resin_and_shut_in_air_are_all_of_the_air() -> None:
    found = pour(slice_air(blind_hole(4.0, 15.0, at=3.0), attitude=Attitude(15.0)))

    assert found.filled_ml[-1] + found.shut_in_ml == pytest.approx(found.air.volume_ml)


def test_where_a_level_gains_nothing_the_lowest_is_the_answer() -> None:
    """Two rooms one above the other, a layer of nothing between; both open by themselves."""
    air = np.ones((5, 2, 2), bool)
    air[2] = False
    found = pour(runs_of_voxels(air, voxel_mm=1.0, opens=air))

    assert found.level_for(0.008) == 2.0
    assert found.level_for(0.0) == 0.0
    assert found.volume_to(3.0) == pytest.approx(0.008)


@pytest.mark.parametrize("amount", [-0.1, 6.1])
def test_an_amount_that_does_not_go_in_has_no_level(amount: float) -> None:
    with pytest.raises(NoAnswerError, match="into a space that takes 6 ml"):
        stepped().level_for(amount)


def test_a_pour_by_amount_ends_at_its_level() -> None:
    air = slice_air(space(box((0, 0, 0), (20, 10, 40)), box((10, 0, 0), (20, 10, 20))))

    assert pour(air, amount_ml=4.2).level_mm == pytest.approx(31.0)
    assert pour(air).level_mm == math.inf
    with pytest.raises(InputError, match="not with both"):
        pour(air, amount_ml=4.2, level_mm=31.0)


def test_no_air_is_refused() -> None:
    with pytest.raises(InputError, match="no air to pour into"):
        pour(runs_of_voxels(np.zeros((3, 3, 3), bool)))


def test_the_level_after_the_loss_follows_the_sections() -> None:
    found = stepped().stopped_at(21.0)

    assert found.level_after(0.2) == pytest.approx(20.0)
    assert found.level_after(0.3) == pytest.approx(19.0)


@pytest.mark.parametrize(("level", "over"), [(38.0, False), (38.1, True)])
def test_resin_at_the_open_top_runs_over(level: float, over: bool) -> None:
    found = stepped().stopped_at(level)

    assert found.spill_mm == 38.0
    assert found.runs_over is over


def test_leaning_it_runs_over_sooner() -> None:
    """The rim's low side: ``h cos(t) - r sin(t)``, within a layer."""
    found = pour(slice_air(space(rod(15.0, 0.0, 42.0)), attitude=Attitude(15.0)))

    lowest = 40.0 * math.cos(math.radians(15.0)) - 15.0 * math.sin(math.radians(15.0))
    assert found.spill_mm == pytest.approx(lowest, abs=0.5)


def test_pockets_are_numbered_by_size_and_shut_by_their_mouths() -> None:
    """Holes of 2 and 4 mm radius in the foot of a block, the small one's mouth higher."""
    block = rod(15.0, 3.0, 40.0) - rod(4.0, 2.0, 20.0, centre=(-7, 0))
    block -= rod(3.0, 2.0, 10.0, centre=(7, 0))
    block -= box((4, -20, 2), (20, 20, 6))
    found = pour(slice_air(space(rod(20.0, 0.0, 60.0), block)))

    assert [p.number for p in found.pockets] == [1, 2]
    assert [p.mouth_mm for p in found.pockets] == [3.0, 6.0]
    assert [p.height_mm for p in found.pockets] == [17.0, 4.0]
    assert found.pockets[0].place_mm == pytest.approx((-7.0, 0.0, 11.5), abs=0.05)
    assert found.pockets[1].place_mm == pytest.approx((7.0, 0.0, 8.0), abs=0.05)
    for pocket in found.pockets:
        runs = found.air.run_ml[found.pocket == pocket.number]
        assert runs.sum() == pytest.approx(pocket.volume_ml)
    assert [len(found.stopped_at(z).pockets) for z in (3.0, 3.1, 6.0, 6.1)] == [0, 1, 1, 2]


def test_the_place_of_a_pocket_is_told_in_the_moulds_own_coordinates() -> None:
    upright, leaning = (
        pour(slice_air(blind_hole(4.0, 20.0, at=3.0), attitude=lean)).pockets[0].place_mm
        for lean in (Attitude(), Attitude(15.0, 60.0))
    )

    # What is lost at the mouth lies towards the high side and moves the middle up by r tan/2.
    assert leaning == pytest.approx(upright, abs=1.0)
    assert leaning[2] > upright[2]


def test_a_pocket_under_50_psi_keeps_the_published_share() -> None:
    """0.227154 by Boyle at 50 psi gauge, p_atm 101325 Pa."""
    pocket = pour(slice_air(blind_hole(4.0, 15.0, at=3.0))).pockets[0]

    pressed = pocket.under(50.0 * PSI)

    assert pressed.volume_ml / pocket.volume_ml == pytest.approx(0.227154, abs=5e-7)
    assert pressed.place_mm == pocket.place_mm
