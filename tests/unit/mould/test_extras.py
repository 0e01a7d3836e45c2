"""Catch moulds, drip tray and pot rack: exact volumes, measured clearances, literal genus."""

from __future__ import annotations

import json
import math
import subprocess
import sys
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from mouldgen.errors import JobError
from mouldgen.files.report import report_of
from mouldgen.files.write import write_set
from mouldgen.job.load import load_job, merge_job
from mouldgen.job.toml import read_toml
from mouldgen.memo import digest
from mouldgen.mould.extras import ExtraPart
from mouldgen.mould.extras.catch_mould import CatchMould
from mouldgen.mould.extras.drip_tray import DripTray
from mouldgen.mould.extras.in_pot import APART_MM, SEAT_MM
from mouldgen.mould.extras.pot_rack import SLOT_MM, PotRack
from mouldgen.mould.label import stroke_of
from mouldgen.mould_set import MouldSet
from mouldgen.packing.pack import pack
from mouldgen.packing.shapes import Disc, Placed, RoundBed
from mouldgen.packing.verify import verify_plates
from mouldgen.solid.circle import excess, segments
from mouldgen.solid.kernel import Solid, cylinder, union
from tests.cli_runs import mouldgen
from tests.demo_set import DEMO, changed_set, demo_set

ALL = ("extras.catch_moulds=2", "extras.drip_tray=true", "extras.pot_rack=true")
LARGE_BED = ("printer.card=square-300",)


@cache
def with_all() -> MouldSet:
    return changed_set(*ALL)


def made(found: MouldSet, name: str) -> ExtraPart:
    return next(made for made in found.extras if made.part.name == name)


def tray_of(found: MouldSet) -> DripTray:
    extra = made(found, "drip-tray").extra
    assert isinstance(extra, DripTray)
    return extra


def rack_of(found: MouldSet) -> PotRack:
    extra = made(found, "pot-rack").extra
    assert isinstance(extra, PotRack)
    return extra


def cup(volume_ml: float, *, line: float = 0.42) -> CatchMould:
    return CatchMould(
        count=1, volume_ml=volume_ml, resin_g_ml=1.1, wall_mm=1.26, floor_mm=2.0, chord_mm=0.01,
        stroke_mm=stroke_of(line),
    )  # fmt: skip


def contents(catch: CatchMould, solid: Solid) -> Solid:
    """What stands in a catch mould up to its step: a plug less the cup."""
    wide = catch.foot_mm + catch.slope * catch.depth_mm + 0.3  # than the bore, not the outside
    floor = catch.floor_mm
    plug = cylinder(wide, bottom_mm=floor, top_mm=floor + catch.depth_mm, chord_mm=0.01)
    return plug - solid


# ------------------------------------------------------------------------------------ catch moulds


@pytest.mark.parametrize("volume", [5.0, 30.0, 29.5735, 500.0])
def test_a_catch_mould_holds_the_amount_on_its_wall_exactly(volume: float) -> None:
    catch = cup(volume)
    assert catch.held_ml == pytest.approx(volume, rel=1e-12)
    assert contents(catch, catch.solid()).volume_mm3() == pytest.approx(1000 * volume, rel=1e-9)
    assert catch.solid().mesh(genus=0).bounds[0][2] == 0.0  # no letter bridges the round wall


def test_the_disc_has_two_degrees_and_comes_out() -> None:
    catch = cup(30.0)
    solid = catch.solid()
    disc = contents(catch, solid)
    upper = catch.foot_mm + math.tan(math.radians(2.0)) * catch.depth_mm
    low, high = disc.any_mesh().bounds
    assert high[0] - low[0] == pytest.approx(2 * upper, abs=0.02)
    for lift in (0.05, 1.0, 5.0, catch.rim_mm):
        assert (disc.moved(z=lift) ^ solid).volume_mm3() == 0.0


@pytest.mark.parametrize(
    ("volume", "line", "text"),
    [
        (30.0, 0.42, "30 ML"),
        (29.5735, 0.42, "29.6"),
        (250.0, 0.6, "250 ML"),
        (10.0, 0.42, "10"),
        (5.0, 0.8, "5"),
    ],
)
def test_the_amount_is_lettered_with_its_unit_where_there_is_room(
    volume: float, line: float, text: str
) -> None:
    catch = cup(volume, line=line)
    assert catch.label is not None
    assert catch.label.text == text
    assert catch.remarks == ()
    # The letters stand out of the wall: the cup is heavier than its two frusta.
    plain = replace(catch, stroke_mm=100.0)
    assert plain.label is None
    assert "mark it" in plain.remarks[0].message
    assert catch.solid().volume_mm3() > plain.solid().volume_mm3() + 5.0


