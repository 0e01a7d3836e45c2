"""The heat of a cure against a solution written anew: other unknowns, other grid, other stepper.

Nothing of the solver's own is used for the other side: the rate is written out again, the
unknowns are the heat in each cell instead of its temperature, cells are even, layers of a cylinder
meet through logarithms, and scipy's LSODA steps it.  Then limits that have an answer of their own:
no film, no thickness, another scale of time or size, the critical body of Frank-Kamenetskii.
"""

import math
from dataclasses import dataclass

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq

from mouldgen.physics.belief import Belief, beliefs
from mouldgen.physics.constants import ZERO_CELSIUS
from mouldgen.physics.cup import calibrate, cup_grid
from mouldgen.physics.cure import GEL_CONVERSION
from mouldgen.physics.data_sheet import DataSheet
from mouldgen.physics.exotherm import cure_in_mould, mould_grid
from mouldgen.physics.glass import Glass
from mouldgen.physics.kinetics import calibrated
from mouldgen.physics.material import Material, printed, resin, wood
from mouldgen.physics.radial import CYLINDER, SLAB, SPHERE, Layer, Radial, radial
from mouldgen.physics.reaction import Curing
from mouldgen.physics.runaway import delta, steady_rise
from mouldgen.physics.section import Section
from mouldgen.physics.stepping import Course, Problem, Tolerance, _Stepper, run

C = ZERO_CELSIUS
R = 8.314462618
SHEET_K = C + 25.0
SHOP = C + 21.0
MEDIUM = DataSheet(gel_time=1500.0, mass=0.1, temperature=SHEET_K, density=1061.0)
ASH, PETG = wood(678.0, temperature=SHOP), printed(1270.0)
WALL = 0.00168
FINELY = Tolerance(1e-3, 1e-5)


# ------------------------------------------------------------- the solution written anew


@dataclass(frozen=True)
class Shells:
    """Cells round an axis or a point: what they hold and what lies between them.

    capacity : heat that each takes for a degree [J/K], for each metre of a cylinder.
    volume : [m3], likewise.
    between : resistance from each middle to the next, the last to the air [K/W], likewise.
    curing : which cells are resin.
    """

    capacity: np.ndarray
    volume: np.ndarray
    between: np.ndarray
    curing: slice


def ball(mass: float, *, film: float, cells: int = 150) -> Shells:
    radius = (3.0 * mass / (4.0 * math.pi * MEDIUM.density)) ** (1.0 / 3.0)
    ends = np.linspace(0.0, radius, cells + 1)
    volume = 4.0 / 3.0 * np.pi * np.diff(ends**3)
    middle = 0.5 * (ends[1:] + ends[:-1])
    edges = np.append(middle, radius)
    shells = (1.0 / edges[:-1] - 1.0 / edges[1:]) / (4.0 * np.pi * 0.2)
    shells[-1] += 1.0 / (4.0 * np.pi * radius**2 * film)
    return Shells(MEDIUM.density * 1800.0 * volume, volume, shells, slice(0, cells))


def long_mould(mould: Section, *, film: float, cells: tuple[int, int, int]) -> Shells:
    """Per metre; each cell's temperature stands where half of it lies inside."""
    inner, bore, outer = mould.insert_radius, mould.bore_radius, mould.bore_radius + mould.wall
    core = cells[0] if inner else 0
    ends = np.concatenate(
        [
            np.linspace(0.0, inner, core + 1)[:-1],
            np.linspace(inner, bore, cells[1] + 1)[:-1],
            np.linspace(bore, outer, cells[2] + 1),
        ]
    )
    counts = (core, cells[1], cells[2])
    conducts = np.repeat([mould.insert.conductivity, 0.2, mould.plastic.conductivity], counts)
    stores = [mould.insert.stored, MEDIUM.density * 1800.0, mould.plastic.stored]
    middle = np.sqrt(0.5 * (ends[1:] ** 2 + ends[:-1] ** 2))
    within = np.log(ends[1:] / middle) / (2.0 * np.pi * conducts)
    behind = np.log(middle[1:] / ends[1:-1]) / (2.0 * np.pi * conducts[1:])
    between = within.copy()
    between[:-1] += behind
    between[core + cells[1] - 1] += 1.0 / (2.0 * np.pi * bore * mould.contact)
    between[-1] += 1.0 / (2.0 * np.pi * outer * film)
    volume = np.pi * np.diff(ends**2)
    return Shells(np.repeat(stores, counts) * volume, volume, between, slice(core, core + cells[1]))


