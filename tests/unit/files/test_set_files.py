"""A set as files: all of it or nothing, the same bytes each time, the report as promised."""

from __future__ import annotations

import fcntl
import hashlib
import json
import os
from pathlib import Path

import pytest

from mouldgen.build import build_moulds
from mouldgen.errors import NoAnswerError, SurroundingsError
from mouldgen.files.folder import replace_folder
from mouldgen.files.report import report_of
from mouldgen.files.write import write_set
from mouldgen.mould_set import MouldSet
from tests.demo_set import demo_set, job_with

NAME = "boathouse-pegs"


def write(found: MouldSet, out: Path, **options: object) -> tuple[Path, ...]:
    return write_set(found, out=out, bed_pictures=["<svg/>"] * len(found.beds), **options)


def tree(folder: Path) -> dict[str, str]:
    return {
        str(p.relative_to(folder)): hashlib.sha256(p.read_bytes()).hexdigest()
        for p in sorted(folder.rglob("*"))
        if p.is_file() and not p.name.startswith(".")
    }


def test_layout_of_the_folder(tmp_path: Path) -> None:
    files = write(demo_set(), tmp_path, pictures={"set.png": b"png"})
    expected = {
        *(f"parts/{name}.{end}" for name in ("body", "lid") for end in ("stl", "3mf")),
        *(f"beds/bed-{k}.{end}" for k in (1, 2, 3) for end in ("stl", "3mf", "svg")),
        "report.json",
        "set.png",
    }
    assert set(tree(tmp_path / NAME)) == expected
    assert {str(f.relative_to(tmp_path / NAME)) for f in files} == expected


def test_the_same_job_gives_the_same_bytes(tmp_path: Path) -> None:
    write(demo_set(), tmp_path / "a")
    write(build_moulds(demo_set().answer.job), tmp_path / "b")
    first, second = tree(tmp_path / "a"), tree(tmp_path / "b")
    # The second was built without the list of given keys, which only the report shows.
    del first[f"{NAME}/report.json"], second[f"{NAME}/report.json"]
    assert first == second
    write(demo_set(), tmp_path / "a")
    assert tree(tmp_path / "a")[f"{NAME}/parts/body.stl"] == first[f"{NAME}/parts/body.stl"]


def test_report_has_the_promised_keys(tmp_path: Path) -> None:
    write(demo_set(), tmp_path)
    report = json.loads((tmp_path / NAME / "report.json").read_text())
    assert {k: report[k] for k in ("schema", "job", "version")} == {
        "schema": 1, "job": NAME, "version": "0.1.0",
    }  # fmt: skip
    assert len(report["fingerprint"]) == 32
    assert set(report["gap"]) >= {"gap_mm", "set_by", "measured_least_mm", "bounds"}
    assert set(report["gap"]["bounds"][0]) == {"rule", "kind", "value_mm", "why", "source", "relax"}
    volume = report["volume"]
    assert set(volume) >= {
        "cavity_ml", "insert_ml", "net_ml", "riser_ml", "per_mould_ml", "moulds", "total_ml",
        "total_g", "a_g", "b_g",
    }  # fmt: skip
    assert volume["net_ml"] == pytest.approx(volume["cavity_ml"] - volume["insert_ml"], abs=2e-3)
    assert volume["moulds"] == 22
    assert volume["total_g"] == pytest.approx(volume["a_g"] + volume["b_g"], rel=1e-12)  # tenths
    part = report["parts"][0]
    assert set(part) == {
        "name", "file_stl", "file_3mf", "count", "triangles", "volume_ml", "genus", "closed",
        "prints",
    }  # fmt: skip
    assert (part["count"], part["closed"]) == (22, True)
    for bed in report["beds"]:
        assert set(bed) == {"file_3mf", "file_stl", "picture", "items", "used_fraction"}
    named = [p for part in report["parts"] for p in (part["file_stl"], part["file_3mf"])]
    named += [bed[k] for bed in report["beds"] for k in ("file_3mf", "file_stl", "picture")]
    assert set(named) | {"report.json"} == set(report["files"])
    assert all((tmp_path / NAME / name).is_file() for name in report["files"])


def test_a_conflict_reports_nulls_and_writes_nothing(tmp_path: Path) -> None:
    found = build_moulds(job_with(pour={"close": 4000.0}))
    report = report_of(found)
    assert report["gap"]["gap_mm"] is None
    assert report["gap"]["conflict"]
    assert report["volume"] is None
    assert json.dumps(report, allow_nan=False)
    with pytest.raises(NoAnswerError, match="something must be fixed first"):
        write(found, tmp_path, anyway=True)
    assert list(tmp_path.iterdir()) == []


