"""Mend many random scans and say how it went.

    python -m benchmarks.many_scans 200
    python -m benchmarks.many_scans 5000 --first 1000 --offset-every 50

Scans are those of tests/random_scans.py, by their seeds; every so many of them are grown by a
gap as well.  Exits 1 where an answer was wrong, a scan that can be mended was refused, anything
but a plain refusal was raised, or a bar on time or memory was missed.
"""

from __future__ import annotations

import argparse
import statistics
import sys
import time
from collections import Counter
from dataclasses import dataclass, field

from mouldgen.errors import ScanError
from mouldgen.solid.ailments import ailments_of
from mouldgen.solid.mending import mended
from mouldgen.solid.offset import offset_of
from tests.random_scans import RandomScan, random_scan

LONGEST_S = 30.0
LARGEST_MB = 2000.0
GAP_MM = 2.0
STEPS_PER_CENT = (0.01, 0.1, 0.5, 1.0, 5.0)


@dataclass(eq=False)
class Tally:
    """What was counted over a run.

    errors : how far each mended volume is off, as a share.
    seconds : of each scan, with its seed.
    refused : why scans that nobody could mend were refused.
    wrong : what should not have happened, one line each.
    gaps : least gap of each grown scan over the gap asked for.
    """

    errors: list[float] = field(default_factory=list)
    seconds: list[tuple[float, int]] = field(default_factory=list)
    refused: Counter[str] = field(default_factory=Counter)
    wrong: list[str] = field(default_factory=list)
    gaps: list[float] = field(default_factory=list)


def try_one(seed: int, tally: Tally, *, grow: bool) -> None:
    """Look at one scan, mend it, and grow it where asked for."""
    scan = random_scan(seed)
    start = time.perf_counter()
    try:
        ailments_of(scan.mesh)
        result = mended(scan.mesh)
        note_volume(scan, seed, result.volume_mm3, tally)
        if grow:
            tally.gaps.append(offset_of(result.mesh, gap_mm=GAP_MM).least_mm / GAP_MM)
    except ScanError as refused:
        if scan.hopeless:
            tally.refused[reason(refused)] += 1
        else:
            tally.wrong.append(f"{seed} refused ({', '.join(scan.damage)}): {refused}")
    except Exception as problem:  # noqa: BLE001  what this program is there to find
        tally.wrong.append(f"{seed} {type(problem).__name__}: {problem}")
    tally.seconds.append((time.perf_counter() - start, seed))


def note_volume(scan: RandomScan, seed: int, found_mm3: float, tally: Tally) -> None:
    """Compare a mended volume with the true one; a hopeless scan has none to compare with."""
    if scan.hopeless:
        tally.refused["mended although it need not have been"] += 1
        return
    off = abs(found_mm3 / scan.volume_mm3 - 1.0)
    if off > scan.within:
        tally.wrong.append(f"{seed} is off by {off:.2%} ({', '.join(scan.damage)})")
    if scan.within < 0.01:  # with an end cut off there is no true volume
        tally.errors.append(off)


def reason(refused: ScanError) -> str:
    """The message without its numbers, so that equal reasons count together."""
    return "".join(c for c in refused.what if not c.isdigit())[:60]


def memory_mb() -> float | None:
    """The most memory this process had [MB]; None where the system does not say."""
    try:
        import resource
    except ImportError:
        return None
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return most / 1e6 if sys.platform == "darwin" else most / 1e3


def show(tally: Tally, count: int) -> None:
    """Print the figures."""
    print(f"{count} scans: {len(tally.errors)} with a true volume mended")
    for step in STEPS_PER_CENT:
        within = sum(off <= step / 100.0 for off in tally.errors)
        print(f"  within {step:g} %: {within} ({within / max(1, len(tally.errors)):.1%})")
    print(f"  worst {max(tally.errors, default=0.0):.3%}")
    print(f"hopeless: {sum(tally.refused.values())}")
    for why, many in tally.refused.most_common():
        print(f"  {many:5d}  {why}")
    if tally.gaps:
        low, high = min(tally.gaps), max(tally.gaps)
        print(f"{len(tally.gaps)} grown: least gap {low:.4f} to {high:.4f} of what was asked")
    seconds = [taken for taken, _ in tally.seconds]
    slowest, seed = max(tally.seconds)
    print(
        f"seconds a scan: median {statistics.median(seconds):.3f}, slowest {slowest:.2f} ({seed})"
    )
    print(f"largest memory: {memory_mb() or float('nan'):.0f} MB")
    print(f"wrong: {len(tally.wrong)}")
    for line in tally.wrong[:50]:
        print(f"  {line}")


def main() -> int:
    """Run the scans, print the figures, say whether all is as it should be."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("count", type=int, nargs="?", default=200)
    parser.add_argument("--first", type=int, default=0, help="the first seed")
    parser.add_argument("--offset-every", type=int, default=0, help="grow one scan of so many")
    asked = parser.parse_args()
    tally = Tally()
    for number in range(asked.count):
        grow = bool(asked.offset_every) and number % asked.offset_every == 0
        try_one(asked.first + number, tally, grow=grow)
    show(tally, asked.count)
    met = max(tally.seconds)[0] <= LONGEST_S and (memory_mb() or 0.0) <= LARGEST_MB
    gaps_met = all(1.0 <= gap <= 1.05 for gap in tally.gaps)
    return 0 if met and gaps_met and not tally.wrong else 1


if __name__ == "__main__":
    sys.exit(main())
