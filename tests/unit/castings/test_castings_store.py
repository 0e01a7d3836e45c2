"""The castings file: what is written comes back, what is said again replaces, undo goes back."""

from __future__ import annotations

import math
import sqlite3
from pathlib import Path

import pytest

from mouldgen.castings import tables
from mouldgen.castings.store import castings_file
from mouldgen.errors import CastingsError, UsageError
from tests.castings_drafts import NOON, load_draft, plain, result_draft

LATER = "2026-11-25T09:30:00+01:00"


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "castings.sqlite"


def test_reading_a_file_that_is_not_there_makes_none(path: Path) -> None:
    with castings_file(path) as file:
        assert file.loads() == ()
        assert file.castings() == ()
        assert file.undo() is None
        with pytest.raises(CastingsError, match=r"there is no load 1\. Nothing is logged yet"):
            file.load(1)

    assert list(path.parent.iterdir()) == []


def test_a_load_comes_back_as_it_was_written_in_another_process_too(path: Path) -> None:
    draft = load_draft(5, 7, note="cold morning", mixed_g=412.0, left_g=18.5)
    with castings_file(path) as file:
        written = file.pour(draft)
    with castings_file(path) as file:
        (read,) = file.loads()

    assert plain(read) == plain(written)
    assert (read.job, read.number, read.note, read.mixed_g, read.left_g, read.poured) == (
        "pegs", 1, "cold morning", 412.0, 18.5, 1,
    )  # fmt: skip
    assert read.open
    for casting, drafted in zip(read.castings, draft.castings, strict=True):
        for name in drafted.__dataclass_fields__:
            assert getattr(casting, name) == getattr(drafted, name), name
        assert (casting.load, casting.job, casting.poured_at) == (read.id, "pegs", NOON)
        assert casting.result is None


def test_nothing_lies_beside_the_file_once_it_is_closed(path: Path) -> None:
    with castings_file(path) as file:
        file.pour(load_draft())

    assert [each.name for each in path.parent.iterdir()] == ["castings.sqlite"]


def test_a_resin_that_had_gelled_has_no_answer_of_the_air_rule(path: Path) -> None:
    draft = load_draft(1)
    gelled = draft.castings[0].__class__(
        **{**{n: getattr(draft.castings[0], n) for n in draft.castings[0].__dataclass_fields__},
           "air_mm": math.inf}
    )  # fmt: skip
    with castings_file(path) as file:
        load = file.pour(load_draft(castings=(gelled,)))

    assert load.castings[0].air_mm == math.inf
    stored = sqlite3.connect(path).execute("SELECT air_mm FROM castings").fetchone()
    assert stored == (None,)


def test_results_close_a_load_casting_by_casting(path: Path) -> None:
    with castings_file(path) as file:
        load = file.pour(load_draft(1, 2))
        half = file.result(load.id, [result_draft(1)], noted_at=LATER)
        assert half.open
        assert [each.number for each in file.castings(finished_only=True)] == [1]
        assert len(file.loads(open_only=True)) == 1
        whole = file.result(
            load.id,
            [result_draft(2, voids=False, worst_mm=None, place="", outcome="good")],
            noted_at=LATER,
            note="dry wood",
        )

        assert not whole.open
        assert file.loads(open_only=True) == ()
    first, second = (casting.result for casting in whole.castings)
    assert first is not None
    assert plain(first) == {
        "voids": True, "worst_mm": 3.0, "place": "at the top", "rework_min": 10.0,
        "outcome": "repaired", "noted_at": LATER,
    }  # fmt: skip
    assert second is not None
    assert second.voids is False
    assert whole.note == "dry wood"


def test_a_result_said_again_replaces_and_undo_brings_the_first_back(path: Path) -> None:
    with castings_file(path) as file:
        load = file.pour(load_draft(1, 2))
        first = file.result(load.id, [result_draft(1)], noted_at=NOON)
        file.result(load.id, [result_draft(1, outcome="scrapped"), result_draft(2)], noted_at=LATER)

        assert file.undo() == "the result of load 1 (pegs:1)"
        assert plain(file.load(1)) == plain(first)