def test_a_set_that_must_be_fixed_says_so_in_every_name(tmp_path: Path) -> None:
    found = build_moulds(job_with(piece={"length": 79.0}))
    assert found.stopped
    with pytest.raises(NoAnswerError, match="write the files with --anyway"):
        write(found, tmp_path)
    assert list(tmp_path.iterdir()) == []
    write(found, tmp_path, anyway=True, pictures={"set.png": b"png"})
    names = [name for name in tree(tmp_path / NAME) if name != "report.json"]
    assert len(names) == 14
    assert "set-MUST-FIX.png" in names
    assert all("MUST-FIX" in name for name in names)


def test_what_others_put_there_stays_and_what_an_earlier_set_left_goes(tmp_path: Path) -> None:
    stopped = build_moulds(job_with(piece={"length": 79.0}))
    write(stopped, tmp_path, anyway=True, pictures={"set.png": b"png"})
    pegs = tmp_path / NAME
    mine = ["notes.txt", "beds/bed-1.gcode", "photos/first/one.jpg", "plots/gap.svg"]
    for name in mine:
        (pegs / name).parent.mkdir(parents=True, exist_ok=True)
        (pegs / name).write_bytes(name.encode())
    (pegs / "photos" / "latest").symlink_to("first")
    (pegs / "plots" / ".heat.svg.new").write_bytes(b"half of a fi")  # of a killed run
    at = (pegs / "notes.txt").stat().st_mtime_ns

    files = write(demo_set(), tmp_path)

    ours = {str(f.relative_to(pegs)) for f in files}
    assert set(tree(pegs)) == {*ours, *mine}
    assert not any("MUST-FIX" in name for name in ours)
    assert [(pegs / name).read_bytes().decode() for name in mine] == mine
    assert (pegs / "notes.txt").stat().st_mtime_ns == at
    assert (pegs / "photos" / "latest").readlink() == Path("first")
    assert not (pegs / "plots" / ".heat.svg.new").exists()
    assert sorted(json.loads((pegs / "report.json").read_text())["files"]) == sorted(ours)


@pytest.mark.parametrize(
    "report", [None, b"", b"[1]", b'{"files": 3}', b'{"files": [3, {}]}', b"\xff", b"[" * 100_000],
    ids=["none", "empty", "list", "number", "numbers", "bytes", "deep"],
)  # fmt: skip
def test_without_a_report_nothing_is_taken_for_ours(tmp_path: Path, report: bytes | None) -> None:
    pegs = tmp_path / NAME
    replace_folder(pegs, {"parts/body.stl": b"old", "parts/mine.stl": b"mine"})
    if report is not None:
        (pegs / "report.json").write_bytes(report)

    files = write(demo_set(), tmp_path)

    assert set(tree(pegs)) == {*(str(f.relative_to(pegs)) for f in files), "parts/mine.stl"}
    assert (pegs / "parts/body.stl").stat().st_size > 1000


def only_a(folder: Path) -> list[str]:
    return ["a"]


def test_where_no_links_can_be_made_files_are_copied(tmp_path: Path, monkeypatch) -> None:
    def none(*paths: Path, **options: object) -> None:
        raise OSError(95, "Operation not supported")

    monkeypatch.setattr("os.link", none)
    replace_folder(tmp_path / "set", {"a": b"old", "deep/mine": b"mine"})
    os.utime(tmp_path / "set" / "deep" / "mine", ns=(10**18, 10**18))
    replace_folder(tmp_path / "set", {"a": b"new"}, made=only_a)

    mine = tmp_path / "set" / "deep" / "mine"
    assert (mine.read_bytes(), mine.stat().st_mtime_ns) == (b"mine", 10**18)
    assert (tmp_path / "set" / "a").read_bytes() == b"new"


def test_what_cannot_go_along_stops_the_run(tmp_path: Path, monkeypatch) -> None:
    target = tmp_path / "set"
    replace_folder(target, {"a": b"old", "mine": b"mine"})
    (target / "plots").mkdir()
    (target / "plots" / "b").write_bytes(b"mine")
    before = tree(tmp_path)

    with pytest.raises(SurroundingsError, match="cannot be written"):
        replace_folder(target, {"a": b"new", "plots": b"a file"}, made=only_a)

    assert tree(tmp_path) == before
    real = os.scandir

    def locked_up(path: object) -> object:
        if path == str(target / "plots"):
            raise PermissionError(13, "Permission denied", str(path))
        return real(path)

    monkeypatch.setattr("os.scandir", locked_up)
    with pytest.raises(SurroundingsError, match="Permission denied"):
        replace_folder(target, {"a": b"new"}, made=only_a)
    monkeypatch.undo()
    assert tree(tmp_path) == before


