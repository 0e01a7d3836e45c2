"""Lines and rays through solids: volumes, distances and widths that are known exactly."""

from __future__ import annotations

import math

import numpy as np
import pytest
import trimesh

from mouldgen.errors import KernelError
from mouldgen.solid.kernel import Solid, box, cylinder, prism, revolve
from mouldgen.solid.lines import runs_along
from mouldgen.solid.mesh import Mesh
from mouldgen.solid.rays import leaves_at
from mouldgen.solid.surface import convex, patch_widths, surface_of
from mouldgen.solid.thickness import walls_of
from tests.printable import turned, wedge


def knobbly(seed: int) -> Solid:
    """Blocks and bores at odd angles, from a stated seed."""
    random = np.random.default_rng(seed)
    part = box((0, 0, 0), (20, 18, 16))
    for _ in range(4):
        about, off = random.normal(size=3), random.uniform(0, 16, 3)
        part += turned(box((0, 0, 0), (9, 7, 5)), about=about, degrees=70).moved(*off)
        bore = cylinder(2, bottom_mm=-30, top_mm=30, chord_mm=0.05)
        part -= turned(bore, about=about, degrees=50).moved(*off)
    return part


@pytest.mark.parametrize("axis", [0, 1, 2])
def test_a_box_has_the_runs_that_it_has(axis):
    runs = runs_along(box((0, 0, 0), (10, 20, 30)).any_mesh(), axis, pitch_mm=1.0)
    size = (10.0, 20.0, 30.0)
    assert set(runs.length.tolist()) == {size[axis]}
    assert len(runs.length) == 6000 / size[axis]
    assert (runs.start[:, axis] == 0.0).all()


@pytest.mark.parametrize("seed", range(4))
def test_runs_fill_the_volume_with_an_error_that_falls_with_the_pitch(seed):
    mesh = knobbly(seed).any_mesh()
    for axis in range(3):
        errors = [
            abs(runs_along(mesh, axis, pitch_mm=pitch).length.sum() * pitch**2 - mesh.volume_mm3)
            for pitch in (0.8, 0.1)
        ]
        assert errors[1] < 1e-3 * mesh.volume_mm3
        assert errors[1] < errors[0]


@pytest.mark.parametrize("seed", range(3))
def test_every_run_ends_where_the_plainest_search_ends(seed):
    """From the middle of each run, triangle by triangle."""
    mesh = knobbly(seed).any_mesh()
    surface, corners = surface_of(mesh), mesh.corners.astype(float)
    runs = runs_along(mesh, 2, pitch_mm=1.5)
    for start, length in list(zip(runs.start, runs.length, strict=True))[::7]:
        middle = start + np.array([0.0, 0.0, 0.5 * length])
        far = [_first(corners, middle, way) for way in ((0, 0, 1.0), (0, 0, -1.0))]
        assert sum(far) == pytest.approx(length, abs=1e-4)
    assert (surface.normals[runs.enters][:, 2] < 0).all()
    assert (surface.normals[runs.leaves][:, 2] > 0).all()


def _first(corners: np.ndarray, origin: np.ndarray, way: tuple[float, ...]) -> float:
    """Distance along a line to the nearest triangle ahead: planes, then three half-planes."""
    a, b, c = corners.transpose(1, 0, 2)
    normal = np.cross(b - a, c - a)
    slope = normal @ way
    a, b, c, normal, slope = (what[slope != 0.0] for what in (a, b, c, normal, slope))
    far = ((a - origin) * normal).sum(axis=1) / slope
    inside = far > 0.0
    hit = origin + far[:, None] * np.array(way)
    for p, q in ((a, b), (b, c), (c, a)):
        inside &= (np.cross(q - p, hit - p) * normal).sum(axis=1) >= 0.0
    return float(far[inside].min())


