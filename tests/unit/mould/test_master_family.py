"""Plugs, base, frame and the rubber that comes of them: volumes, topology, fits, printing."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest

from mouldgen.check.clear import clear
from mouldgen.check.prints import prints
from mouldgen.check.sound import sound
from mouldgen.errors import InternalError
from mouldgen.job.load import load_job
from mouldgen.mould import rubber
from mouldgen.mould.body import cavity_solid
from mouldgen.mould.families import NAMES, family_of
from mouldgen.solid.circle import excess
from mouldgen.solid.kernel import Solid, box, cylinder, union
from mouldgen.solid.mesh import GRID_MM
from mouldgen.solid.topology import topology_of
from tests.demo_set import demo_set
from tests.lamp_set import LAMP, lamp_parts, lamp_plan, size_of_rubber

# A piece that is thick, thin and thick again: its plug is undercut.
WAIST = (
    'piece.outline=[["0 mm","16 mm"],["20 mm","12 mm"],["40 mm","19 mm"],["60 mm","10 mm"]]',
    "insert.diameter=18 mm", "insert.displaced=8 ml", 'insert.measured=["18 mm"]',
)  # fmt: skip
CASES = {
    "as shipped": (),
    "one": ("mould.up=1",),
    "two with vent grooves": ("mould.up=2", "mould.vent_grooves=3"),
    "three in a row, drafted": ("mould.up=3", "mould.draft=2 deg", "rubber.between=10 mm"),
    "six": ("mould.up=6",),
    "follows the outline": ("mould.up=2", *WAIST),
    "no shrinkage": ("mould.up=2", "rubber.shrink=0.0"),
}
EACH = pytest.mark.parametrize("sets", CASES.values(), ids=CASES)


@cache
def in_box(*sets: str) -> dict[str, Solid]:
    """Base, frame, rubber and the inside of the box as the rubber is poured, and one cavity."""
    plan = lamp_plan(*sets)
    cavity = cavity_solid(plan)
    return {
        "cavity": cavity,
        "base": rubber.base_solid(plan, cavity),
        "frame": rubber.frame_solid(plan),
        "rubber": rubber.as_cast(plan, rubber.rubber_solid(plan, cavity)),
        "inside": rubber.as_cast(plan, rubber.block_solid(plan)),
    }


def test_the_family_is_registered() -> None:
    assert "master" in NAMES
    assert family_of("master").name == "master"


@EACH
def test_box_plugs_and_rubber_add_up(sets) -> None:
    """What base and frame enclose to the line, less what of the base stands in it, is rubber."""
    plan, parts = lamp_plan(*sets), lamp_parts(*sets)
    scale = size_of_rubber(*sets).scale
    inside, base = in_box(*sets)["inside"], in_box(*sets)["base"]
    cast = parts.part("body").mesh.volume_mm3 * scale**3
    standing = (base ^ inside).volume_mm3()

    assert inside.volume_mm3() - standing + hollows(plan) == pytest.approx(cast, rel=1e-6)


def hollows(plan) -> float:
    """What a hollow plug lacks of a solid one, above the base's face [mm3]."""
    hollow = rubber._hollow(plan)
    size = rubber.rubber_size(plan)
    if hollow is None:
        return 0.0
    over = hollow.volume_mm3() - hollow.below(0.0).volume_mm3()
    return -size.up * over


@EACH
def test_nothing_of_the_box_reaches_into_the_rubber(sets) -> None:
    cast, base, frame = (in_box(*sets)[name] for name in ("rubber", "base", "frame"))
    for one, other in ((cast, base), (cast, frame), (base, frame)):
        assert (one ^ other).volume_mm3() <= 1.0  # mm3, of faces that touch


@EACH
def test_closed_form_and_mesh_agree_within_facets_and_features(sets) -> None:
    """Facets stand off by their tolerance; ribs, pips and the fill line are in the mesh only."""
    plan, parts, size = lamp_plan(*sets), lamp_parts(*sets), size_of_rubber(*sets)
    block = in_box(*sets)["inside"].volume_mm3() / 1000.0
    assert 0.0 <= block / size.box_ml - 1.0 <= 2.0 * 0.01 / (3.0 * size.ledge_mm)

    bare = excess(plan.sides) * size.bore.volume_ml(size.rim_mm)
    cavity = in_box(*sets)["cavity"].below(size.rim_mm).volume_mm3() / 1000.0
    features = size.up * (cavity - bare) * size.scale**3
    cast = parts.part("body").mesh.volume_mm3 / 1000.0 * size.scale**3
    # With the features told apart only facets are left, of the block and of every circle.
    assert cast + features == pytest.approx(
        size.rubber_ml,
        abs=(block - size.box_ml) + size.up * size.plug_ml * (excess(plan.sides) - 1.0),
    )


