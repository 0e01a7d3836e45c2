"""Legs and pips on ends of every kind: in what is solid, apart from each other."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mouldgen.insert import facts_of, solid_of
from mouldgen.insert.facts import End
from mouldgen.mould.stands import LEAST_LEG, WEB, legs_on, pips_under
from mouldgen.solid.kernel import Solid, cylinder
from tests.insert_shapes import COIL, insert

# Wires from a third of the coil to a fifteenth, wound close and wide.
COILS = [
    insert(shape="coil", diameter="40 mm", wire=f"{wire} mm", pitch=f"{pitch} mm")
    for wire, pitch in ((3, 4), (3, 30), (8, 9), (8, 40), (13, 15), (13, 60), (16, 40))
]


@pytest.mark.parametrize("radius", [8.0, 15.0, 30.0])
def test_a_full_end_carries_three_inside_its_core(radius: float) -> None:
    end = End(radius, 0.0, math.pi * radius**2)
    for rounds in (legs_on(end), pips_under(end)):
        assert len(rounds) == 3
        assert all(math.hypot(x, y) + r <= radius for x, y, r in rounds)


def test_a_point_stands_on_one_seat_and_is_held_by_one_leg() -> None:
    end = End(0.5, 0.0, 0.8)
    assert legs_on(end) == ((0.0, 0.0, LEAST_LEG),)
    assert pips_under(end) == ((0.0, 0.0, 1.0),)


@settings(max_examples=200, derandomize=True, database=None, deadline=None)
@given(st.floats(1.5, 40.0), st.floats(0.05, 0.98))
def test_on_a_ring_each_meets_its_wall_and_stays_within_its_rim(
    outer: float, hollow: float
) -> None:
    inner = outer * hollow
    for rounds in (legs_on(End(outer, inner, 1.0)), pips_under(End(outer, inner, 1.0))):
        assert rounds
        for x, y, r in rounds:
            away = math.hypot(x, y)
            assert away + r <= outer + 1e-9
            assert away + r > inner
            assert r >= min(LEAST_LEG, 0.45 * outer)
        for (x, y, r), (a, b, s) in itertools.combinations(rounds, 2):
            assert math.hypot(x - a, y - b) >= r + s + WEB - 1e-9


@pytest.mark.parametrize(
    "made", [COIL, *COILS], ids=lambda made: f"{made.wire:g} at {made.pitch:g}"
)
def test_a_leg_and_a_pip_meet_the_ends_of_a_coils_wire(made) -> None:
    """The highest and the lowest place of the mesh lie under a leg and on a pip."""
    facts = facts_of(made, density_g_ml=1.0)
    wire = solid_of(made, chord_mm=0.02)
    corners = wire.any_mesh().vertices.astype(float)
    for rounds, at in ((legs_on(facts.upper), corners[:, 2].argmax()),
                       (pips_under(facts.lower), corners[:, 2].argmin())):  # fmt: skip
        x, y = corners[at, :2]
        assert any(math.hypot(x - a, y - b) <= r for a, b, r in rounds)
    leg = _rounds(legs_on(facts.upper), 70.0, 80.0)
    pip = _rounds(pips_under(facts.lower), -10.0, 0.0)
    for stand in (leg, pip):
        assert wire.least_gap_mm(stand, within_mm=1.0) <= 1e-3
        assert (wire ^ stand).volume_mm3() <= 0.01


def _rounds(rounds, bottom: float, top: float) -> Solid:
    first, *more = (
        cylinder(r, bottom_mm=bottom, top_mm=top, chord_mm=0.02, centre=(x, y))
        for x, y, r in rounds
    )
    for one in more:
        first = first + one
    return first
