"""Two that write one castings file at once, and one that does not let go."""

from __future__ import annotations

import sqlite3
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from peewee import SqliteDatabase

from mouldgen.castings.store import castings_file
from mouldgen.errors import SurroundingsError
from tests.castings_drafts import load_draft
from tests.castings_writers import MANY, start

ROWS = 100


def test_two_processes_write_a_hundred_loads_each_and_none_is_lost(tmp_path: Path) -> None:
    path = tmp_path / "castings.sqlite"  # not there yet: they make it at once too
    writers = [start(MANY, path, job, ROWS) for job in ("pegs", "knobs")]
    for writer in writers:
        assert writer.stdout is not None
        assert writer.stdout.readline() == "ready\n"
    for writer in writers:
        assert writer.stdin is not None
        writer.stdin.write("go\n")
        writer.stdin.flush()
    ends = [writer.communicate(timeout=120) for writer in writers]

    assert [(writer.returncode, err) for writer, (_, err) in zip(writers, ends, strict=True)] == [
        (0, ""),
        (0, ""),
    ]
    times = [tuple(map(float, out.split())) for out, _ in ends]
    assert max(began for began, _ in times) < min(ended for _, ended in times)  # at once
    with castings_file(path) as file:
        loads = file.loads()
    for job in ("pegs", "knobs"):
        assert [load.number for load in loads if load.job == job] == list(range(1, ROWS + 1))
    assert {len(load.castings) for load in loads} == {2}


def test_one_that_does_not_let_go_is_told_and_reading_goes_on(tmp_path: Path) -> None:
    path = tmp_path / "castings.sqlite"
    with castings_file(path) as file:
        file.pour(load_draft())
    holder = sqlite3.connect(path, isolation_level=None)
    holder.execute("BEGIN IMMEDIATE")
    with castings_file(path, wait_s=0.1) as file:
        with pytest.raises(
            SurroundingsError,
            match=r"castings\.sqlite: another program is writing to it and does not let go",
        ):
            file.pour(load_draft(number=2))
        assert [load.number for load in file.loads()] == [1]
    holder.execute("ROLLBACK")
    with castings_file(path, wait_s=0.1) as file:
        assert file.pour(load_draft(number=2)).number == 2


@pytest.mark.parametrize("after", ["user_version", "sqlite_schema", "application_id"])
def test_a_file_that_another_makes_while_it_is_looked_at_is_ours(
    after: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "castings.sqlite"
    asks = SqliteDatabase.execute_sql
    made = []

    def asked(db: SqliteDatabase, sql: str, *more: Any) -> Any:
        found = asks(db, sql, *more)
        if after not in sql or made:
            return found
        rows = found.fetchall()  # looked at before the other one is done
        made.append(sql)
        with castings_file(path) as other:
            other.pour(load_draft())
        return SimpleNamespace(fetchone=lambda: rows[0], fetchall=lambda: rows)

    monkeypatch.setattr(SqliteDatabase, "execute_sql", asked)
    with castings_file(path) as file:
        file.pour(load_draft(number=2))
        assert [load.number for load in file.loads()] == [1, 2]
    assert made
