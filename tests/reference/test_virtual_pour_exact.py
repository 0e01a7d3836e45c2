"""Shut-in air in closed form, its rate of convergence, and a slow second opinion on voxels."""

from __future__ import annotations

import logging
import math
import time
import tracemalloc
from collections.abc import Callable

import numpy as np
import pytest

from mouldgen.pour.air_space import Bools, runs_of_voxels
from mouldgen.pour.pour import Pour, pour
from mouldgen.pour.slices import slice_air
from mouldgen.pour.space import UPRIGHT, Attitude, Space
from mouldgen.solid.kernel import Solid, box, revolve, union
from tests.spaces import (
    blind_hole,
    cup_voxels,
    disc_mm2,
    helix,
    reconstruction,
    reconstruction_by_thresholds,
    rod,
    space,
    tilted_hole_ml,
    trapped_voxels,
)

_log = logging.getLogger(__name__)
PITCH = 0.5
LEAN = Attitude(15.0)


def poured(what: Space, *, attitude: Attitude = UPRIGHT, pitch: float = PITCH) -> Pour:
    return pour(slice_air(what, layer_mm=pitch, row_mm=pitch, attitude=attitude))


def cup(radius: float, inner: float, bottom: float, top: float, floor: float) -> Solid:
    """A cup upside down, its mouth at `bottom`."""
    return rod(radius, bottom, top) - rod(inner, bottom - 1.0, top - floor)


# ---------------------------------------------------------------------------- upright


@pytest.mark.parametrize("at", [2.0, 2.13, 7.77])
@pytest.mark.parametrize("depth", [3.0, 15.2, 24.9])
def test_a_blind_hole_facing_down_keeps_all_its_air(at: float, depth: float) -> None:
    found = poured(blind_hole(4.0, depth, at=at))

    layer_ml = disc_mm2(4.0) * PITCH / 1000.0
    assert len(found.pockets) == 1
    assert found.shut_in_ml == pytest.approx(disc_mm2(4.0) * depth / 1000.0, abs=layer_ml)
    assert found.pockets[0].mouth_mm == pytest.approx(at, abs=PITCH)
    assert found.pockets[0].top_mm == pytest.approx(at + depth, abs=PITCH)


@pytest.mark.parametrize(
    "what",
    [
        pytest.param(blind_hole(4.0, 15.0, at=2.0, facing_up=True), id="blind hole facing up"),
        pytest.param(
            space(
                revolve(
                    [
                        (0, 0),
                        (15, 0),
                        (15, 20),
                        (18, 20),
                        (18, 26.3),
                        (15, 26.3),
                        (15, 50),
                        (0, 50),
                    ],
                    sides=64,
                )
            ),
            id="ring groove in the wall",
        ),
        pytest.param(
            space(rod(20, 0, 50), rod(12, 2, 40) - (rod(30, 15, 21.7) - rod(8, 10, 25))),
            id="ring groove round the insert",
        ),
        pytest.param(
            space(rod(16, 0, 50), helix(15.0, 3.0, turns=2.5, bottom=2.0, top=42.0)),
            id="helical groove",
        ),
        pytest.param(space(rod(16, 0, 50), rod(15, 2, 40)), id="flat foot over the floor"),
    ],
)
def test_nothing_stays_shut_in(what: Space) -> None:
    assert poured(what).pockets == ()


def test_a_cup_upside_down_in_a_cup_keeps_what_it_holds() -> None:
    found = poured(space(rod(20.0, 0.0, 50.0), cup(12.0, 10.0, 3.1, 33.1, 2.0)))

    layer_ml = disc_mm2(10.0) * PITCH / 1000.0
    assert found.shut_in_ml == pytest.approx(disc_mm2(10.0) * 28.0 / 1000.0, abs=layer_ml)
    assert found.pockets[0].place_mm == pytest.approx((0.0, 0.0, 17.1), abs=PITCH)


def u_tube(*, second_leg: float) -> Space:
    """Two square legs of 8 mm, joined by a channel of 6 mm height along the floor."""
    first = box((-20, -4, 0), (-12, 4, 62))
    second = box((12, -4, 0), (20, 4, second_leg))
    return space(union([first, second, box((-20, -4, 0), (20, 4, 6))]))


def test_a_u_tube_closed_on_one_leg_keeps_that_leg_above_the_channel() -> None:
    found = poured(u_tube(second_leg=41.3))

    assert len(found.pockets) == 1
    assert found.shut_in_ml == pytest.approx(64.0 * 35.3 / 1000.0, abs=64.0 * PITCH / 1000.0)
    assert found.pockets[0].mouth_mm == 6.0


def test_a_u_tube_open_on_both_legs_keeps_nothing() -> None:
    assert poured(u_tube(second_leg=62.0)).pockets == ()


def test_below_the_channels_roof_the_closed_leg_still_breathes() -> None:
    found = poured(u_tube(second_leg=41.3))

    assert found.stopped_at(6.0).pockets == ()
    assert found.stopped_at(6.5).shut_in_ml == found.shut_in_ml


