"""The kernel behind its wall: primitives, operations, and what is refused."""

from __future__ import annotations

import math

import manifold3d as m3
import numpy as np
import pytest

from mouldgen.errors import KernelError
from mouldgen.solid import kernel
from mouldgen.solid.circle import around, excess, polygon
from mouldgen.solid.kernel import Solid, box, cylinder, loft, prism, revolve, union

# The kernel's outlines live on a grid of 1e-8 of their size, which moves areas as little.
OUTLINE = 1e-8


def cube(size: float = 2.0) -> Solid:
    return box((0, 0, 0), (size, size, size))


def test_every_status_of_the_kernel_has_words() -> None:
    members = {m for n in dir(m3.Error) if isinstance(m := getattr(m3.Error, n), m3.Error)}
    assert set(kernel.STATUS_WORDS) == members
    assert all(words for status, words in kernel.STATUS_WORDS.items() if status != m3.Error.NoError)


def test_box_has_its_volume_and_one_shell() -> None:
    mesh = box((1, 2, 3), (2, 4, 6)).mesh(genus=0)
    assert mesh.volume_mm3 == pytest.approx(6.0, rel=1e-12)
    assert mesh.bounds == ((1.0, 2.0, 3.0), (2.0, 4.0, 6.0))


def test_revolve_is_drawn_around_the_circle() -> None:
    solid = revolve([(0, 0), (5, 0), (5, 10), (0, 10)], sides=48)
    assert solid.volume_mm3() == pytest.approx(math.pi * 250.0 * excess(48), rel=OUTLINE)


def test_cylinder_agrees_with_a_revolve_of_the_same_sides() -> None:
    made = cylinder(5.0, bottom_mm=-1.0, top_mm=3.0, chord_mm=0.01)
    sides = len(polygon(5.0, sides=kernel.segments(5.0, chord_mm=0.01)))
    assert made.volume_mm3() == pytest.approx(math.pi * 100.0 * excess(sides), rel=OUTLINE)


def test_coaxial_revolves_share_their_corners() -> None:
    """The same sides and phase: the wall between two circles is the wall asked for."""
    tube = revolve([(10, 0), (12, 0), (12, 5), (10, 5)], sides=40)
    core = prism([polygon(8.0, sides=40)], bottom_mm=0.0, top_mm=5.0)
    inner = 10.0 - 8.0 * math.cos(math.pi / 40)
    assert core.least_gap_mm(tube) == pytest.approx(inner, abs=1e-9)


def test_revolve_with_a_hole_has_one_handle() -> None:
    ring = revolve([(10, 0), (12, 0), (12, 5), (10, 5)], sides=40)
    # Corners move by up to half the mesh grid, 3e-5 mm on radii of 10 and 12 mm.
    assert ring.mesh(genus=1).volume_mm3 == pytest.approx(
        math.pi * (144 - 100) * 5 * excess(40), rel=2e-5
    )
    with pytest.raises(KernelError, match="genus 1 and 1 shells, where its features declare 0"):
        ring.mesh(genus=0)


def test_loft_of_two_squares_is_a_frustum() -> None:
    low = np.array([(1, -1), (1, 1), (-1, 1), (-1, -1)], float)
    frustum = loft([(low, 0.0), (2.0 * low, 3.0)])
    assert frustum.volume_mm3() == pytest.approx(3.0 * (4 + 16 + 8) / 3.0, rel=1e-12)


def test_flipped_placed_and_turned_keep_the_volume() -> None:
    solid = cylinder(2.0, bottom_mm=0.0, top_mm=5.0, chord_mm=0.05, centre=(7.0, 1.0))
    quarter = np.array([[0, -1, 0, 4], [1, 0, 0, 0], [0, 0, 1, 0]], float)
    for moved in (solid.flipped(), solid.turned(33.0), solid.placed(quarter), solid.moved(1, 2, 3)):
        assert moved.volume_mm3() == pytest.approx(solid.volume_mm3(), rel=1e-12)
    assert solid.flipped().any_mesh().bounds[0][2] == -5.0


