"""Resin that heats itself: histories, the calibration, bands and the quick no."""

import math
from itertools import pairwise

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from mouldgen.errors import InternalError
from mouldgen.physics import bands, cure, stepping
from mouldgen.physics.belief import Belief
from mouldgen.physics.constants import ZERO_CELSIUS
from mouldgen.physics.cup import calibrate, cup_grid, gel_in_cup
from mouldgen.physics.data_sheet import DataSheet
from mouldgen.physics.exotherm import cure_in_cup, cure_in_mould, mould_grid
from mouldgen.physics.kinetics import calibrated
from mouldgen.physics.material import Material, printed, resin, wood
from mouldgen.physics.overheat import could_overheat, overheats
from mouldgen.physics.radial import CYLINDER, Layer, radial
from mouldgen.physics.section import Section
from mouldgen.physics.steady import Limits
from mouldgen.physics.stepping import Problem, Tolerance, run

C = ZERO_CELSIUS
SHOP = C + 21.0
SLOW = DataSheet(gel_time=2400.0, mass=0.1, temperature=C + 25.0, density=1073.0)
MEDIUM = DataSheet(gel_time=1500.0, mass=0.1, temperature=C + 25.0, density=1061.0)
URETHANE = DataSheet(gel_time=420.0, mass=0.1, temperature=C + 25.0, density=1050.0)
SHEETS = {"slow": (SLOW, 325e3), "medium": (MEDIUM, 325e3), "urethane": (URETHANE, 200e3)}
ASH, PETG = wood(678.0, temperature=SHOP), printed(1270.0)
MIDDLE = Belief(heat=325e3, energy=55e3, film=10.0)


def ring(gap_mm: float, *, insert_mm: float = 15.0, **changes: float) -> Section:
    """A rod of ash in a printed wall of 1.68 mm; with no insert, a full round."""
    radius = insert_mm / 1000.0
    return Section(radius, radius + gap_mm / 1000.0, 0.00168, ASH, PETG, **changes)


def history(section: Section, *, sheet: DataSheet = SLOW, belief: Belief = MIDDLE, **more):
    return cure_in_mould(sheet, section, belief=belief, air=SHOP, **more)


# ---------------------------------------------------------------- the calibration


@pytest.mark.parametrize("name", SHEETS)
@pytest.mark.parametrize("way", [0, 1, 2])
def test_the_data_sheets_cup_gels_in_the_data_sheets_time(name: str, way: int) -> None:
    sheet, heat = SHEETS[name]
    belief = bands.beliefs(heat)[way]

    assert gel_in_cup(sheet, sheet.mass, belief=belief, air=sheet.temperature) == pytest.approx(
        sheet.gel_time, rel=2e-3
    )
    # And with a cup that is cut and stepped far more finely, within a few percent.
    fine = run(
        Problem(
            cup_grid(sheet.density, sheet.mass, film=belief.film, fine=4),
            _curing(calibrate(sheet, belief)),
            sheet.density * belief.heat,
            sheet.temperature,
        ),
        end=1.2 * sheet.gel_time,
        temperature=sheet.temperature,
        tolerance=Tolerance(1e-3, 1e-5),
        stop=lambda _, a: bool(a.max() >= cure.GEL_CONVERSION),
    )
    assert fine.times[-1] == pytest.approx(sheet.gel_time, rel=0.03)


def _curing(kinetics):
    from mouldgen.physics.reaction import Curing

    return Curing(kinetics)


def test_a_cup_that_heats_itself_needs_a_slower_resin_for_the_same_gel_time() -> None:
    held = calibrated(SLOW.gel_time, temperature=SLOW.temperature)

    factors = [
        calibrate(SLOW, Belief(heat, 55e3, 10.0)).growth_factor / held.growth_factor
        for heat in (1.0, 1e5, 2e5, 4e5)
    ]

    assert factors[0] == pytest.approx(1.0, abs=5e-3)
    assert all(less < more for more, less in pairwise(factors))
    assert factors[-1] < 0.25


