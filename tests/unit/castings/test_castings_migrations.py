"""Older files are copied and brought up to date, newer ones are refused."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from mouldgen.castings.migrations import MIGRATIONS
from mouldgen.castings.store import castings_file
from mouldgen.errors import CastingsError, InternalError, MouldgenError
from tests.castings_drafts import load_draft, plain, result_draft

NEXT = (*MIGRATIONS, ("CREATE TABLE more (id INTEGER PRIMARY KEY, load_id INTEGER) STRICT",))


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A file of the version before, with two loads."""
    path = tmp_path / "castings.sqlite"
    with castings_file(path) as file:
        file.pour(load_draft(1, 2))
        file.result(1, [result_draft(1)], noted_at="2026-11-21T08:00:00+01:00")
        file.pour(load_draft(3, number=2))
    return path


def names(path: Path) -> list[str]:
    return sorted(each.name for each in path.parent.iterdir())


def version(path: Path) -> int:
    db = sqlite3.connect(path)
    try:
        return int(db.execute("PRAGMA user_version").fetchone()[0])
    finally:
        db.close()


def test_an_older_file_is_copied_and_brought_up_to_date(path: Path) -> None:
    with castings_file(path) as file:
        before = plain(file.loads())
    with castings_file(path, steps=NEXT) as file:
        assert plain(file.loads()) == before

    assert names(path) == ["castings-version-1.sqlite", "castings.sqlite"]
    assert version(path) == 2
    copy = path.with_name("castings-version-1.sqlite")
    assert version(copy) == 1
    with castings_file(copy) as file:
        assert plain(file.loads()) == before


def test_a_copy_that_is_there_already_stays(path: Path) -> None:
    path.with_name("castings-version-1.sqlite").write_text("mine", encoding="utf-8")
    with castings_file(path, steps=NEXT) as file:
        file.pour(load_draft(4, number=3))

    assert names(path) == [
        "castings-version-1-2.sqlite", "castings-version-1.sqlite", "castings.sqlite",
    ]  # fmt: skip
    assert path.with_name("castings-version-1.sqlite").read_text("utf-8") == "mine"


def test_a_file_of_this_version_is_not_copied(path: Path) -> None:
    with castings_file(path) as file:
        file.loads()

    assert names(path) == ["castings.sqlite"]


@pytest.mark.parametrize(
    ("step", "raises", "says"),
    [
        (("CREATE TABLE more (id INTEGER) STRICT", "no such word"), MouldgenError, "syntax error"),
        (("DELETE FROM loads WHERE id = 1",), InternalError, "leaves rows without a load"),
    ],
)
def test_a_step_that_fails_leaves_the_file_as_it_was(
    path: Path, step: tuple[str, ...], raises: type[Exception], says: str
) -> None:
    with castings_file(path) as file:
        before = plain(file.loads())
    with castings_file(path, steps=(*MIGRATIONS, step)) as file, pytest.raises(raises, match=says):
        file.loads()

    assert version(path) == 1
    with castings_file(path) as file:
        assert plain(file.loads()) == before


def test_a_newer_file_is_refused_and_left_alone(path: Path) -> None:
    with castings_file(path, steps=NEXT) as file:
        file.loads()
    before = path.read_bytes()
    with castings_file(path) as file:
        for work in (file.loads, file.undo, lambda: file.pour(load_draft())):
            with pytest.raises(
                CastingsError,
                match=r"castings\.sqlite: was made by a newer mouldgen: it is version 2, and this"
                r" one knows 1\. Take the newer mouldgen",
            ):
                work()

    assert path.read_bytes() == before