def test_undo_goes_back_step_by_step_to_nothing(path: Path) -> None:
    with castings_file(path) as file:
        states = [plain(file.loads())]
        file.pour(load_draft(1, 2))
        states.append(plain(file.loads()))
        file.result(1, [result_draft(2)], noted_at=NOON, note="a")
        states.append(plain(file.loads()))
        file.pour(load_draft(3, number=2))
        states.append(plain(file.loads()))
        file.pour_again(2, note="pour 2, slow")
        states.append(plain(file.loads()))
        file.result(1, [result_draft(1), result_draft(2, voids=False)], noted_at=LATER, note="b")

        told = []
        for state in reversed(states):
            told.append(file.undo())
            assert plain(file.loads()) == state
        assert file.undo() is None
    assert told == [
        "the result of load 1 (pegs:1)", "pour 2 of load 2 (pegs)", "the pour of load 2 (pegs:2)",
        "the result of load 1 (pegs:1)", "the pour of load 1 (pegs:1)",
    ]  # fmt: skip


def test_a_number_that_stands_on_a_card_is_never_given_again(path: Path) -> None:
    with castings_file(path) as file:
        file.pour(load_draft())
        file.undo()

        assert file.pour(load_draft()).id == 2


def test_later_pours_are_noted_behind_one_another(path: Path) -> None:
    with castings_file(path) as file:
        load = file.pour(load_draft(note="first"))
        file.pour_again(load.id, note="pour 2")
        again = file.pour_again(load.id, note="pour 3")

    assert (again.poured, again.note) == (3, "first; pour 2; pour 3")


def test_what_is_wrong_leaves_nothing_half_written(path: Path) -> None:
    with castings_file(path) as file:
        load = file.pour(load_draft(1, 2))
        before = plain(file.loads())
        with pytest.raises(CastingsError, match="load 1 has no casting 9"):
            file.result(load.id, [result_draft(1), result_draft(9)], noted_at=NOON)
        with pytest.raises(CastingsError, match=r"there is no load 7\. Allowed: .* the last is 1"):
            file.result(7, [result_draft(1)], noted_at=NOON)
        with pytest.raises(CastingsError, match="a value that it does not take"):
            file.pour(load_draft(castings=load_draft(1).castings * 2))
        with pytest.raises(CastingsError, match="a value that it does not take"):
            file.result(1, [result_draft(1), result_draft(2, rework_min=-1.0)], noted_at=NOON)

        assert plain(file.loads()) == before
        assert file.undo() == "the pour of load 1 (pegs:1)"


def test_a_copy_is_whole_while_the_file_is_open_and_is_never_written_over(path: Path) -> None:
    copy = path.with_name("copy.sqlite")
    with castings_file(path) as file:
        file.pour(load_draft(1, 2))
        file.backup(copy)
        file.pour(load_draft(3, number=2))
        with pytest.raises(UsageError, match=r"copy\.sqlite: there is a file of this name already"):
            file.backup(copy)
    with castings_file(copy) as kept:
        assert [load.number for load in kept.loads()] == [1]
    assert sorted(each.name for each in path.parent.iterdir()) == ["castings.sqlite", "copy.sqlite"]


def test_there_is_nothing_to_copy_before_the_first_pour(path: Path) -> None:
    with castings_file(path) as file, pytest.raises(UsageError, match="no castings file to copy"):
        file.backup(path.with_name("copy.sqlite"))


def test_the_columns_of_the_queries_are_those_of_the_tables(path: Path) -> None:
    with castings_file(path) as file:
        file.pour(load_draft())
    db = sqlite3.connect(path)

    for name, columns in (
        ("loads", tables.LOAD_COLUMNS),
        ("castings", tables.CASTING_COLUMNS),
        ("results", tables.RESULT_COLUMNS),
    ):
        there = [row[1] for row in db.execute(f"PRAGMA table_info({name})")]
        assert there == list(columns), name
    strict = dict(db.execute("SELECT name, strict FROM pragma_table_list WHERE schema = 'main'"))
    assert {strict[name] for name in ("loads", "castings", "results", "journal")} == {1}
    assert db.execute("PRAGMA journal_mode").fetchone() == ("wal",)


def test_the_file_itself_refuses_what_no_casting_is(path: Path) -> None:
    with castings_file(path) as file:
        file.pour(load_draft(1))
    db = sqlite3.connect(path)
    db.execute("PRAGMA foreign_keys = ON")

    for column, value in (
        ("gap_mm", 0.0), ("air_mm", -1.0), ("pressure_kpa", -1.0), ("close_min", 0.0),
        ("sequence", "upside-down"), ("pours", 0), ("number", 0), ("load_id", 99),
        ("gap_mm", "wide"),
    ):  # fmt: skip
        with pytest.raises(sqlite3.IntegrityError):
            db.execute(f"UPDATE castings SET {column} = ?", (value,))