def test_a_drop_gels_as_where_the_temperature_is_held() -> None:
    drop = DataSheet(gel_time=2400.0, mass=1e-8, temperature=C + 25.0, density=1073.0)

    held = calibrated(2400.0, temperature=C + 25.0).growth_factor
    assert calibrate(drop, MIDDLE).growth_factor == pytest.approx(held, rel=0.03)


# ---------------------------------------------------------------- histories


def test_a_history_as_an_outside_solver_steps_it() -> None:
    # The same layers on another grid: even cells, written out again, stepped by a stiff solver.
    belief, section = MIDDLE, ring(6.0)
    kinetics = calibrate(SLOW, belief)
    ours = history(section, tolerance=Tolerance(1e-3, 1e-5), fine=3)

    width = 0.0005
    layers = [(ASH, 30), (resin(SLOW.density), 12), (PETG, 3)]
    k = np.concatenate([np.full(n, m.conductivity) for m, n in layers])
    stored = np.concatenate([np.full(n, m.density * m.heat_capacity) for m, n in layers])
    w = np.concatenate([np.full(42, width), np.full(3, 0.00168 / 3)])
    r = np.concatenate([[0.0], np.cumsum(w)])
    half = w / (2.0 * k)
    curing = slice(30, 42)

    def flow(_, y):
        T, a = y[:45], y[45:]
        inner = r[1:-1] * (T[:-1] - T[1:]) / (half[:-1] + half[1:])
        through = np.concatenate([[0.0], inner, [r[-1] * (T[-1] - SHOP) / (half[-1] + 1 / 10.0)]])
        rate = np.array(
            [kinetics.rate(max(float(x), 0.0), float(t)) for x, t in zip(a, T[curing], strict=True)]
        )
        dT = (through[:-1] - through[1:]) / (0.5 * (r[1:] ** 2 - r[:-1] ** 2))
        dT[curing] += SLOW.density * belief.heat * rate
        return np.concatenate([dT / stored, rate])

    theirs = solve_ivp(
        flow,
        (0.0, 3.0 * ours.gel),
        np.concatenate([np.full(45, SHOP), np.zeros(12)]),
        method="LSODA",
        rtol=1e-6,
        atol=1e-8,
        max_step=120.0,
    )
    wall = (theirs.y[41] * half[42] + theirs.y[42] * half[41]) / (half[41] + half[42])

    assert ours.peak - SHOP == pytest.approx(float(theirs.y[curing].max()) - SHOP, rel=5e-3)
    assert ours.wall_peak - SHOP == pytest.approx(float(wall.max()) - SHOP, rel=5e-3)
    gelled_at = np.interp(cure.GEL_CONVERSION, theirs.y[45:].max(axis=0), theirs.t)
    assert ours.gel == pytest.approx(float(gelled_at), rel=5e-3)


def test_no_heat_is_lost_but_to_the_air() -> None:
    # Without a film all the heat of the cure stays: (sum of stored heat) = rho H a.
    section = ring(5.0)
    grid = mould_grid(SLOW, section, film=1e-12)
    course = run(
        Problem(grid, _curing(calibrate(SLOW, MIDDLE)), SLOW.density * MIDDLE.heat, SHOP),
        end=1e5,
        temperature=SHOP,
        tolerance=Tolerance(1e-3, 1e-5),
    )
    kept = np.sum(grid.stored * grid.volumes * (course.temperatures[-1] - SHOP))
    given = SLOW.density * MIDDLE.heat * np.sum(grid.volumes[grid.curing] * course.conversions[-1])

    assert kept == pytest.approx(given, rel=1e-6)


@pytest.mark.parametrize(("gap", "insert"), [(1.0, 15.0), (8.0, 15.0), (20.0, 0.0)])
def test_the_usual_cut_and_steps_are_fine_enough_for_a_band(gap: float, insert: float) -> None:
    coarse = history(ring(gap, insert_mm=insert))
    fine = history(ring(gap, insert_mm=insert), fine=3, tolerance=Tolerance(0.01, 1e-4))

    assert coarse.peak - SHOP == pytest.approx(fine.peak - SHOP, rel=0.05)
    assert coarse.wall_peak - SHOP == pytest.approx(fine.wall_peak - SHOP, rel=0.05)
    assert coarse.gel == pytest.approx(fine.gel, rel=0.01)
    assert coarse.glassy == pytest.approx(fine.glassy, rel=0.02)


