"""The solids of a block: handles and shells, walls between bores, one lid, one pour for all."""

from __future__ import annotations

import math
from functools import cache

import pytest

from mouldgen.answer import answer_job
from mouldgen.build import build_moulds
from mouldgen.errors import JobError
from mouldgen.finding import NOTHING_LEARNED
from mouldgen.job.load import load_job
from mouldgen.made import plan_first
from mouldgen.mould.block import MOST_SIDES, BlockPlan
from mouldgen.mould_set import MouldSet
from mouldgen.packing.shapes import Rectangle
from mouldgen.solid.kernel import Solid
from mouldgen.solid.topology import topology_of

JOB = "boathouse-pegs"


@cache
def block(cells: str = "[2, 3]", *sets: str) -> MouldSet:
    own = ["mould.family=block", f"mould.cells={cells}", *sets]
    return build_moulds(load_job(JOB, sets=own).job)


@cache
def cup(*sets: str) -> MouldSet:
    return build_moulds(load_job(JOB, sets=list(sets)).job)


@pytest.mark.parametrize(
    ("cells", "wells", "holes"),
    [("[1, 1]", 0, 4), ("[1, 3]", 0, 12), ("[2, 2]", 1, 16), ("[2, 3]", 2, 24), ("[3, 3]", 4, 36)],
)
def test_handles_and_shells(cells, wells, holes):
    """A well between each four bores; three vents and a port over every bore."""
    found = block(cells)
    assert [f.message for f in found.findings if f.severity == "stop"] == []
    for name, genus in (("body", wells), ("lid", holes)):
        topology = topology_of(found.parts.part(name).mesh)
        assert (topology.closed, topology.genus, topology.shells) == (True, genus, 1)


def test_every_bore_is_open_and_as_wide_as_a_cups():
    """What stands in the bores of the body is six times a cup's own hollow, less nothing."""
    found = block()
    body = Solid.of_mesh(found.parts.part("body").assembled)
    hollow = Solid.of_mesh(found.parts.hollow)
    assert hollow.volume_mm3() == pytest.approx(
        Solid.of_mesh(cup().parts.hollow).volume_mm3(), rel=5e-4
    )  # facets of the wider mould's circles
    for x, y in found.parts.places:
        assert (hollow.moved(x, y) ^ body).volume_mm3() < 0.05


def test_more_cells_than_can_be_drawn_so_finely_are_refused():
    def planned(cells: str, chord_mm: float) -> BlockPlan:
        job = load_job(
            JOB,
            sets=[
                "mould.family=block", f"mould.cells={cells}", f"mould.chord={chord_mm} mm",
                "pot.diameter=2 m", "pot.height=1 m", "printer.width=990 mm",
                "printer.depth=990 mm", "printer.height=400 mm",
            ],
        ).job  # fmt: skip
        answer = answer_job(job, learned=NOTHING_LEARNED)
        return plan_first(answer, answer.size)

    with pytest.raises(
        JobError,
        match=r"144 cells whose circles have 1218 sides make .* Allowed: chord from 0\.009 mm on,"
        r" or at most 49 cells\.",
    ):
        planned("[12, 12]", 0.001)
    assert 144 * planned("[12, 12]", 0.009).sides <= MOST_SIDES
    assert 49 * planned("[7, 7]", 0.001).sides <= MOST_SIDES


def test_walls_between_bores_are_measured():
    found = block()
    hollow = Solid.of_mesh(found.parts.hollow)
    (x, y), (a, b) = found.parts.places[:2]
    assert y == b
    apart = hollow.moved(x, y).least_gap_mm(hollow.moved(a, b))
    assert apart >= found.plan.size.wall_mm - 0.001
    # Where bores face each other without grooves there are whole lines of 0.42 mm.
    assert found.plan.block.between_mm == pytest.approx(10 * 0.42, abs=0.002)


def test_the_gap_is_measured_and_the_legs_touch_every_insert():
    found = block()
    assert found.measured_least_mm == pytest.approx(found.plan.size.gap_mm, abs=0.011)
    lid = Solid.of_mesh(found.parts.part("lid").assembled)
    insert = Solid.of_mesh(found.parts.insert)
    for x, y in found.parts.places:
        assert insert.moved(x, y).least_gap_mm(lid, within_mm=1.0) < 0.001