@EACH
def test_topology_is_what_the_features_declare(sets) -> None:
    """A base with blind plugs has no handle, a frame has one, rubber is a block with pits."""
    parts, plan = lamp_parts(*sets), lamp_plan(*sets)
    told = {part.name: (part.genus, part.shells) for part in (*parts.parts, *parts.cast)}
    assert told == {
        "base": (0, 1),
        "frame": (1, 1),
        "lid": (len(plan.vents) + (plan.port is not None), 1),
        "body": (0, 1),
    }
    for part in (*parts.parts, *parts.cast):
        found = topology_of(part.mesh)
        assert (found.genus, found.shells) == told[part.name]
        assert sound(part.mesh, name=part.name, genus=part.genus, shells=part.shells) == ()


@EACH
def test_parts_print_without_a_remark(sets) -> None:
    printer = load_job(LAMP).job.printer
    for part in lamp_parts(*sets).parts:
        check = prints(
            part.mesh, name=part.name, line_mm=printer.line, layer_mm=printer.layer, pitch_mm=1.5
        )
        assert [finding.message for finding in check.findings] == []
        assert part.mesh.bounds[0][2] == 0.0


@EACH
def test_the_gap_and_the_lid_are_clear(sets) -> None:
    plan, parts = lamp_plan(*sets), lamp_parts(*sets)
    found = clear(parts, plan, piece=load_job(LAMP, sets=sets).job.piece)
    assert found.findings == ()
    wanted = plan.size.gap_mm * math.cos(math.atan(plan.size.slope))
    # Mesh and facets: the corners of insert and bore face each other.
    assert found.least_mm == pytest.approx(wanted, abs=0.001 + 0.01)


def test_the_lids_rim_has_its_place_in_the_rubber() -> None:
    """It rests on the land and has its clearance to both sides of the groove, and below."""
    parts, size = lamp_parts(), size_of_rubber()
    lid, body = (Solid.of_mesh(parts.part(name).assembled) for name in ("lid", "body"))
    assert (lid ^ body).volume_mm3() <= 0.5
    wide = size.lid_reach_mm + 5.0
    low = size.rim_mm - 6.0
    # Below the seat: the rim alone, against the block's upper part.
    rim = lid ^ box((-wide, -wide, low - 1.0), (wide, wide, size.rim_mm - 0.5))
    rim = rim - cylinder(
        size.reach_mm - 0.1, bottom_mm=low - 50.0, top_mm=low + 50.0, chord_mm=0.01
    )
    assert rim.least_gap_mm(body, within_mm=0.6) == pytest.approx(0.25, abs=0.002)


def test_frame_and_base_meet_in_a_labyrinth() -> None:
    """Between the base's two tongues the frame has its clearance, and it stands on the base."""
    base, frame = in_box()["base"], in_box()["frame"]
    size = size_of_rubber()
    assert frame.least_gap_mm(base, within_mm=0.5) == 0.0
    lifted = frame.moved(z=0.1)
    assert lifted.least_gap_mm(base, within_mm=0.5) == pytest.approx(0.1, abs=1e-6)
    tall = size.tongue_mm[1] * size.scale
    assert tall == pytest.approx(3.0)
    tongues = base ^ box((-500, -500, 0.3), (500, 500, tall + 0.5))
    plugs = union(
        [
            cylinder(
                size.scale * size.groove_mm[1] + 0.2,
                bottom_mm=-1.0,
                top_mm=200.0,
                chord_mm=0.01,
                centre=(size.scale * x, size.scale * y),
            )
            for x, y in size.cells
        ]
    )
    assert (tongues - plugs).least_gap_mm(frame, within_mm=0.6) == pytest.approx(0.25, abs=0.002)