def walls(low: tuple[int, int, int], high: tuple[int, int, int]) -> list[Solid]:
    """Four boxes round a room in a hollow of 20 x 20 mm; they touch but are not joined."""
    (a, b, c), (d, e, f) = low, high
    return [
        box((0, 0, c), (a, 20, f)),
        box((d, 0, c), (20, 20, f)),
        box((a, 0, c), (d, b, f)),
        box((a, e, c), (d, 20, f)),
    ]


def test_rooms_between_solids_that_touch_along_an_edge_have_no_passage() -> None:
    """The lower room's upper edge is the upper one's lower edge."""
    rooms = [*walls((2, 2, 5), (10, 18, 15)), *walls((10, 2, 15), (18, 18, 30))]
    found = poured(space(box((0, 0, 0), (20, 20, 42)), box((0, 0, 0), (20, 20, 5)), *rooms))

    assert [p.volume_ml for p in found.pockets] == [pytest.approx(8 * 16 * 10 / 1000.0)]
    assert found.pockets[0].place_mm == pytest.approx((6.0, 10.0, 10.0))

    # A tenth of a millimetre of common face is a passage: along x nothing is stepped over.
    rooms = [*walls((2, 2, 5), (10, 18, 15)), *walls((9, 2, 15), (18, 18, 30))]
    slit = [*walls((2, 2, 5), (10, 18, 15)), box((0, 0, 15), (9.9, 20, 30)), *rooms[5:]]
    assert (
        poured(space(box((0, 0, 0), (20, 20, 42)), box((0, 0, 0), (20, 20, 5)), *slit)).pockets
        == ()
    )


@pytest.mark.parametrize("axes", [(0, 1), (0, 2), (1, 2)])
def test_voxels_that_touch_along_an_edge_have_no_passage(axes: tuple[int, int]) -> None:
    """The one at 1, 1, 1 and its diagonal neighbour, which a shaft joins to the open top."""
    air = np.zeros((6, 5, 5), bool)
    air[1, 1, 1] = True
    other = np.ones(3, int)
    other[list(axes)] += 1
    air[other[0] :, other[1], other[2]] = True
    found = pour(runs_of_voxels(air, voxel_mm=1.0))
    assert [p.volume_ml for p in found.pockets] == [0.001]

    # Across the face between them the air leaves, unless that face is the upper room's floor.
    step = other.copy()
    step[axes[1]] -= 1
    air[step[0] :, step[1], step[2]] = True
    assert pour(runs_of_voxels(air, voxel_mm=1.0)).pockets == ()


# ----------------------------------------------------------------------------- leaning


@pytest.mark.parametrize("azimuth", [0.0, 90.0, 217.0])
@pytest.mark.parametrize(("radius", "depth"), [(4.0, 12.0), (4.0, 2.6), (9.0, 4.0), (9.0, 2.0)])
def test_a_leaning_blind_hole_keeps_what_stands_over_its_mouth(
    radius: float, depth: float, azimuth: float
) -> None:
    """Within one layer over the section of the hole; both closed forms are met."""
    found = poured(blind_hole(radius, depth, at=5.0), attitude=Attitude(15.0, azimuth))

    layer_ml = disc_mm2(radius) * PITCH / 1000.0
    exact = tilted_hole_ml(radius, depth, 15.0)
    assert found.shut_in_ml == pytest.approx(exact, abs=layer_ml)


def test_the_closed_form_meets_its_own_integral_and_its_limits() -> None:
    tan = math.tan(math.radians(15.0))
    for depth in (0.4, 1.0, 2.0, 5.0):
        u = np.linspace(-4.0, 4.0, 400_001)
        held = np.maximum(0.0, depth - (4.0 - u) * tan) * 2.0 * np.sqrt(16.0 - u * u)
        assert tilted_hole_ml(4.0, depth, 15.0) == pytest.approx(
            float(np.trapezoid(held, u)) / 1000.0, rel=1e-6
        )
    assert tilted_hole_ml(4.0, 5.0, 0.0) == pytest.approx(math.pi * 16.0 * 5.0 / 1000.0)


@pytest.mark.parametrize("azimuth", [0.0, 90.0, 180.0])
def test_leaning_a_flat_foot_and_a_hole_facing_up_keep_nothing(azimuth: float) -> None:
    lean = Attitude(15.0, azimuth)
    assert poured(space(rod(16, 0, 50), rod(15, 2, 40)), attitude=lean).pockets == ()
    up = blind_hole(4.0, 15.0, at=2.0, facing_up=True)
    assert poured(up, attitude=lean).pockets == ()


# ------------------------------------------------------------------------- convergence

PITCHES = (1.0, 0.5, 0.25, 0.125)
SHIFTS = (0.0, 0.137, 0.291, 0.433, 0.618, 0.779, 0.871)