def rate_anew(
    a: np.ndarray, T: np.ndarray, *, at_sheet: float, energy: float, stops: bool = True
) -> np.ndarray:
    """Kamal & Sourour with k1/k2 0.15, m 0.9, n 1.6, an Arrhenius factor, and DiBenedetto's glass.

    at_sheet : k2 at the data sheet's temperature [1/s].
    stops : whether the glass stops it.
    """
    a = np.clip(a, 0.0, 1.0)
    share = (T + 20.0 - (C - 20.0)) / 110.0  # the glass comes 20 K above the resin
    stop = share / (0.4 + 0.6 * share)
    mobile = 1.0 / (1.0 + stops * np.exp(np.clip(50.0 * (a - stop), -700.0, 700.0)))
    warm = np.exp(-energy / R * (1.0 / T - 1.0 / SHEET_K))
    return at_sheet * warm * (0.15 + a**0.9) * (1.0 - a) ** 1.6 * mobile


def stepped(shells: Shells, belief: Belief, *, air: float, end: float) -> tuple[np.ndarray, ...]:
    """Times, temperatures (cells, times) and conversions, of the cure calibrated on the sheet."""
    at_sheet = calibrate(MEDIUM, belief).constants(SHEET_K)[1]
    cells, curing = len(shells.capacity), shells.curing
    given = MEDIUM.density * belief.heat * shells.volume

    def flow(_: float, y: np.ndarray) -> np.ndarray:
        T, a = air + y[0::2] / shells.capacity, y[1::2]
        rate = np.zeros(cells)
        rate[curing] = rate_anew(a[curing], T[curing], at_sheet=at_sheet, energy=belief.energy)
        out = (T - np.append(T[1:], air)) / shells.between
        change = np.empty_like(y)
        change[0::2] = np.append(0.0, out[:-1]) - out + given * rate
        change[1::2] = rate
        return change

    each = np.column_stack([1e-4 * shells.capacity, np.full(cells, 1e-9)])
    found = solve_ivp(
        flow,
        (0.0, end),
        np.zeros(2 * cells),
        method="LSODA",
        lband=3,
        uband=3,
        rtol=1e-7,
        atol=each.ravel(),
    )
    return found.t, air + found.y[0::2] / shells.capacity[:, None], found.y[1::2][curing]


def reaches_gel(times: np.ndarray, conversion: np.ndarray) -> float:
    return float(np.interp(GEL_CONVERSION, conversion, times))


@pytest.mark.parametrize("way", [0, 1, 2])
@pytest.mark.parametrize("mass", [0.02, 0.1, 1.0])
def test_a_cup(mass: float, way: int) -> None:
    """The data sheet's cup gels in its time anew too; a smaller and a larger agree as well."""
    belief = beliefs(325e3)[way]
    grid = cup_grid(MEDIUM.density, mass, film=belief.film)
    course = run(
        Problem(grid, Curing(calibrate(MEDIUM, belief)), MEDIUM.density * belief.heat, SHEET_K),
        end=8000.0,
        temperature=SHEET_K,
    )
    middle = float(grid.centre(course.temperatures).max()) - SHEET_K
    times, T, a = stepped(ball(mass, film=belief.film), belief, air=SHEET_K, end=8000.0)

    assert middle == pytest.approx(float(T[0].max()) - SHEET_K, rel=0.01)
    assert middle <= belief.heat / 1800.0  # no more than if all the heat had stayed
    gel = reaches_gel(times, a.max(axis=0))
    assert reaches_gel(course.times, course.conversions.max(axis=1)) == pytest.approx(gel, rel=0.01)
    if mass == MEDIUM.mass:
        assert gel == pytest.approx(MEDIUM.gel_time, rel=0.005)


