"""Any scan gives `check` and a job a right answer or a plain refusal, within its time."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from tests.crossed_faces import crossed_faces
from tests.scan_trials import CONTROL_EVERY, KINDS, Tally, try_seed

# Half a minute is the promise for any scan; these have 13 000 faces at most.
LONGEST_S = 10.0


def try_all(seeds: range, folder: Path) -> Tally:
    """What was counted over some seeds; fails with everything that was wrong."""
    tally = Tally()
    for seed in seeds:
        start = time.process_time()
        try_seed(seed, folder, tally)
        assert time.process_time() - start < LONGEST_S, seed
    assert tally.wrong == []
    assert len(tally.seconds) == len(seeds)
    return tally


@pytest.mark.parametrize("seed", range(12))
def test_a_scan(seed: int, tmp_path: Path) -> None:
    tally = try_all(range(seed, seed + 1), tmp_path)
    controls = int(seed % CONTROL_EVERY == 0)
    assert (tally.counts["clean"], tally.counts["planted crossings"]) == (controls, controls)


@pytest.mark.heavy
@pytest.mark.parametrize("first", range(12, 212, 25))
def test_two_hundred_scans(first: int, tmp_path: Path) -> None:
    tally = try_all(range(first, first + 25), tmp_path)
    # What makes the run worth its time: damage was there, and was looked for.
    assert tally.counts["counts compared"] > 50
    assert tally.counts["named: holes"] > 5
    assert tally.counts["planted crossings"] == 5


@pytest.mark.parametrize("number", range(2, len(KINDS)))
def test_the_other_formats(number: int, tmp_path: Path) -> None:
    """The first twelve are STL and 3MF."""
    seed = 6 * number + 1
    try_all(range(seed, seed + 1), tmp_path)
    assert (tmp_path / f"scan.{KINDS[number]}").is_file()


def test_the_oracle_sees_a_crossing_and_none_where_faces_touch() -> None:
    import numpy as np

    flat = [[0.0, 0, 0], [4, 0, 0], [0, 4, 0]]
    through = [[1.0, 1, -1], [1, 1, 1], [1, 2, 1]]
    beside = [[0.0, 0, 0], [4, 0, 0], [0, -4, 1]]  # shares an edge
    sure, perhaps = crossed_faces(np.array([flat, through, beside]))
    assert (sure, perhaps) == ({0, 1}, {0, 1})
    above = [[1.0, 1, 0.5], [1, 1, 1], [1, 2, 1]]
    assert crossed_faces(np.array([flat, above, beside])) == (set(), set())
