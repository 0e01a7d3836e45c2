"""Put many random scans through `mouldgen check` and a job with a scan, and say how it went.

    python -m benchmarks.many_scans 200
    python -m benchmarks.many_scans 5000 --first 1000 --offset-every 50

Scans are those of tests/random_scans.py, by their seeds, each written in one of the six formats
and read back; what must come of them is told in tests/scan_trials.py.  Every fifth seed gives a
clean solid and a planted crossing too, every so many scans are grown by a gap as well.  Exits 1
where an answer was wrong, a scan that can be mended was refused, anything but a plain refusal was
raised, or a bar on time or memory was missed.
"""

from __future__ import annotations

import argparse
import statistics
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path

from mouldgen.solid.offset import offset_of
from tests.scan_trials import Tally, try_seed

LONGEST_S = 30.0
LARGEST_MB = 2000.0
GAP_MM = 2.0
STEPS_PER_CENT = (0.01, 0.1, 0.5, 1.0, 5.0)


def memory_mb() -> float | None:
    """The most memory this process had [MB]; None where the system does not say."""
    try:
        import resource
    except ImportError:
        return None
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return most / 1e6 if sys.platform == "darwin" else most / 1e3


def show(tally: Tally, gaps: Sequence[float], count: int) -> None:
    """Print the figures."""
    print(f"{count} scans: {len(tally.errors)} with a true volume mended")
    for step in STEPS_PER_CENT:
        within = sum(off <= step / 100.0 for off in tally.errors)
        print(f"  within {step:g} %: {within} ({within / max(1, len(tally.errors)):.1%})")
    print(f"  worst {max(tally.errors, default=0.0):.3%}")
    print(f"hopeless: {sum(tally.refused.values())}")
    for why, many in tally.refused.most_common():
        print(f"  {many:5d}  {why}")
    for title, counts in (("looked at", tally.counts), ("findings of `check`", tally.named)):
        print(f"{title}:")
        for what, many in counts.most_common():
            print(f"  {many:5d}  {what}")
    if gaps:
        print(f"{len(gaps)} grown: least gap {min(gaps):.4f} to {max(gaps):.4f} of what was asked")
    parts = {"a scan": [taken for taken, _ in tally.seconds], **tally.stages}
    for what, seconds in parts.items():
        median = statistics.median(seconds)
        print(f"seconds of {what}: median {median:.3f}, slowest {max(seconds):.2f}")
    print(f"slowest seed: {max(tally.seconds)[1]}")
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
    gaps: list[float] = []
    with tempfile.TemporaryDirectory() as folder:
        for number in range(asked.count):
            mesh = try_seed(asked.first + number, Path(folder), tally)
            if mesh is not None and asked.offset_every and number % asked.offset_every == 0:
                gaps.append(offset_of(mesh, gap_mm=GAP_MM).least_mm / GAP_MM)
    show(tally, gaps, asked.count)
    met = max(tally.seconds)[0] <= LONGEST_S and (memory_mb() or 0.0) <= LARGEST_MB
    gaps_met = all(1.0 <= gap <= 1.05 for gap in gaps)
    return 0 if met and gaps_met and not tally.wrong else 1


if __name__ == "__main__":
    sys.exit(main())
