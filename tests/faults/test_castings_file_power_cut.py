"""The power goes: what was flushed is on the disk, of what was not any part may be missing.

A disk is played by the bytes of the file and its log.  Everything up to the last flush stands;
each block behind it was written or was not, or is torn.  That a flush is asked for at every
commit is SQLite's ``synchronous = FULL`` (https://www.sqlite.org/pragma.html#pragma_synchronous);
that the disk obeys is for its maker to keep.
"""

from __future__ import annotations

import random
import sqlite3
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from mouldgen.castings.store import castings_file
from tests.castings_drafts import NOON, load_draft, plain, result_draft

BLOCK = 512  # bytes that a disk writes as one
FULL = 2
CUTS = 12  # of every write


@dataclass(frozen=True)
class Disk:
    """What is flushed once a write is reported.

    file, log : bytes of the database and of its write-ahead log.
    rows : that the file holds then.
    """

    file: bytes
    log: bytes
    rows: list[Any]


@pytest.fixture(scope="module")
def writes(tmp_path_factory: pytest.TempPathFactory) -> tuple[list[Disk], bytes]:
    """The disk after each of some writes, and the file once its log was taken in."""
    path = tmp_path_factory.mktemp("written") / "castings.sqlite"
    log = path.with_name(f"{path.name}-wal")
    disks = []
    with castings_file(path) as file:

        def flushed() -> None:
            rows = plain(file.loads())
            disks.append(Disk(path.read_bytes(), log.read_bytes(), rows))

        for number in range(1, 6):
            load = file.pour(load_draft(1, 2, 3, number=number, note="cold " * 400))
            flushed()
            file.result(load.id, [result_draft(k) for k in (1, 2, 3)], noted_at=NOON)
            flushed()
    assert not log.exists()
    return disks, path.read_bytes()


def rows_after(folder: Path, file: bytes, log: bytes) -> list[Any]:
    """What a shop finds when the power is back; its file is sound."""
    path = folder / "castings.sqlite"
    path.write_bytes(file)
    path.with_name(f"{path.name}-wal").write_bytes(log)
    with castings_file(path) as castings:
        rows = plain(castings.loads())
    db = sqlite3.connect(path)
    assert db.execute("PRAGMA integrity_check").fetchone()[0] == "ok"
    db.close()
    return rows


def torn(old: bytes, new: bytes, chance: random.Random) -> bytes:
    """Blocks of the new bytes, or of the old ones where those did not get there."""
    old = old.ljust(len(new), b"\0")
    share = chance.random()
    blocks = [
        (new if chance.random() < share else old)[at : at + BLOCK]
        for at in range(0, len(new), BLOCK)
    ]
    return b"".join(blocks)


def test_every_write_is_flushed_before_it_is_reported(tmp_path: Path) -> None:
    path = tmp_path / "castings.sqlite"
    for _ in range(2):  # as it is made, and as it is opened again
        with castings_file(path) as file:
            file.pour(load_draft())
            pragma = {
                name: file._writing().execute_sql(f"PRAGMA {name}").fetchone()[0]
                for name in ("synchronous", "journal_mode")
            }
        assert pragma == {"synchronous": FULL, "journal_mode": "wal"}


def test_a_log_that_ends_anywhere_has_all_that_was_reported(
    writes: tuple[list[Disk], bytes], tmp_path: Path
) -> None:
    disks, _ = writes
    chance = random.Random(20261126)
    lost = kept = 0
    for before, after in pairwise(disks):
        # Only the log grows: the cut falls into what stands behind the last flush.
        assert before.file == after.file
        assert after.log.startswith(before.log)
        for _ in range(CUTS):
            end = chance.randint(len(before.log), len(after.log))
            rows = rows_after(tmp_path, before.file, after.log[:end])
            assert rows == (after.rows if end == len(after.log) else before.rows)
            lost += rows == before.rows
        kept += rows_after(tmp_path, before.file, after.log) == after.rows
    assert kept == len(disks) - 1
    assert lost >= 0.9 * CUTS * kept  # the cuts fell where something was to lose


def test_a_log_with_torn_blocks_loses_at_most_the_write_that_was_not_reported(
    writes: tuple[list[Disk], bytes], tmp_path: Path
) -> None:
    disks, _ = writes
    chance = random.Random(20261127)
    lost = 0
    for before, after in pairwise(disks):
        for _ in range(CUTS):
            log = before.log + torn(b"", after.log[len(before.log) :], chance)
            rows = rows_after(tmp_path, before.file, log)
            assert rows == (after.rows if log == after.log else before.rows)
            lost += rows == before.rows
    assert lost >= 0.9 * CUTS * (len(disks) - 1)


def test_a_file_that_is_half_way_through_taking_its_log_in_has_every_row(
    writes: tuple[list[Disk], bytes], tmp_path: Path
) -> None:
    disks, closed = writes
    last = disks[-1]
    chance = random.Random(20261128)
    assert len(closed) > BLOCK
    half = 0
    for _ in range(5 * CUTS):
        file = torn(last.file, closed, chance)
        assert rows_after(tmp_path, file, last.log) == last.rows
        half += file not in (last.file, closed)
    assert half > 4 * CUTS


def test_the_model_of_a_disk_can_lose_rows(
    writes: tuple[list[Disk], bytes], tmp_path: Path
) -> None:
    # Without its log, which is what an unflushed write would be, the last result is not there.
    disks, _ = writes
    assert rows_after(tmp_path, disks[-1].file, disks[-2].log) == disks[-2].rows != disks[-1].rows