def test_below_takes_the_lower_part() -> None:
    assert cube().below(0.5).volume_mm3() == pytest.approx(2.0, rel=1e-12)


def test_volume_is_conserved_by_a_cut() -> None:
    block, core = cube(10.0), cylinder(3.0, bottom_mm=-1, top_mm=11, chord_mm=0.01, centre=(5, 5))
    assert (block - core).volume_mm3() + (block ^ core).volume_mm3() == pytest.approx(
        1000.0, rel=1e-12
    )


def test_union_of_disjoint_solids_has_two_shells() -> None:
    both = union([cube(), cube().moved(5.0)])
    assert both.mesh(genus=0, shells=2).volume_mm3 == pytest.approx(16.0)


def test_a_closed_hollow_is_a_second_shell() -> None:
    hollow = cube(10.0) - cube(2.0).moved(4, 4, 4)
    with pytest.raises(KernelError, match="genus 0 and 2 shells"):
        hollow.mesh(genus=0)


def test_least_gap_finds_far_solids_by_doubling() -> None:
    assert cube().least_gap_mm(cube().moved(52.0), within_mm=1.0) == pytest.approx(50.0, abs=1e-9)
    assert cube().least_gap_mm(cube().moved(52.0), within_mm=1.0, limit_mm=8.0) == 8.0
    assert cube().least_gap_mm(cube().moved(1.0)) == 0.0


def test_an_empty_solid_is_never_silent() -> None:
    empty = cube() - cube()
    assert empty.volume_mm3() == 0.0
    with pytest.raises(KernelError, match="came out empty"):
        empty.mesh(genus=0)
    with pytest.raises(KernelError, match="came out empty"):
        empty.any_mesh()
    with pytest.raises(KernelError, match="the distance to an empty solid"):
        cube().least_gap_mm(empty)


def test_impossible_primitives_are_refused_before_the_kernel_empties_them() -> None:
    ring = polygon(1.0, sides=8)
    with pytest.raises(KernelError, match="height_mm must be finite and above zero"):
        prism([ring], bottom_mm=1.0, top_mm=1.0)
    with pytest.raises(KernelError, match="without an outline"):
        prism([], bottom_mm=0.0, top_mm=1.0)
    with pytest.raises(KernelError, match="width must be finite"):
        box((0, 0, 0), (-1, 1, 1))
    with pytest.raises(KernelError, match="across its axis"):
        revolve([(-1, 0), (2, 0), (2, 1)], sides=8)
    with pytest.raises(KernelError, match="runs clockwise or encloses nothing"):
        revolve([(0, 0), (0, 1), (1, 1)], sides=8)
    with pytest.raises(KernelError, match="not a finite number"):
        revolve([(0, 0), (math.nan, 0), (1, 1)], sides=8)
    with pytest.raises(KernelError, match=r"must be \(n, 2\) with n >= 3"):
        revolve([(0, 0), (1, 1)], sides=8)
    with pytest.raises(KernelError, match="one above the other"):
        loft([(ring, 1.0), (ring, 1.0)])
    with pytest.raises(KernelError, match="equally many corners"):
        loft([(ring, 1.0), (polygon(1.0, sides=9), 2.0)])


def test_open_and_inside_out_surfaces_are_refused() -> None:
    mesh = cube().any_mesh()
    with pytest.raises(KernelError, match="not closed"):
        Solid.of_surface(mesh.vertices, mesh.triangles[1:])
    with pytest.raises(KernelError, match="inside out"):
        Solid.of_surface(mesh.vertices, mesh.triangles[:, ::-1])
    with pytest.raises(KernelError, match="not a finite number"):
        Solid.of_surface(np.full((8, 3), math.nan), mesh.triangles)


def test_around_scales_exactly() -> None:
    assert around(3.0, sides=12) * math.cos(math.pi / 12) == pytest.approx(3.0, rel=1e-15)
