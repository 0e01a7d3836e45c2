"""Closed surfaces become runs of air: volumes, openings, coincident faces, attitudes."""

from __future__ import annotations

import math

import numpy as np
import pytest

from mouldgen.errors import InputError
from mouldgen.mould.body import cavity_solid
from mouldgen.pour.air_space import runs_of_voxels
from mouldgen.pour.slices import pitch_mm, slice_air
from mouldgen.pour.space import UPRIGHT, Attitude, Space
from mouldgen.solid.kernel import Solid, box
from tests.demo_set import demo_set
from tests.spaces import disc_mm2, rod, space

LEANS = [UPRIGHT, Attitude(15.0), Attitude(15.0, 180.0), Attitude(23.0, 77.0)]


def demo_space() -> Space:
    made = demo_set()
    assert made.parts is not None
    assert made.plan is not None
    hollow = cavity_solid(made.plan).any_mesh()
    lid = made.parts.part("lid").assembled
    return Space(hollow, (made.parts.insert, lid), made.plan.size.rim_mm)


@pytest.mark.parametrize("lean", LEANS)
def test_the_air_of_the_demo_is_what_the_kernel_cuts(lean: Attitude) -> None:
    """Booleans of the geometry kernel against runs that never cut a solid."""
    what = demo_space()
    cut = Solid.of_mesh(what.hollow)
    for mesh in what.solids:
        cut -= Solid.of_mesh(mesh)

    air = slice_air(what, layer_mm=0.25, row_mm=0.25, attitude=lean)

    # The space need not end where a layer does: half a layer over the open bore of 16 mm.
    half_a_layer = 0.125 * math.pi * 16.0**2 / 1000.0
    assert air.volume_ml == pytest.approx(cut.volume_mm3() / 1000.0, abs=half_a_layer)


@pytest.mark.parametrize("lean", LEANS)
def test_runs_are_sorted_apart_and_in_the_hollow(lean: Attitude) -> None:
    air = slice_air(demo_space(), attitude=lean)

    line = air.layer * (2 * int(np.abs(air.row).max()) + 2) + air.row
    assert (np.diff(line) >= 0).all()
    assert (air.end > air.start).all()
    same = line[1:] == line[:-1]
    assert (air.start[1:] > air.end[:-1])[same].all()


def test_a_box_in_whole_rows_and_layers_is_exact() -> None:
    air = slice_air(space(box((-3, -2, 0), (4, 3, 20)), box((-1, -1, 2), (1, 1, 6))))

    assert air.volume_ml == pytest.approx((7 * 5 * 20 - 2 * 2 * 4) / 1000.0, rel=1e-12)


def test_solids_that_touch_overlap_or_stick_out_count_once() -> None:
    hollow = box((0, 0, 0), (10, 10, 20))
    one = space(hollow, box((0, 0, 0), (10, 5, 10)))
    many = space(
        hollow,
        box((-3, 0, -2), (4, 5, 10)),
        box((4, 0, 0), (12, 5, 10)),
        box((2, 1, 1), (8, 4, 9)),
        box((-9, -9, 30), (19, 19, 40)),
    )

    a, b = slice_air(one), slice_air(many)

    assert a.volume_ml == pytest.approx((2000 - 500) / 1000.0)
    for name in ("layer", "row", "start", "end", "opens"):
        assert np.array_equal(getattr(a, name), getattr(b, name)), name


@pytest.mark.parametrize("azimuth", [30.0, 90.0, 180.0, 301.0])
def test_a_round_space_looks_the_same_from_every_side(azimuth: float) -> None:
    what = space(rod(12.0, 0.0, 40.0), rod(7.0, 3.0, 30.0))

    a, b = (slice_air(what, attitude=Attitude(15.0, turned)) for turned in (0.0, azimuth))

    assert b.volume_ml == pytest.approx(a.volume_ml, rel=1e-3)


def test_open_is_what_reaches_over_the_rim() -> None:
    """A lid with one hole of 3 mm: only the air in the hole is open."""
    lid = box((-30, -30, 40), (30, 30, 43)) - rod(3.0, 39.0, 44.0, centre=(5.0, 0.0))
    what = Space(rod(15.0, 0.0, 42.0).any_mesh(), (lid.any_mesh(),), 40.0)

    air = slice_air(what)

    assert set(air.layer[air.opens].tolist()) == {80, 81, 82, 83}
    assert air.run_ml[air.opens].sum() == pytest.approx(disc_mm2(3.0) * 2.0 / 1000.0, rel=0.02)


def test_layers_that_would_step_over_the_open_top_are_refused() -> None:
    what = space(rod(15.0, 0.0, 42.0))

    with pytest.raises(InputError, match=r"layers of 2\.5 mm may step over the 2 mm"):
        slice_air(what, layer_mm=2.5)


@pytest.mark.parametrize(
    ("gap", "pitch"), [(3.0, 0.5), (1.0, 0.5), (0.5, 0.5), (0.49, 0.25), (0.2, 0.125)]
)
def test_the_pitch_never_steps_over_the_gap(gap: float, pitch: float) -> None:
    assert pitch_mm(gap) == pitch


def test_no_gap_has_no_pitch() -> None:
    with pytest.raises(InputError, match="0 mm is no passage"):
        pitch_mm(0.0)


def test_voxels_become_runs() -> None:
    air = np.zeros((2, 2, 6), bool)
    air[0, 1] = [1, 1, 0, 1, 1, 1]
    air[1, 0, 5] = True

    found = runs_of_voxels(air, voxel_mm=2.0)

    step = round(2.0 / found.step_mm)
    assert found.layer.tolist() == [0, 0, 1]
    assert found.row.tolist() == [1, 1, 0]
    assert (found.start // step).tolist() == [0, 3, 5]
    assert (found.end // step).tolist() == [2, 6, 6]
    assert found.opens.tolist() == [False, False, True]
    assert found.run_ml.tolist() == [0.016, 0.024, 0.008]


@pytest.mark.parametrize(
    ("air", "opens", "words"),
    [
        (np.ones((3, 3)), None, r"an array \(z, y, x\), not \(3, 3\)"),
        (np.ones((3, 3, 3)), np.ones((3, 3, 2)), r"\(3, 3, 2\) and air \(3, 3, 3\) differ"),
    ],
)
def test_arrays_that_are_no_voxels_are_refused(air: object, opens: object, words: str) -> None:
    with pytest.raises(InputError, match=words):
        runs_of_voxels(air, opens=opens)  # type: ignore[arg-type]
