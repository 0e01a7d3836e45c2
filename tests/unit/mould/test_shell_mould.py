"""The shell: its cavity keeps the gap, the scan goes in from above, the wall and outside print."""

from __future__ import annotations

import math
import time
from dataclasses import replace
from types import SimpleNamespace
from typing import cast

import numpy as np
import pytest

from docs.make_scan import burl
from mouldgen.build import build_moulds
from mouldgen.cavity.shell import SNAPPED_MM, _between_mm3, _piece, shell_findings
from mouldgen.errors import InternalError, JobError
from mouldgen.job.load import load_job
from mouldgen.mould.families import NAMES, family_of
from mouldgen.mould.shell import bare_shell, shell_outside
from mouldgen.mould_set import MouldSet
from mouldgen.size import size_of
from mouldgen.size.shell import ShellQuestion
from mouldgen.solid.crossing import crossings_of
from mouldgen.solid.kernel import Solid, box, cylinder, revolve
from mouldgen.solid.mesh import GRID_MM, Mesh, canonical
from tests.random_scans import punched, shape

# The shipped job's own findings; anything else that appears is news.
DECLARED = {
    "gap.habit", "gap.hot", "held.lean", "scan.end-down", "shell.opened", "gap.bubbles",
    "cup.stands", "mix.scale", "held.lift",
}  # fmt: skip


def shell_of(mesh: Mesh, *sets: str) -> MouldSet:
    return build_moulds(load_job("burl-knobs", scan=mesh, sets=sets).job)


@pytest.fixture(scope="module")
def shipped() -> MouldSet:
    loaded = load_job("burl-knobs")
    return build_moulds(loaded.job, given=loaded.given)


@pytest.fixture(scope="module")
def bent() -> MouldSet:
    """A bent stick: not star-shaped, and not to be entered along its own form."""
    corners, faces = shape("stick", np.random.default_rng(4), 20)
    return shell_of(
        canonical(corners, faces), "mould.gap=2.5 mm", "piece.diameter=6 mm", "piece.length=20 mm",
        "piece.turning=1 mm", "piece.thread=M4", "piece.hole_depth=5 mm",
    )  # fmt: skip


@pytest.fixture(scope="module", params=["shipped", "bent"])
def made(request: pytest.FixtureRequest) -> MouldSet:
    found: MouldSet = request.getfixturevalue(request.param)
    return found


def test_shells_are_a_family_of_the_job_file() -> None:
    assert "shell" in NAMES
    assert family_of("shell").name == "shell"


def test_the_shipped_job_builds_with_the_findings_that_are_declared(shipped: MouldSet) -> None:
    assert {finding.id for finding in shipped.findings} == DECLARED
    assert not shipped.stopped


def test_the_gap_is_kept_all_round_and_by_no_more_than_a_twentieth(made: MouldSet) -> None:
    gap, least = made.answer.gap.gap_mm, made.measured_least_mm

    assert gap is not None
    assert gap <= least <= 1.05 * gap


@pytest.mark.heavy
@pytest.mark.parametrize("seed", range(12))
def test_no_form_and_no_gap_comes_out_below_what_was_asked(seed: int) -> None:
    rng = np.random.default_rng(seed)
    name = ("ellipsoid", "pebble", "stick", "bar")[seed % 4]
    corners, faces = shape(name, rng, 14)
    asked = round(float(rng.uniform(0.8, 3.0)), 3)  # not on the mesh grid
    found = shell_of(
        canonical(corners, faces), f"mould.gap={asked} mm", "piece.diameter=6 mm",
        "piece.length=12 mm", "piece.turning=1 mm", "piece.thread=M4", "piece.hole_depth=5 mm",
    )  # fmt: skip
    assert asked <= found.measured_least_mm <= 1.05 * asked


def test_what_the_grid_may_move_is_what_the_cavity_is_grown_more() -> None:
    # Half a step along each of three axes, for the cavity and for the scan in it.
    steps = np.random.default_rng(0).uniform(0.0, 100.0, (20_000, 3)) / GRID_MM
    moved = np.linalg.norm(np.round(steps) - steps, axis=1).max() * GRID_MM
    assert 0.95 * SNAPPED_MM <= 2.0 * moved <= SNAPPED_MM


