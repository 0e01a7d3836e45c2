"""How work grows with its size: the exponent of each, from a line through logarithms.

    python -m benchmarks.growth
    python -m benchmarks.growth --quick

Time of this process, the least of some runs, at sizes over the range that is told with the
exponent; below it what starts any run counts for more than the size.  Exits 1 where an exponent is
over `MOST`: work that grew with the square of its size would not be seen in small jobs.
"""

from __future__ import annotations

import argparse
import math
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any

import numpy as np

from benchmarks import figures

MOST = 1.5  # half way to the square: caches run over within these ranges
LEAST_S = 0.2  # of runs that are repeated, together
MOST_RUNS = 5


@dataclass(frozen=True, eq=False)
class Series:
    """Work of one kind at several sizes.

    name : of what it grows with.
    work : what is timed.
    sizes : ever larger ones.
    readied : what is timed at a size, and the size as it came out.
    told : the work itself says which seconds count.
    """

    name: str
    work: str
    sizes: tuple[float, ...]
    readied: Callable[[float], tuple[Callable[[], Any], float]]
    told: bool = False


def series() -> tuple[Series, ...]:
    """Everything that is looked at."""
    return (
        Series("triangles of a scan", "read, mend and look at it", (20, 40, 80, 160, 220), _scan),
        Series("moulds on beds", "lay out and check", (100, 400, 1600, 6400), _beds),
        Series("voxels of the pour", "slice and pour", (0.5, 0.35, 0.25, 0.18, 0.125, 0.09), _pour),
        Series("rows of the castings file", "tune", (1e4, 2e4, 5e4, 1e5, 2e5), _rows),
        Series("variants of a catalogue", "one core", (10, 20, 40, 80), _variants, told=True),
    )


def measured(what: Series, *, quick: bool = False) -> dict[str, Any]:
    """Sizes and seconds of a series, and the exponent through them.

    quick : without the largest size.
    """
    points = []
    if not what.told:
        what.readied(what.sizes[0])[0]()  # imports, and what is kept from the first run on
    for asked in what.sizes[: -1 if quick else None]:
        run, size = what.readied(asked)
        points.append((size, least(run, told=what.told)))
    return {
        "name": what.name, "work": what.work, "sizes": [size for size, _ in points],
        "seconds": [spent for _, spent in points], **fitted(points),
    }  # fmt: skip


def fitted(points: Sequence[tuple[float, float]]) -> dict[str, float]:
    """The least-squares line through logarithms: its exponent, and how far off it a point is."""
    sizes, seconds = np.log(np.array(points, float)).T
    exponent, constant = np.polyfit(sizes, seconds, 1)
    off = np.abs(seconds - exponent * sizes - constant).max()
    return {"exponent": float(exponent), "off": float(math.expm1(off))}


def least(run: Callable[[], Any], *, told: bool) -> float:
    """The shortest of some runs [s]; one that takes long is run once.

    told : the run says which seconds count; that of this process's processor where not.
    """
    spent: list[float] = []
    while len(spent) < MOST_RUNS and sum(spent) < LEAST_S:
        start = time.process_time()
        said = run()
        spent.append(said if told else time.process_time() - start)
    return min(spent)


def _scan(steps: float) -> tuple[Callable[[], Any], float]:
    from docs.make_scan import burl
    from mouldgen.check.ailing import ailing
    from mouldgen.check.prints import prints
    from mouldgen.check.sound import sound
    from mouldgen.solid.mending import mended
    from mouldgen.solid.stl import read_stl, stl_bytes

    mesh = burl(steps=int(steps))
    data = stl_bytes([mesh])

    def run() -> None:
        whole = mended(read_stl(data, name="scan.stl")).mesh
        sound(whole, name="scan")
        ailing(whole, name="scan")
        prints(whole, name="scan", line_mm=0.42, layer_mm=0.2)

    return run, len(mesh.triangles)


def _beds(moulds: float) -> tuple[Callable[[], Any], float]:
    from mouldgen.layout.beds import footprints_of, lay_out
    from tests.demo_set import demo_set

    found = demo_set()
    parts = found.parts.parts if found.parts else ()
    footprints = footprints_of(parts, moulds=int(moulds))
    return partial(lay_out, footprints, printer=found.answer.job.printer), moulds


def _pour(pitch: float) -> tuple[Callable[[], Any], float]:
    from mouldgen.pour.pour import pour
    from mouldgen.pour.slices import slice_air
    from mouldgen.pour.space import Space
    from tests.demo_set import demo_set

    found = demo_set()
    if found.parts is None or found.answer.size is None:
        raise RuntimeError("the demo has no parts")
    lid = found.parts.part("lid").assembled
    size = found.answer.size
    space = Space(found.parts.hollow, (found.parts.displacing, lid), size.open_mm)
    (x0, y0, z0), (x1, y1, z1) = found.parts.hollow.bounds
    voxels = (x1 - x0) * (y1 - y0) * (z1 - z0) / pitch**3
    return lambda: pour(slice_air(space, layer_mm=pitch, row_mm=pitch)), voxels


def _rows(count: float) -> tuple[Callable[[], Any], float]:
    from benchmarks.tune_and_statsmodels import rows_of
    from mouldgen.castings.tune import tune
    from tests.casting_rows import job, peg_cost

    castings = rows_of(int(count))
    return (
        lambda: tune(castings, job=job(), cost_at=peg_cost, least_mm=0.6, most_mm=4.0),
        len(castings),
    )


def _variants(count: float) -> tuple[Callable[[], Any], float]:
    from benchmarks.many_variants import on_cores, seconds

    # From the first row on: starting a worker is not what grows.
    return lambda: seconds(partial(on_cores, workers=1), int(count))[0], count


def main() -> int:
    """Print the exponents, say whether all are within their bar."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--quick", action="store_true", help="without the largest sizes")
    parser.add_argument("--keep", action="store_true", help="keep the figures for docs")
    asked = parser.parse_args()
    found = [measured(what, quick=asked.quick) for what in series()]
    for told in found:
        sizes, spent = told["sizes"], told["seconds"]
        print(
            f"{told['name']} ({told['work']}): exponent {told['exponent']:.2f} from"
            f" {sizes[0]:.0f} to {sizes[-1]:.0f}, {spent[0]:.3f} to {spent[-1]:.2f} s, a point off"
            f" by up to {told['off']:.0%}{'' if told['exponent'] <= MOST else '  OVER'}"
        )
    print(f"bar {MOST:g}")
    if asked.keep:
        figures.keep("growth", {"series": found})
    return int(any(told["exponent"] > MOST for told in found))


if __name__ == "__main__":
    sys.exit(main())