@pytest.mark.parametrize("way", [0, 1, 2])
@pytest.mark.parametrize(
    ("insert", "gap", "contact"),
    [
        (15.0, 2.0, math.inf),
        (15.0, 5.0, math.inf),
        (15.0, 10.0, 50.0),
        (15.0, 15.0, math.inf),
        (0.0, 20.0, math.inf),
    ],
)
def test_a_mould(insert: float, gap: float, contact: float, way: int) -> None:
    """Rings on ash and a full round, where the hot end runs a front a millimetre wide."""
    belief = beliefs(325e3)[way]
    mould = Section(insert / 1e3, (insert + gap) / 1e3, WALL, ASH, PETG, contact=contact)
    ours = cure_in_mould(MEDIUM, mould, belief=belief, air=SHOP)
    shells = long_mould(mould, film=belief.film, cells=(60, 200, 30))
    times, T, a = stepped(shells, belief, air=SHOP, end=4.0 * max(ours.gelled, ours.peak_time))
    last = shells.curing.stop - 1
    half = math.log(
        mould.bore_radius / math.sqrt(mould.bore_radius**2 - shells.volume[last] / (2.0 * math.pi))
    ) / (2.0 * math.pi * 0.2)
    skin = T[last] - (T[last] - T[last + 1]) * half / shells.between[last]

    peak = float(T[shells.curing].max())
    assert ours.peak - SHOP == pytest.approx(peak - SHOP, rel=0.02)
    assert ours.wall_peak - SHOP == pytest.approx(float(skin.max()) - SHOP, rel=0.02)
    assert ours.gel == pytest.approx(reaches_gel(times, a.max(axis=0)), rel=0.015)
    assert ours.gelled == pytest.approx(reaches_gel(times, a.min(axis=0)), rel=0.015)


# ------------------------------------------------------------------------ what heat there is


def given_and_found(grid: Radial, belief: Belief, course: Course) -> tuple[np.ndarray, np.ndarray]:
    """Heat that the cure has given by each time; what is stored and what has gone [J]."""
    round_ = {CYLINDER: 2.0 * math.pi, SPHERE: 4.0 * math.pi}[grid.shape]
    volumes = round_ * grid.volumes
    given = MEDIUM.density * belief.heat * (course.conversions @ volumes[grid.curing])
    stored = (course.temperatures - SHOP) @ (grid.stored * volumes)
    loss = grid.loss(course.temperatures, SHOP)
    lost = np.cumsum(0.5 * (loss[1:] + loss[:-1]) * np.diff(course.times))
    return given, stored + np.concatenate([[0.0], lost])


@pytest.mark.parametrize("way", [0, 1, 2])
@pytest.mark.parametrize("shape", [CYLINDER, SPHERE])
def test_heat_given_is_heat_stored_and_heat_lost(shape: int, way: int) -> None:
    """At every step, within the trapezium rule's share of the whole."""
    belief = beliefs(325e3)[way]
    mould = Section(0.015, 0.020, WALL, ASH, PETG)
    grid = (
        mould_grid(MEDIUM, mould, film=belief.film)
        if shape == CYLINDER
        else cup_grid(MEDIUM.density, 0.1, film=belief.film)
    )
    course = run(
        Problem(grid, Curing(calibrate(MEDIUM, belief)), MEDIUM.density * belief.heat, SHOP),
        end=4e4,
        temperature=SHOP,
        tolerance=FINELY,
    )
    given, found = given_and_found(grid, belief, course)

    assert found == pytest.approx(given, abs=1e-3 * given[-1])
    assert found[-1] - given[-1] == pytest.approx(0.0, abs=1e-3 * given[-1])
    assert course.temperatures[-1] == pytest.approx(SHOP, abs=1.0)  # most of it is lost by then


def test_without_a_film_a_cup_is_a_closed_vessel() -> None:
    """T = T0 + (H/cp) a everywhere, the gel at ``integral da/w(a, T)``, the end at H/cp."""
    belief = Belief(325e3, 55e3, 10.0)
    kinetics = calibrate(MEDIUM, belief)
    at_sheet, rise = kinetics.constants(SHEET_K)[1], 325e3 / 1800.0
    grid = cup_grid(MEDIUM.density, 0.1, film=1e-13)
    course = run(
        Problem(grid, Curing(kinetics), MEDIUM.density * belief.heat, SHOP),
        end=2e4,
        temperature=SHOP,
        tolerance=FINELY,
    )

    def slowness(u: float) -> float:  # a = u^10: smooth at the start
        a = u**10
        return 10.0 * u**9 / float(rate_anew(a, SHOP + rise * a, at_sheet=at_sheet, energy=55e3))

    gel = quad(slowness, 0.0, GEL_CONVERSION**0.1, epsrel=1e-10)[0]
    assert course.temperatures == pytest.approx(SHOP + rise * course.conversions, abs=1e-6)
    assert reaches_gel(course.times, course.conversions[:, 0]) == pytest.approx(gel, rel=2e-3)
    assert course.temperatures[-1] - SHOP == pytest.approx(rise, rel=1e-3)
    assert course.conversions[-1] == pytest.approx(1.0, abs=1e-3)