def test_what_lies_before_the_cavity_is_measured() -> None:
    # A round of radius r beside the axis at d: seen from there it is a kite of two tangents and
    # what lies beyond them, area r sqrt(d2 - r2) + r2 (pi - acos(r/d)); less the round itself.
    r, d, high = 5.0, 20.0, 40.0
    body = cylinder(r, bottom_mm=0.0, top_mm=high, chord_mm=1e-4, centre=(d, 0.0))
    question = cast(ShellQuestion, SimpleNamespace(neck_mm=high))
    seen = r * math.sqrt(d * d - r * r) + r * r * (math.pi - math.acos(r / d))
    exact = (seen - math.pi * r * r) * high

    # The outermost of 360 rays to meet it leave up to a degree out on either side, as long as the
    # tangents are.
    missed = exact - _between_mm3(question, body)
    assert 0.0 <= missed <= (d * d - r * r) * math.radians(1.0) * high
    centred = cylinder(r, bottom_mm=0.0, top_mm=high, chord_mm=1e-4)
    assert _between_mm3(question, centred) == pytest.approx(0.0, abs=0.5)


def test_what_is_filled_is_told_with_its_volume(shipped: MouldSet) -> None:
    size = shipped.answer.size
    assert (size.pockets, size.pockets_ml) == (0, 0.0)
    told = shell_findings(replace(size, pockets=2, pockets_ml=1.26, between_ml=3.4))
    measured = {finding.id: (finding.severity, finding.measured) for finding in told}
    assert measured == {
        "shell.opened": ("note", size.opened_ml),
        "shell.pockets": ("note", 1.26),
        "shell.between": ("note", 3.4),
    }
    assert "2 pockets closed, or open by less than twice the gap" in told[1].message
    assert "3.4 ml of plastic" in told[2].message
    assert [f.id for f in shell_findings(size)] == ["shell.opened"]


def test_nothing_is_wrong_with_the_solids(made: MouldSet) -> None:
    wrong = {"sound", "clear", "prints"}
    assert [f.message for f in made.findings if f.rule in wrong and f.id != "clear.length"] == []
    body = made.parts.part("body")
    assert (body.genus, body.shells) == (0, 1)
    assert crossings_of(body.mesh).count == 0


def test_the_scan_goes_in_from_above(made: MouldSet) -> None:
    body = Solid.of_mesh(made.parts.part("body").assembled)
    scan = Solid.of_mesh(made.parts.insert)
    length = made.answer.insert.length_mm

    for raised in np.linspace(0.0, length, 8):
        # On its pip it touches; anywhere else the gap is kept on the way.
        apart = scan.moved(z=float(raised)).least_gap_mm(body, within_mm=1.0)
        assert (scan.moved(z=float(raised)) ^ body).volume_mm3() == pytest.approx(0.0, abs=1e-6)
        if raised > made.answer.gap.gap_mm:
            assert apart >= 0.99 * min(1.0, made.answer.gap.gap_mm)


def test_the_wall_is_nowhere_thinner_than_asked(made: MouldSet) -> None:
    parts, size, plan = made.parts, made.answer.size, made.plan
    whole = shell_outside(plan, bare_shell(plan, top_mm=size.rim_mm + 0.5))
    hollow = Solid.of_mesh(parts.hollow)
    far = size.across_mm + 20.0
    # As high as a wall goes round; the fill line's groove is no wall.
    top = min(line.height_mm for line in plan.lines) - 1.0
    block = box((-far, -far, -20.0), (far, far, size.rim_mm + 20.0))
    outside = block - whole

    least = outside.below(top).least_gap_mm(hollow.below(top), within_mm=4.0)

    assert least >= min(size.wall_mm, plan.question.floor_mm) - 1e-3
    assert least <= size.wall_mm + 0.05


