"""Turned walls, drilled inserts and twisted bars against a second geometry kernel (OCC).

As in `test_second_kernel.py`, whose cups and lids stand on these: the difference is what the
chord tolerance t costs, in proportion to it, and nothing else.  Run by `make test-heavy`.
"""

from __future__ import annotations

import math
from functools import cache
from types import ModuleType
from typing import Any

import numpy as np
import pytest

from mouldgen.build import build_moulds
from mouldgen.insert import displacing_of, facts_of, solid_of
from mouldgen.insert.twist import STEP_DEG
from mouldgen.job.load import load_job
from mouldgen.job.model import Insert
from mouldgen.mould.wall import outside
from mouldgen.mould_set import MouldSet
from mouldgen.solid.circle import excess, segments
from mouldgen.solid.kernel import revolve
from mouldgen.solid.mesh import GRID_MM
from tests.insert_shapes import LEFT, TWIST, insert

pytestmark = pytest.mark.heavy

CHORDS = (0.2, 0.1, 0.05, 0.02, 0.01, 0.005, 0.002)
HOLE = 3.0  # mm, radius
# Thick enough for a thousandth: a round whose corners lie on it lacks 4 t / (3 R) of itself.
PROFILE = [["0 mm", "14 mm"], ["20 mm", "20 mm"], ["20 mm", "17 mm"], ["70 mm", "18 mm"]]
DRILLED: dict[str, tuple[Insert, list[tuple[float, float]]]] = {
    "taper": (
        insert(shape="taper", diameter="40 mm", small="30 mm", hole="6 mm"),
        [(0.0, 20.0), (70.0, 15.0)],
    ),
    "taper down": (
        insert(shape="taper", diameter="40 mm", small="30 mm", hole="6 mm", point="down"),
        [(0.0, 15.0), (70.0, 20.0)],
    ),
    "outline": (
        insert(shape="outline", profile=PROFILE, hole="6 mm"),
        [(0.0, 14.0), (20.0, 20.0), (20.0, 17.0), (70.0, 18.0)],
    ),
}
TWISTS = {"right": (TWIST, 1.0), "left": (LEFT, -1.0)}
WALLS = ("cavity", "outside")

every_wall = pytest.mark.parametrize("name", WALLS)
every_drilled = pytest.mark.parametrize("name", DRILLED)
every_twist = pytest.mark.parametrize("name", TWISTS)


@pytest.fixture(scope="module")
def kernel() -> ModuleType:
    """The second kernel; a heavy run without it fails."""
    from tests import second_kernel

    return second_kernel


@cache
def pulls(chord: float) -> MouldSet:
    """The shipped job of the contour family."""
    return build_moulds(load_job("sash-pulls", sets=(f"mould.chord={chord} mm",)).job)


def wall(name: str) -> list[tuple[float, float]]:
    """Heights and radii of the bare cavity, or of the wall's outside."""
    found = pulls(0.01)
    size, floor = found.answer.size, found.plan.question.floor_mm
    if name == "cavity":
        return size.bore.between(0.0, size.fill_mm)
    return list(outside(size, bottom_mm=-floor).points)


def turned(name: str, chord: float) -> float:
    """Volume of the mesh of a wall [mm3]."""
    found = pulls(chord)
    if name == "cavity":
        return found.parts.cavity.volume_mm3
    points = [(r, z) for z, r in wall(name)]
    ends = (0.0, points[0][1]), (0.0, points[-1][1])
    return revolve([ends[0], *points, ends[1]], sides=found.plan.sides).any_mesh().volume_mm3


def drilled(name: str, chord: float) -> float:
    return solid_of(DRILLED[name][0], chord_mm=chord).any_mesh().volume_mm3


@cache
def exact(kernel: ModuleType, name: str) -> Any:
    if name in WALLS:
        return kernel.exact_turned(wall(name))
    if name in DRILLED:
        return kernel.exact_drilled(kernel.exact_turned(DRILLED[name][1]), HOLE)
    # 20 x 16 mm, 70 mm long, once round on 50 mm
    return kernel.exact_twist(20.0, 16.0, 70.0, turn_deg=TWISTS[name][1] * 360.0 * 70.0 / 50.0)


def slope(chords: tuple[float, ...], differences: list[float]) -> float:
    return float(np.polyfit(np.log(chords), np.log(differences), 1)[0])


def test_contour_is_the_one_to_be_compared() -> None:
    """With bulges: a wall of one straight piece would say nothing about their joints."""
    assert min(len(wall(name)) for name in WALLS) >= 6