@pytest.mark.parametrize("angle", [3.0, 10.0, 20.0])
def test_a_wedge_is_as_thick_in_every_place_as_its_angle_says(angle):
    """Across the wedge at half a run: 2 d tan(a/2), d along the bisector from the edge."""
    surface = surface_of(wedge(angle).any_mesh())
    walls = walls_of(surface, pitch_mm=0.5, turned=math.cos(math.radians(25)))
    sides = np.flatnonzero((walls.turned < 1.0 - 1e-9) & (walls.turned > 0.9))
    assert len(sides) > 100
    half = math.radians(angle / 2)
    along = walls.at[sides, :2] @ [math.cos(half), math.sin(half)]
    assert walls.thick[sides] == pytest.approx(2 * along * math.tan(half), abs=2e-4)
    assert walls.turned[sides] == pytest.approx(math.cos(math.radians(angle)), abs=1e-4)


def test_places_stand_for_the_whole_surface_between_walls():
    """Each axis takes the faces that look its way; together they are the front of the plate."""
    plate = turned(box((0, 0, 0), (40, 30, 0.3)), about=(3, 1, 2), degrees=40)
    walls = walls_of(surface_of(plate.any_mesh()), pitch_mm=0.25, turned=0.999)
    thin = walls.thick < 1.0
    assert walls.share[thin].sum() == pytest.approx(1200.0, rel=0.01)
    assert walls.thick[thin] == pytest.approx(0.3, abs=1e-3)


def test_rays_meet_what_they_meet():
    surface = surface_of(box((0, 0, 0), (10, 20, 30)).any_mesh())
    start = np.array([[1.0, 2.0, 3.0]] * 4 + [[-1.0, 5.0, 5.0]])
    way = np.array([[1, 0, 0], [0, 0, -1], [0, 1, 0], [0.6, 0.8, 0], [1, 0, 0]], float)
    far, face = leaves_at(surface, start, way, reach_mm=16.0)
    # The third looks for no more than 16 mm; the last starts outside.
    assert far.tolist() == pytest.approx([9.0, 3.0, math.inf, 15.0, 0.0])
    assert face[2] == -1
    assert surface.normals[face[:2]].tolist() == [[1, 0, 0], [0, 0, -1]]


def test_edges_of_a_step_are_convex_but_for_one():
    step = prism([[(0, 0), (20, 0), (20, 10), (10, 10), (10, 20), (0, 20)]], bottom_mm=0, top_mm=5)
    surface = surface_of(step.any_mesh())
    bent = np.flatnonzero(surface.cosines < 0.5)
    hollow = bent[~convex(surface, bent)]
    assert len(bent) == 18
    assert surface.corners[surface.a[hollow], :2].tolist() == [[10.0, 10.0]]
    assert surface.lengths[hollow].tolist() == [5.0]


def test_a_smooth_surface_is_one_patch():
    """A strip of height h round a cylinder is about h wide, however many facets it has."""
    for sides in (40, 200):
        surface = surface_of(revolve([(0, 0), (30, 0), (30, 3), (0, 3)], sides=sides).any_mesh())
        upright = np.abs(surface.normals[:, 2]) < 0.5
        assert patch_widths(surface)[upright] == pytest.approx(3.0, rel=1e-6)


def test_a_patch_without_a_border_has_no_width():
    turn = np.linspace(-math.pi / 2, math.pi / 2, 41)
    ball = revolve(np.column_stack([10 * np.cos(turn).clip(0), 10 * np.sin(turn)]), sides=80)
    assert np.isinf(patch_widths(surface_of(ball.any_mesh()))).all()


def test_an_open_surface_is_refused():
    mesh = box((0, 0, 0), (10, 20, 30)).any_mesh()
    for kept in (slice(0, -1), slice(0, -2), slice(2, None)):
        with pytest.raises(KernelError, match="not closed has no inside"):
            surface_of(Mesh(mesh.vertices, mesh.triangles[kept].copy()))


def test_areas_and_normals_are_those_of_another_library():
    mesh = knobbly(7).any_mesh()
    other = trimesh.Trimesh(mesh.vertices, mesh.triangles, process=False)
    surface = surface_of(mesh)
    assert surface.areas == pytest.approx(other.area_faces, rel=1e-9, abs=1e-12)
    some = surface.areas > 1e-6
    assert np.abs(surface.normals[some] - other.face_normals[some]).max() < 1e-6
