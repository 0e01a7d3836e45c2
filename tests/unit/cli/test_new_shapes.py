"""``mouldgen new`` with every shape of insert: what is written, and that it can be built."""

from __future__ import annotations

import io
import math
import re
import shutil
import struct
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from mouldgen.build import build_moulds
from mouldgen.desk.calliper import READINGS, SIZES
from mouldgen.desk.insert_kinds import KINDS, kind_of, names
from mouldgen.desk.mould_kinds import read_mould, suited
from mouldgen.desk.questions import insert, mould
from mouldgen.desk.scan_answer import read_scan
from mouldgen.errors import InputError
from mouldgen.insert import SHAPES
from mouldgen.job.load import load_job
from mouldgen.job.model import Job
from mouldgen.mould.families import NAMES, family_of
from tests.cli_runs import Run, mouldgen
from tests.new_drafts import draft_of

New = Callable[..., Run]
BURL = Path(__file__).parents[3] / "presets" / "scans" / "burl-knob.stl"

# The line that is typed, its readings, and the keys of [insert] in mm: told with millimetres
# first, then in inches.  An inch is 25.4 mm by definition.
TOLD: dict[str, tuple[str, str, dict[str, Any]]] = {
    "rod": ("30 x 70 mm", "29.8, 30.1 mm", {"diameter": 30.0, "length": 70.0}),
    "tube": (
        "30 mm x 15 mm x 70 mm, both ends plugged", "29.8, 30.1 mm",
        {"diameter": 30.0, "inside": 15.0, "length": 70.0, "plugged": True},
    ),
    "bar": (
        "22 x 20 x 70 mm", "22.1 21.9 mm", {"width": 22.0, "thickness": 20.0, "length": 70.0},
    ),
    "twist": (
        "22 mm x 20 mm x 70 mm, left, one turn every 120 mm", "22.1, 21.9 mm",
        {"width": 22.0, "thickness": 20.0, "length": 70.0, "turn_length": 120.0, "hand": "left"},
    ),
    "flute": (
        "30 x 70 mm, 5 flutes, 15 % cut away", "29.8, 30.1 mm",
        {"diameter": 30.0, "length": 70.0, "flutes": 5, "flute_area": 0.15},
    ),
    "coil": (
        "30 x 70 mm, 7 mm wire, 10 mm pitch", "29.8, 30.1 mm",
        {"diameter": 30.0, "length": 70.0, "wire": 7.0, "pitch": 10.0},
    ),
    "taper": (
        "30 x 18 x 70 mm, thin end down", "29.8, 30.1 mm",
        {"diameter": 30.0, "small": 18.0, "length": 70.0, "point": "down"},
    ),
    "outline": (
        "0:15, 20:15, 20:10, 70:14 mm", "29.8, 30.1 mm",
        {"profile": ((0.0, 15.0), (20.0, 15.0), (20.0, 10.0), (70.0, 14.0)), "length": 70.0},
    ),
    "bundle": ("3 rods of 13.5 x 70 mm", "", {"length": 70.0}),
    "honeycomb": (
        "16 x 15 x 70 mm, cells 3 mm, walls 0.8 mm", "",
        {"width": 16.0, "thickness": 15.0, "length": 70.0, "cell": 3.0, "cell_wall": 0.8},
    ),
    "heap": (
        "26 x 24 x 70 mm, 20 g", "",
        {"width": 26.0, "thickness": 24.0, "length": 70.0, "weight": 20.0},
    ),
}  # fmt: skip
INCHES: dict[str, tuple[str, str, dict[str, Any]]] = {
    "rod": ("1 3/16 x 2 3/4 in", "1.18, 1.19 in", {"diameter": 30.1625, "length": 69.85}),
    "tube": (
        '1 1/4" x 1/2" x 2 3/4"', '1.25, 1.26 "',
        {"diameter": 31.75, "inside": 12.7, "length": 69.85, "plugged": False},
    ),
    "bar": (
        "7/8 in by 20 mm by 2-3/4 in", "0.87, 0.88 in",
        {"width": 22.225, "thickness": 20.0, "length": 69.85},
    ),
    "twist": (
        "7/8 x 3/4 x 2 3/4 in, one turn in 5 in", "0.87, 0.88 in",
        {"width": 22.225, "thickness": 19.05, "length": 69.85, "turn_length": 127.0,
         "hand": "right"},
    ),
    "flute": (
        "1 3/16 in x 70 mm, with 6 flutes", "1.18, 1.19 in",
        {"diameter": 30.1625, "length": 70.0, "flutes": 6, "flute_area": 0.2},
    ),
    "coil": (
        "1 1/8 x 2 3/4 in, wire 1/4 in, pitch 3/8 in", "1.12, 1.13 in",
        {"diameter": 28.575, "length": 69.85, "wire": 6.35, "pitch": 9.525},
    ),
    "taper": (
        "1 1/8 in x 3/4 in x 2 3/4 in", "1.12, 1.13 in",
        {"diameter": 28.575, "small": 19.05, "length": 69.85, "point": "up"},
    ),
    "outline": (
        "0:1/2, 1 1/2:3/8, 2 3/4:9/16 in", "1.12, 1.13 in",
        {"profile": ((0.0, 12.7), (38.1, 9.525), (69.85, 14.2875)), "length": 69.85},
    ),
    "bundle": ("7 sticks of 3/8 in x 2 3/4 in", "", {"length": 69.85}),
    "honeycomb": (
        "5/8 in x 5/8 in x 2 3/4 in, cell 3 mm, wall 1/32 in", "",
        {"width": 15.875, "thickness": 15.875, "length": 69.85, "cell": 3.0,
         "cell_wall": 0.79375},
    ),
    "heap": (
        "1 1/8 in x 2 3/4 in, 25 ml", "", {"diameter": 28.575, "length": 69.85, "displaced": 25.0},
    ),
}  # fmt: skip