@every_wall
def test_contour_holds_more_by_what_its_polygons_do(kernel: ModuleType, name: str) -> None:
    """Every circle about the axis has one number of sides n, so the share is n tan(pi/n)/pi."""
    true = exact(kernel, name)
    found = [turned(name, t) for t in CHORDS]
    assert 0.0 < found[CHORDS.index(0.01)] / true.volume - 1.0 <= 0.001
    assert slope(CHORDS, [v - true.volume for v in found]) == pytest.approx(1.0, abs=0.1)
    # Corners sit on the mesh's grid: half a step over the whole surface, with either sign.
    expected = [true.volume * excess(pulls(t).plan.sides) for t in CHORDS]
    assert found == pytest.approx(expected, abs=true.area * GRID_MM / 2.0)


def test_contour_wall_is_as_thick_as_asked_on_exact_surfaces(kernel: ModuleType) -> None:
    """The bore down to the print bed, as the outside is drawn about it."""
    size, floor = pulls(0.01).answer.size, pulls(0.01).plan.question.floor_mm
    inner = kernel.exact_turned(size.bore.between(-floor, size.rim_mm))
    found = kernel.wall_between_mm(inner, exact(kernel, "outside"))
    assert found == pytest.approx(size.wall_mm, abs=1e-6)


@every_drilled
def test_drilled_insert_lacks_what_its_polygons_do(kernel: ModuleType, name: str) -> None:
    """Its outside has its corners on the surface, n sin(2 pi/n)/(2 pi); the hole is drawn around
    its circle."""
    made, points = DRILLED[name]
    true, whole = exact(kernel, name), kernel.exact_turned(points).volume
    assert true.volume / 1000.0 == pytest.approx(
        facts_of(made, density_g_ml=0.68).volume_ml, rel=1e-9
    )
    found = [drilled(name, t) for t in CHORDS]
    assert 0.0 < 1.0 - found[CHORDS.index(0.01)] / true.volume <= 0.001
    fine = tuple(t for t in CHORDS if segments(HOLE, chord_mm=t) > 12)
    assert len(fine) >= 5
    lacks = [true.volume - v for t, v in zip(CHORDS, found, strict=True) if t in fine]
    assert slope(fine, lacks) == pytest.approx(1.0, abs=0.1)
    expected = []
    for t in CHORDS:
        angle = 2.0 * math.pi / segments(20.0, chord_mm=t)
        bore = (whole - true.volume) * excess(segments(HOLE, chord_mm=t))
        expected.append(whole * math.sin(angle) / angle - bore)
    assert found == pytest.approx(expected, abs=true.area * GRID_MM / 2.0)


@every_twist
def test_twisted_bar_lacks_in_proportion_to_its_steps(kernel: ModuleType, name: str) -> None:
    """In proportion to the tolerance once that, not the longest step, sets the steps."""
    made = TWISTS[name][0]
    true = exact(kernel, name)
    # Its skin is an approximation of the second kernel's; area times length is exact.
    assert true.volume == pytest.approx(20.0 * 16.0 * 70.0, rel=1e-6)
    assert 0.0 < 1.0 - solid_of(made, chord_mm=0.01).volume_mm3() / true.volume <= 0.001
    chords = tuple(
        t
        for t in (0.005, 0.003, 0.002, 0.001)
        if 360.0 / segments(math.hypot(10.0, 8.0), chord_mm=t) < STEP_DEG
    )
    assert len(chords) >= 4
    lacks = [true.volume - solid_of(made, chord_mm=t).volume_mm3() for t in chords]
    assert slope(chords, lacks) == pytest.approx(1.0, abs=0.1)


@every_twist
def test_twisted_bar_that_displaces_has_the_exact_volume(kernel: ModuleType, name: str) -> None:
    made = TWISTS[name][0]
    own = displacing_of(made, facts_of(made, density_g_ml=0.68), chord_mm=0.01)
    assert own is not None
    assert own.volume_mm3() == pytest.approx(exact(kernel, name).volume, rel=1e-5)


@every_twist
def test_twisted_bar_winds_as_the_second_kernel_winds_it(kernel: ModuleType, name: str) -> None:
    """Volumes cannot see a hand; distances do."""
    chord = 0.05
    mesh = solid_of(TWISTS[name][0], chord_mm=chord).any_mesh()
    points = mesh.vertices.astype(float)[::4]
    assert kernel.distances(exact(kernel, name), points).max() <= chord + GRID_MM
    other = exact(kernel, "left" if name == "right" else "right")
    assert kernel.distances(other, points).max() > 1.0
