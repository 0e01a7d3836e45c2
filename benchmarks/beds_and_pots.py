"""Plates and counts of the house cases, and how long they take, beside the best that is known.

    python -m benchmarks.beds_and_pots
    python -m benchmarks.beds_and_pots --keep

The cases are those of tests/house_beds.py: plates that an independent prototype reached with an
iterated search of 5 to 20 s a case, and the best known counts of equal discs on a bed and in a pot.
Exits 1 where a case takes more plates or holds fewer discs, or all of it takes more than `BAR_S`.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Callable
from typing import Any

from benchmarks import figures
from mouldgen.packing.pack import pack
from mouldgen.packing.round_bin import all_of, most_of_one
from mouldgen.packing.shapes import Disc, Footprint
from mouldgen.packing.verify import verify_plates
from tests.house_beds import BESIDE, CASES, DISCS, IN_POT, POT, SQUARE, Case

BAR_S = 60.0  # of one core's time, for all cases: as long as the prototype had for a few of them
SPACING = 3.0
WALL = 2.0
MORE = 60  # pieces that are asked for where it is counted how many fit


def plates(case: Case) -> dict[str, Any]:
    """Plates that a case takes, how few they can be, and what the prototype took."""
    found, seconds = timed(
        lambda: pack(
            case.items, case.bed, margin_mm=case.margin, spacing_mm=SPACING,
            keep_outs=case.keep_outs, effort=case.effort,
        )
    )  # fmt: skip
    verify_plates(
        case.items, case.bed, found.plates, margin_mm=case.margin, spacing_mm=SPACING,
        keep_outs=case.keep_outs,
    )  # fmt: skip
    return {
        "pieces": len(case.items), "found": len(found), "bound": found.bound,
        "beside": case.plates, "seconds": seconds, "met": len(found) <= case.plates,
    }  # fmt: skip


def on_bed(diameter: float, best: int) -> dict[str, Any]:
    """How many discs the fullest plate holds, where so many are known to fit."""
    items: list[Footprint] = [Disc(diameter / 2.0)] * best
    found, seconds = timed(
        lambda: pack(items, SQUARE, margin_mm=0.0, spacing_mm=SPACING, effort="usual")
    )
    verify_plates(items, SQUARE, found.plates, margin_mm=0.0, spacing_mm=SPACING)
    return _count(max(len(plate) for plate in found.plates), best, seconds)


def in_pot(diameter: float, best: int) -> dict[str, Any]:
    """How many discs a pot of 250 mm holds."""
    disc = Disc(diameter / 2.0)
    found, seconds = timed(
        lambda: most_of_one(disc, POT, margin_mm=WALL, spacing_mm=SPACING, wanted=MORE)
    )
    discs: list[Footprint] = [Disc(diameter / 2.0) for _ in found]
    verify_plates(discs, POT, [found], margin_mm=WALL, spacing_mm=SPACING)
    return _count(len(found), best, seconds)


def two_sizes(case: tuple[int, float, float, int, int, int]) -> dict[str, Any]:
    """Whether so many discs of two sizes are found in that pot."""
    few, large, small, many, seed, tries = case
    items: list[Footprint] = [*[Disc(large / 2.0)] * few, *[Disc(small / 2.0)] * many]
    found, seconds = timed(
        lambda: all_of(items, POT, margin_mm=WALL, spacing_mm=SPACING, seed=seed, tries=tries)
    )
    if found is not None:
        verify_plates(items, POT, [found], margin_mm=WALL, spacing_mm=SPACING)
    return _count(few + many if found is not None else 0, few + many, seconds)


def timed(run: Callable[[], Any]) -> tuple[Any, float]:
    """What comes of it, and the time of this process [s]."""
    start = time.process_time()
    found = run()
    return found, time.process_time() - start


def _count(found: int, best: int, seconds: float) -> dict[str, Any]:
    return {"found": found, "beside": best, "seconds": seconds, "met": found >= best}


def measure() -> dict[str, dict[str, dict[str, Any]]]:
    """Every case, by groups."""
    return {
        "plates": {name: plates(case) for name, case in CASES.items()},
        "discs on a bed of 220 x 220 mm": {f"{d:g} mm": on_bed(d, best) for d, best in DISCS},
        "discs in a pot of 250 mm": {f"{d:g} mm": in_pot(d, best) for d, best in IN_POT},
        "two sizes in that pot": {
            f"{case[0]} of {case[1]:g} mm and {case[3]} of {case[2]:g} mm": two_sizes(case)
            for case in BESIDE
        },
    }


def main() -> int:
    """Print the figures, say whether every bar is met."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--keep", action="store_true", help="keep the figures for docs")
    asked = parser.parse_args()
    found = measure()
    for group, cases in found.items():
        print(group)
        for name, told in cases.items():
            bound = f", at least {told['bound']}" if "bound" in told else ""
            print(
                f"  {name:<34}{told['found']:>4}{bound}, beside {told['beside']};"
                f" {told['seconds']:.2f} s{'' if told['met'] else '  MISSED'}"
            )
    every = [told for cases in found.values() for told in cases.values()]
    seconds = sum(told["seconds"] for told in every)
    met = sum(told["met"] for told in every)
    print(f"{met} of {len(every)} met in {seconds:.1f} s, bar {BAR_S:g} s")
    if asked.keep:
        figures.keep("beds_and_pots", found)
    return int(seconds > BAR_S or not all(told["met"] for told in every))


if __name__ == "__main__":
    sys.exit(main())