def test_a_failed_run_leaves_what_was_there(tmp_path: Path, monkeypatch) -> None:
    target = tmp_path / "set"
    replace_folder(target, {"a.txt": b"old", "deep/b.txt": b"old"})
    before = tree(tmp_path)

    def full(self: Path, data: bytes) -> int:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", full)
    with pytest.raises(SurroundingsError, match=r"No space left on device.*free space"):
        replace_folder(target, {"a.txt": b"new"})
    monkeypatch.undo()
    assert tree(tmp_path) == before
    replace_folder(target, {"c.txt": b"new"})
    assert set(tree(target)) == {"c.txt"}


@pytest.mark.parametrize("renamed", [1, 2])
def test_ctrl_c_between_the_two_renames_leaves_a_whole_folder_in_its_place(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, renamed: int
) -> None:
    replace_folder(tmp_path / "set", {"a.txt": b"old"})
    rename, names = Path.rename, []

    def interrupted(path: Path, target: Path) -> Path:
        moved = rename(path, target)
        names.append(path.name)
        if len(names) == renamed:
            raise KeyboardInterrupt
        return moved

    monkeypatch.setattr(Path, "rename", interrupted)
    with pytest.raises(KeyboardInterrupt):
        replace_folder(tmp_path / "set", {"a.txt": b"new"})
    monkeypatch.undo()

    assert (tmp_path / "set" / "a.txt").read_bytes() == (b"old", b"new")[renamed - 1]
    replace_folder(tmp_path / "set", {"a.txt": b"newer"})
    assert {path.name for path in tmp_path.iterdir()} == {"set", ".set.lock"}


def test_what_a_killed_run_set_aside_is_brought_back(tmp_path: Path) -> None:
    (tmp_path / ".set.old").mkdir()
    (tmp_path / ".set.old" / "a.txt").write_bytes(b"kept")
    (tmp_path / ".set.new").mkdir()

    def fail(contents: dict[str, bytes]) -> None:
        replace_folder(tmp_path / "set", contents)

    with pytest.raises(SurroundingsError, match="cannot be written"):
        fail({"a.txt/b": b"", "a.txt": b""})
    assert tree(tmp_path) == {"set/a.txt": hashlib.sha256(b"kept").hexdigest()}
    assert not list(tmp_path.glob(".set.new*"))


def test_two_runs_at_once_do_not_mix(tmp_path: Path) -> None:
    replace_folder(tmp_path / "set", {"a": b"1"})
    with (tmp_path / ".set.lock").open("a+b") as held:
        fcntl.flock(held, fcntl.LOCK_EX)
        with pytest.raises(SurroundingsError, match="is being written by another run"):
            replace_folder(tmp_path / "set", {"a": b"2"})
    replace_folder(tmp_path / "set", {"a": b"3"})
    assert (tmp_path / "set" / "a").read_bytes() == b"3"


def test_a_file_in_the_way_and_a_folder_that_cannot_be_made(tmp_path: Path) -> None:
    (tmp_path / "set").write_text("mine")
    with pytest.raises(SurroundingsError, match="is a file where a folder should go"):
        replace_folder(tmp_path / "set", {"a": b"1"})
    with pytest.raises(SurroundingsError, match="set: is a file where a folder should go"):
        replace_folder(tmp_path / "set" / "below", {"a": b"1"})
    assert (tmp_path / "set").read_text() == "mine"


@pytest.mark.parametrize("leads_to", ["nowhere", "ring"])
def test_a_link_that_leads_nowhere_is_named(tmp_path: Path, leads_to: str) -> None:
    """A ring of links is no full disk."""
    (tmp_path / "ring").symlink_to(leads_to)
    with pytest.raises(
        SurroundingsError,
        match=r"ring: is a link that leads nowhere where a folder should go\. Move it away",
    ):
        replace_folder(tmp_path / "ring" / "set", {"a": b"1"})
    assert (tmp_path / "ring").is_symlink()
    assert [path.name for path in tmp_path.iterdir()] == ["ring"]


def test_folders_can_be_read_by_others(tmp_path: Path) -> None:
    replace_folder(tmp_path / "set", {"a": b"1"})
    assert (tmp_path / "set").stat().st_mode & 0o777 == 0o755
