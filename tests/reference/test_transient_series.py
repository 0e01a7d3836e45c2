"""Heat through cylinders, slabs and spheres against series, tables and another library."""

from itertools import pairwise

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.special import j0, j1, jn_zeros

from mouldgen.physics.material import Material
from mouldgen.physics.radial import CYLINDER, SLAB, SPHERE, Layer, Radial, radial
from mouldgen.physics.runaway import ring_resistances
from mouldgen.physics.stepping import Problem, Tolerance, run

ONE = Material(1.0, 1.0, 1.0)
EXACT_IN_TIME = Tolerance(1e-7, 1e-7)

# Sixty terms of Carslaw & Jaeger 7.7, worked out apart from this code: Fo, centre, surface.
BIOT_ONE = [
    (0.05, 0.998898, 0.769641),
    (0.1, 0.976817, 0.684565),
    (0.2, 0.870174, 0.570228),
    (0.4, 0.642002, 0.413160),
    (1.0, 0.249380, 0.160338),
]
BIOT_ENDLESS = [(0.05, 0.987099), (0.1, 0.848355), (0.2, 0.501487), (0.4, 0.158489)]
# Bi, zeta_1, C_1 of the one-term tables (Incropera 5.1, Cengel 4-2; from memory, and recomputed).
ONE_TERM = [
    (0.01, 0.1412, 1.0025),
    (0.1, 0.4417, 1.0246),
    (0.2, 0.6170, 1.0483),
    (0.5, 0.9408, 1.1143),
    (1.0, 1.2558, 1.2071),
    (2.0, 1.5994, 1.3384),
    (5.0, 1.9898, 1.5029),
    (10.0, 2.1795, 1.5677),
    (50.0, 2.3572, 1.6002),
    (100.0, 2.3809, 1.6015),
    (np.inf, 2.4048, 1.6020),
]


def unit(cells: int, *, biot: float, shape: int = CYLINDER, growth: float = 0.4) -> Radial:
    """A body of radius 1, its cells finer toward the outside."""
    return radial([Layer(1.0, ONE, cells, growth=growth)], shape=shape, film=biot)


def cooled(grid: Radial, fourier: float, tolerance: Tolerance = EXACT_IN_TIME) -> np.ndarray:
    """Temperatures of a body that started at 1 in air of 0."""
    course = run(Problem(grid, None, 0.0, 0.0), end=fourier, temperature=1.0, tolerance=tolerance)
    return course.temperatures[-1]


def series(biot: float, fourier: float, radius: float, terms: int = 60) -> float:
    """The exact temperature of a cylinder: all the roots of ``z J1(z) = Bi J0(z)``."""
    if np.isinf(biot):
        roots = jn_zeros(0, terms)
    else:
        edges = [1e-9, *jn_zeros(1, terms)]
        roots = [brentq(lambda z: z * j1(z) - biot * j0(z), a, b) for a, b in pairwise(edges)]
    z = np.asarray(roots)
    weight = 2.0 / z * j1(z) / (j0(z) ** 2 + j1(z) ** 2)
    return float(np.sum(weight * j0(z * radius) * np.exp(-(z**2) * fourier)))


@pytest.mark.parametrize(("fourier", "centre", "surface"), BIOT_ONE)
def test_cooling_through_a_film(fourier: float, centre: float, surface: float) -> None:
    grid = unit(80, biot=1.0)
    T = cooled(grid, fourier)

    assert series(1.0, fourier, 0.0) == pytest.approx(centre, abs=6e-7)
    assert float(grid.centre(T)) == pytest.approx(centre, abs=3e-5)
    assert float(grid.surface(T, 0.0)) == pytest.approx(surface, abs=3e-5)


@pytest.mark.parametrize(("fourier", "centre"), BIOT_ENDLESS)
def test_cooling_from_a_held_surface(fourier: float, centre: float) -> None:
    grid = unit(80, biot=np.inf)

    assert series(np.inf, fourier, 0.0) == pytest.approx(centre, abs=6e-7)
    assert float(grid.centre(cooled(grid, fourier))) == pytest.approx(centre, abs=1e-4)


