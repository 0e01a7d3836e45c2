"""Closed forms of the cup as functions of the gap."""

from __future__ import annotations

import math

import pytest

from mouldgen.answer import answer_job
from mouldgen.build import build_moulds
from mouldgen.errors import JobError
from mouldgen.size import size_of
from mouldgen.size.profile import frustum_ml
from tests.demo_set import job_with


def test_what_sinks_away_stands_above_the_fill_line() -> None:
    """Hand-worked: white ash of G 0.60 at 12 % moisture has 1 - 0.6 (1/1.5 + 0.12) = 0.528 of
    pores, a tenth of them reached; 50 psi leave 0.227 of their air.  3 % of the resin shrinks.
    """
    size = answer_job(job_with(mould={"gap": 1.0})).size
    wood = 0.8 * math.pi * 15.0**2 * 70.0 / 1000.0
    soaked = (1.0 - 0.227154) * 0.1 * 0.528 * wood
    shrunk = 0.03 * (math.pi * 16.0**2 * 80.0 / 1000.0 - wood)
    assert size.riser_ml == pytest.approx(soaked + shrunk, rel=1e-5)
    assert size.level_mm - 80.0 == pytest.approx(1000.0 * size.riser_ml / (math.pi * 16.0**2))
    assert size.rim_mm == pytest.approx(size.level_mm + 10.0)


@pytest.mark.parametrize("draft", [0.0, 2.0])
def test_level_and_volume_are_inverse(draft: float) -> None:
    size = answer_job(job_with(mould={"gap": 1.0, "draft": draft})).size
    foot, slope = size.foot_mm, size.slope
    level = frustum_ml(foot, slope, size.level_mm)
    assert level - size.cavity_ml == pytest.approx(size.riser_ml, rel=1e-9)
    assert size.riser_ml > 2.0


def test_without_shrinkage_and_pressure_the_head_is_enough() -> None:
    size = answer_job(job_with(resin={"shrinkage": 0.0}, pour={"pressure": None})).size
    assert (size.fill_mm, size.level_mm, size.rim_mm) == (80.0, 80.0, 90.0)
    assert size.riser_ml == 0.0


def test_without_a_fill_height_the_riser_stands_on_the_insert() -> None:
    """Hand-worked: pi 16^2 8 mm3 over an insert that ends at 2 + 70 mm."""
    size = answer_job(job_with(mould={"fill": None, "gap": 1.0})).size
    assert (size.fill_mm, size.level_mm, size.rim_mm) == (72.0, 80.0, 90.0)
    assert size.riser_ml == pytest.approx(math.pi * 16.0**2 * 8.0 / 1000.0)


def test_a_fill_below_the_insert_top_counts_only_the_covered_part() -> None:
    size = answer_job(job_with(mould={"fill": 52.0, "gap": 1.0})).size
    assert size.insert_ml == pytest.approx(0.8 * math.pi * 15.0**2 * 50.0 / 1000.0)
    whole = 0.8 * math.pi * 15.0**2 * 70.0 / 1000.0
    poured = size.net_ml + size.riser_ml
    assert poured == pytest.approx(math.pi * 16.0**2 * 80.0 / 1000.0 - whole)


def test_drawer_knobs_cavity_and_head() -> None:
    """Hand-worked scenario: bore 38, fill 46 mm: cavity 52.2 ml; 8 mm of head are 9.1 ml."""
    job = job_with(
        insert={"diameter": 22.0, "length": 44.0, "measured": ()},
        mould={"gap": 8.0, "fill": None},
    )
    size = answer_job(job).size
    assert size.fill_mm == 46.0
    assert size.cavity_ml == pytest.approx(52.2, abs=0.05)
    assert size.riser_ml == pytest.approx(9.1, abs=0.05)


@pytest.mark.parametrize("draft", [0.0, 1.5])
def test_footprint_and_heights_are_those_of_the_solids(draft: float) -> None:
    found = build_moulds(job_with(mould={"gap": 1.4, "draft": draft}))
    size = found.answer.size
    body, lid = (found.parts.part(name) for name in ("body", "lid"))
    assert body.mesh.bounds[1][2] == pytest.approx(size.body_height_mm, abs=1e-3)
    # This lid has no fingers; the size leaves room for those that another insert would have.
    fingers = 3.0 if found.plan.sockets.upper != "lid" else 0.0
    assert lid.mesh.bounds[1][2] == pytest.approx(size.lid_height_mm - fingers, abs=1e-3)
    top = lid.assembled.bounds[1][2] - body.assembled.bounds[0][2]
    assert top == pytest.approx(size.stack_height_mm, abs=1e-3)
    # Facets of the groove backs and of the lid stand off by at most the tolerance.
    assert body.footprint.radius_mm == pytest.approx(size.reach_mm, abs=0.011)
    assert lid.footprint.radius_mm == pytest.approx(size.lid_reach_mm, abs=0.012)


def test_volumes_grow_with_the_gap() -> None:
    sizes = answer_job(job_with()).sizes
    nets = [size_of(sizes, gap / 10).net_ml for gap in range(3, 60)]
    assert nets == sorted(nets)
    assert len(set(nets)) == len(nets)


def test_walls_are_whole_lines_and_floors_whole_layers() -> None:
    q = answer_job(job_with(printer={"line": 0.45, "layer": 0.3})).sizes
    for thickness, step in ((q.wall_mm, 0.45), (q.floor_mm, 0.3), (q.lid_mm, 0.3)):
        assert thickness / step == pytest.approx(round(thickness / step), abs=1e-9)
    assert q.wall_mm >= 1.6
    assert q.floor_mm >= 2.0


@pytest.mark.parametrize(
    ("mould", "match"),
    [
        ({"fill": 1.5}, r"\[mould\] fill: a fill height of 1.5 mm does not reach the insert"),
        ({"draft": 89.0}, r"\[mould\] draft: a draft of 89 degrees closes the bore"),
    ],
)
def test_impossible_heights_and_drafts_name_their_key(mould: dict, match: str) -> None:
    with pytest.raises(JobError, match=match):
        answer_job(job_with(mould={**mould, "gap": 1.0}))
