"""The solids that the page turns: every array is a closed mesh, where it belongs, and apart."""

from __future__ import annotations

import struct
from base64 import b64decode
from dataclasses import replace
from functools import cache
from itertools import pairwise
from typing import Any

import numpy as np
import pytest

from mouldgen.finding import Finding
from mouldgen.job.load import LoadedJob, load_job
from mouldgen.memo import Memo
from mouldgen.mould_set import MouldSet
from mouldgen.page.air_mesh import air_mesh
from mouldgen.page.framing import framed, unframed
from mouldgen.page.solids import air_of, solids_of
from mouldgen.pour.air_space import runs_of_voxels
from mouldgen.pour.attitudes import Tried
from mouldgen.pour.pour import pour
from mouldgen.sheet.early import early_set, with_picture
from tests.demo_set import demo_set

KEPT = Memo()


@cache
def early(job: str, *sets: str) -> MouldSet:
    return pictured(load_job(job, sets=sets), KEPT)


def pictured(loaded: LoadedJob, memo: Memo) -> MouldSet:
    return with_picture(early_set(loaded, memo), memo)


def volume_mm3(corners: Any, faces: Any) -> float:
    """By the divergence theorem; meaningful for closed meshes."""
    a, b, c = (np.asarray(corners, float)[faces[:, at]] for at in range(3))
    return float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6.0)


def assert_closed(faces: Any) -> None:
    """Each side of a face is met by just one that runs the other way."""
    sides = np.concatenate([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]]).astype(np.int64)
    wide = int(faces.max()) + 1
    there, back = sides[:, 0] * wide + sides[:, 1], sides[:, 1] * wide + sides[:, 0]
    assert len(np.unique(there)) == len(there)
    assert np.array_equal(np.sort(there), np.sort(back))


def parts_as_a_browser_reads_them(found: MouldSet) -> dict[str, dict[str, Any]]:
    """Out of the bytes of the answer, by offset and count alone."""
    solids = solids_of(found)
    assert solids is not None
    head, arrays = unframed(framed({"solids": solids.head()}, solids.arrays()))
    read = {}
    for part in head["solids"]["parts"]:
        runs = {}
        for name, kind in (("positions", "f"), ("faces", "I"), ("edges", "f")):
            offset, count = part[name]
            runs[name] = np.array(struct.unpack_from(f"<{count}{kind}", arrays, offset))
        read[part["name"]] = {
            **part,
            "positions": runs["positions"].reshape(-1, 3),
            "faces": runs["faces"].astype(int).reshape(-1, 3),
            "edges": runs["edges"].reshape(-1, 2, 3),
        }
    return read


@pytest.mark.parametrize(
    ("job", "names", "cells"),
    [
        ("boathouse-pegs", ["body", "insert", "lid"], 1),
        ("sash-pulls", ["body", "insert", "lid"], 1),  # a contour
        ("orchard-grips", ["front", "back", "insert", "lid"], 1),  # a split mould
        ("locker-pegs", ["body", "insert", "lid"], 4),  # a block
        ("conference-pens", ["body", "insert", "lid"], 4),  # a tray
        ("apple-toppers", ["body", "insert", "lid"], 1),  # a tray for what is sawn
        ("lamp-finials", ["body", "insert", "lid"], 1),  # of rubber
    ],
)
def test_each_part_is_its_mesh_once_for_each_cell(job: str, names: list[str], cells: int) -> None:
    found = early(job)
    parts, read = found.parts, parts_as_a_browser_reads_them(found)
    assert parts is not None

    assert list(read) == names
    for name, part in read.items():
        own = parts.insert if name == "insert" else parts.part(name).assembled
        many = len(parts.places) if name == "insert" else 1
        assert_closed(part["faces"])
        assert volume_mm3(part["positions"], part["faces"]) == pytest.approx(
            many * own.volume_mm3, rel=1e-6
        )
        if name != "insert":
            assert np.array_equal(part["positions"], own.vertices)
        assert part["role"] == ("body" if name in ("front", "back") else name)
        assert part["lift"] == part["move"][2]
    assert len(parts.places) == cells