def test_what_a_history_says_hangs_together() -> None:
    told = history(ring(8.0))

    assert told.peak >= told.wall_peak
    assert told.gel <= told.gelled <= told.glassy
    assert told.conversion_at(told.gel)[1] == pytest.approx(cure.GEL_CONVERSION, abs=0.01)
    assert told.conversion_at(told.gelled)[0] == pytest.approx(cure.GEL_CONVERSION, abs=0.01)
    assert told.conversion_at(0.0) == (0.0, 0.0)
    assert told.conversion_at(1e9) == (told.least_cured[-1], told.most_cured[-1])
    assert float(np.interp(told.peak_time, told.times, told.hottest)) == pytest.approx(
        told.peak, abs=1.0
    )


def test_a_cold_shop_never_hardens_it() -> None:
    told = cure_in_mould(SLOW, ring(1.0), belief=MIDDLE, air=C - 30.0)

    assert told.gel == told.gelled == told.glassy == math.inf


def test_a_contact_that_holds_heat_back_makes_it_hotter() -> None:
    open_, held = history(ring(8.0)), history(ring(8.0, contact=20.0))

    assert held.peak > open_.peak + 1.0


def test_a_tall_cup_is_cooler_than_a_ball() -> None:
    ball, tall = (
        cure_in_cup(SLOW, 0.1, belief=MIDDLE, air=SHOP, shape=shape) for shape in ("ball", "tall")
    )

    assert tall.peak < ball.peak
    assert tall.gel > ball.gel


def test_wood_lighter_than_the_handbooks_counts_as_the_lightest() -> None:
    balsa = wood(150.0, temperature=300.0)

    assert balsa.conductivity == pytest.approx(0.3 * (0.1941 + 0.004064 * 12) + 0.01864)
    assert balsa.density == 150.0


def test_a_grid_without_a_cure_gives_no_heat() -> None:
    grid = radial([Layer(1.0, Material(1.0, 1.0, 1.0), 4)], shape=CYLINDER, film=1.0)
    course = run(Problem(grid, None, 1e9, 300.0), end=1.0, temperature=300.0)

    assert course.temperatures[-1] == pytest.approx(np.full(4, 300.0))
    assert course.conversions.shape[1] == 0


# ---------------------------------------------------------------- the quick no


LIMITS = [Limits(resin=C + hot, wall=C + wall) for hot, wall in ((120, 66), (120, 49), (60, 90))]


@pytest.mark.parametrize("name", SHEETS)
@pytest.mark.parametrize("insert", [0.0, 3.0, 15.0, 40.0])
def test_the_quick_no_is_never_wrong(name: str, insert: float) -> None:
    sheet, heat = SHEETS[name]
    noes = 0
    for gap in (0.25, 0.5, 1.0, 1.5, 2.0, 3.0, 5.0):
        section = ring(gap, insert_mm=insert)
        for belief in bands.beliefs(heat):
            told = history(section, sheet=sheet, belief=belief)
            for limits in LIMITS:
                hot = told.peak > limits.resin or told.wall_peak > limits.wall
                may = could_overheat(sheet, section, belief=belief, air=SHOP, limits=limits)
                noes += not may
                assert may or not hot
    assert noes > 5  # it does say no where rings are thin


@pytest.mark.parametrize("gap", [1.0, 3.0, 4.0, 6.0, 15.0])
@pytest.mark.parametrize("name", SHEETS)
def test_the_short_answer_is_that_of_the_whole_history(name: str, gap: float) -> None:
    sheet, heat = SHEETS[name]
    for belief in bands.beliefs(heat):
        told = history(ring(gap), sheet=sheet, belief=belief)
        for limits in LIMITS:
            hot = told.peak > limits.resin or told.wall_peak > limits.wall
            assert overheats(sheet, ring(gap), belief=belief, air=SHOP, limits=limits) == hot


# ---------------------------------------------------------------- bands


