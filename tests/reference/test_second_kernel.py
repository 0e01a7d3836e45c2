"""Cup and lid against a second geometry kernel (OCC, through build123d): exact surfaces.

The mould's meshes are drawn around true circles, so they hold more plastic than the exact
solid by an amount in proportion to the chord tolerance t.  `tests/second_kernel.py` tells how
the second construction differs from the first.  Under a draft, grooves and their backs keep
level sections that are circles of one radius (a sheared cylinder, not a tilted one, whose
level section would be wider by 1 / cos(draft)), in both constructions.

Run by `make test-heavy`; the ordinary suite needs no second kernel.
"""

from __future__ import annotations

import math
from functools import cache
from types import ModuleType
from typing import Any

import numpy as np
import pytest

from mouldgen.build import build_moulds
from mouldgen.mould.parts import Part
from mouldgen.mould.plan import FILL_LINE, LEAD, CupPlan
from mouldgen.solid.circle import FEWEST, segments
from mouldgen.solid.mesh import GRID_MM
from tests.demo_set import job_with

pytestmark = pytest.mark.heavy

ROD = {
    "shape": "rod",
    "diameter": 22.0,
    "length": 60.0,
    "flutes": None,
    "flute_area": None,
    "measured": (),
}
CASES: dict[str, dict[str, dict[str, Any]]] = {
    "the demo": {"mould": {}},
    "the demo, gap 1 mm": {"mould": {"gap": 1.0}},
    "a rod 22 x 60, gap 2 mm": {
        "insert": ROD,
        "piece": {"diameter": 18.0, "length": 50.0},
        "mould": {"gap": 2.0, "fill": None},
    },
    "the demo, draft 2 degrees": {"mould": {"draft": 2.0}},
}
PARTS = ("body", "lid")
CHORDS = (0.2, 0.1, 0.05, 0.02, 0.01)
FINE = 0.002

every_case = pytest.mark.parametrize("case", CASES)
every_part = pytest.mark.parametrize("name", PARTS)


@pytest.fixture(scope="module")
def kernel() -> ModuleType:
    """The second kernel; a heavy run without it fails."""
    from tests import second_kernel

    return second_kernel


@cache
def made(case: str, chord: float) -> tuple[CupPlan, dict[str, Part]]:
    tables = CASES[case]
    mould = {**tables["mould"], "lettering": False, "chord": chord}
    found = build_moulds(job_with(**{**tables, "mould": mould}))
    assert found.plan is not None
    assert found.parts is not None
    return found.plan, {name: found.parts.part(name) for name in PARTS}


@cache
def exact(kernel: ModuleType, case: str, name: str) -> Any:
    plan, _ = made(case, 0.01)
    return {"body": kernel.exact_body, "lid": kernel.exact_lid}[name](plan)


def volume(case: str, name: str, chord: float) -> float:
    return made(case, chord)[1][name].assembled.volume_mm3


def excesses(kernel: ModuleType, case: str, name: str, chords: tuple[float, ...]) -> list[float]:
    """By how much the meshes are larger than the exact solid [mm3]."""
    return [volume(case, name, t) - exact(kernel, case, name).volume for t in chords]


@every_case
def test_features_are_the_ones_to_be_compared(case: str) -> None:
    """A comparison of a cup that lost its ribs or its vents would say nothing about them."""
    plan, _ = made(case, 0.01)
    assert (plan.sockets.lower, plan.sockets.upper) == (True, "wall")
    assert (len(plan.sockets.angles), len(plan.groove_angles), len(plan.pips)) == (3, 3, 3)
    assert (len(plan.legs), len(plan.vents)) == (3, 3)
    assert plan.port is not None
    assert plan.body_label is None
    assert plan.lid_label is None


def test_the_second_kernel_has_the_lead_and_the_line_of_the_mould(kernel: ModuleType) -> None:
    assert (kernel.FILL_LINE, kernel.LEAD) == (FILL_LINE, LEAD)


@every_case
@every_part
def test_volume_within_a_thousandth_of_the_exact_one(
    kernel: ModuleType, case: str, name: str
) -> None:
    found = volume(case, name, 0.01) / exact(kernel, case, name).volume - 1.0
    assert 0.0 < found <= 0.001


@every_case
def test_difference_of_the_body_falls_in_proportion_to_the_tolerance(
    kernel: ModuleType, case: str
) -> None:
    """Log-log slope 1, where the groove backs have the sides that the tolerance asks for, not
    the fewest; the tenth is for the whole number of sides."""
    plan, _ = made(case, 0.01)
    back = plan.question.groove_mm + plan.size.wall_mm
    chords = tuple(t for t in (*CHORDS, 0.005, FINE) if segments(back, chord_mm=t) > FEWEST)
    assert len(chords) >= 5
    found = excesses(kernel, case, "body", chords)
    assert min(found) > 0.0
    assert np.polyfit(np.log(chords), np.log(found), 1)[0] == pytest.approx(1.0, abs=0.1)


