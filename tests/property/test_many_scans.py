"""Any scan gives a right answer or a plain refusal, within its time and memory."""

from __future__ import annotations

import time

import pytest

from mouldgen.errors import ScanError
from mouldgen.solid.ailments import ailments_of
from mouldgen.solid.mending import mended
from mouldgen.solid.topology import topology_of
from tests.random_scans import random_scan

# Half a minute is the promise for any scan; these have 13 000 faces at most.
LONGEST_S = 10.0


def check(seed: int) -> None:
    scan = random_scan(seed)
    start = time.process_time()
    found = ailments_of(scan.mesh)
    try:
        result = mended(scan.mesh)
    except ScanError as refused:
        if not scan.hopeless:
            pytest.fail(f"seed {seed} {scan.damage}: {refused}")
        return
    assert time.process_time() - start < LONGEST_S
    assert topology_of(result.mesh).closed
    assert result.volume_mm3 > 0.0
    if not scan.hopeless:
        assert result.volume_mm3 == pytest.approx(scan.volume_mm3, rel=scan.within), scan.damage
    if found.sound:
        assert not result.changed


@pytest.mark.parametrize("seed", range(12))
def test_a_scan(seed: int) -> None:
    check(seed)


@pytest.mark.heavy
@pytest.mark.parametrize("first", range(12, 212, 25))
def test_two_hundred_scans(first: int) -> None:
    for seed in range(first, first + 25):
        check(seed)