def test_a_film_of_resin_on_metal_cures_as_where_the_temperature_is_held() -> None:
    """0.05 mm on a wall that takes any heat: the scalar equation, beyond the gel to the glass."""
    belief = Belief(325e3, 55e3, 10.0)
    metal = Material(400.0, 8900.0, 385.0)
    layers = [Layer(5e-5, resin(1061.0), 10, cures=True), Layer(1e-3, metal, 3)]
    grid = radial(layers, shape=CYLINDER, film=math.inf, inner=0.02)
    kinetics = calibrated(1500.0, temperature=SHEET_K, energy=55e3, glass=Glass())
    course = run(
        Problem(grid, Curing(kinetics), 1061.0 * belief.heat, SHEET_K),
        end=40_000.0,
        temperature=SHEET_K,
        tolerance=FINELY,
    )
    held = solve_ivp(
        lambda _, a: rate_anew(
            a, np.full(1, SHEET_K), at_sheet=kinetics.constants(SHEET_K)[1], energy=55e3
        ),
        (0.0, 40_000.0),
        [0.0],
        method="Radau",
        rtol=1e-9,
        atol=1e-11,
        t_eval=course.times,
    )

    assert course.temperatures.max() - SHEET_K < 0.01
    assert course.conversions[:, 5] == pytest.approx(held.y[0], abs=3e-4)
    assert reaches_gel(held.t, held.y[0]) == pytest.approx(1500.0, rel=2e-3)
    assert 0.783 < held.y[0, -1] < 0.9  # the glass halves the rate at 0.783 and then all but stops


def test_the_wood_of_a_mould_is_the_handbooks() -> None:
    """White ash: 678 kg/m3 at 12 percent is G 0.605 (Wood Handbook GTR-190, eqs 4-12, 4-15, 4-16).

    0.16558 W/(m K), and 1663.24 J/(kg K) at 300 K, worked out apart from this code.
    """
    ash = wood(678.0, temperature=300.0)

    assert ash.conductivity == pytest.approx(0.16558, rel=1e-3)
    assert ash.heat_capacity == pytest.approx(1663.24, abs=0.01)
    assert ash.stored == pytest.approx(678.0 * 1663.24, rel=1e-5)


# ------------------------------------------------------------------------------ similarity


def scaled_ring(*, pace: float = 1.0, size: float = 1.0) -> tuple[Radial, Curing]:
    """A ring whose heat goes pace times as fast; of size times the lengths, as fast as before."""
    factor = pace * size**2
    stuff = [Material(k * factor, rho, c) for k, rho, c in ((0.16, 678, 1660), (0.2, 1061, 1800))]
    plastic = Material(0.13 * factor, 1270.0, 1300.0)
    layers = [
        Layer(0.015 * size, stuff[0], 8, growth=0.3),
        Layer(0.006 * size, stuff[1], 12, cures=True),
        Layer(0.002 * size, plastic, 4, contact=200.0 * pace * size),
    ]
    grid = radial(layers, shape=CYLINDER, film=10.0 * pace * size)
    cure = calibrated(3000.0, temperature=SHEET_K, glass=Glass()).scaled(pace)
    return grid, Curing(cure)


@pytest.mark.parametrize(("pace", "size"), [(7.0, 1.0), (1.0, 3.0), (0.2, 0.5)])
def test_a_faster_or_a_larger_mould_goes_through_the_same(pace: float, size: float) -> None:
    """Fourier's and Biot's numbers kept, and the rate's: the same steps, to rounding."""
    courses = []
    for grid, cure in (scaled_ring(), scaled_ring(pace=pace, size=size)):
        end = 2e4 / (1.0 if not courses else pace)
        problem = Problem(grid, cure, 1061.0 * 325e3, SHOP)
        courses.append(run(problem, end=end, temperature=SHOP))
    one, other = courses

    assert other.times * pace == pytest.approx(one.times, rel=1e-6)
    assert other.temperatures == pytest.approx(one.temperatures, abs=1e-5)
    assert other.conversions == pytest.approx(one.conversions, abs=1e-7)


# --------------------------------------------------------------------------- runaway, order