@pytest.mark.parametrize("name", SHEETS)
@pytest.mark.parametrize("gap", [0.5, 2.0, 5.0, 10.0])
@pytest.mark.parametrize("insert", [0.0, 10.0, 30.0])
def test_the_hot_way_is_the_hottest(name: str, gap: float, insert: float) -> None:
    # The rule for the gap runs this one only.
    sheet, heat = SHEETS[name]
    found = bands.mould_bands(sheet, ring(gap, insert_mm=insert), heat=heat, air=SHOP)

    assert found.wall.high == found.histories[-1].wall_peak
    assert found.peak.high == found.histories[-1].peak
    for band in (found.peak, found.wall, found.gel, found.gelled, found.glassy):
        assert band.low <= band.middle <= band.high


def test_the_three_ways_are_250_325_and_400_joules_a_gram() -> None:
    ways = bands.beliefs(325e3)

    assert [way.heat for way in ways] == pytest.approx([250e3, 325e3, 400e3])
    assert [way.energy for way in ways] == [45e3, 55e3, 60e3]
    assert [way.film for way in ways] == [15.0, 10.0, 5.0]


def test_the_largest_batch_gels_no_earlier_than_asked() -> None:
    needed = 30 * 60.0
    batch = bands.batch_for_time(MEDIUM, needed, heat=325e3, air=SHOP)

    assert 0.05 < batch < 5.0
    assert bands.gel_band(MEDIUM, batch, heat=325e3, air=SHOP).low >= needed
    assert bands.gel_band(MEDIUM, 1.05 * batch, heat=325e3, air=SHOP).low < needed


@pytest.mark.parametrize(("minutes", "batch"), [(5, math.inf), (600, 0.0)])
def test_any_batch_or_none(minutes: float, batch: float) -> None:
    assert bands.batch_for_time(MEDIUM, 60.0 * minutes, heat=325e3, air=SHOP) == batch


def test_a_resin_that_no_step_can_follow_is_refused(monkeypatch) -> None:
    grid = mould_grid(SLOW, ring(1.0), film=10.0)
    problem = Problem(grid, _curing(calibrate(SLOW, MIDDLE)), SLOW.density * 325e3, SHOP)
    monkeypatch.setattr(stepping, "_MOST_STEPS", 50)  # its calibration takes more

    with pytest.raises(InternalError, match="more than 50 steps"):
        run(problem, end=1e4, temperature=SHOP, tolerance=Tolerance(1e-30, 1e-30))


# ---------------------------------------------------------------- the trade


@pytest.mark.parametrize("way", [0, 1, 2])
def test_a_thin_ring_on_wood_stays_cool_and_a_thick_pour_of_the_same_does_not(way: int) -> None:
    # Common practice, no source.  An epoxy not sold for casting: 20 minutes, unthinned, 500 J/g.
    coating = DataSheet(gel_time=1200.0, mass=0.1, temperature=C + 25.0, density=1120.0)
    belief = bands.beliefs(500e3)[way]
    thin = cure_in_mould(coating, ring(1.0), belief=belief, air=SHOP)
    thick = cure_in_mould(coating, ring(30.0, insert_mm=0.0), belief=belief, air=SHOP)

    assert thin.wall_peak < C + 59.0 - 10.0  # below where the softest of the plastics gives way
    assert thick.wall_peak > C + 105.0  # above where the hardest does


def test_forty_minutes_of_gel_allow_more_moulds_a_session_than_twenty_five() -> None:
    # Common practice, no source.  50 g a mould; 6 min to mix, 1 min a mould to pour.
    def moulds(sheet: DataSheet) -> int:
        count = 0
        while count < 60:
            needed = 360.0 + 60.0 * (count + 1)
            band = bands.gel_band(sheet, 0.05 * (count + 1), heat=325e3, air=SHOP)
            if band.low < needed:
                break
            count += 1
        return count

    assert moulds(SLOW) > moulds(MEDIUM) > 0


def test_a_cup_of_fast_epoxy_can_scorch() -> None:
    # One maker's page: 100 g in a cup can reach 400 F (204 degC).  That is inside the band.
    found = bands.cup_bands(MEDIUM, 0.1, heat=325e3, air=C + 25.0)

    assert found.peak.low < C + 204.0 < found.peak.high
