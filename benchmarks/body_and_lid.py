"""The demo's body and lid by mouldgen, by bare kernel calls, by trimesh and by an OCC script.

    python -m benchmarks.body_and_lid
    python -m benchmarks.body_and_lid --rounds 7 --keep

Every way makes the same body and lid, lettering and all, from the same numbers, and writes them as
STL at the same chord.  Whole processes and warm runs are taken in turn; the best of each counts,
since what else runs on the machine only ever slows it, and of warm ratios the median.

The OCC script needs build123d, which has an environment of its own (``make test-heavy`` sets it
up); ``--heavy`` names its Python.

Exits 1 over a bar.  A bar whose package is missing is not met, and said to be not measured.
"""

from __future__ import annotations

import argparse
import json
import statistics
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from benchmarks import figures
from benchmarks.clock import ROOT, TRIES, Spent, best_of, environment, in_turn, whole

# A sixth of the time goes into snapping to what files hold, putting in order, and checking; the
# rest of the bar is for planning what is cut from what.
WARM_BAR = 1.3
# A whole build makes, pours, checks, lays out beds and writes them: what a maker would else
# script on top of body and lid.
WHOLE_BAR = 4.0
JOB = "boathouse-pegs"
BUILD = "import sys; from mouldgen.cli import main; sys.exit(main())"
OURS, BARE, TRIMESH, OCC, PLAIN = (
    "ours", "bare_kernel", "with_trimesh", "with_occ", "with_occ:plain",
)  # fmt: skip
WORDS = {
    "build": "mouldgen, whole build",
    OURS: "mouldgen, body and lid",
    BARE: "bare kernel calls",
    TRIMESH: "trimesh",
    OCC: "OCC script (build123d)",
    PLAIN: "the same without lettering",
}


@dataclass(frozen=True, eq=False)
class Bar:
    """What has to hold.

    said : in words.
    value : what was measured, or None where it could not be.
    met : whether it holds.
    """

    said: str
    value: float | None
    met: bool


def warm_runs(numbers: Path, ways: list[str], *, python: str, rounds: int) -> dict[str, Any]:
    """Seconds of warm rounds and what was made, by ways that run in turn in one process."""
    command = [python, "-m", "benchmarks.ways.run", str(numbers), ".", *ways]
    found: dict[str, Any] = json.loads(whole([*command, "--warm", str(rounds)]).said)
    return found


def warm_ratio(numbers: Path, *, rounds: int = 20, tries: int = TRIES) -> tuple[float, Any]:
    """Least ratio of mouldgen over the bare kernel of some tries, and its runs.

    The ratio is the median of the rounds', in each of which both run one after the other.
    """

    def once() -> tuple[float, Any]:
        runs = warm_runs(numbers, [OURS, BARE], python=sys.executable, rounds=rounds)
        pairs = zip(runs[OURS]["wall_s"], runs[BARE]["wall_s"], strict=True)
        return statistics.median(ours / bare for ours, bare in pairs), runs

    return best_of(once, figure=lambda pair: pair[0], bar=WARM_BAR, tries=tries)


def commands(numbers: Path, out: Path, heavy: str | None) -> dict[str, list[str]]:
    """Whole processes to compare, by their names."""
    found = {"build": [sys.executable, "-c", BUILD, "build", JOB, "--quiet", "--out", str(out)]}
    pythons = {OURS: sys.executable, BARE: sys.executable, TRIMESH: sys.executable}
    if heavy:
        pythons |= {OCC: heavy, PLAIN: heavy}
    for way, python in pythons.items():
        found[way] = [python, "-m", "benchmarks.ways.run", str(numbers), str(out), way]
    return found


def write_numbers(folder: Path) -> Path:
    """The demo's numbers in a file of a folder; a process of its own loads mouldgen for it."""
    file = folder / "numbers.json"
    whole([sys.executable, "-m", "benchmarks.ways.numbers", str(file)])
    return file


def heavy_python(named: str | None) -> str | None:
    """A Python that has build123d, or None."""
    likely = ROOT / ".venv-heavy" / "bin" / "python"
    for python in (named, sys.executable, str(likely)):
        if python is None or not Path(python).exists():
            continue
        look = "import importlib.util, sys; sys.exit(not importlib.util.find_spec('build123d'))"
        if not subprocess.run([python, "-c", look], check=False, env=environment()).returncode:
            return python
    return None