class ZeroOrder:
    """Arrhenius alone: nothing is used up."""

    def __init__(self, rate: float, energy: float) -> None:
        self._rate, self._energy = rate, energy

    def rate(self, _: np.ndarray, T: np.ndarray) -> np.ndarray:
        return self._rate * np.exp(-self._energy / R * (1.0 / T - 1.0 / 300.0))

    def slopes(self, a: np.ndarray, T: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        return np.zeros_like(T), self.rate(a, T) * self._energy / (R * T**2)


@pytest.mark.parametrize(("shape", "critical"), [(SLAB, 0.878), (CYLINDER, 2.0), (SPHERE, 3.322)])
def test_a_body_in_si_runs_away_where_frank_kamenetskii_says(shape: int, critical: float) -> None:
    """`delta`, its units and all, against the stepped body with an Arrhenius rate.

    R T/E is 0.0062 here, which moves the critical number up by about as much (Gray & Lee 1967,
    from memory), so 2 percent to either side tell.
    """
    body, radius, energy, heat = Material(0.2, 1100.0, 1800.0), 0.02, 400e3, 3e5
    unit = delta(radius, material=body, heat=heat, rate=1.0, energy=energy, wall=300.0)
    grid = radial([Layer(radius, body, 40, cures=True)], shape=shape, film=math.inf)
    hottest = []
    for share in (0.98, 1.02):
        reaction = ZeroOrder(share * critical / unit, energy)
        course = run(
            Problem(grid, reaction, body.density * heat, 300.0),
            end=60.0 * radius**2 * body.stored / body.conductivity,
            temperature=300.0,
            tolerance=Tolerance(1e-3, 1e9),
            stop=lambda T, _: bool(T.max() > 310.0),
        )
        hottest.append(course.temperatures[-1].max())

    assert hottest[0] < 303.0  # 1.2 to 1.6 times R T^2/E = 1.87 K, steady
    assert hottest[1] > 310.0


@pytest.mark.parametrize(("to_air", "within"), [(7e-5, 0.0), (0.0, 7e-5), (4e-5, 3e-5)])
def test_the_steady_rise_is_the_least_root(to_air: float, within: float) -> None:
    """``theta = H w_max(T + theta) R`` solved anew, w_max on a fine row; none far above it."""
    cure, heat = calibrated(3000.0, temperature=SHEET_K, energy=55e3), 1061.0 * 325e3
    a = np.linspace(0.0, 1.0, 200_001)

    def missing(rise: float, factor: float) -> float:
        warm = np.full(1, SHOP + rise)
        rate = rate_anew(a, warm, at_sheet=cure.constants(SHEET_K)[1], energy=55e3, stops=False)
        return rise - factor * heat * float(rate.max()) * (to_air + within)

    least = brentq(lambda rise: missing(rise, 1.0), 0.0, 12.0)
    found = [
        steady_rise(cure, heat=factor * heat, air=SHOP, to_air=to_air, within=within, most=99.0)
        for factor in (1.0, 3.0)
    ]

    assert 3.0 < least < 12.0
    assert found[0] == pytest.approx(least, rel=4e-3)
    assert found[0] >= least  # never on the cool side
    assert all(missing(rise, 3.0) < 0.0 for rise in np.linspace(0.0, 99.0, 100))
    assert math.isinf(found[1])


def test_heat_and_cure_together_are_of_third_order() -> None:
    """A step that leaves out a slope, or solves for one unknown wrongly, is of a lower order."""
    belief = Belief(325e3, 55e3, 10.0)
    mould = Section(0.015, 0.020, WALL, ASH, PETG)
    cure = calibrate(MEDIUM, belief)
    grid = mould_grid(MEDIUM, mould, film=belief.film)
    problem = Problem(grid, Curing(cure), MEDIUM.density * belief.heat, SHOP)
    start = run(problem, end=3000.0, temperature=SHOP, tolerance=Tolerance(1e-6, 1e-8))
    T0, a0 = start.temperatures[-1], start.conversions[-1]
    assert 0.1 < a0.min() < a0.max() < 0.3
    end = 2400.0  # over the gel: the rate's slopes change sign
    exact = run(problem, end=end, temperature=T0, conversion=a0, tolerance=Tolerance(1e-8, 1e-10))
    assert exact.conversions[-1].min() > GEL_CONVERSION
    stepper, errors = _Stepper(problem), []
    for steps in (40, 80, 160):
        T, a = T0, a0
        for _ in range(steps):
            T, a, *_ = stepper.step(T, a, stepper.rate(a, T), end / steps)
        errors.append(
            (
                float(np.abs(T - exact.temperatures[-1]).max()),
                float(np.abs(a - exact.conversions[-1]).max()),
            )
        )
    orders = np.log2(np.array(errors[:-1]) / np.array(errors[1:]))

    assert orders == pytest.approx(np.full((2, 2), 3.0), abs=0.35)