@EACH
def test_no_plug_is_a_sealed_hollow(sets) -> None:
    """A hollow plug opens at the bed, and a slot lets gas in even on a flat bench."""
    plan, size = lamp_plan(*sets), size_of_rubber(*sets)
    base = next(part.mesh for part in lamp_parts(*sets).parts if part.name == "base")
    solid = Solid.of_mesh(base)
    hollow = rubber._hollow(plan)
    bench = box((-300.0, -300.0, -10.0), (300.0, 300.0, 0.0))
    standing = (solid + bench).any_mesh()
    assert topology_of(standing).shells == 1  # no void is shut in between bench and base
    if hollow is None:
        return
    # The plug's wall keeps its thickness: its hollow stays that far from the rubber.
    wide = size.bore.widest_mm(0.0, size.rim_mm) + 1.0
    inside = hollow ^ box((-wide, -wide, 0.1), (wide, wide, 300.0))
    x, y = (size.scale * along for along in size.cells[0])
    cast = in_box(*sets)["rubber"]
    assert inside.moved(x, y).least_gap_mm(cast, within_mm=4.0) >= size.plug_mm - 0.02


def test_a_hollow_plug_saves_filament() -> None:
    plan, size = lamp_plan(), size_of_rubber()
    solid = size.up * rubber.as_cast(plan, cavity_solid(plan)).volume_mm3()
    saved = -hollows(plan)
    assert saved > 0.5 * solid


def test_a_thin_plug_is_solid() -> None:
    sets = ("mould.up=1", "insert.diameter=8 mm", "insert.small=6 mm", "insert.displaced=2 ml",
            'insert.measured=["8 mm"]', "piece.diameter=10 mm", "piece.turning=0.5 mm",
            "mould.gap=2 mm")  # fmt: skip
    assert rubber._hollow(lamp_plan(*sets)) is None
    assert topology_of(lamp_parts(*sets).part("base").mesh).shells == 1


def test_the_rubber_opens_where_the_base_was() -> None:
    """Each plug stands where a cavity is: the base put back fills them all."""
    parts, size = lamp_parts("rubber.shrink=0.0"), size_of_rubber("rubber.shrink=0.0")
    base = Solid.of_mesh(parts.part("base").assembled)
    body = Solid.of_mesh(parts.part("body").assembled)
    assert (base ^ body).volume_mm3() <= 1.0
    first_x, first_y = size.cells[0]
    for x, y in size.cells:
        probe = cylinder(
            22.0, bottom_mm=2.1, top_mm=6.0, chord_mm=0.01, centre=(x - first_x, y - first_y)
        )
        # Without plastic and without rubber there is only what ribs and facets leave.
        assert (probe ^ body).volume_mm3() < 0.01 * probe.volume_mm3()
        assert (probe - base).volume_mm3() < 0.01 * probe.volume_mm3()


def test_parts_are_named_and_counted() -> None:
    """One base and one frame make every rubber mould; a lid is lost with each casting's head."""
    parts = lamp_parts()
    assert {part.name: part.count for part in parts.parts} == {"base": 1, "frame": 1, "lid": None}
    assert [part.name for part in parts.cast] == ["body"]
    assert family_of("master").each_casting == ("lid",)


def test_the_frame_opens_downward_and_carries_the_mark() -> None:
    size = size_of_rubber()
    lettered, bare = (
        lamp_parts(*sets).part("frame").mesh for sets in ((), ("mould.lettering=false",))
    )
    assert lettered.volume_mm3 > bare.volume_mm3 + 20.0
    high = bare.vertices[:, 2].max()
    foot, top = (
        np.abs(bare.vertices[np.abs(bare.vertices[:, 2] - z) < GRID_MM][:, :2]).max()
        for z in (0.0, high)
    )
    slope = (foot - top) / high
    assert math.degrees(math.atan(slope)) == pytest.approx(2.0, abs=0.01)
    assert high == pytest.approx(size.frame_height_mm, abs=GRID_MM)


def test_a_plan_without_rubber_is_refused() -> None:
    plan = demo_set().plan
    with pytest.raises(InternalError, match="without rubber"):
        family_of("master").make(plan, load_job(LAMP).job.insert)
    with pytest.raises(InternalError, match="without rubber"):
        rubber.rubber_size(plan)