def measure(*, rounds: int, warm_rounds: int, heavy: str | None) -> dict[str, Any]:
    """Everything that the table and the bars are made from."""
    with tempfile.TemporaryDirectory() as folder:
        numbers = write_numbers(Path(folder))
        ratio, runs = warm_ratio(numbers, rounds=warm_rounds)
        runs |= warm_runs(numbers, [TRIMESH], python=sys.executable, rounds=warm_rounds)
        if heavy:
            ways = [OCC, PLAIN]
            runs |= warm_runs(numbers, ways, python=heavy, rounds=max(2, warm_rounds // 5))
        processes = in_turn(commands(numbers, Path(folder), heavy), rounds=rounds)
    return {
        "warm_ratio": ratio,
        "rounds": rounds,
        "warm_rounds": warm_rounds,
        "ways": {way: _figures_of(way, runs.get(way), processes[way]) for way in processes},
        "build123d": _version_of(heavy) if heavy else None,
    }


def bars_of(found: dict[str, Any]) -> list[Bar]:
    """The bars and whether they are met."""
    ways, ratio = found["ways"], found["warm_ratio"]
    bars = [Bar(f"warm: at most {WARM_BAR} x the bare kernel calls", ratio, ratio <= WARM_BAR)]
    faster = f"whole build at least {WHOLE_BAR:g} x as fast as the OCC script"
    smaller = "whole build with less memory than the OCC script"
    if OCC not in ways:
        return [*bars, Bar(faster, None, False), Bar(smaller, None, False)]
    times = ways[OCC]["wall_s"] / ways["build"]["wall_s"]
    share = ways["build"]["peak_mb"] / ways[OCC]["peak_mb"]
    return [*bars, Bar(faster, times, times >= WHOLE_BAR), Bar(smaller, share, share < 1.0)]


def show(found: dict[str, Any], bars: list[Bar]) -> None:
    """Print the table and the bars."""
    print(
        f"{'':<28}{'whole s':>9}{'CPU s':>8}{'import':>8}{'MB':>7}{'warm ms':>9}{'triangles':>11}"
        f"{'volume off':>12}"
    )
    for way, told in found["ways"].items():
        stages, parts = told.get("stages"), told.get("parts")
        imports = f"{stages['import_s']:.2f}" if stages else ""
        warm = f"{told['warm_ms']:.1f}" if "warm_ms" in told else ""
        count = f"{sum(part['triangles'] for part in parts.values()):.0f}" if parts else ""
        off = volume_off(way, found["ways"])
        print(
            f"{WORDS[way]:<28}{told['wall_s']:>9.2f}{told['cpu_s']:>8.2f}{imports:>8}"
            f"{told['peak_mb']:>7.0f}{warm:>9}{count:>11}"
            f"{'' if off is None else f'{off:+.4%}':>12}"
        )
    for bar in bars:
        value = "not measured: build123d is not here" if bar.value is None else f"{bar.value:.2f}"
        print(f"{bar.said}: {value}{'' if bar.met or bar.value is None else '  OVER'}")


def volume_off(way: str, ways: dict[str, Any]) -> float | None:
    """By how much a volume is off the exact one, as a share; None where that is not known."""
    parts = ways[way].get("parts")
    exact = ways.get(PLAIN if way == PLAIN else OCC, {}).get("parts")
    if not parts or not exact:
        return None
    true = sum(part["exact_mm3"] for part in exact.values())
    return float(sum(part["volume_mm3"] for part in parts.values()) / true - 1.0)


def _figures_of(way: str, run: dict[str, Any] | None, spent: list[Spent]) -> dict[str, Any]:
    best = min(spent, key=lambda one: one.wall_s)
    found: dict[str, Any] = {
        "wall_s": best.wall_s,
        "median_s": statistics.median(one.wall_s for one in spent),
        "cpu_s": min(one.cpu_s for one in spent),
        "peak_mb": max(one.peak_mb for one in spent),
    }
    if way != "build":
        found["stages"] = json.loads(best.said)
    if run:
        found["warm_ms"] = 1000.0 * min(run["wall_s"])
        found["warm_median_ms"] = 1000.0 * statistics.median(run["wall_s"])
        found["warm_cpu_ms"] = 1000.0 * min(run["cpu_s"])
        found["parts"] = run["parts"]
    return found


def _version_of(python: str) -> str:
    look = "from importlib.metadata import version; print(version('build123d'))"
    return whole([python, "-c", look]).said.strip()


def main() -> int:
    """Measure, print, say whether every bar is met."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--rounds", type=int, default=5, help="of whole processes")
    parser.add_argument("--warm", type=int, default=20, help="rounds of warm runs")
    parser.add_argument("--heavy", help="a Python that has build123d")
    parser.add_argument("--keep", action="store_true", help="keep the figures for docs")
    asked = parser.parse_args()
    heavy = heavy_python(asked.heavy)
    found = measure(rounds=asked.rounds, warm_rounds=asked.warm, heavy=heavy)
    bars = bars_of(found)
    show(found, bars)
    if asked.keep:
        figures.keep("body_and_lid", found)
    return int(not all(bar.met for bar in bars))


if __name__ == "__main__":
    sys.exit(main())
