"""Findings of the virtual pour and of what holds the insert."""

from __future__ import annotations

import math

import pytest

from mouldgen.build import build_moulds
from mouldgen.check.held import hold
from mouldgen.check.poured import poured
from mouldgen.errors import PresetError
from mouldgen.job.holding import holdings
from mouldgen.pour.attitudes import attitudes
from mouldgen.pour.riser import riser
from mouldgen.pour.soak import pores_ml
from mouldgen.pour.space import Space
from mouldgen.solid.kernel import cylinder, revolve
from tests.demo_set import demo_set, job_with


def blind_cup() -> Space:
    """A cup upside down in a cup: 20 mm wide inside, 10 mm of it a pocket."""
    hollow = cylinder(20.0, bottom_mm=0.0, top_mm=40.5, chord_mm=0.01).any_mesh()
    bell = revolve(
        [(10.0, 5.0), (12.0, 5.0), (12.0, 17.0), (0.0, 17.0), (0.0, 15.0), (10.0, 15.0)], sides=200
    ).any_mesh()
    return Space(hollow, (bell,), 40.0)


def test_a_pocket_is_told_with_its_place_and_what_pressure_leaves() -> None:
    tried = attitudes(blind_cup(), level_mm=30.0)
    none = riser(
        pockets_ml=tried.pours[0].shut_in_ml, pores_ml=0.0, shrinkage=0.0, net_ml=30.0,
        pressure_kpa=344.738, room_ml=0.0,
    )  # fmt: skip
    found = {f.id: f for f in poured(tried, none, pressure_kpa=344.738)}
    pocket = found["pour.pocket.1"]
    trapped = math.pi * 10.0**2 * 10.0 / 1000.0
    assert pocket.measured == pytest.approx(trapped, rel=0.06)  # a layer of half a millimetre
    # Boyle at 50 psi: 0.227154 of it is left.
    assert f"The pressure leaves {0.227154 * pocket.measured:.2f} ml" in pocket.message
    assert pocket.severity == "warn"
    second = found["pour.second"]
    assert second.measured == pytest.approx((1.0 - 0.227154) * pocket.measured, rel=1e-4)
    assert "vent slowly" in second.message


def test_leaning_is_proposed_where_it_lets_air_out() -> None:
    """A shallow bell, 2 mm deep and 20 mm wide, empties when it leans by 15 degrees."""
    hollow = cylinder(20.0, bottom_mm=0.0, top_mm=60.5, chord_mm=0.01).any_mesh()
    bell = revolve(
        [(10.0, 15.0), (12.0, 15.0), (12.0, 19.0), (0.0, 19.0), (0.0, 17.0), (10.0, 17.0)],
        sides=200,
    ).any_mesh()
    tried = attitudes(Space(hollow, (bell,), 60.0), level_mm=30.0)
    dry = riser(
        pockets_ml=0.0, pores_ml=0.0, shrinkage=0.0, net_ml=1.0, pressure_kpa=0.0, room_ml=0.0
    )
    lean = [f for f in poured(tried, dry, pressure_kpa=0.0) if f.id == "pour.lean"]
    assert tried.best != 0
    assert len(lean) == 1
    assert lean[0].limit < 0.5 * lean[0].measured


def test_the_demo_pours_in_one_go_upright() -> None:
    found = demo_set()
    assert [f for f in found.findings if f.rule == "pour"] == []
    assert found.riser.fits
    assert found.riser.needed_ml == pytest.approx(found.answer.size.riser_ml, abs=1e-6)
    assert found.tried.best == 0


def test_pressure_and_soak_lower_the_level_and_a_second_pour_fills_it() -> None:
    """Common practice, no source: under about 50 psi the level sinks after the first pour from
    shut-in air and soak, and a second pour fills it."""
    pores = pores_ml(40.0, density_g_ml=0.672)
    sinks = [
        riser(
            pockets_ml=1.0, pores_ml=pores, shrinkage=0.03, net_ml=25.0, pressure_kpa=p, room_ml=0
        ).second_ml
        for p in (0.0, 137.9, 344.7, 413.7)
    ]
    assert sinks == sorted(sinks)
    assert sinks[0] == pytest.approx(0.75)  # shrinkage alone
    assert sinks[2] > 2.0 * sinks[0]


@pytest.mark.parametrize("density", [0.2, 0.672, 1.1, 1.3, 8.5])
def test_pores_shrink_with_density_and_end_at_the_cell_wall(density: float) -> None:
    share = 1.0 - density / 1.12 * (1.0 / 1.5 + 0.12)
    assert pores_ml(100.0, density_g_ml=density) == pytest.approx(max(0.0, 10.0 * share))


def test_hold_counts_every_way_for_twice_the_lift() -> None:
    """Archimedes by hand: (1.0733 - 0.672) g/ml on 39.58 ml is 15.9 g, 0.156 N."""
    found = demo_set().hold
    assert found.lift_n == pytest.approx((1.07333 - 0.672) * 39.584 * 9.80665e-3, rel=1e-4)
    assert found.hold_n == pytest.approx(2.0 * found.lift_n)
    assert {way.name: many for way, many in found.ways} == {"weight": 32, "band": 1, "tape": 1}
    assert found.push_n == 20.0


def test_a_light_insert_of_a_litre_needs_many() -> None:
    plan = demo_set().plan
    heavy = hold(plan, resin_g_ml=30.0, push_n=20.0, holdings=holdings())
    counts = {way.name: many for way, many in heavy.ways}
    force = 2.0 * (30.0 - 0.672) * 39.584 * 9.80665e-3
    assert counts == {
        "weight": math.ceil(force / 9.80665e-3),
        "band": math.ceil(force / 2.0),
        "tape": math.ceil(force / 4.0),
    }


def test_an_insert_between_sockets_leans_by_its_play() -> None:
    found = build_moulds(job_with(mould={"gap": 2.0}))
    play = found.plan.sockets.inner_mm - found.plan.insert.envelope_mm
    assert found.hold.off_mm == (play, play)
    assert found.hold.lean_deg == pytest.approx(math.degrees(math.atan2(2.0 * play, 70.0)))
    assert [f.id for f in found.findings if f.id == "held.lean"] == []


def test_an_insert_without_sockets_is_to_be_steadied() -> None:
    found = build_moulds(
        job_with(
            insert={"shape": "rod", "diameter": 22.0, "length": 45.0, "measured": ()},
            piece={"diameter": 28.0, "length": 44.0},
            mould={"gap": 7.0, "fill": None},
        )
    )
    (lean,) = [f for f in found.findings if f.id == "held.lean"]
    assert lean.severity == "warn"
    assert lean.measured == pytest.approx(7.0)


def test_a_broken_holding_table_says_what_it_needs(tmp_path, monkeypatch) -> None:
    (tmp_path / "holding.toml").write_text('[rope]\ntitle = "rope"\n')
    monkeypatch.setenv("MOULDGEN_PRESETS", str(tmp_path))
    with pytest.raises(PresetError, match=r"the table \[rope\] cannot be used.*such as holds"):
        holdings()