@pytest.mark.parametrize("biot", [1.0, np.inf])
@pytest.mark.parametrize("growth", [1.0, 0.4, 3.0])
def test_second_order_in_space(biot: float, growth: float) -> None:
    # The worst error over all radii and times, on grids each twice as fine.
    errors = []
    for cells in (12, 24, 48):
        grid = unit(cells, biot=biot, growth=growth)
        errors.append(
            max(
                abs(value - series(biot, fourier, radius))
                for fourier in (0.1, 0.4)
                for radius, value in zip(grid.nodes, cooled(grid, fourier), strict=True)
            )
        )
    orders = [np.log2(coarse / fine) for coarse, fine in pairwise(errors)]

    assert orders == pytest.approx([2.0, 2.0], abs=0.15)


def test_third_order_in_time() -> None:
    # Steps of one length: a tolerance that is never reached, and the end cut into steps.
    grid = unit(12, biot=1.0)
    problem = Problem(grid, None, 0.0, 0.0)
    start = cooled(grid, 0.05)
    end = 0.4
    exact = run(problem, end=end, temperature=start, tolerance=Tolerance(1e-11)).temperatures[-1]
    errors = []
    for steps in (4, 8, 16):
        T = start
        for _ in range(steps):
            T = one_step(problem, T, end / steps)
        errors.append(float(np.abs(T - exact).max()))
    orders = [np.log2(coarse / fine) for coarse, fine in pairwise(errors)]

    assert orders == pytest.approx([3.0, 3.0], abs=0.25)


def one_step(problem: Problem, T: np.ndarray, h: float) -> np.ndarray:
    from mouldgen.physics.stepping import _Stepper

    return _Stepper(problem).step(T, np.zeros(0), np.zeros(0), h)[0]


@pytest.mark.parametrize(("biot", "zeta", "weight"), ONE_TERM)
def test_one_term_table(biot: float, zeta: float, weight: float) -> None:
    # From Fo = 0.5 on one term is left: ln theta is straight, its slope -zeta^2.
    grid = unit(60, biot=biot)
    times = (0.5, 0.8)
    early, late = (float(grid.centre(cooled(grid, fo))) for fo in times)
    found = np.sqrt(np.log(early / late) / (times[1] - times[0]))

    assert found == pytest.approx(zeta, rel=5e-4, abs=5e-5)
    assert early * np.exp(found**2 * times[0]) == pytest.approx(weight, rel=1e-3)


def test_a_shaft_of_the_textbook() -> None:
    # Cengel 4-5, from memory: 20 cm, h 80, k 14.9, alpha 3.95e-6, 600 to 200 degC, 45 min.
    steel = Material(14.9, 1.0, 14.9 / 3.95e-6)
    grid = radial([Layer(0.1, steel, 40)], shape=CYLINDER, film=80.0)
    course = run(
        Problem(grid, None, 0.0, 200.0), end=2700.0, temperature=600.0, tolerance=Tolerance(1e-3)
    )

    # 364.3 degC by one term, worked out apart from this code; the book's chart is read as 360.
    assert float(grid.centre(course.temperatures[-1])) == pytest.approx(364.3, abs=0.3)


@pytest.mark.parametrize(
    ("shape", "zeta"), [(SLAB, np.pi / 2), (CYLINDER, 2.404826), (SPHERE, np.pi)]
)
def test_each_shape_cools_at_its_own_rate(shape: int, zeta: float) -> None:
    # Surface held at the air's temperature: first roots of cos, J0 and sin z/z.
    grid = unit(60, biot=np.inf, shape=shape)
    early, late = (float(grid.centre(cooled(grid, fo))) for fo in (0.4, 0.5))

    assert np.sqrt(np.log(early / late) / 0.1) == pytest.approx(zeta, rel=5e-4)


# Bi, zeta_1, C_1 (Incropera, Table 5.1; from memory): zeta tan zeta = Bi, 1 - zeta cot zeta = Bi.
ONE_TERM_OF = {
    SLAB: [(0.1, 0.3111, 1.0161), (1.0, 0.8603, 1.1191), (10.0, 1.4289, 1.2620)],
    SPHERE: [(0.1, 0.5423, 1.0298), (1.0, 1.5708, 1.2732), (10.0, 2.8363, 1.9249)],
}