def test_grams_of_left_over_resin_are_those_of_the_mixed_resin() -> None:
    found = with_all()
    catch = made(found, "catch-mould").extra
    assert isinstance(catch, CatchMould)
    assert catch.grams == pytest.approx(2 * 30.0 * found.amounts.density_g_ml)
    assert catch.sentence.startswith("2 catch moulds take 64 g of left-over resin, 32 g each")
    assert cup(30.0).sentence.startswith("1 catch mould takes 33 g of left-over resin: 30 ml")


# ----------------------------------------------------------------------------------------- tray


def test_the_tray_is_two_cylinders_and_keeps_the_pots_margin() -> None:
    found = changed_set(*ALL, *LARGE_BED)
    tray = tray_of(found)
    mesh = made(found, "drip-tray").part.mesh
    area = excess(segments(tray.room.tray_mm, chord_mm=0.01)) * math.pi
    outside = area * tray.room.tray_mm**2 * (tray.floor_mm + tray.rim_mm)
    inside = area * tray.room.inside_mm**2 * tray.rim_mm
    assert mesh.volume_mm3 == pytest.approx(outside - inside, rel=1e-6)
    assert tray.holds_ml == pytest.approx(math.pi * tray.room.inside_mm**2 * tray.rim_mm / 1000)
    pot = found.answer.job.pot
    assert pot is not None
    reach = made(found, "drip-tray").part.footprint
    assert isinstance(reach, Disc)
    assert 105.95 < reach.radius_mm <= pot.diameter / 2 - pot.margin
    assert tray.remarks == ()
    assert tray.rim_mm == pytest.approx(6.0)


def test_the_full_tray_holds_one_spilled_mould_as_measured_on_the_solids() -> None:
    found = with_all()
    tray, rack = tray_of(found), rack_of(found)
    room = tray.room
    air = cylinder(room.inside_mm, bottom_mm=0.0, top_mm=tray.rim_mm, chord_mm=0.01)
    filled = Solid.of_mesh(found.parts.hollow).moved(z=tray.floor_mm)
    inside = [filled.moved(x, y) for x, y in room.seats]
    free = (air - union([rack.solid(), *standing(found), *inside])).volume_mm3() / 1000.0
    # It counts feet as wide as their groove backs all round, and no slots: both leave more.
    size, wall = found.answer.size, found.answer.sizes.wall_mm
    feet = 12 * math.pi * (room.foot_mm**2 - (size.bore_mm(0.0) + wall) ** 2) * tray.rim_mm
    slots = 12 * 3 * SLOT_MM * (room.collar_mm - room.seat_mm + 0.1) * rack.slot_mm
    assert tray.spare_ml <= free <= tray.spare_ml + (feet + slots) / 1000.0
    assert tray.spill_ml == found.amounts.per_mould_ml
    assert free > 3.0 * tray.spill_ml
    assert 0.0 < tray.spilled_mm < tray.rim_mm - 2.9


def test_a_much_wider_mould_gets_a_higher_rim() -> None:
    tray = tray_of(changed_set("extras.drip_tray=true", "mould.gap=12 mm"))
    assert tray.rim_mm > 6.0
    assert tray.rim_mm == pytest.approx(tray.spilled_mm + 3.0, abs=0.2)


def test_a_bed_smaller_than_the_pot_makes_the_tray_smaller_and_says_so() -> None:
    found = with_all()
    assert 2 * tray_of(found).room.tray_mm == pytest.approx(210.0, abs=0.05)
    (told,) = [f for f in found.findings if f.id == "extras.tray-small"]
    assert "a tray of 210 mm, the pot one of 212 mm" in told.message
    assert not found.stopped
    assert len(found.beds) == 5


def test_moulds_that_the_tray_lifts_out_of_the_pot_must_be_fixed() -> None:
    stack = demo_set().answer.size.stack_height_mm
    found = changed_set("extras.drip_tray=true", f"pot.height={stack + 1.9:.2f} mm")
    (told,) = [f for f in found.findings if f.id == "extras.tray-high"]
    assert told.severity == "stop"
    assert told.measured == pytest.approx(stack + 2.0)
    fits = changed_set("extras.drip_tray=true", f"pot.height={stack + 2.01:.2f} mm")
    assert not fits.stopped


