"""``mouldgen log`` answers at once, after what starting any command takes.

What else runs on the machine slows whole processes, so a time over its bar is measured again, twice
at most, and the best counts; a test falls when that is over by more than the start-up of a build
may be, for the same reason.
"""

from __future__ import annotations

import logging
import os
import shutil
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from benchmarks.clock import best_of
from benchmarks.start_up import SPREAD
from mouldgen.castings.store import castings_file
from tests.castings_drafts import NOON, load_draft, result_draft

MOST_S = 0.2
RECKONED_S = 1.0
ROUNDS = 9
COMMAND = "import sys; from mouldgen.cli import main; sys.exit(main())"
PEGS = ("log", "pour", "boathouse-pegs:2", "--again")


@pytest.mark.bench
def test_a_list_takes_little_more_than_starting(tmp_path: Path) -> None:
    path = written(tmp_path / "castings.sqlite")
    beyond = beyond_starting(["log", "list", "--castings", str(path)], bar=MOST_S)

    assert beyond < SPREAD * MOST_S


@pytest.mark.bench
@pytest.mark.parametrize(
    "told", [(), ("--shop", "19 C", "--close", "16 min")], ids=["as on the card", "told"]
)
def test_a_pour_from_its_card_takes_little_more_than_starting(
    told: tuple[str, ...], tmp_path: Path
) -> None:
    # Into a file of a shop that casts: a hundred loads of another job are open.
    written(tmp_path / "castings.sqlite", results=False)
    subprocess.run(
        [sys.executable, "-c", COMMAND, "potcard", "boathouse-pegs", "--out", "out"],
        capture_output=True, check=True, cwd=tmp_path, env=without_presets(tmp_path),
    )  # fmt: skip
    beyond = beyond_starting([*PEGS, *told], bar=MOST_S, folder=tmp_path)

    assert beyond < SPREAD * MOST_S


@pytest.mark.bench
def test_a_pour_that_is_reckoned_takes_no_second_more_than_starting(tmp_path: Path) -> None:
    written(tmp_path / "castings.sqlite", results=False)
    beyond = beyond_starting(
        list(PEGS), bar=RECKONED_S, folder=tmp_path,
        first=lambda: shutil.rmtree(tmp_path / "out", True),
    )  # fmt: skip

    assert beyond < SPREAD * RECKONED_S


def written(path: Path, *, results: bool = True) -> Path:
    """A file of a hundred loads of eight castings."""
    with castings_file(path) as file:
        for number in range(1, 101):
            load = file.pour(load_draft(*range(1, 9), number=number))
            if results:
                file.result(load.id, [result_draft(n) for n in range(1, 9)], noted_at=NOON)
    return path


def beyond_starting(
    words: list[str],
    *,
    bar: float,
    folder: Path | None = None,
    first: Callable[[], None] = lambda: None,
) -> float:
    """Time of a command less that of its help, which loads the same parser: best of some [s].

    `first` is done before each; the first time within `bar` ends the tries.
    """
    return best_of(
        lambda: _beyond_starting(words, folder, first), figure=lambda beyond: beyond, bar=bar
    )


def _beyond_starting(words: list[str], folder: Path | None, first: Callable[[], None]) -> float:
    """The difference of the two medians, taken in turn so that a busy moment falls on both [s]."""
    pairs = []
    for _ in range(ROUNDS + 1):
        first()
        pairs.append((_seconds(words, folder), _seconds([*words, "--help"], folder)))
    ran, started = (statistics.median(times) for times in zip(*pairs[1:], strict=True))
    log = logging.getLogger(__name__)
    log.info("%s %.3f s, start-up %.3f s", " ".join(words[:3]), ran, started)
    return ran - started


def without_presets(folder: Path) -> dict[str, str]:
    """The environment of a maker without presets."""
    return {**os.environ, "MOULDGEN_PRESETS": str(folder / "no-presets-of-mine")}


def _seconds(words: list[str], folder: Path | None) -> float:
    environment = None if folder is None else without_presets(folder)
    start = time.perf_counter()
    subprocess.run(
        [sys.executable, "-c", COMMAND, *words],
        capture_output=True, check=True, cwd=folder, env=environment,
    )  # fmt: skip
    return time.perf_counter() - start