@pytest.fixture
def new(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> New:
    """Runs ``mouldgen new`` in an empty folder with these lines typed."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("MOULDGEN_PRESETS", str(tmp_path / "no-presets-of-mine"))

    def run(*lines: str, words: tuple[str, ...] = ()) -> Run:
        monkeypatch.setattr("sys.stdin", io.StringIO("".join(line + "\n" for line in lines)))
        return mouldgen("new", *words)

    return run


@pytest.fixture
def written_only(monkeypatch: pytest.MonkeyPatch) -> None:
    """Leaves gap and resin at the end out, where a build asks for both in any case."""
    monkeypatch.setattr("mouldgen.cli.new._show", lambda _: 0)


def answers(
    kind: str, *, told: str, readings: str, piece: str = "", mould: str = "cup"
) -> list[str]:
    """Every line of one who knows the insert and takes the rest as it is."""
    size = [piece, told] if kind != "scan" else [told, piece]
    return [
        "a job", "4", kind, mould, "", *size, *([readings] if kind in READINGS else []), "", "",
    ]  # fmt: skip


def written() -> Job:
    return load_job(Path("a-job.toml")).job


def questions(run: Run) -> list[str]:
    return re.findall(r"^(\d+)\. ", run.out, re.MULTILINE)


def assert_builds(job: Job) -> None:
    wrong = [(f.id, f.message) for f in build_moulds(job).findings if f.severity == "stop"]
    assert wrong == []


def test_every_shape_is_offered_in_its_own_words_and_drawn() -> None:
    assert {kind.shape for kind in KINDS} == set(SHAPES)
    assert set(SIZES) == set(names())
    # No reading is used of a bundle: neither of sticks, of a honeycomb, nor of a heap.
    assert set(READINGS) == {kind.name for kind in KINDS if kind.shape != "bundle"}
    for drawing in (*SIZES.values(), *READINGS.values()):
        assert drawing.isascii()
        assert max(map(len, drawing.splitlines())) <= 80


@pytest.mark.parametrize("kind", names())
def test_nothing_known_but_the_shape_can_be_built(
    new: New, monkeypatch: pytest.MonkeyPatch, kind: str
) -> None:
    if kind == "scan":  # its shell takes seconds for a gap, which the build asks for as well
        monkeypatch.setattr("mouldgen.cli.new._show", lambda _: 0)
    run = new("a job", "", kind, *[""] * 7)

    assert (run.code, run.err) == (0, "")
    assert len(questions(run)) == (10 if kind in READINGS else 9)
    job = written()
    assert job.insert.shape == kind_of(kind).shape
    assert job.mould.family == kind_of(kind).mould
    assert job.insert.length >= job.piece.length + 10.0 - 1.0  # 5 mm an end
    assert_builds(job)


@pytest.mark.parametrize("kind", TOLD)
@pytest.mark.parametrize("lines", [TOLD, INCHES], ids=["measured", "inches"])
@pytest.mark.usefixtures("written_only")
def test_what_is_told_is_written_and_can_be_built(
    new: New, kind: str, lines: dict[str, tuple[str, str, dict[str, Any]]]
) -> None:
    told, readings, expected = lines[kind]
    # Pieces no wider than their insert, so that little resin is left to run hot.
    across = ("13 mm", '1/2"') if kind == "honeycomb" else ("20 mm", '13/16"')
    piece = f"{across[0]} x 50 mm" if lines is TOLD else f'{across[1]} x 2"'
    run = new(*answers(kind, told=told, readings=readings, piece=piece))

    assert (run.code, run.err) == (0, ""), run.out
    job = written()
    given = job.insert.model_dump(exclude_unset=True)
    for key, value in expected.items():
        assert given[key] == (pytest.approx(value) if isinstance(value, float) else value), key
    if readings:
        assert len(job.insert.measured) == 2
        assert job.insert.measured[0] == pytest.approx(job.insert.measured[1], abs=0.5)
    assert job.unit == (None if lines is TOLD else "in")
    assert_builds(job)


# In a ring of n that touch, its radius is a diameter over 2 sin(pi/n); the middle one of seven
# touches all, those of eight and nine stand free of the ring.
MIDDLE = {8: 8.0 / (2.0 * math.sin(math.pi / 7.0)), 9: 8.0 / (2.0 * math.sin(math.pi / 8.0))}


@pytest.mark.parametrize("sticks", range(2, 10))
def test_sticks_of_a_bundle_touch_and_never_overlap(sticks: int) -> None:
    told = kind_of("bundle").read(f"{sticks} sticks 8 mm x 70 mm")
    places = [member.at for member in draft_of("bundle").held(insert=told).insert.member]

    assert len(places) == sticks
    nearest = [min(math.dist(one, other) for other in places if other is not one) for one in places]
    # To within a few hundredths, the last digit that is written.
    assert min(nearest) >= 8.0
    assert max(nearest) <= MIDDLE.get(sticks, 8.0) + 0.06


def test_a_heap_of_unknown_size_goes_by_the_wood(new: New) -> None:
    new("a job", "", "heap", "", "0.5 g/ml", "", "", "", "")

    insert = written().insert
    assert insert.weight is not None
    assert insert.diameter is not None
    # 55 % of its round, in whole grams.
    full = math.pi * insert.diameter**2 / 4.0 * insert.length / 1000.0
    assert insert.weight == pytest.approx(0.55 * full * 0.5, abs=0.5)


def test_a_profile_may_be_written_later(new: New) -> None:
    run = new("a job", "", "outline", "", "", "", "write it later", "", "", "")

    text = Path("a-job.toml").read_text("utf-8")
    assert run.code == 0
    assert "# Height over the lower end, radius there; from 0 up to the length" in text
    profile = written().insert.profile
    assert profile == ((0.0, 15.0), (17.5, 15.0), (35.0, 9.0), (52.5, 15.0), (70.0, 15.0))


@pytest.mark.usefixtures("written_only")
class TestScan:
    def test_it_is_read_and_measured_at_once(self, new: New) -> None:
        Path("jobs").mkdir()
        shutil.copy(BURL, "jobs/my burl.stl")
        lines = answers("scan", told="my burl.stl", readings="38.5, 38.7 mm")

        run = new(*lines, words=("--out", "jobs/a.toml"))

        assert run.code == 0
        found = "Found: 58.1 mm long, and the thinnest round that it goes into is 38.6 mm across."
        assert found in run.words
        job = load_job(Path("jobs/a.toml")).job
        assert (job.insert.file, job.mould.family) == ("my burl.stl", "cup")
        assert job.insert.measured == (38.5, 38.7)
        # 2 mm a side and 5 mm an end are turned off, down to a millimetre.
        assert (job.piece.diameter, job.piece.length) == (34.0, 48.0)

    def test_its_unit_may_be_told_behind_it(self, tmp_path: Path) -> None:
        (tmp_path / "inch.stl").write_bytes(scaled(BURL, 1.0 / 25.4))

        told = read_scan("inch.stl, in", draft=draft_of("scan", folder=tmp_path))

        assert told.values == {"file": "inch.stl", "file_unit": "in"}
        assert told.length_mm == pytest.approx(58.12, abs=0.01)

    def test_it_may_be_mended(self, tmp_path: Path) -> None:
        (tmp_path / "holed.stl").write_bytes(holed(BURL))

        told = read_scan("holed.stl mended", draft=draft_of("scan", folder=tmp_path))

        assert told.values == {"file": "holed.stl", "mend": True}

    @pytest.mark.parametrize(
        ("typed", "says"),
        [
            ("nope.stl", "there is no such file: nope.stl"),
            ("folder.stl", "this is a folder, not a file: folder.stl"),
            ("text.stl", "text.stl: "),
            ("tiny.stl", r"tiny.stl: the unit .* Type its unit behind it, such as: tiny.stl, cm"),
            ("holed.stl", "holed.stl: the scan has 1 hole .* or type: holed.stl, mend"),
            (f"{'x' * 5000}.stl", "this is no name of a file: x+ "),
        ],
    )
    def test_what_cannot_be_used_is_told(self, tmp_path: Path, typed: str, says: str) -> None:
        (tmp_path / "folder.stl").mkdir()
        (tmp_path / "text.stl").write_text("no scan at all")
        (tmp_path / "holed.stl").write_bytes(holed(BURL))
        (tmp_path / "tiny.stl").write_bytes(scaled(BURL, 0.01))

        with pytest.raises(InputError, match=says):
            read_scan(typed, draft=draft_of("scan", folder=tmp_path))

    def test_one_that_may_not_be_read_is_told(
        self, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
    ) -> None:
        shutil.copy(BURL, tmp_path / "mine.stl")

        read = Path.read_bytes

        def refuse(path: Path) -> bytes:
            if path.name == "mine.stl":
                raise PermissionError(13, "Permission denied", str(path))
            return read(path)

        monkeypatch.setattr(Path, "read_bytes", refuse)
        with pytest.raises(InputError, match=r"mine.stl cannot be read \(Permission denied\)"):
            read_scan("mine.stl", draft=draft_of("scan", folder=tmp_path))


def scaled(path: Path, factor: float) -> bytes:
    """A binary STL whose corners are moved away from 0 by a factor."""
    data = bytearray(path.read_bytes())
    for start in range(84, len(data), 50):
        corners = struct.unpack_from("<9f", data, start + 12)
        struct.pack_into("<9f", data, start + 12, *(factor * at for at in corners))
    return bytes(data)


def holed(path: Path) -> bytes:
    """A binary STL without its last triangle."""
    data = bytearray(path.read_bytes()[:-50])
    struct.pack_into("<I", data, 80, struct.unpack_from("<I", data, 80)[0] - 1)
    return bytes(data)


@pytest.mark.usefixtures("written_only")
class TestMould:
    @pytest.mark.parametrize("kind", names())
    def test_those_are_offered_that_take_the_insert(self, kind: str) -> None:
        offered = [name for name, _ in suited(kind_of(kind))]
        shape = kind_of(kind).shape
        assert sorted(offered) == sorted(n for n in NAMES if shape not in family_of(n).against)
        assert offered[0] == kind_of(kind).mould

    @pytest.mark.parametrize(
        ("typed", "family", "cells"),
        [
            ("contour", "contour", None),
            ("rubber", "master", None),
            ("split", "split", None),
            ("5, 1 x 2", "block", (1, 2)),
            ("tray 2 x 1", "tray", (2, 1)),
        ],
    )
    def test_another_family_can_be_built(
        self, new: New, typed: str, family: str, cells: tuple[int, int] | None
    ) -> None:
        run = new("a job", "4", "rod", typed, *[""] * 6)

        assert (run.code, run.err) == (0, "")
        job = written()
        assert (job.mould.family, job.mould.cells) == (family, cells)
        assert_builds(job)

    @pytest.mark.parametrize(
        ("typed", "pieces", "cells"),
        [
            ("block", 1, (1, 2)),
            ("block", 4, (2, 2)),
            ("block 2 by 3", 4, (2, 3)),
            ("tray", 3, (1, 3)),
            ("tray", 40, (1, 4)),
        ],
    )
    def test_its_cells_follow_the_order(
        self, typed: str, pieces: int, cells: tuple[int, int]
    ) -> None:
        told = read_mould(typed, names=NAMES, kind=kind_of("rod"), pieces=pieces)
        assert told.cells == cells

    @pytest.mark.parametrize("kind", ["bar", "bundle"])
    def test_what_lies_is_thick_enough_for_its_piece(self, new: New, kind: str) -> None:
        run = new("a job", "4", kind, "tray", *[""] * 6)

        assert run.code == 0
        assert_builds(written())

    @pytest.mark.parametrize(
        ("typed", "says"),
        [
            ("cup 2 x 2", "a cup mould is not told rows and columns. Allowed: block or tray."),
            ("block 0 x 2", "a block cannot be of 0 x 2. Allowed: 1 to 12 rows"),
            ("shell", "a shell does not take a rod: its form is known in full"),
            ("9", 'there is no mould "9".'),
        ],
    )
    def test_a_slip_is_told(self, typed: str, says: str) -> None:
        with pytest.raises(InputError, match=re.escape(says)):
            mould(draft_of("rod")).read(typed)


@pytest.mark.parametrize(
    ("kind", "slip", "says"),
    [
        ("tube", "30 x 30 x 70 mm", "the bore, 30 mm, is no smaller than the outside, 30 mm."),
        ("taper", "18 x 30 x 70 mm", "the thin end, 30 mm, is no smaller than the thick end, 18"),
        ("twist", "22 x 20 x 70 mm", "does not tell how far one turn takes, such as one turn"),
        ("twist", "22 x 20 mm, right", "is not width x thickness x length. Allowed: 3 lengths"),
        ("coil", "30 x 70 mm, pitch 8 mm", "does not tell how thick the wire is"),
        ("coil", "30 x 70 mm, wire 8 mm, pitch 7 mm", "run into each other."),
        ("coil", "30 x 70 mm, wire 16 mm, pitch 20 mm", "leaves no hollow in a coil of 30 mm."),
        ("honeycomb", "4 x 4 x 70 mm, cell 5 mm, wall 1 mm", "no cell of 5 mm with its walls fits"),
        ("heap", "30 x 70 mm", "tells no weight. Allowed: a weight such as 22 g"),
        ("heap", "30 x 70 mm, 900 g", " ml"),
        ("bundle", "12 sticks of 8 x 70 mm", "2 to 9 sticks"),
        ("bundle", "30 x 70 mm", "is not a bundle of sticks"),
        ("outline", "0:15, 70 mm", "is no list of heights and radii"),
        ("outline", "5:15, 70:15 mm", "the heights go from 5 mm to 70 mm."),
        ("outline", "0:15, 30:9, 20:9, 70:15 mm", "the heights go back from 30 mm to 20 mm."),
        ("outline", "0:15, 70:0 mm", "a radius of 0 mm is nothing."),
        ("outline", "0:9, 20:9, 20:8, 20:7, 70:9 mm", "three points at one place"),
        ("flute", "30 x 70 mm, 30 flutes", "an insert cannot have 30 flutes."),
        ("flute", "30 x 70 mm, 6 flutes, 70 %", "flutes cannot take 70 % away."),
        ("rod", "22,5 x 70 mm", "Write decimals with a point"),
        ("rod", "30 x 70", '"30" has no unit.'),
        ("rod", "0 mm x 70 mm", '"0 mm" is nothing.'),
    ],
)
def test_a_slip_in_a_size_is_told(kind: str, slip: str, says: str) -> None:
    with pytest.raises(InputError, match=re.escape(says)):
        insert(draft_of(kind)).read(slip)


def test_a_slip_loses_no_answer(new: New) -> None:
    run = new(
        "a job", "4", "tube", "split", "black walnut", "22 mm x 50 mm", "12 x 26 x 60 mm",
        "26 x 27 x 60 mm", "26 x 12 x 60 mm, plugged", "", "", "smoke",
    )  # fmt: skip

    assert (run.code, run.err) == (0, "")
    assert len(questions(run)) == 10
    job = written()
    assert (job.insert.wood, job.mould.family, job.piece.diameter) == ("black walnut", "split", 22)
    assert (job.insert.inside, job.insert.plugged) == (12.0, True)


def test_what_is_taken_is_told_in_the_file(new: New) -> None:
    new("a job", "", "twist", "", "", "", "20 x 20 x 70 mm, one turn every 90 mm", "", "", "")

    text = Path("a-job.toml").read_text("utf-8")
    assert 'turn_length = "90 mm"\nhand = "right"\nlength = "70 mm"\n' in text
    assert '# hole = "8 mm"                  # drilled along it from end to end' in text
    assert '# measured = ["19.8 mm", "20.1 mm", "20.0 mm"]' in text


def test_a_split_mould_that_no_gap_fits_says_why(new: New) -> None:
    # Its floor leans, so that it grows no wider than its height allows: the search for a larger
    # bed once looked for a gap as wide as the bed and found none that was too wide.
    told = "3/4 in x 18 mm x 6 in, one turn every 120 mm, left"
    run = new("a job", "12", "twist", "split", "black walnut", "36 mm x 125 mm", told, "", "", "")

    assert (run.code, run.err) == (1, "")
    assert "No gap meets every rule." in run.words
