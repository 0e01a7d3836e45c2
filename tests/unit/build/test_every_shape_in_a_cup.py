"""Every shape of an insert through the whole flow: the cup, its gap, its pour and its float."""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path

import pytest

from mouldgen.build import build_moulds
from mouldgen.job.load import load_job
from mouldgen.mould_set import MouldSet
from mouldgen.pour.pour import pour
from mouldgen.pour.slices import slice_air
from mouldgen.pour.space import Space
from mouldgen.solid.kernel import Solid
from mouldgen.solid.topology import topology_of
from tests.shapes_in_moulds import SHAPES

BARE = Path(__file__).parents[2] / "bare_job.toml"


@cache
def cup(name: str, *more: str) -> MouldSet:
    """A cool shop and a plastic that stands heat: heat is not what is asked about here."""
    sets = [f"insert.{key}" for key in SHAPES[name]]
    across = 7 if name == "thin tube" else 16
    sets += [f"piece.diameter={across} mm", "pour.shop=15 C", "plastic.softens=130 C", *more]
    sets += ["resin.hottest=180 C", "resin.depth=100 mm"]
    return build_moulds(load_job(BARE, sets=sets).job)


@pytest.mark.parametrize("gap", ["auto", "2.5 mm"])
@pytest.mark.parametrize("name", SHAPES)
def test_a_cup_is_made_and_nothing_must_be_fixed(name: str, gap: str) -> None:
    found = cup(name, f"mould.gap={gap}")
    assert [f.message for f in found.findings if f.severity == "stop"] == []
    for part in found.parts.parts:
        topology = topology_of(part.mesh)
        assert (topology.closed, topology.genus, topology.shells) == (True, part.genus, 1)


@pytest.mark.parametrize("name", SHAPES)
def test_the_gap_is_measured_from_the_round_that_encloses_it(name: str) -> None:
    """Never less than asked for; more by the facets' tolerance only.  The insert itself, drawn on
    its surface, stands nowhere nearer."""
    found = cup(name, "mould.gap=2.5 mm")
    assert 2.5 - 1e-3 <= found.measured_least_mm <= 2.5 + 0.02
    bare = Solid.of_mesh(found.parts.cavity)
    own = Solid.of_mesh(found.parts.insert).below(found.plan.size.fill_mm - 0.5)
    outside = (own - bare).volume_mm3()
    assert outside == pytest.approx(0.0, abs=1e-6)
    corners = found.parts.insert.vertices.astype(float)
    reach = max(math.hypot(x, y) for x, y, _ in corners)
    assert reach <= found.answer.insert.envelope_mm + 1e-4


@pytest.mark.parametrize("name", SHAPES)
def test_the_virtual_pour_fills_the_cavity_less_the_insert(name: str) -> None:
    """Of the bare cavity, so that pips and ribs are not in it; no air stays.

    Layers and rows of a quarter of a millimetre: off by a tenth of that over the insert's round,
    and by two thousandths for the facets.
    """
    found = cup(name, "mould.gap=2.5 mm")
    size, parts = found.plan.size, found.parts
    space = Space(parts.cavity, (parts.displacing,), size.fill_mm - 0.25)
    filled = pour(slice_air(space, layer_mm=0.25, row_mm=0.25))
    assert filled.shut_in_ml < 1e-6
    bare = parts.cavity.volume_mm3 / 1000.0
    whole = bare - found.answer.insert.volume_ml
    round_ = 2.0 * math.pi * found.answer.insert.envelope_mm * 50.0 / 1000.0
    assert filled.filled_ml[-1] == pytest.approx(whole, abs=0.025 * round_ + 0.002 * whole)
    assert size.net_ml == pytest.approx(whole, rel=2e-3)


@pytest.mark.parametrize("name", SHAPES)
def test_what_it_floats_with(name: str) -> None:
    """(displaced x resin - mass) g, by hand; all of it is under resin."""
    found = cup(name, "mould.gap=2.5 mm")
    insert, resin = found.answer.insert, found.amounts.density_g_ml
    by_hand = (insert.volume_ml * resin - insert.mass_g) * 9.80665e-3
    assert found.hold.lift_n == pytest.approx(by_hand, rel=1e-9, abs=1e-12)