def errors(attitude: Attitude, exact: float) -> list[float]:
    """Root mean square over where the hole happens to stand in the layers [ml]."""
    spaces = [blind_hole(4.0, 12.3, at=5.0 + shift) for shift in SHIFTS]
    return [
        math.sqrt(
            sum((poured(s, attitude=attitude, pitch=p).shut_in_ml - exact) ** 2 for s in spaces)
            / len(spaces)
        )
        for p in PITCHES
    ]


@pytest.mark.parametrize(
    ("attitude", "exact"),
    [
        pytest.param(UPRIGHT, disc_mm2(4.0) * 12.3 / 1000.0, id="upright"),
        pytest.param(LEAN, tilted_hole_ml(4.0, 12.3, 15.0), id="leaning"),
    ],
)
def test_the_error_falls_at_least_with_the_layer(attitude: Attitude, exact: float) -> None:
    found = errors(attitude, exact)

    slope = np.polyfit(np.log(PITCHES), np.log(found), 1)[0]
    assert slope >= 0.9
    assert found[1] <= disc_mm2(4.0) * 0.5 / 1000.0


# -------------------------------------------------------------- a slow second opinion


def random_air(seed: int) -> tuple[Bools, Bools]:
    """Sponges, scattered voxels and stacked boxes, and open air at the top or anywhere."""
    rng = np.random.default_rng(seed)
    shape = tuple(rng.integers(8, 34, 3).tolist())
    kind = seed % 3
    if kind == 0:
        air = rng.random(shape) < rng.uniform(0.3, 0.9)
    elif kind == 1:
        coarse = rng.random([n // 3 + 1 for n in shape]) < rng.uniform(0.4, 0.7)
        air = np.kron(coarse, np.ones((3, 3, 3), bool))[: shape[0], : shape[1], : shape[2]]
    else:
        air = np.zeros(shape, bool)
        for _ in range(25):
            low = rng.integers(0, shape)
            high = low + rng.integers(1, 12, 3)
            air[tuple(slice(a, b) for a, b in zip(low, high, strict=True))] ^= True
    opens = np.zeros(shape, bool)
    opens[-1] = True
    if seed % 2:
        opens = rng.random(shape) < 0.002
    return air, opens & air


@pytest.mark.parametrize("seed", range(20))
def test_the_same_voxels_as_a_plain_morphological_reconstruction(seed: int) -> None:
    air, opens = random_air(seed)

    found = pour(runs_of_voxels(air, opens=opens))

    expected = reconstruction(air, opens)
    assert np.array_equal(trapped_voxels(found, air.shape), expected)
    assert np.array_equal(reconstruction_by_thresholds(air, opens), expected)
    assert found.shut_in_ml == pytest.approx(expected.sum() * 0.5**3 / 1000.0)


def test_random_air_is_not_trivial() -> None:
    shares = [reconstruction(*random_air(seed)).mean() for seed in range(20)]

    assert sum(share > 0.001 for share in shares) >= 15


def test_memory_of_a_cup_at_half_a_millimetre() -> None:
    air = cup_voxels()
    found, peak = with_peak(air)

    assert air.shape == (200, 80, 80)
    # The drilled hole faces down, its mouth at voxel 4, its end at 120.
    hole = (np.hypot(*np.mgrid[-39.5:40, -39.5:40]) < 6).sum()
    assert [p.volume_ml for p in found.pockets] == [pytest.approx(hole * 116 * 0.5**3 / 1000.0)]
    assert peak < 500e6


def with_peak(air: Bools) -> tuple[Pour, int]:
    """A pour, and the most memory that it took at once [bytes]."""
    tracemalloc.start()
    found = pour(runs_of_voxels(air))
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return found, peak


@pytest.mark.bench
def test_five_times_as_fast_as_the_reconstruction_and_under_500_mb() -> None:
    """Against the faster of the two plain ones: one labelling for each height.

    The least of several rounds, both sides in turn, so that a busy moment spoils neither.
    """
    air = cup_voxels()
    opens = np.zeros_like(air)
    opens[-1] = air[-1]

    ours, plain = least_in_turn(
        lambda: pour(runs_of_voxels(air)), lambda: reconstruction_by_thresholds(air, opens)
    )
    found, peak = with_peak(air)

    _log.info(
        "pour of 40 x 40 x 100 mm at 0.5 mm: %.1f ms, %.1f MB; plain reconstruction %.0f ms, ratio"
        " %.1f, bar 5",
        1000.0 * ours, peak / 1e6, 1000.0 * plain, plain / ours,
    )  # fmt: skip
    assert np.array_equal(
        trapped_voxels(found, air.shape), reconstruction_by_thresholds(air, opens)
    )
    assert plain >= 5.0 * ours
    assert peak < 500e6


def least_in_turn(*runs: Callable[[], object], rounds: int = 5) -> list[float]:
    """The shortest time of each [s]."""
    spent: list[list[float]] = [[] for _ in runs]
    for _ in range(rounds):
        for times, run in zip(spent, runs, strict=True):
            start = time.perf_counter()
            run()
            times.append(time.perf_counter() - start)
    return [min(times) for times in spent]