def test_volumes_are_those_of_the_mesh(made: MouldSet) -> None:
    size, parts = made.answer.size, made.parts

    assert size.cavity_ml == pytest.approx(parts.cavity.volume_mm3 / 1000.0, rel=1e-3)
    assert size.insert_ml == pytest.approx(parts.insert.volume_mm3 / 1000.0, rel=1e-6)
    assert made.amounts.per_mould_ml == pytest.approx(
        size.net_ml + size.riser_ml + parts.features_ml, rel=1e-9
    )


def test_the_rules_estimate_is_near_the_mesh(made: MouldSet) -> None:
    estimate = size_of(made.answer.sizes, made.answer.gap.gap_mm)

    # Straight between sections and between gaps: 0.5 to 2 % low over a dozen forms, measured.
    assert estimate.cavity_ml == pytest.approx(made.answer.size.cavity_ml, rel=0.025)
    assert estimate.cavity_ml <= 1.005 * made.answer.size.cavity_ml
    assert estimate.level_mm == pytest.approx(made.answer.size.level_mm, abs=0.1)


def test_the_estimate_grows_with_the_gap(shipped: MouldSet) -> None:
    gaps = np.geomspace(0.05, 30.0, 40)
    volumes = [size_of(shipped.answer.sizes, float(gap)).cavity_ml for gap in gaps]

    assert (np.diff(volumes) > 0.0).all()
    assert volumes[0] > shipped.answer.insert.volume_ml


def test_the_estimate_of_a_round_stick_is_its_closed_form() -> None:
    # Sections of a rod are one round: pi (R + g)^2 to the top, under a round of the same radius.
    rod = cylinder(10.0, bottom_mm=0.0, top_mm=60.0, chord_mm=0.005).any_mesh()
    found = shell_of(rod, "piece.diameter=16 mm", "piece.length=40 mm", "piece.turning=1 mm",
                     "mould.gap=3 mm")  # fmt: skip
    exact = math.pi * 13.0**2 * 62.0 / 1000.0
    estimate = size_of(found.answer.sizes, 3.0)

    assert estimate.cavity_ml == pytest.approx(exact, rel=0.005)
    # The mesh keeps the gap at its nearest, and is rounded below where the rod ends square.
    assert found.answer.size.cavity_ml == pytest.approx(exact, rel=0.02)
    assert found.answer.size.opened_ml == pytest.approx(0.0, abs=0.5)


def test_a_shell_takes_less_resin_than_a_cup(shipped: MouldSet) -> None:
    gap = f"mould.gap={shipped.answer.gap.gap_mm} mm"
    cup = build_moulds(load_job("burl-knobs", sets=["mould.family=cup", gap]).job)

    assert shipped.answer.size.net_ml < 0.8 * cup.answer.size.net_ml
    assert cup.measured_least_mm >= shipped.answer.gap.gap_mm - 1e-3


def test_open_upward_adds_what_lies_over_undercuts() -> None:
    # A ball: over its lower half grown by g stands a cylinder in the place of the upper half, up
    # to the ball's top; between them (R + g)^2 R pi less the half ball's segment up to R.
    steps = burl(steps=20, half_mm=(15.0, 15.0, 15.0))
    radius = steps.vertices.astype(float)
    ball = Mesh(
        (15.0 * radius / np.linalg.norm(radius, axis=1)[:, None]).astype(np.float32),
        steps.triangles,
    )
    found = shell_of(ball, "mould.gap=2 mm", "piece.diameter=20 mm", "piece.length=15 mm",
                     "piece.turning=1 mm", "piece.hole_depth=5 mm")  # fmt: skip
    grown = 17.0
    segment = math.pi * (grown**2 * 15.0 - 15.0**3 / 3.0)
    added = (math.pi * grown**2 * 15.0 - segment) / 1000.0

    # Counted in cells of half a millimetre.
    assert found.answer.size.opened_ml == pytest.approx(added, rel=0.08)