def test_a_block_shows_an_insert_in_every_cell() -> None:
    found = early("locker-pegs")
    insert = parts_as_a_browser_reads_them(found)["insert"]
    assert found.parts is not None

    places = found.parts.places
    assert len(places) > 1
    each = insert["positions"].reshape(len(places), -1, 3)
    for one, (x, y) in zip(each, places, strict=True):
        assert np.allclose(one - each[0], (x - places[0][0], y - places[0][1], 0.0), atol=1e-4)


@pytest.mark.parametrize(
    ("job", "axis"),
    [
        ("boathouse-pegs", "y"),
        ("locker-pegs", "y"),
        ("conference-pens", "y"),
        ("orchard-grips", "x"),
    ],
)
def test_a_section_goes_through_the_middle_of_a_cell(job: str, axis: str) -> None:
    found = early(job)
    solids = solids_of(found)
    assert solids is not None
    assert found.parts is not None
    cut, along = solids.head()["cut"], "xy".index(axis)

    assert cut["axis"] == axis
    cells = [place[along] for place in found.parts.places]
    assert cut["at"] in cells
    assert abs(cut["at"]) == min(map(abs, cells))
    low, high = (bound[along] for bound in found.parts.insert.bounds)
    assert low < 0.0 < high  # the mesh stands on the axis, so the plane meets it in that cell


@pytest.mark.parametrize("job", ["boathouse-pegs", "conference-pens", "lamp-finials"])
def test_apart_nothing_stands_in_anything_else(job: str) -> None:
    read = parts_as_a_browser_reads_them(early(job))
    spans = sorted(
        (
            float(p["positions"][:, 2].min()) + p["lift"],
            float(p["positions"][:, 2].max()) + p["lift"],
        )
        for p in read.values()
    )

    assert read["body"]["move"] == [0.0, 0.0, 0.0]
    high = read["body"]["positions"][:, 2].max() - read["body"]["positions"][:, 2].min()
    for (_, below), (above, _) in pairwise(spans):
        assert above > below + 0.1 * high


def test_halves_go_aside_and_leave_the_insert_standing() -> None:
    read = parts_as_a_browser_reads_them(early("orchard-grips"))
    insert = read["insert"]

    assert insert["move"] == [0.0, 0.0, 0.0]
    low, high = insert["positions"][:, 1].min(), insert["positions"][:, 1].max()
    assert read["front"]["positions"][:, 1].max() + read["front"]["move"][1] < low
    assert read["back"]["positions"][:, 1].min() + read["back"]["move"][1] > high


def test_a_disc_goes_down_out_of_the_floor() -> None:
    sets = ("mould.draft=1 deg", "mould.knock_out=true")
    read = parts_as_a_browser_reads_them(early("boathouse-pegs", *sets))

    disc, body = read["disc"], read["body"]
    assert disc["positions"][:, 2].max() + disc["lift"] < body["positions"][:, 2].min()


def test_the_key_is_the_pictures() -> None:
    one, again = solids_of(early("boathouse-pegs")), solids_of(early("boathouse-pegs"))
    dear = solids_of(early("boathouse-pegs", "resin.price=40 per kg"))
    other = solids_of(early("boathouse-pegs", "mould.gap=1.5 mm"))
    assert one is not None
    assert again is not None
    assert dear is not None
    assert other is not None

    assert one.key == again.key == dear.key != other.key
    assert one.head()["box"][0] < one.head()["box"][1]


def test_a_price_makes_no_solid() -> None:
    memo = Memo()
    pictured(load_job("boathouse-pegs"), memo)
    before = memo.misses
    for setting in ("resin.price=40 per kg", "cost.wood=3", "shop.wage=30", "order.due=2027-01-08"):
        pictured(load_job("boathouse-pegs", sets=[setting]), memo)

    assert memo.misses == before
    pictured(load_job("boathouse-pegs", sets=["mould.gap=1.5 mm"]), memo)
    assert memo.misses == before + 1


