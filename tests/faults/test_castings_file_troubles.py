"""Disk full, read-only, damaged, something else: told plainly, and what was there stays."""

from __future__ import annotations

import os
import shutil
import sqlite3
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np
import pytest

from mouldgen.castings.store import castings_file
from mouldgen.errors import CastingsError, MouldgenError, SurroundingsError
from tests.castings_drafts import load_draft, plain, result_draft
from tests.castings_writers import NO_ROOM, said
from tests.cli_runs import mouldgen

NOBODY = 65534


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A file with two loads, one of them finished."""
    path = tmp_path / "castings.sqlite"
    with castings_file(path) as file:
        file.pour(load_draft(1, 2))
        file.result(1, [result_draft(1), result_draft(2)], noted_at="2026-11-21T08:00:00+01:00")
        file.pour(load_draft(3, number=2))
    return path


def test_a_database_that_may_not_grow_says_that_the_disk_is_full(path: Path) -> None:
    with castings_file(path) as file:
        before = plain(file.loads())
        db = file._writing()
        pages = db.execute_sql("PRAGMA page_count").fetchone()[0]
        db.execute_sql(f"PRAGMA max_page_count = {pages}")
        with pytest.raises(
            SurroundingsError,
            match=r"castings\.sqlite: the disk is full, so nothing was written\. Make room",
        ):
            file.pour(load_draft(4, number=3, note="x" * 100_000))
        assert plain(file.loads()) == before
        db.execute_sql("PRAGMA max_page_count = 100000")

        assert file.pour(load_draft(4, number=3)).id == 3


@pytest.mark.skipif(sys.platform == "win32", reason="no limit on the size of files")
@pytest.mark.parametrize("most", [30_000, 100_000, 400_000])
def test_a_disk_that_takes_no_more_loses_nothing_that_was_written(
    tmp_path: Path, most: int
) -> None:
    path = tmp_path / "castings.sqlite"
    written, error, message = said(NO_ROOM, path, most).split(" ", 2)

    assert error == "SurroundingsError"
    assert message.startswith(f"{path}: ")
    assert "what was logged before is all there" in message or "so nothing was written" in message
    with castings_file(path) as file:
        assert [load.id for load in file.loads()] == list(range(1, int(written) + 1))
        assert file.pour(load_draft(1)).castings[0].number == 1
    assert sqlite3.connect(path).execute("PRAGMA integrity_check").fetchone() == ("ok",)


@contextmanager
def as_nobody() -> Iterator[None]:
    """Without the rights of the superuser, whom no mode of a folder stops."""
    if os.geteuid() != 0:
        yield
        return
    os.seteuid(NOBODY)
    try:
        yield
    finally:
        os.seteuid(0)


@pytest.fixture
def open_folder(path: Path) -> Iterator[Path]:
    """A folder that anybody may go into, with a copy of the file."""
    folder = Path(tempfile.mkdtemp(prefix="castings-"))
    shutil.copy(path, folder / path.name)
    folder.chmod(0o755)
    (folder / path.name).chmod(0o644)
    yield folder
    folder.chmod(0o755)
    shutil.rmtree(folder)


@pytest.mark.skipif(sys.platform == "win32", reason="folders have no such mode there")
def test_in_a_read_only_folder_rows_are_read_and_none_is_written(
    path: Path, open_folder: Path
) -> None:
    with castings_file(path) as file:
        before = plain(file.loads())
    place = open_folder / path.name
    place.chmod(0o444)
    open_folder.chmod(0o555)
    with as_nobody(), castings_file(place) as file:
        assert plain(file.loads()) == before
        for work in (
            lambda: file.pour(load_draft(4, number=3)),
            lambda: file.result(1, [result_draft(1)], noted_at="2026-11-21T08:00:00+01:00"),
            file.undo,
        ):
            with pytest.raises(
                SurroundingsError,
                match=r"castings\.sqlite: the file or its folder cannot be opened to write, so"
                r" nothing was written\. Check your rights",
            ):
                work()
        assert plain(file.loads()) == before

    assert [each.name for each in open_folder.iterdir()] == ["castings.sqlite"]


@pytest.mark.skipif(sys.platform == "win32", reason="folders have no such mode there")
def test_a_new_file_in_a_read_only_folder_is_refused(open_folder: Path) -> None:
    open_folder.chmod(0o555)
    with as_nobody(), castings_file(open_folder / "new.sqlite") as file:
        assert file.loads() == ()
        with pytest.raises(SurroundingsError, match="cannot be opened to write"):
            file.pour(load_draft())


@pytest.mark.skipif(sys.platform == "win32", reason="folders have no such mode there")
def test_a_copy_into_a_read_only_folder_is_refused(path: Path, open_folder: Path) -> None:
    there = open_folder / "there"
    there.mkdir()
    there.chmod(0o555)
    open_folder.chmod(0o777)
    (open_folder / path.name).chmod(0o666)
    with (
        as_nobody(),
        castings_file(open_folder / path.name) as file,
        pytest.raises(SurroundingsError, match=r"copy\.sqlite: "),
    ):
        file.backup(there / "copy.sqlite")
    assert list(there.iterdir()) == []


def test_a_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    with castings_file(tmp_path / "no" / "castings.sqlite") as file:
        assert file.loads() == ()
        with pytest.raises(SurroundingsError, match=r"no: there is no such folder\. Make it"):
            file.pour(load_draft())


@pytest.mark.parametrize(
    "content",
    [b"format = 1\n", b"load_id,job\r\n", b"SQLite format 2\0" + b"x" * 200, b"\0" * 4096],
    ids=["toml", "csv", "older-kind", "zeros"],
)
def test_a_file_that_is_no_database_is_refused_and_left_alone(
    tmp_path: Path, content: bytes
) -> None:
    path = tmp_path / "castings.sqlite"
    path.write_bytes(content)
    with castings_file(path) as file:
        for work in (file.loads, file.undo, lambda: file.pour(load_draft())):
            with pytest.raises(CastingsError, match=r"castings\.sqlite: is not a castings file"):
                work()

    assert path.read_bytes() == content


def test_another_programs_database_is_refused_and_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "castings.sqlite"
    db = sqlite3.connect(path)
    db.executescript("CREATE TABLE loads (id INTEGER); INSERT INTO loads VALUES (7);")
    db.close()
    before = path.read_bytes()
    with castings_file(path) as file, pytest.raises(CastingsError, match="is not a castings file"):
        file.pour(load_draft())

    assert path.read_bytes() == before


def test_a_folder_of_that_name_is_refused(tmp_path: Path) -> None:
    with castings_file(tmp_path) as file, pytest.raises(CastingsError, match="is a folder"):
        file.loads()


def test_an_empty_file_becomes_a_castings_file(tmp_path: Path) -> None:
    path = tmp_path / "castings.sqlite"
    path.touch()
    with castings_file(path) as file:
        assert file.loads() == ()
        assert file.pour(load_draft()).id == 1


@pytest.mark.parametrize("share", [0.3, 0.5, 0.9])
def test_a_file_that_was_cut_off_is_refused_and_left_alone(path: Path, share: float) -> None:
    whole = path.read_bytes()
    path.write_bytes(whole[: int(share * len(whole))])
    before = path.read_bytes()
    with castings_file(path) as file:
        for work in (file.loads, lambda: file.pour(load_draft())):
            with pytest.raises(
                CastingsError,
                match=r"castings\.sqlite: the file is damaged\. It is left as it is\. Put the last",
            ):
                work()

    assert path.read_bytes() == before


def test_whatever_bytes_are_broken_nobody_sees_more_than_a_sentence(path: Path) -> None:
    """120 files with a run of bytes broken: damage that shows is told, the rest reads as rows."""
    whole = path.read_bytes()
    random = np.random.default_rng(7)
    refused = 0
    for number in range(120):
        broken = bytearray(whole)
        at = int(random.integers(16, len(whole) - 64))
        broken[at : at + 64] = random.bytes(64)
        place = path.with_name(f"{number}.sqlite")
        place.write_bytes(broken)
        try:
            with castings_file(place) as file:
                file.loads()
                file.undo()
        except MouldgenError:
            refused += 1
        place.unlink()

    assert 0 < refused < 120


def test_the_command_tells_each_in_one_paragraph(tmp_path: Path, path: Path) -> None:
    path.write_bytes(path.read_bytes()[:5000])
    other = tmp_path / "notes.txt"
    other.write_text("voids in 3", encoding="utf-8")
    for words, code, says in (
        (("log", "list", "--castings", str(path)), 2, "the file is damaged"),
        (("log", "result", "1", "all good", "--castings", str(path)), 2, "the file is damaged"),
        (("log", "undo", "--castings", str(other)), 2, "is not a castings file"),
        (("log", "--castings", str(tmp_path)), 2, "is a folder"),
    ):
        run = mouldgen(*words)
        assert (run.code, run.out) == (code, "")
        assert says in run.err
        assert run.err.count("\n") == 1
        assert "Traceback" not in run.err