def roots(shape: int, biot: float, terms: int) -> np.ndarray:
    def slab(z: float) -> float:
        return z * np.sin(z) - biot * np.cos(z)

    def sphere(z: float) -> float:
        return (1.0 - biot) * np.sin(z) - z * np.cos(z)

    edge = 1e-9
    ends = [(k * np.pi + edge, (k + 1) * np.pi - edge) for k in range(terms)]
    return np.array([brentq(slab if shape == SLAB else sphere, a, b) for a, b in ends])


def series_of(shape: int, biot: float, fourier: float, at: np.ndarray) -> np.ndarray:
    """Sixty terms (Carslaw & Jaeger 3.11 and 9.4) at radii above 0."""
    z = roots(shape, biot, 60)[:, None]
    if shape == SLAB:
        weight = 4.0 * np.sin(z) / (2.0 * z + np.sin(2.0 * z))
        shapes = np.cos(z * at)
    else:
        weight = 4.0 * (np.sin(z) - z * np.cos(z)) / (2.0 * z - np.sin(2.0 * z))
        shapes = np.sin(z * at) / (z * at)
    return np.sum(weight * shapes * np.exp(-(z**2) * fourier), axis=0)


@pytest.mark.parametrize("shape", ONE_TERM_OF)
def test_one_term_table_of_slab_and_sphere(shape: int) -> None:
    for biot, zeta, weight in ONE_TERM_OF[shape]:
        grid = unit(60, biot=biot, shape=shape)
        first = 1.0 if biot <= 1.0 else 0.5  # the second term is then below 2e-4 of the first
        early, late = (float(grid.centre(cooled(grid, fo))) for fo in (first, 1.5 * first))
        found = np.sqrt(np.log(early / late) / (0.5 * first))

        assert roots(shape, biot, 1)[0] == pytest.approx(zeta, abs=6e-5)
        assert found == pytest.approx(zeta, rel=5e-4, abs=5e-5)
        assert early * np.exp(found**2 * first) == pytest.approx(weight, rel=1e-3)


@pytest.mark.parametrize("shape", ONE_TERM_OF)
@pytest.mark.parametrize("biot", [1.0, 10.0])
def test_slab_and_sphere_are_of_second_order(shape: int, biot: float) -> None:
    errors = []
    for cells in (12, 24, 48):
        grid = unit(cells, biot=biot, shape=shape)
        errors.append(
            max(
                float(np.abs(cooled(grid, fo) - series_of(shape, biot, fo, grid.nodes)).max())
                for fo in (0.05, 0.3)
            )
        )
    assert [np.log2(a / b) for a, b in pairwise(errors)] == pytest.approx([2.0, 2.0], abs=0.15)


class Even:
    """Heat given evenly, whatever the temperature."""

    def rate(self, _conversion, temperature):
        return np.ones_like(temperature)

    def slopes(self, _conversion, temperature):
        return np.zeros_like(temperature), np.zeros_like(temperature)


@pytest.mark.parametrize("cells", [5, 10, 20])
def test_solid_cylinder_with_even_heat(cells: int) -> None:
    # T0 - Ts = q r^2/(4 k): 10 kW/m3, 25 mm, 0.2 W/(m K) (Carslaw & Jaeger 7.2): 7.8125 K.  The
    # half cell at the surface counts q w^2/(16 k) too much; all else is exact on even cells.
    body = Material(0.2, 1000.0, 1.0)
    grid = radial([Layer(0.025, body, cells, cures=True)], shape=CYLINDER, film=np.inf)
    course = run(
        Problem(grid, Even(), 1e4, 300.0),
        end=1e5,
        temperature=300.0,
        tolerance=Tolerance(1e-6, 1e9),
    )
    half_cell = 1e4 * (0.025 / cells) ** 2 / (16 * 0.2)

    assert float(grid.centre(course.temperatures[-1])) - 300.0 == pytest.approx(
        7.8125 + half_cell, rel=1e-8
    )