def test_a_plugged_tube_floats_more_and_is_told_of() -> None:
    open_, shut = cup("tube"), cup("plugged")
    assert shut.hold.lift_n > open_.hold.lift_n > 0.0
    told = {f.id: f for f in shut.findings}["insert.sealed-hollow"]
    assert told.severity == "note"
    assert "7.7 ml must stay dry" in told.message
    pressed = cup("plugged", "pour.pressure=50 psi")
    told = {f.id: f for f in pressed.findings}["insert.sealed-hollow"]
    assert told.severity == "warn"
    assert "all of the pot's 50 psi gauge stand on its wall" in told.message
    assert "insert.sealed-hollow" not in {f.id for f in open_.findings}


@pytest.mark.parametrize("name", SHAPES)
def test_legs_and_pips_land_where_the_insert_is(name: str) -> None:
    """Each leg's foot and each pip's top shares ground with the end above or below it."""
    found = cup(name, "mould.gap=2.5 mm")
    plan = found.plan
    own = Solid.of_mesh(found.parts.displacing)
    for rounds, height in ((plan.legs, plan.insert_top_mm - 0.1), (plan.pips, plan.insert_foot_mm)):
        for x, y, radius in rounds[: 1 if name == "coil" else None]:
            from mouldgen.solid.kernel import cylinder

            probe = cylinder(
                radius, bottom_mm=height, top_mm=height + 0.1, chord_mm=0.05, centre=(x, y)
            )
            assert (own ^ probe).volume_mm3() > 0.0, (name, x, y)
            assert math.hypot(x, y) + radius <= plan.size.bore_mm(height)


def test_a_thin_end_has_its_own_sockets() -> None:
    """Those round the thin end bear on it; ribs on the wall would not let the thick end in."""
    up, down = (cup(f"taper {way}", "mould.gap=2.5 mm").plan for way in ("up", "down"))
    thin = 7.0 + 6.0 * 3.0 / 50.0
    assert (up.sockets.lower, up.sockets.upper) == (True, "lid")
    assert up.sockets.inner_mm - up.sockets.foot_inner_mm == pytest.approx(thin - 13.0)
    assert (down.sockets.lower, down.sockets.upper) == (True, "wall")
    assert down.sockets.foot_inner_mm - down.sockets.inner_mm == pytest.approx(thin - 13.0)


def test_a_volume_that_is_given_changes_resin_and_no_clearance() -> None:
    drawn, given = (
        cup("taper up", "mould.gap=2.5 mm"),
        cup("taper up", "mould.gap=2.5 mm", "insert.displaced=12 ml"),
    )
    assert given.answer.insert.volume_ml == pytest.approx(12.0)
    more = drawn.answer.insert.volume_ml - 12.0
    assert given.answer.size.net_ml - drawn.answer.size.net_ml == pytest.approx(more)
    assert given.parts.insert.same_as(drawn.parts.insert)
    assert given.measured_least_mm == drawn.measured_least_mm


def test_a_fill_line_below_the_insert_counts_what_stands_below_it() -> None:
    """Taper of 13 to 7 mm radius: 28 of its 50 mm are under a line 30 mm over the floor."""
    found = cup("taper up", "mould.gap=2.5 mm", "mould.fill=30 mm")
    top = 13.0 - 6.0 * 28.0 / 50.0
    by_hand = math.pi * 28.0 * (13.0**2 + 13.0 * top + top**2) / 3000.0
    assert found.answer.size.insert_ml == pytest.approx(by_hand, rel=1e-12)


def test_porosity_goes_before_what_the_density_tells() -> None:
    """Half of 12 ml, under 50 psi: 1 - 14.696/64.696 of it."""
    more = ("insert.displaced=12 ml", "insert.porosity=0.5", "pour.pressure=50 psi")
    found = cup("taper up", "mould.gap=2.5 mm", *more)
    assert found.riser.pores_ml == pytest.approx(6.0 * 50.0 / 64.6959, rel=1e-4)