# ----------------------------------------------------------------------------------------- rack


def standing(found: MouldSet) -> list[Solid]:
    """A body in every seat, as it stands on the tray's floor."""
    body = Solid.of_mesh(found.parts.part("body").mesh)
    return [body.moved(x, y) for x, y in rack_of(found).room.seats]


def test_the_rack_has_the_seats_that_packing_gives_the_pot() -> None:
    found = with_all()
    room = rack_of(found).room
    pot = found.answer.job.pot
    assert pot is not None
    bed = RoundBed(pot.diameter - 2 * pot.margin)
    discs = [Disc(room.needs_mm)] * found.answer.moulds
    plates = pack(discs, bed, margin_mm=0.0, spacing_mm=APART_MM, snap_mm=1 / 16)
    assert (len(room.seats), room.loads) == (len(plates[0]), len(plates)) == (12, 2)
    middle = bed.diameter_mm / 2
    placed = [Placed(i, x + middle, y + middle) for i, (x, y) in enumerate(room.seats)]
    verify_plates(discs[:12], bed, [placed], margin_mm=0.0, spacing_mm=APART_MM)
    # Lids stay apart and within the pot's margin.
    assert room.needs_mm >= found.answer.size.lid_reach_mm


def test_the_rack_has_a_hole_a_seat_and_is_one_piece() -> None:
    part = made(with_all(), "pot-rack").part
    assert (part.genus, part.shells) == (12, 1)
    assert [p.genus for p in with_all().printed] == [0, 4, 0, 0, 12]
    few = changed_set("extras.pot_rack=true", "order.pieces=3", "order.customers_wood=true")
    assert made(few, "pot-rack").part.genus == 3


def test_the_volume_of_the_rack_is_plate_and_guides_less_seats_and_slots() -> None:
    rack = rack_of(with_all())
    room, seats = rack.room, len(rack.room.seats)
    guide, seat = room.collar_mm, room.seat_mm
    slot = 3 * rack.slot_mm * (_strip(guide) - _strip(seat))
    high = room.guide_mm - rack.plate_mm
    ring = math.pi * (guide**2 - seat**2)
    exact = math.pi * room.rack_mm**2 * rack.plate_mm - seats * (
        math.pi * seat**2 * rack.plate_mm - ring * high + slot
    )
    assert made(with_all(), "pot-rack").part.mesh.volume_mm3 == pytest.approx(exact, rel=5e-4)


def _strip(radius: float) -> float:
    """Area between the y axis and a circle within half a slot of the x axis."""
    half = SLOT_MM / 2
    return half * math.sqrt(radius**2 - half**2) + radius**2 * math.asin(half / radius)


def test_every_body_stands_free_in_its_seat() -> None:
    found = with_all()
    rack = rack_of(found).solid()
    bodies = standing(found)
    for body in bodies[:2]:
        assert SEAT_MM - 0.011 <= rack.least_gap_mm(body) <= SEAT_MM + 0.02
    assert (union(bodies) ^ rack).volume_mm3() == 0.0


def test_without_grooves_the_letters_stand_free_too() -> None:
    found = changed_set(*ALL, "mould.vent_grooves=0")
    least = rack_of(found).solid().least_gap_mm(standing(found)[0])
    assert SEAT_MM - 0.011 <= least <= SEAT_MM + 0.55


def test_the_rack_lies_loose_in_the_tray_and_is_open_at_its_feet() -> None:
    found = with_all()
    rack, tray = rack_of(found), tray_of(found)
    solid = rack.solid()
    # Upside down, the plate lies within the rim and two millimetres over the floor.
    plate_in_rim = solid.flipped().moved(z=rack.room.guide_mm + tray.floor_mm + 2.0)
    assert tray.solid().least_gap_mm(plate_in_rim) == pytest.approx(0.5, abs=0.02)
    feet = solid.below(0.9 * rack.slot_mm).pieces()
    assert len(feet) == 3 * 12
    assert rack.slot_mm >= 4.0


# ------------------------------------------------------------------------------------ in the job