@every_case
def test_difference_of_the_lid_falls_in_proportion_to_the_tolerance(
    kernel: ModuleType, case: str
) -> None:
    """Where its small circles have the sides that the tolerance asks for, not the fewest."""
    plan, _ = made(case, 0.01)
    smallest = min(r for _, _, r in (*plan.legs, *plan.vents))
    chords = tuple(t for t in (*CHORDS, 0.005, FINE) if segments(smallest, chord_mm=t) > FEWEST)
    assert len(chords) >= 5
    found = excesses(kernel, case, "lid", chords)
    assert np.polyfit(np.log(chords), np.log(found), 1)[0] == pytest.approx(1.0, abs=0.1)


@every_case
@pytest.mark.parametrize("chord", [*CHORDS, FINE])
def test_difference_of_the_lid_is_that_of_its_polygons(
    kernel: ModuleType, case: str, chord: float
) -> None:
    """A lid is discs less discs, none cut by another: each contributes the area of its polygon
    over its circle's, ``n tan(pi/n) - pi`` times the radius squared, and nothing else may."""
    plan, _ = made(case, chord)
    size, q = plan.size, plan.question
    inner = size.reach_mm + q.clearance_mm
    rounds = [
        (plan.sides, size.lid_reach_mm, q.lid_mm + q.skirt_mm),
        (plan.sides, inner, -q.skirt_mm),
    ]
    leg = size.rim_mm - plan.insert_top_mm
    holes = (*plan.vents, *([plan.port] if plan.port else []))
    rounds += [(segments(r, chord_mm=chord), r, leg) for _, _, r in plan.legs]
    rounds += [(segments(r, chord_mm=chord), r, -q.lid_mm) for _, _, r in holes]
    expected = sum((n * math.tan(math.pi / n) - math.pi) * r * r * h for n, r, h in rounds)
    # Corners sit on the mesh's grid: half a step over the whole surface, with either sign.
    surface = exact(kernel, case, "lid").area
    (found,) = excesses(kernel, case, "lid", (chord,))
    assert found == pytest.approx(expected, abs=surface * GRID_MM / 2.0)


@every_case
@every_part
def test_volume_meets_the_exact_one_as_the_tolerance_goes_to_zero(
    kernel: ModuleType, case: str, name: str
) -> None:
    """Straight line through two fine tolerances.  The smallest feature, the cone that leaves a
    drill mark, is 1.6e-4 of the body: one that were missing or doubled would show."""
    coarse, fine = excesses(kernel, case, name, (0.01, FINE))
    at_zero = (0.01 * fine - FINE * coarse) / (0.01 - FINE)
    assert abs(at_zero) <= 2e-5 * exact(kernel, case, name).volume


@every_case
@pytest.mark.parametrize(
    ("name", "angle"),
    # The facets of the two kernels lie on either side of the true surface, so their errors add
    # up.  A lid is mostly rounds: at 0.1 rad the second kernel alone spends a third of the
    # thousandth.
    [("body", 0.1), ("lid", 0.02)],
)
def test_facets_of_both_kernels_agree(
    kernel: ModuleType, case: str, name: str, angle: float
) -> None:
    facets = kernel.tessellated(exact(kernel, case, name), deflection_mm=0.01, angle_rad=angle)
    assert facets.closing_mm2 <= 1e-6
    assert facets.volume_mm3 < exact(kernel, case, name).volume
    assert volume(case, name, 0.01) == pytest.approx(facets.volume_mm3, rel=0.001)


@every_case
@every_part
@pytest.mark.parametrize("chord", CHORDS)
def test_same_bounding_box(kernel: ModuleType, case: str, name: str, chord: float) -> None:
    """Ours is never the smaller one, and the larger one by no more than the tolerance."""
    low, high = np.array(made(case, chord)[1][name].assembled.bounds)
    exact_low, exact_high = kernel.exact_bounds(exact(kernel, case, name))
    further = np.concatenate([exact_low - low, high - exact_high])
    assert further.min() >= -GRID_MM
    assert further.max() <= chord + GRID_MM


@every_case
@every_part
@pytest.mark.parametrize("chord", [0.2, 0.05, 0.01])
def test_no_corner_or_facet_leaves_the_exact_surface(
    kernel: ModuleType, case: str, name: str, chord: float
) -> None:
    """Volumes cannot see a feature in the wrong place; distances do."""
    mesh = made(case, chord)[1][name].assembled
    corners = mesh.vertices.astype(float)
    points = np.concatenate([corners, corners[mesh.triangles].mean(axis=1)])
    furthest = kernel.distances(exact(kernel, case, name), points).max()
    assert 0.0 < furthest <= chord + GRID_MM
