"""The split mould's cavity and halves against a second geometry kernel (OCC): exact surfaces.

As in `test_second_kernel.py`: the difference is what the chord tolerance t costs, in proportion to
it, and nothing else.  `tests/second_kernel_split.py` tells how the second construction differs.
Run by `make test-heavy`.
"""

from __future__ import annotations

from functools import cache
from types import ModuleType
from typing import Any

import numpy as np
import pytest

from mouldgen.build import build_moulds
from mouldgen.mould_set import MouldSet
from mouldgen.solid.circle import excess
from mouldgen.solid.mesh import GRID_MM
from tests.demo_set import job_with

pytestmark = pytest.mark.heavy

CHORDS = (0.2, 0.1, 0.05, 0.02, 0.01, 0.005)
WAYS = ("bottom-feed", "resin-first")
HALVES = ("front", "back")

every_way = pytest.mark.parametrize("way", WAYS)
every_half = pytest.mark.parametrize("name", HALVES)


@pytest.fixture(scope="module")
def kernel() -> ModuleType:
    """The second kernel; a heavy run without it fails."""
    from tests import second_kernel_split

    return second_kernel_split


@cache
def split(way: str, chord: float) -> MouldSet:
    """The shipped stick between two halves without lettering."""
    mould = {"family": "split", "gap": 6.0, "lettering": False, "chord": chord, "vent_grooves": 2}
    return build_moulds(job_with(mould=mould, pour={"sequence": way}))


@cache
def exact(kernel: ModuleType, way: str, name: str) -> Any:
    plan = split(way, 0.01).plan
    if name == "cavity":
        return kernel.exact_cavity(plan)
    return kernel.exact_half(plan, back=name == "back")


def volume(way: str, name: str, chord: float) -> float:
    parts = split(way, chord).parts
    return (parts.cavity if name == "cavity" else parts.part(name).assembled).volume_mm3


def slope(differences: list[float]) -> float:
    return float(np.polyfit(np.log(CHORDS), np.log(differences), 1)[0])


@every_way
def test_there_is_something_to_compare(way: str) -> None:
    plan = split(way, 0.01).plan
    assert len(plan.groove_angles) == 2
    assert plan.sockets.lower
    assert (plan.size.runner is not None) == (way == "bottom-feed")
    assert (len(plan.size.keys), len(plan.size.bolts) >= 4, len(plan.pips)) == (4, True, 3)


def test_cavity_holds_more_by_what_its_polygons_do(kernel: ModuleType) -> None:
    """Every circle is about the axis, so the share is n tan(pi/n)/pi; seat and ridges aside."""
    true = exact(kernel, "resin-first", "cavity")
    found = [volume("resin-first", "cavity", t) for t in CHORDS]
    assert true.volume / 1000.0 == pytest.approx(
        split("resin-first", 0.01).answer.size.cavity_ml, rel=1e-9
    )
    assert 0.0 < found[CHORDS.index(0.01)] / true.volume - 1.0 <= 0.001
    assert slope([v - true.volume for v in found]) == pytest.approx(1.0, abs=0.1)
    expected = [true.volume * excess(split("resin-first", t).plan.sides) for t in CHORDS]
    assert found == pytest.approx(expected, abs=true.area * GRID_MM / 2.0)


@every_way
@every_half
def test_halves_lack_what_their_hollows_hold_more(kernel: ModuleType, way: str, name: str) -> None:
    """A half is a block less rounds that are drawn around their circles: it is lighter by them."""
    true = exact(kernel, way, name)
    found = [volume(way, name, t) for t in CHORDS]
    assert 0.0 < 1.0 - found[CHORDS.index(0.01)] / true.volume <= 0.001
    assert slope([true.volume - v for v in found]) == pytest.approx(1.0, abs=0.1)


@every_way
@every_half
def test_halves_stand_where_the_second_kernel_has_them(
    kernel: ModuleType, way: str, name: str
) -> None:
    """Volumes cannot see a side; corners do: each lies on the exact surface, or a chord off it."""
    chord = 0.01
    mesh = split(way, chord).parts.part(name).assembled
    points = mesh.vertices.astype(float)
    from tests.second_kernel import distances, exact_bounds

    true = exact(kernel, way, name)
    assert np.array(mesh.bounds) == pytest.approx(exact_bounds(true), abs=chord + GRID_MM)
    assert distances(true, points[:: max(1, len(points) // 400)]).max() <= 1.5 * chord


@every_way
def test_exact_halves_touch_in_the_plane_and_nowhere_else(kernel: ModuleType, way: str) -> None:
    front, back = exact(kernel, way, "front"), exact(kernel, way, "back")
    shared = front.intersect(back)
    assert (0.0 if shared is None else shared.volume) == pytest.approx(0.0, abs=1e-6)