def test_extras_lie_on_later_beds_and_count_in_report_and_filament(tmp_path: Path) -> None:
    found = with_all()
    assert {item.part for item in found.beds[0].items} == {"body", "lid"}
    lying = [item.part for bed in found.beds for item in bed.items]
    assert [lying.count(p.name) for p in found.printed] == [22, 22, 2, 1, 1]
    plain = demo_set()
    density = found.answer.job.plastic.density
    more = sum(p.part.mesh.volume_mm3 * p.extra.count for p in found.extras) / 1000 * density
    assert found.filament_g == pytest.approx(plain.filament_g + more)

    write_set(found, out=tmp_path, bed_pictures=["<svg/>"] * len(found.beds))
    report = json.loads((tmp_path / DEMO / "report.json").read_text())
    assert [part["count"] for part in report["parts"]] == [22, 22, 2, 1, 1]
    assert all(part["closed"] for part in report["parts"])
    assert [extra["name"] for extra in report["extras"]] == ["catch-mould", "drip-tray", "pot-rack"]
    assert report["extras"][0]["holds_ml"] == 30.0
    assert (tmp_path / DEMO / "parts" / "pot-rack.3mf").is_file()
    assert "extras" not in report_of(plain)


def test_every_extra_is_sound_and_prints() -> None:
    rules = {f.rule for f in with_all().findings if f.place.startswith(("catch", "drip", "pot-r"))}
    assert rules <= {"extras"}
    assert len(with_all().prints) == len(with_all().part_times) == 5


def test_the_story_says_what_they_are_for() -> None:
    run = mouldgen("build", DEMO, "--out", "/dev/null/x", *(w for s in ALL for w in ("--set", s)))
    assert run.code == 3  # nothing was written, and nothing was told
    run = mouldgen("beds", DEMO, *(w for s in ALL for w in ("--set", s)))
    assert "1 drip-tray" in run.words
    assert "2 catch-moulds" in run.words


def test_the_story_of_a_build(tmp_path: Path) -> None:
    run = mouldgen("build", DEMO, "--out", str(tmp_path), *(w for s in ALL for w in ("--set", s)))
    assert run.code == 0
    assert "Beside 2 catch moulds take 64 g of left-over resin" in run.words
    assert "holds 106 ml, and one that leaks spills 26 ml" in run.words
    assert "12 seats and takes all moulds in 2 loads" in run.words
    assert "for all moulds and what lies beside them" in run.words


@pytest.mark.parametrize("key", ["drip_tray", "pot_rack"])
def test_without_a_pot_tray_and_rack_are_refused_in_plain_words(key: str) -> None:
    path = Path(__file__).parents[3] / "presets" / "jobs" / f"{DEMO}.toml"
    data = read_toml(path, label="pegs.toml")
    del data["pot"]
    del data["pour"]["pressure"]
    data["extras"] = {"catch_moulds": 1}
    assert merge_job(data, label="pegs.toml").job.extras is not None
    data["extras"][key] = True
    told = rf"pegs.toml \[extras\] {key}: a .* in the pot, and the job has no pot"
    with pytest.raises(JobError, match=told):
        merge_job(data, label="pegs.toml")


@pytest.mark.parametrize(
    ("setting", "told"),
    [
        ("extras.catch_volume=2 ml", r"\[extras\] catch_volume: .*5 ml"),
        ("extras.catch_moulds=-1", r"\[extras\] catch_moulds"),
        ("extras.tray=true", r"there is no key tray"),
    ],
)
def test_what_no_extra_can_be_is_refused(setting: str, told: str) -> None:
    with pytest.raises(JobError, match=told):
        load_job(DEMO, sets=(setting,))


def test_a_pot_too_small_for_a_seat_must_be_fixed() -> None:
    found = changed_set("extras.pot_rack=true", "pot.diameter=54 mm", "mould.gap=0.9 mm")
    (told,) = [f for f in found.findings if f.id == "extras.no-room"]
    assert told.severity == "stop"
    assert "the pot leaves 38 mm within its margin" in told.message
    assert found.extras == ()


def test_a_job_without_extras_keeps_its_fingerprint() -> None:
    job = demo_set().answer.job
    assert job.extras is None
    bare = type(job).model_construct(**{k: v for k, v in job if k != "extras"})
    older = {name: getattr(job, name) for name in type(job).model_fields if name != "extras"}
    assert digest(job) == digest(bare)
    assert len(older) == len(type(job).model_fields) - 1
    assert digest(job) != digest(load_job(DEMO, sets=("extras.catch_moulds=1",)).job)


def test_nothing_of_extras_is_loaded_for_a_job_without_them() -> None:
    code = (
        "import sys; from tests.demo_set import demo_set; demo_set();"
        "print([m for m in sys.modules if 'extra' in m and m.startswith('mouldgen')])"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True,
        cwd=Path(__file__).parents[3],
    )  # fmt: skip
    assert done.stdout.strip() == "[]"