def test_a_conflict_has_no_solids() -> None:
    assert solids_of(early("boathouse-pegs", "pour.close=60 min")) is None


# --------------------------------------------------------------------------------- air shut in


def pocket_under_a_roof(layers: int, wide: int) -> Any:
    """A vessel of half-millimetre voxels with a box of air under a roof, open beside it."""
    air = np.ones((layers + 4, wide + 2, wide + 6), bool)
    air[layers + 1, :, : wide + 2] = False  # the roof
    air[1 : layers + 1, :, wide + 2] = False  # what hangs from it keeps the air in
    air[1 : layers + 1, [0, -1], :] = False
    air[1 : layers + 1, :, 0] = False
    return pour(runs_of_voxels(air))


def test_bars_hold_just_the_air_of_the_pocket() -> None:
    done = pocket_under_a_roof(4, 10)
    (pocket,) = done.pockets
    corners, faces = air_mesh(done, pocket.number, most_faces=4000)

    assert pocket.volume_ml > 0.05
    assert_closed(faces)
    assert volume_mm3(corners, faces) / 1000.0 == pytest.approx(pocket.volume_ml, rel=1e-9)
    assert corners.mean(axis=0) == pytest.approx(pocket.place_mm, abs=0.5)


@pytest.mark.parametrize("most", [3000, 600, 12])
def test_a_large_pocket_is_told_coarser(most: int) -> None:
    done = pocket_under_a_roof(40, 60)
    (pocket,) = done.pockets
    corners, faces = air_mesh(done, pocket.number, most_faces=most)

    assert len(faces) <= most
    assert_closed(faces)
    # Cubes that are half full or more: as much again at most, and half at least.
    share = volume_mm3(corners, faces) / 1000.0 / pocket.volume_ml
    assert 0.5 < share < 2.0


def test_air_round_the_axis_is_one_cube_where_no_more_is_allowed() -> None:
    """As much of it lies in each of the four cubes about the axis, however coarse they are."""
    done = pocket_under_a_roof(4, 10)
    about = replace(
        done.air,
        start=np.array([-4, -4]),
        end=np.array([4, 4]),
        row=np.array([-1, 0]),
        layer=np.array([0, 0]),
        origin_mm=0.0,
    )
    corners, faces = air_mesh(replace(done, air=about, pocket=np.array([1, 1])), 1, most_faces=12)

    assert len(faces) == 12
    assert_closed(faces)
    assert np.isfinite(corners).all()


def test_air_is_told_with_the_sheets_own_sentence_in_every_cell() -> None:
    done = pocket_under_a_roof(4, 10)
    found = demo_set()
    words = "0.05 ml of air stays shut in, 2.0 mm high, at x 1, y 2, z 3 mm."
    told = Finding("pour.pocket.1", "pour", "warn", words)
    assert found.parts is not None
    two = replace(found.parts, places=((0.0, 0.0), (30.0, 0.0)))
    shut = replace(found, tried=Tried((done,), 0, ""), findings=(told,), parts=two)

    (air,) = air_of(shut)
    positions = np.frombuffer(b64decode(air["positions"]), "<f4").reshape(-1, 3)
    faces = np.frombuffer(b64decode(air["faces"]), "<u4").reshape(-1, 3).astype(int)
    assert_closed(faces)
    assert volume_mm3(positions, faces) / 1000.0 == pytest.approx(2.0 * air["ml"], rel=1e-5)
    half = len(positions) // 2
    assert np.allclose(positions[half:] - positions[:half], (30.0, 0.0, 0.0), atol=1e-5)
    assert air["words"] == words


def test_air_too_little_to_tell_of_is_not_shown() -> None:
    assert air_of(demo_set()) == []
    assert air_of(early("boathouse-pegs")) == []
