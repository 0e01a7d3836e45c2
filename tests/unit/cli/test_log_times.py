"""``mouldgen log list`` is answered at once, after what starting any command takes."""

from __future__ import annotations

import logging
import statistics
import subprocess
import sys
import time
from pathlib import Path

import pytest

from mouldgen.castings.store import castings_file
from tests.castings_drafts import NOON, load_draft, result_draft

MOST_S = 0.2
ROUNDS = 9
COMMAND = "import sys; from mouldgen.cli import main; sys.exit(main())"


@pytest.mark.bench
def test_a_list_takes_little_more_than_starting(tmp_path: Path) -> None:
    path = tmp_path / "castings.sqlite"
    with castings_file(path) as file:
        for number in range(1, 101):
            load = file.pour(load_draft(*range(1, 9), number=number))
            file.result(load.id, [result_draft(n) for n in range(1, 9)], noted_at=NOON)
    words = ["log", "list", "--castings", str(path)]
    # The help of the same command loads the same parser and runs nothing.
    pairs = [(_seconds(words), _seconds([*words, "--help"])) for _ in range(ROUNDS + 1)]
    listed, started = (statistics.median(times) for times in zip(*pairs[1:], strict=True))

    logging.getLogger(__name__).info("list %.3f s, start-up %.3f s", listed, started)
    assert listed - started < MOST_S


def _seconds(words: list[str]) -> float:
    start = time.perf_counter()
    subprocess.run([sys.executable, "-c", COMMAND, *words], capture_output=True, check=True)
    return time.perf_counter() - start