@pytest.mark.parametrize("shape_name", ["rod", "flute", "bundle", "outline"])
def test_other_shapes_are_sent_to_the_cup(shape_name: str) -> None:
    assert "use cup or contour" in family_of("shell").against[shape_name]
    with pytest.raises(JobError, match="a shell mould does not take an insert of shape"):
        build_moulds(load_job("boathouse-pegs", sets=["mould.family=shell"]).job)


@pytest.mark.parametrize("family", ["contour", "split"])
def test_a_scan_goes_into_round_families_too(family: str) -> None:
    found = build_moulds(load_job("burl-knobs", sets=[f"mould.family={family}"]).job)

    assert not found.stopped
    assert found.measured_least_mm >= found.answer.gap.gap_mm - 1e-3


def test_a_shell_without_its_cavity_is_a_fault_of_ours(shipped: MouldSet) -> None:
    plan = replace(shipped.plan, size=size_of(shipped.answer.sizes, 1.0))
    with pytest.raises(InternalError, match="before its cavity was made"):
        family_of("shell").make(plan, shipped.answer.job.insert)


@pytest.mark.bench
def test_a_large_damaged_scan_is_built_in_twenty_seconds() -> None:
    whole = burl(steps=158)
    rng = np.random.default_rng(1)
    faces = whole.triangles.astype(np.int64)
    faces = punched(whole.vertices.astype(float), faces, rng, holes=40, share=2e-4)
    damaged = Mesh(whole.vertices, faces.astype(np.int32))
    started = time.process_time()

    found = shell_of(damaged, "insert.mend=true")

    assert time.process_time() - started < 20.0
    assert len(whole.triangles) == 199_712
    assert not found.stopped
    assert "holes closed" in next(f.message for f in found.findings if f.id == "scan.mended")
    assert found.answer.gap.gap_mm <= found.measured_least_mm <= 1.05 * found.answer.gap.gap_mm


def test_the_story_and_the_report_tell_of_the_scan_and_the_true_volume(
    shipped: MouldSet, capsys: pytest.CaptureFixture[str]
) -> None:
    from mouldgen.cli.story import say_story
    from mouldgen.files.report import report_of

    say_story(shipped, quiet=False, verbose=False)

    told = " ".join(capsys.readouterr().out.split())
    size, insert = shipped.answer.size, shipped.answer.insert
    assert f"Scan burl-knob.stl: {insert.volume_ml:.1f} ml, 38.61 mm across" in told
    assert f"cavity {size.cavity_ml:.1f} ml" in told
    assert f"adds {size.opened_ml:.1f} ml of resin" in told
    # Circles of the neck count as circles, of the mesh as polygons round them.
    assert report_of(shipped)["volume"]["cavity_ml"] == pytest.approx(
        shipped.parts.cavity.volume_mm3 / 1000.0, rel=5e-4
    )


@pytest.mark.parametrize(
    ("allowed", "wanted"),
    [
        # A shoulder square to the axis: wide from its own height on, not a step higher.
        (((0.0, 5.0), (10.0, 5.0), (10.0, 9.0), (20.0, 9.0)), 9.0),
        # Two of them at one height, and one that falls, which nothing may hang over.
        (((0.0, 5.0), (10.0, 5.0), (10.0, 7.0), (10.0, 9.0), (20.0, 9.0)), 9.0),
        (((0.0, 5.0), (5.0, 9.0), (10.0, 9.0), (10.0, 5.0), (20.0, 5.0)), 9.0),
    ],
)
def test_of_a_shoulder_of_the_piece_nothing_is_cut_off(
    allowed: tuple[tuple[float, float], ...], wanted: float
) -> None:
    question = SimpleNamespace(allowed_mm=allowed, pip_mm=2.0, neck_mm=30.0)
    corners = _piece(cast(ShellQuestion, question))
    heights = [z for _, z in corners[1:-1]]
    assert heights == sorted(set(heights))
    solid = revolve(corners, sides=720)
    for height in (12.0001, 12.005, 15.0, 21.9):
        (ring,) = solid.section(height)
        assert np.hypot(*ring.T).max() == pytest.approx(wanted, abs=0.001)
