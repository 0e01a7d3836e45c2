"""The virtual pour beside a plain reconstruction on voxels: the same air, the time, the memory.

    python -m benchmarks.pour_and_reconstruction

A cup of 40 x 40 x 100 mm with a drilled, grooved stick in it is cut into voxels ever finer.  The
plain way labels what lies above each height with scipy; both must find the same voxels.  Exits 1
where they do not, where the pour is less than `FASTER` times as fast, or where it takes more than
`MOST_MB` at half a millimetre.
"""

from __future__ import annotations

import argparse
import sys
import time
import tracemalloc
from collections.abc import Callable
from typing import Any

import numpy as np

from benchmarks import figures
from mouldgen.pour.air_space import runs_of_voxels
from mouldgen.pour.pour import pour
from tests.spaces import cup_voxels, reconstruction_by_thresholds, trapped_voxels

FASTER = 5.0
MOST_MB = 500.0
ROUNDS = 3
PITCHES = (2.0, 1.0, 0.5)  # mm


def compared(pitch_mm: float) -> dict[str, Any]:
    """One cup at one pitch, both ways in turn."""
    air = cup_voxels(pitch_mm)
    opens = np.zeros_like(air)
    opens[-1] = air[-1]
    ways: tuple[Callable[[], Any], ...] = (
        lambda: pour(runs_of_voxels(air)),
        lambda: reconstruction_by_thresholds(air, opens),
    )
    ours, plain = least_in_turn(ways, ROUNDS)
    (found, peak), (shut, plain_peak) = (with_peak(way) for way in ways)
    return {
        "pitch_mm": pitch_mm, "voxels": air.size, "ours_s": ours, "plain_s": plain,
        "ours_mb": peak / 1e6, "plain_mb": plain_peak / 1e6,
        "same": bool(np.array_equal(trapped_voxels(found, air.shape), shut)),
    }  # fmt: skip


def with_peak(way: Callable[[], Any]) -> tuple[Any, int]:
    """What comes of it, and the most memory that it took at once [bytes]."""
    tracemalloc.start()
    found = way()
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return found, peak


def least_in_turn(ways: tuple[Callable[[], Any], ...], rounds: int) -> list[float]:
    """The shortest time of each, taken in turn [s]."""
    least = [float("inf")] * len(ways)
    for _ in range(rounds):
        for k, way in enumerate(ways):
            start = time.perf_counter()
            way()
            least[k] = min(least[k], time.perf_counter() - start)
    return least


def main() -> int:
    """Print the figures, say whether every bar is met."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--keep", action="store_true", help="keep the figures for docs")
    asked = parser.parse_args()
    found = [compared(pitch) for pitch in PITCHES]
    for told in found:
        print(
            f"{told['pitch_mm']:g} mm, {told['voxels']} voxels: pour {1e3 * told['ours_s']:.1f} ms"
            f" and {told['ours_mb']:.1f} MB, reconstruction {1e3 * told['plain_s']:.0f} ms and"
            f" {told['plain_mb']:.1f} MB, {told['plain_s'] / told['ours_s']:.1f} times;"
            f" {'the same air' if told['same'] else 'OTHER AIR'}"
        )
    finest = found[-1]
    print(f"bars: {FASTER:g} times as fast, {MOST_MB:g} MB, at the finest")
    if asked.keep:
        figures.keep("pour_and_reconstruction", {"pitches": found})
    faster = finest["plain_s"] >= FASTER * finest["ours_s"]
    small = finest["ours_mb"] <= MOST_MB
    return int(not (faster and small and all(told["same"] for told in found)))


if __name__ == "__main__":
    sys.exit(main())
