"""A writer that is killed at any moment: what it said was written is there."""

from __future__ import annotations

import json
import shutil
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.castings_writers import KILLED, said

KILLS = 200
MEMORY = Path("/dev/shm")  # a process that is killed loses nothing of what a disk would still flush


@pytest.fixture
def folder(tmp_path: Path) -> Iterator[Path]:
    """In memory where the system has that: most of the time would go into waiting for a disk."""
    if not MEMORY.is_dir():
        yield tmp_path
        return
    made = Path(tempfile.mkdtemp(prefix="castings-", dir=MEMORY))
    yield made
    shutil.rmtree(made)


@pytest.mark.skipif(sys.platform == "win32", reason="SIGKILL and fork are not of this system")
def test_no_row_that_was_reported_is_lost_and_none_is_half_written(folder: Path) -> None:
    found = json.loads(said(KILLED, folder, KILLS, 20261126))

    assert len(found) > 0.9 * KILLS
    for kill, at in enumerate(found):
        assert at["integrity"] == "ok", kill
        assert set(at["poured"]) <= set(at["there"]), kill
        assert set(at["finished"]) <= set(at["closed"]), kill
        assert at["half"] == [], kill
    # The kills fell where they should: before, between and after writes of every kind.
    assert sum(len(at["poured"]) for at in found) > KILLS
    assert {bool(at["poured"]) for at in found} == {True, False}
    assert any(len(at["poured"]) > len(at["finished"]) for at in found)
