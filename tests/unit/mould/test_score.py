"""A score line up the outside of the wall, along which it is split."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
import shapely

from mouldgen.errors import JobError
from mouldgen.files.report import report_of
from mouldgen.job.model import Mould
from mouldgen.mould.body import body_solid, cavity_solid
from mouldgen.mould.families.release import release_of
from mouldgen.mould.score import Score, place_score
from mouldgen.mould_set import MouldSet
from mouldgen.solid.kernel import Solid
from tests.demo_set import changed_set, demo_set

OUTLINE = "piece.outline=[[0, 11], [30, 13], [60, 9]]"


def made(*more: str) -> MouldSet:
    return changed_set("mould.gap=2 mm", "mould.score=true", *more)


def line_of(found: MouldSet) -> Score:
    (line,) = found.plan.released_by
    assert isinstance(line, Score)
    return line


def v_mm2(radius: float, deep: float) -> float:
    """What a V with a right angle takes off a disc."""
    disc = shapely.Point(0.0, 0.0).buffer(radius, quad_segs=4000)
    apex = radius - deep
    v = shapely.Polygon([(apex, 0.0), (apex + 9.0, -9.0), (apex + 9.0, 9.0)])
    return float(disc.intersection(v).area)


@pytest.mark.parametrize(
    "more",
    [
        (),
        ("mould.vent_grooves=0",),
        ("mould.vent_grooves=1",),
        ("mould.vent_grooves=6",),
        ("mould.vent_grooves=12",),
        ("mould.lid_screws=3",),
        ("mould.hold=band",),
        ("mould.lettering=false",),
    ],
)
def test_it_takes_a_v_out_of_plain_wall_from_bed_to_rim(more: tuple[str, ...]) -> None:
    # Were a groove's back, an ear, a hook or a letter in its way, it would take more or less.
    found = made(*more)
    plan, line = found.plan, line_of(found)
    bare = replace(plan, released_by=())
    hollow = cavity_solid(plan)
    gone = body_solid(bare, hollow).volume_mm3() - body_solid(plan, hollow).volume_mm3()
    outer = plan.size.bore_mm(0.0) + plan.size.wall_mm
    high = plan.question.floor_mm + plan.size.rim_mm
    # A facet may leave the circle by a hundredth of a millimetre of 0.44 mm of depth.
    assert gone == pytest.approx(v_mm2(outer, line.deep_mm) * high, rel=0.05)
    assert {f.id for f in found.findings if f.rule in ("prints", "sound", "clear")} == set()
    assert "cup.score" in {f.id for f in found.findings}


@pytest.mark.parametrize("family", ["cup", "contour"])
@pytest.mark.parametrize("outline", [(), (OUTLINE,)])
def test_two_lines_of_wall_stay_behind_it_and_the_fill_line(
    family: str, outline: tuple[str, ...]
) -> None:
    found = made(f"mould.family={family}", *outline)
    plan, line = found.plan, line_of(found)
    (cut,) = line.off_body(plan)
    left = cut.least_gap_mm(Solid.of_mesh(found.parts.hollow))
    assert left >= 2.0 * plan.question.line_mm - 0.012  # less the facets' hundredth
    assert left <= plan.size.wall_mm - line.deep_mm
    assert found.parts.part("body").genus == 0
    assert {f.id for f in found.findings if f.rule in ("prints", "sound", "clear")} == set()
    # It is cut all the way: at the bed, half way and under the rim.
    body = Solid.of_mesh(found.parts.part("body").assembled)
    bare = body_solid(replace(plan, released_by=()), cavity_solid(plan))
    for z in (-plan.question.floor_mm + 0.1, 0.5 * plan.size.rim_mm, plan.size.rim_mm - 0.1):
        areas = [sum(_area(ring) for ring in solid.section(z)) for solid in (bare, body)]
        assert areas[0] - areas[1] == pytest.approx(line.deep_mm**2, rel=0.1)


def _area(ring) -> float:
    """Of a closed outline, holes below 0 [mm2]."""
    x, y = ring[:, 0], ring[:, 1]
    return 0.5 * float((x * _next(y) - _next(x) * y).sum())


def _next(values):
    return [*values[1:], values[0]]


def test_it_stands_opposite_to_the_lettering_where_the_wall_is_plain() -> None:
    plain = made("mould.vent_grooves=0")
    assert plain.plan.sockets.angles[0] == 90.0
    assert line_of(plain).angle_deg == 270.0
    # With three grooves one has its back there: the line goes no further than it must.
    found = made()
    assert 270.0 in found.plan.groove_angles
    off = math.radians(abs(line_of(found).angle_deg - 270.0))
    outer = found.plan.size.bore_mm(0.0) + found.plan.size.wall_mm
    back = found.plan.question.groove_mm + found.plan.size.wall_mm
    assert 0.0 <= off * outer - back - line_of(found).deep_mm - 0.8 <= math.radians(1.0) * outer


@pytest.mark.parametrize(
    ("more", "says"),
    [
        (("mould.draft=1 deg",), "lets the blank go in one piece"),
        (("mould.family=split",), "a split mould is not made with a score line"),
        (("pour.sequence=bottom-feed",), "runner would hold the wall together"),
        (("printer.line=0.6 mm",), r"needs a wall of 2\.00 mm.*this wall is 1\.80 mm"),
    ],
)
def test_a_score_line_that_cannot_be_is_refused(more: tuple[str, ...], says: str) -> None:
    with pytest.raises(JobError, match=says):
        made(*more)


def test_a_wall_that_is_taken_all_round_is_refused() -> None:
    plan = made().plan
    with pytest.raises(JobError, match="no plain wall is left"):
        place_score(
            plan.question,
            plan.size,
            sockets=plan.sockets,
            grooves=plan.groove_angles,
            label=plan.body_label,
            taken=tuple((30.0 * k, 5.0) for k in range(12)),
        )


def test_each_says_how_the_blank_comes_out() -> None:
    assert report_of(demo_set())["mould"] == {
        "family": "cup",
        "release": "Turn the cup away with the first cuts.",
    }
    assert release_of(Mould(score=True)).startswith("Split the wall along its score line")
    assert release_of(Mould(knock_out=True)).startswith("Push the blank out from below")
    assert "bulges hold it" in release_of(Mould(family="contour"))