def test_ring_with_even_heat() -> None:
    # The closed form that the quick bound rests on, with a wall and a film outside it.
    resin, wall = Material(0.2, 1000.0, 1.0), Material(0.13, 1000.0, 1.0)
    inner, bore, outer, film = 0.015, 0.020, 0.022, 8.0
    layers = [
        Layer(inner, Material(0.16, 700.0, 1.0), 10),
        Layer(bore - inner, resin, 20, cures=True),
        Layer(outer - bore, wall, 10),
    ]
    grid = radial(layers, shape=CYLINDER, film=film)
    course = run(
        Problem(grid, Even(), 1e4, 300.0),
        end=1e6,
        temperature=300.0,
        tolerance=Tolerance(1e-5, 1e9),
    )
    T = course.temperatures[-1]
    to_air, within = ring_resistances(
        inner,
        bore,
        conductivity=0.2,
        to_air=bore * np.log(outer / bore) / 0.13 + bore / (outer * film),
    )

    assert float(grid.face(T, grid.curing.stop)) - 300.0 == pytest.approx(1e4 * to_air, rel=1e-3)
    assert float(grid.face(T, grid.curing.start)) - 300.0 == pytest.approx(
        1e4 * (to_air + within), rel=1e-3
    )


def pipe() -> tuple[Radial, np.ndarray]:
    """A pipe of two layers round a fluid so heavy that it stays at 320 degC, after long."""
    fluid = Material(1e9, 1e9, 1e9)
    layers = [
        Layer(0.025, fluid, 2),
        Layer(0.0025, Material(80.0, 1.0, 1.0), 4, contact=60.0),
        Layer(0.030, Material(0.05, 1.0, 1.0), 40),
    ]
    grid = radial(layers, shape=CYLINDER, film=18.0)
    start = np.where(np.arange(46) < 2, 320.0, 5.0)
    course = run(
        Problem(grid, None, 0.0, 5.0), end=1e3, temperature=start, tolerance=Tolerance(1e-4)
    )
    return grid, course.temperatures[-1]


def test_pipe_of_two_layers() -> None:
    # Textbook problem from memory, worked out apart from this code: 120.8 W, 0.02 and 284 K.
    grid, T = pipe()

    assert float(grid.loss(T, 5.0)) == pytest.approx(120.786, rel=1e-3)
    # Resistances of a metre, 0.106, 0.0002, 2.35, 0.154 K/W, by the differences over the flow.
    joint, skin = float(grid.face(T, 6)), float(grid.surface(T, 5.0))
    assert joint - skin == pytest.approx(284.0, abs=0.5)
    assert (skin - 5.0) / 120.786 == pytest.approx(0.154, abs=5e-4)


def test_pipe_as_another_library_has_it() -> None:
    import ht

    theirs = ht.cylindrical_heat_transfer(
        Ti=320, To=5, hi=60, ho=18, Di=0.05, ts=[0.0025, 0.030], ks=[80, 0.05]
    )
    grid, T = pipe()

    # Only Q: its resistances are for the outer area, and its temperatures follow from them.
    assert float(grid.loss(T, 5.0)) == pytest.approx(theirs["Q"], rel=1e-3)


class FrankKamenetskii:
    """A rate that grows exponentially and uses nothing up."""

    def rate(self, _conversion, temperature):
        return np.exp(temperature)

    def slopes(self, _conversion, temperature):
        return np.zeros_like(temperature), np.exp(temperature)


def exponential(cells: int, delta: float, *, shape: int = CYLINDER):
    grid = radial([Layer(1.0, ONE, cells, cures=True)], shape=shape, film=np.inf)
    course = run(
        Problem(grid, FrankKamenetskii(), delta, 0.0),
        end=60.0,
        temperature=0.0,
        tolerance=Tolerance(1e-5, 1e9),
        stop=lambda T, _: bool(T.max() > 10.0),
    )
    return float(grid.centre(course.temperatures[-1])), float(course.times[-1])


def test_the_steady_state_of_frank_kamenetskii_is_reached() -> None:
    errors = [exponential(cells, 1.0)[0] - 0.316694 for cells in (10, 20, 40)]

    assert errors[-1] == pytest.approx(0.0, abs=1e-4)
    assert [np.log2(a / b) for a, b in pairwise(errors)] == pytest.approx([2.0, 2.0], abs=0.1)


@pytest.mark.parametrize(("shape", "critical"), [(SLAB, 0.878), (CYLINDER, 2.0), (SPHERE, 3.322)])
def test_no_steady_state_above_the_critical_number(shape: int, critical: float) -> None:
    # Critical numbers of slab and sphere from memory; the cylinder's is exact.
    below, end = exponential(40, critical * 0.98, shape=shape)
    above, stopped = exponential(40, critical * 1.02, shape=shape)

    assert below < 2.0
    assert end == pytest.approx(60.0)
    assert above > 10.0
    assert stopped < 60.0