def test_a_leg_that_is_short_is_found_in_its_own_cell():
    from dataclasses import replace

    from mouldgen.check.clear import clear

    found = block("[1, 2]")
    job = found.answer.job
    lid = found.parts.part("lid")
    x, _ = found.parts.places[1]
    from mouldgen.solid.kernel import box

    top = found.plan.insert_top_mm
    cut = box((x - 12.0, -12.0, top - 1.0), (x + 12.0, 12.0, top + 0.2))
    shortened = (Solid.of_mesh(lid.assembled) - cut).any_mesh()
    parts = replace(
        found.parts,
        parts=(found.parts.part("body"), replace(lid, assembled=shortened)),
    )
    ids = {f.id: f.measured for f in clear(parts, found.plan, piece=job.piece).findings}
    assert ids == {"clear.legs": pytest.approx(0.2, abs=0.001)}


def test_one_mould_takes_the_resin_of_all_its_bores():
    six, one = block(), cup()
    assert six.answer.moulds == one.answer.moulds == 22
    assert (six.answer.fillings, six.answer.printed) == (4, 4)  # ceil(22 / 6)
    assert six.amounts.net_ml == pytest.approx(6 * one.amounts.net_ml)
    assert six.amounts.per_mould_ml == pytest.approx(6 * one.amounts.per_mould_ml, rel=1e-4)
    assert six.amounts.moulds == 4


def test_the_lid_is_held_against_all_inserts():
    assert block().hold.lift_n == pytest.approx(6 * cup().hold.lift_n)
    assert block().hold.off_mm == pytest.approx(cup().hold.off_mm)


def test_body_and_lid_lie_on_the_bed_as_rectangles():
    found = block()
    body, lid = (part.footprint for part in found.parts.parts)
    assert isinstance(body, Rectangle)
    assert isinstance(lid, Rectangle)
    wide, deep = found.plan.size.sides_mm
    assert body.width_mm == pytest.approx(wide, abs=0.05)
    assert lid.depth_mm == pytest.approx(deep, abs=0.05)
    items = [item.part for bed in found.beds for item in bed.items]
    assert items.count("body") == items.count("lid") == 4


def test_all_of_it_stays_in_the_round_that_the_pot_sees():
    found = block()
    for part in found.parts.parts:
        corners = part.assembled.vertices[:, :2].astype(float)
        reach = math.sqrt((corners**2).sum(axis=1).max())
        assert reach <= found.plan.size.across_mm + 0.03  # circles are drawn around


def test_every_bore_has_its_number():
    plan = block().plan
    assert isinstance(plan, BlockPlan)
    texts = [label.text for label in plan.numbers]
    assert texts[0].startswith("1 BP-")
    assert texts[1:] == ["2", "3", "4", "5", "6"]
    assert plan.body_label.text.startswith("1 BP-")


def test_no_lettering_where_none_is_asked_for():
    found = block("[1, 2]", "mould.lettering=false")
    assert (found.plan.numbers, found.plan.body_label) == ((), None)


def test_one_bore_is_poured_and_none_shuts_air_in_that_a_cup_does_not():
    assert block().tried.pours[0].shut_in_ml == pytest.approx(
        cup().tried.pours[0].shut_in_ml, abs=0.02
    )


@pytest.mark.parametrize("shape", ["rod", "bar"])
@pytest.mark.parametrize("grooves", [0, 4])
def test_other_inserts_and_grooves(shape, grooves):
    sets = [f"insert.shape={shape}", "insert.measured=[]", f"mould.vent_grooves={grooves}"]
    sets += ["insert.diameter=30 mm"] if shape == "rod" else [
        "insert.width=24 mm", "insert.thickness=20 mm", "piece.diameter=20 mm",
    ]  # fmt: skip
    found = build_moulds(_job(sets, "[2, 2]"))
    assert [f.message for f in found.findings if f.severity == "stop"] == []


def _job(sets: list[str], cells: str):
    from pathlib import Path

    bare = Path(__file__).parents[2] / "bare_job.toml"
    own = ["mould.family=block", f"mould.cells={cells}", "plastic.softens=130 C", *sets]
    own += ["resin.hottest=180 C", "insert.length=60 mm", "pour.shop=17 C", "resin.depth=99 mm"]
    return load_job(bare, sets=own).job
