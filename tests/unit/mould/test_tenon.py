"""A tenon of cast resin at the blank's lower end."""

from __future__ import annotations

import math

import pytest

from mouldgen.errors import JobError
from mouldgen.mould_set import MouldSet
from mouldgen.solid.kernel import Solid, cylinder
from tests.demo_set import changed_set


def made(tenon: str, *more: str) -> MouldSet:
    return changed_set("mould.gap=2 mm", f"mould.tenon={tenon}", "piece.hole_from=top", *more)


@pytest.mark.parametrize("family", ["cup", "contour"])
@pytest.mark.parametrize(("across", "long"), [(12.0, 6.0), (16.0, 8.0), (18.0, 12.0)])
def test_the_recess_is_the_tenon_and_counts_as_resin(
    family: str, across: float, long: float
) -> None:
    found = made(f"{across} mm", f"mould.family={family}", f"mould.tenon_length={long} mm")
    bare = changed_set("mould.gap=2 mm", f"mould.family={family}", "piece.hole_from=top")
    tenon = math.pi * (across / 2.0) ** 2 * long / 1000.0
    assert found.parts.features_ml - bare.parts.features_ml == pytest.approx(tenon, rel=6e-3)
    assert found.amounts.per_mould_ml - bare.amounts.per_mould_ml == pytest.approx(tenon, rel=6e-3)
    assert found.answer.size.net_ml == pytest.approx(bare.answer.size.net_ml)
    below = Solid.of_mesh(found.parts.hollow).below(-0.01).any_mesh()
    # Coaxial with the bore, all round.
    assert below.bounds[1][0] == pytest.approx(across / 2.0, rel=2e-3)
    assert below.bounds[0][0] == pytest.approx(-across / 2.0, rel=2e-3)
    assert below.bounds[0][2] == pytest.approx(-long, abs=1e-4)
    assert {f.id for f in found.findings if f.rule in ("prints", "sound", "clear")} == set()


def test_the_floor_stays_as_thick_and_no_air_stays_in() -> None:
    found, bare = made("16 mm"), changed_set("mould.gap=2 mm", "piece.hole_from=top")
    body = found.parts.part("body").assembled
    assert body.bounds[0][2] == pytest.approx(-8.0 - bare.plan.question.floor_mm, abs=1e-4)
    assert found.tried.pours[0].shut_in_ml == pytest.approx(
        bare.tried.pours[0].shut_in_ml, abs=0.01
    )
    # The cone that leaves a drill mark stands at the end of the tenon.
    cone = found.plan.centre_pip
    there = cylinder(0.2, bottom_mm=-8.0, top_mm=-8.0 + 0.5 * cone[1], chord_mm=0.001)
    solid = Solid.of_mesh(body)
    assert (solid ^ there).volume_mm3() == pytest.approx(there.volume_mm3(), rel=1e-6)


def test_the_insert_stands_beside_the_recess() -> None:
    found = made("16 mm")
    for x, y, r in found.plan.pips:
        assert math.hypot(x, y) - r >= 8.0 + found.plan.question.line_mm - 1e-9
        assert math.hypot(x, y) + r <= found.plan.insert.lower.outer_mm + 1e-9
    body = Solid.of_mesh(found.parts.part("body").assembled)
    assert Solid.of_mesh(found.parts.insert).least_gap_mm(body) == pytest.approx(0.0, abs=1e-4)


@pytest.mark.parametrize(
    ("tenon", "more", "says"),
    [
        ("40 mm", (), "wider than the blank of 34.0 mm"),
        ("28 mm", (), "nothing left to stand on"),
        ("12 mm", ("piece.grip=10 mm",), "a grip of the blank besides"),
        ("12 mm", ("mould.hold=glue",), "needs the floor under the insert"),
    ],
)
def test_a_tenon_that_cannot_be_is_refused(tenon: str, more: tuple[str, ...], says: str) -> None:
    with pytest.raises(JobError, match=says):
        made(tenon, *more)


def test_a_weak_tenon_and_a_hole_from_below_are_told() -> None:
    found = changed_set("mould.gap=2 mm", "mould.tenon=10 mm", "mould.tenon_length=4 mm")
    told = {f.id: (f.measured, f.limit) for f in found.findings if f.rule == "tenon"}
    # Limits of presets/fastening.toml: common practice, no source.
    assert told["tenon.thin"] == (10.0, pytest.approx(0.4 * 34.0))
    assert told["tenon.short"] == (4.0, 6.0)
    assert "tenon.hole" in told
    assert [f for f in made("16 mm").findings if f.rule == "tenon"] == []
