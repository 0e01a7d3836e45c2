"""The lines inside, measured on the mesh of the body."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from mouldgen.build import build_moulds
from mouldgen.mould.body import body_solid, cavity_solid
from mouldgen.mould.lines import FillLine, fill_lines, topped_up
from mouldgen.mould_set import MouldSet
from mouldgen.size.profile import Profile, drafted
from tests.demo_set import changed_set, job_with

OUTLINE = (
    'piece.outline=[["0 mm", "9 mm"], ["20 mm", "13 mm"], ["40 mm", "9 mm"], ["60 mm", "12 mm"]]'
)


def grooves(found: MouldSet, plan=None) -> list[tuple[float, float]]:
    """Heights of the deepest corners of every groove on the body's inside, and how deep [mm]."""
    plan = plan or found.plan
    body = body_solid(plan, cavity_solid(plan)).any_mesh()
    corners = body.vertices.astype(float)
    radius = np.hypot(corners[:, 0], corners[:, 1])
    bore = np.array([plan.size.bore_mm(z) for z in corners[:, 2]])
    inside = (corners[:, 2] > 0.5) & (corners[:, 2] < plan.size.rim_mm - 0.5)
    depth = (radius * np.cos(np.pi / plan.sides) - bore)[inside]
    heights = corners[inside, 2]
    deep = (depth > 0.35) & (depth < 0.45)
    return sorted({(round(float(z), 3), round(float(d), 2)) for z, d in
                   zip(heights[deep], depth[deep], strict=True)})  # fmt: skip


@pytest.mark.parametrize("layers", [1, 2, 3, 4])
@pytest.mark.parametrize("draft", ["0 deg", "1.5 deg"])
def test_a_line_for_each_pour_where_it_ends(layers: int, draft: str) -> None:
    found = changed_set(
        "mould.gap=2 mm", "mould.vent_grooves=0", f"mould.draft={draft}", f"pour.layers={layers}",
        "mould.lettering=false",
    )  # fmt: skip
    q, size = found.plan.question, found.plan.size
    ends = [q.pip_mm + 70.0 * k / layers for k in range(1, layers)]
    expected = [z for end in ends for z in (end - 1.6, end)] + [size.level_mm]
    assert [z for z, _ in grooves(found)] == pytest.approx(expected, abs=2e-3)
    assert {d for _, d in grooves(found)} == {0.4}
    assert [line.last for line in found.plan.lines] == [False] * (layers - 1) + [True]


@pytest.mark.parametrize("family", ["cup", "contour"])
@pytest.mark.parametrize("layers", [1, 2, 3, 4])
def test_lines_leave_no_feather_edge_and_no_thin_wall(family: str, layers: int) -> None:
    more = (OUTLINE, "insert.diameter=18 mm", "insert.measured=[]") if family == "contour" else ()
    found = changed_set("mould.gap=2 mm", f"mould.family={family}", f"pour.layers={layers}", *more)
    assert [f.message for f in found.findings if f.rule in ("prints", "sound", "clear")] == []
    body = next(p for p in found.prints if p.name == "body")
    assert body.figures.walls.feathers == ()


def test_the_level_is_where_the_resin_comes_to() -> None:
    """Volume to the line, worked back to a height by the bore's own inverse."""
    found = changed_set("mould.gap=2 mm", "mould.family=contour", OUTLINE, "pour.layers=3",
                        "insert.diameter=18 mm", "insert.measured=[]")  # fmt: skip
    bore = found.plan.size.bore
    for line in found.plan.lines:
        assert bore.height_mm(bore.volume_ml(line.height_mm)) == pytest.approx(line.height_mm)


def test_a_second_pour_has_a_line_of_its_own() -> None:
    found = changed_set("mould.gap=2 mm", "mould.vent_grooves=0", "mould.lettering=false")
    size = found.plan.size
    two = topped_up(found.plan.lines, size)
    assert [(line.height_mm, line.last) for line in two] == [
        (size.fill_mm, True),
        (size.level_mm, False),
    ]
    heights = [z for z, _ in grooves(found, replace(found.plan, lines=two))]
    expected = sorted([size.fill_mm, size.level_mm - 1.6, size.level_mm])
    assert heights == pytest.approx(expected, abs=2e-3)
    same = replace(size, fill_mm=size.level_mm)
    assert topped_up(found.plan.lines, same) is found.plan.lines


def test_a_shoulder_of_the_bore_makes_no_groove_deeper() -> None:
    from mouldgen.mould.lines import grooved

    bore = Profile(((0.0, 10.0), (20.0, 10.0), (20.01, 14.0), (60.0, 14.0)))
    cut = grooved(bore, (FillLine(20.2), FillLine(40.0, last=False)), top_mm=60.0)
    for z, r in cut:
        assert -1e-9 <= r - bore.radius_mm(z) <= 0.4 + 1e-9
    assert (40.0, 14.4) in [(z, round(r, 9)) for z, r in cut]
    assert (38.4, 14.4) in [(round(z, 9), round(r, 9)) for z, r in cut]


def test_a_straight_bore_is_cut_as_it_always_was() -> None:
    from mouldgen.mould.lines import grooved

    bore = drafted(12.0, 0.0)
    wanted = [(0.0, 12.0), (29.6, 12.0), (30.0, 12.4), (30.4, 12.0), (40.0, 12.0)]
    found = grooved(bore, (FillLine(30.0),), top_mm=40.0)
    assert found == [pytest.approx(pair) for pair in wanted]


def test_layers_that_end_at_the_level_have_one_line() -> None:
    found = changed_set("mould.gap=2 mm")
    size = replace(found.plan.size, level_mm=found.plan.question.pip_mm + 35.0)
    lines = fill_lines(found.plan.question, size, layers=2)
    assert [(line.height_mm, line.last) for line in lines] == [(size.level_mm, True)]


def test_a_build_that_needs_a_second_pour_has_both_lines_and_tells_them_apart(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """A rod in a tight bore, resin on top of it: shut-in air makes the level sink too far."""
    from mouldgen.cli.story import say_story
    from mouldgen.files.report import report_of

    rod = {"shape": "rod", "flutes": None, "flute_area": None, "measured": (30.0,) * 22}
    job = job_with(pour={"sequence": "insert-first"}, mould={"gap": 1.0}, insert=rod)
    found = build_moulds(job)
    size = found.plan.size
    assert found.riser.second_ml > 3.0
    lines = [(line.height_mm, line.last) for line in found.plan.lines]
    assert lines == [(size.fill_mm, True), (size.level_mm, False)]
    told = report_of(found)["pour"]["lines"]
    assert told == [
        {"height_mm": round(size.fill_mm, 2), "last": True},
        {"height_mm": round(size.level_mm, 2), "last": False},
    ]
    say_story(found, quiet=False, verbose=False)
    said = " ".join(capsys.readouterr().out.split())
    assert f"double line at {round(size.level_mm, 2):g} mm" in said
    assert f"a single one at {round(size.fill_mm, 2):g} mm for the last" in said
    assert "lines" not in report_of(changed_set("mould.gap=2 mm"))["pour"]
