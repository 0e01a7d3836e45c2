"""Our own parts print: no feather edge, no roof in the air, no sealed hollow, no thin wall."""

from __future__ import annotations

import math

import pytest

from mouldgen.build import build_moulds
from mouldgen.check.prints import prints
from mouldgen.mould import body
from mouldgen.mould_set import MouldSet
from mouldgen.solid.kernel import Solid, box, union
from tests.demo_set import demo_set, job_with

ROUND = {"flutes": None, "flute_area": None, "measured": ()}
SHAPES = {
    "flute": {},
    "rod": {"shape": "rod", **ROUND},
    "bar": {"shape": "bar", "diameter": None, "width": 24.0, "thickness": 18.0, **ROUND},
}


def told(found: MouldSet) -> list[str]:
    return [f.id for f in found.findings if f.rule == "prints"]


def as_anybodys(found: MouldSet) -> list[str]:
    """What `mouldgen check` says of the same parts, knowing nothing of how they were made."""
    printer = found.answer.job.printer
    return [
        finding.message
        for part in found.parts.parts
        for finding in prints(
            part.mesh, name=part.name, line_mm=printer.line, layer_mm=printer.layer
        ).findings
    ]


def test_the_demo_prints():
    found = demo_set()
    assert told(found) == []
    assert as_anybodys(found) == []
    body_check, lid_check = found.prints[:2]
    assert body_check.figures.walls.thinnest.mm == pytest.approx(1.68 - 0.4)
    assert lid_check.figures.walls.thinnest.mm == pytest.approx(1.68, abs=0.001)
    for check in found.prints:
        assert check.figures.walls.feathers == ()
        assert check.figures.hollows == ()
        assert check.figures.overhang.hanging_mm2 == 0.0
        assert check.figures.overhang.bridge_mm <= 2.0


def test_the_thinnest_wall_is_the_kernels():
    """The bore with its grooves and fill line, against all that lies outside the shell."""
    found = demo_set()
    plan, parts = found.plan, found.parts
    wide, rim = plan.size.lid_reach_mm + 3.0, plan.size.rim_mm
    backs = [body._groove_back(plan, angle) for angle in plan.groove_angles]
    air = box((-wide, -wide, -8.0), (wide, wide, rim + 1.0)) - union([body._outside(plan), *backs])
    hollow = Solid.of_mesh(parts.hollow).below(rim - plan.size.wall_mm - 0.5)
    kernel = hollow.least_gap_mm(air, within_mm=plan.size.wall_mm + 0.3)
    ours = found.prints[0].figures.walls.thinnest.mm
    assert ours == pytest.approx(kernel, abs=0.0005)
    by_rays = prints(parts.part("body").mesh, name="body", line_mm=0.42, layer_mm=0.2)
    assert by_rays.figures.walls.thinnest.mm == pytest.approx(kernel, abs=0.0005)
    # Seen where it is: at the bottom of the fill line, over the bed.
    z = by_rays.figures.walls.thinnest.at[2]
    assert z == pytest.approx(plan.size.level_mm + plan.question.floor_mm, abs=0.01)


@pytest.mark.parametrize("lettering", [True, False])
@pytest.mark.parametrize("draft", [0.0, 1.0, 10.0])
@pytest.mark.parametrize("shape", SHAPES)
def test_every_shape_draft_and_lettering_prints(shape, draft, lettering):
    mould = {"draft": draft, "lettering": lettering, "gap": 2.0}
    found = build_moulds(job_with(insert=SHAPES[shape], mould=mould))
    assert told(found) == []
    assert as_anybodys(found) == []


@pytest.mark.parametrize(
    ("gap", "piece", "upper"), [(4.0, 26.0, "wall"), (4.0, 33.0, "lid"), (0.5, 26.0, "none")]
)
def test_every_kind_of_socket_prints(gap, piece, upper):
    found = build_moulds(job_with(mould={"gap": gap}, piece={"diameter": piece}))
    assert found.plan.sockets.upper == upper
    assert told(found) == []
    assert as_anybodys(found) == []


@pytest.mark.parametrize(("line", "layer"), [(0.3, 0.1), (0.42, 0.2), (0.6, 0.3), (0.8, 0.4)])
@pytest.mark.parametrize("piece", [12.0, 26.0])
def test_whatever_the_nozzle_two_lines_stay_everywhere(line, layer, piece):
    found = build_moulds(
        job_with(
            mould={"gap": 1.3},
            printer={"line": line, "layer": layer},
            piece={"diameter": piece},
            insert={"diameter": piece + 4.0, "measured": ()},
        )
    )
    assert told(found) == []
    assert as_anybodys(found) == []
    for check in found.prints:
        assert check.figures.walls.thinnest.mm >= 2.0 * line - 0.001
    assert found.plan.body_label is not None
    assert found.plan.size.wall_mm / line == pytest.approx(round(found.plan.size.wall_mm / line))


def test_a_body_that_is_cut_thinner_is_told():
    """The check must be able to fail: the same parts for a nozzle of 1 mm."""
    found = demo_set()
    for part, groove in (("body", 1.28), ("lid", math.inf)):
        check = prints(
            found.parts.part(part).mesh, name=part, line_mm=1.0, layer_mm=0.2, groove_mm=groove
        )
        assert [f.id for f in check.findings] == ["prints.thin"]
