"""Write docs/performance.md and its plots from the figures that the benchmarks kept:
``make performance`` measures and writes, ``python -m docs.make_performance`` writes alone.

A test holds page and plots to the figures.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from benchmarks.body_and_lid import BARE, OCC, OURS, PLAIN, WORDS, bars_of, volume_off
from benchmarks.figures import kept
from benchmarks.many_variants import FASTER, SLOWER
from docs import performance_words as words
from docs.performance_plots import bars_svg, growth_svg

PAGE = Path(__file__).with_name("performance.md")
FOLDER = Path(__file__).with_name("pictures")
WANTED = 8.0  # times as fast as the OCC script
START, SOLIDS = "start and end of Python", "solids, snapped and checked"
POUR, WRITING = "virtual pour, three attitudes", "writing, read back"

Figures = dict[str, Any]


def page(found: Figures) -> str:
    """The page for some figures."""
    body = found["body_and_lid"]
    return "\n".join(
        [
            words.HEAD,
            *_machine(body),
            *_body_and_lid(body),
            *_shares(found["shares"]["seconds"], body["ways"]),
            *_growth(found["growth"]["series"]),
            *_catalogue(found["many_variants"]),
            *_pour(found["pour_and_reconstruction"]["pitches"]),
            *_beds(found["beds_and_pots"]),
            *_tune(found["tune_and_statsmodels"]["rows"]),
            *_slower(found),
            words.RUN,
        ]
    )


def pictures(found: Figures) -> dict[str, str]:
    """The plots by their file names."""
    bars = {}
    for way, told in found["body_and_lid"]["ways"].items():
        imports = told.get("stages", {}).get("import_s", 0.0)
        bars[WORDS[way]] = (imports, told["wall_s"] - imports)
    return {
        "performance-whole.svg": bars_svg(bars, title="Whole processes", unit="s"),
        "performance-growth.svg": growth_svg(found["growth"]["series"], title="Time against size"),
    }


def write(found: Figures) -> None:
    """Write the page and its plots."""
    PAGE.write_text(page(found), encoding="utf-8")
    for name, picture in pictures(found).items():
        (FOLDER / name).write_text(picture, encoding="utf-8")


# ------------------------------------------------------------------ sections


def _machine(told: Figures) -> list[str]:
    machine = told["machine"]
    versions = [f"{name} {version}" for name, version in machine["versions"].items()]
    if told["build123d"]:
        versions.append(f"build123d {told['build123d']}")
    kind = f"{machine['cores']} cores of {machine['processor']}, {machine['memory_gb']:.0f} GB"
    lines = [
        "## The machine",
        "",
        f"{kind} of memory, {machine['system']}; {', '.join(versions)}.",
    ]
    if machine["busy"] is not None:
        lines.append(f"When it was over {machine['busy']:g} processes wanted to run.")
    return [*lines, ""]


def _body_and_lid(told: Figures) -> list[str]:
    ways = told["ways"]
    head = (
        "way", "whole process [s]", "processor [s]", "of it import [s]", "memory [MB]",
        "warm [ms]", "triangles", "volume off",
    )  # fmt: skip
    return [
        "## Body and lid",
        "",
        words.BODY_AND_LID,
        *_table(head, [_way(way, ways) for way in ways]),
        "",
        "![Whole processes, import and work](pictures/performance-whole.svg)",
        "",
        f"Rounds of whole processes: {told['rounds']}, of warm runs: {told['warm_rounds']}.",
        words.UNDER_BODY_AND_LID,
        *_bars(told),
        "",
    ]


def _way(way: str, ways: Figures) -> list[str]:
    one, off = ways[way], volume_off(way, ways)
    return [
        WORDS[way],
        f"{one['wall_s']:.2f}",
        f"{one['cpu_s']:.2f}",
        f"{one['stages']['import_s']:.2f}" if "stages" in one else "",
        f"{one['peak_mb']:.0f}",
        f"{one['warm_ms']:.1f}" if "warm_ms" in one else "",
        f"{_triangles(one):.0f}" if "parts" in one else "",
        "" if off is None else f"{off:+.3%}",
    ]


def _triangles(one: Figures) -> float:
    return sum(float(part["triangles"]) for part in one["parts"].values())


def _bars(told: Figures) -> list[str]:
    ways, lines = told["ways"], []
    for bar in bars_of(told):
        held = "not measured" if bar.value is None else f"{bar.value:.2f}, "
        lines.append(f"- Bar, {bar.said}: {held}{_met(bar.met) if bar.value is not None else ''}.")
    if OCC in ways:
        occ, plain, build = (ways[way] for way in (OCC, PLAIN, "build"))
        imports = occ["stages"]["import_s"]
        lines += [
            f"- Of the OCC script's {occ['wall_s']:.2f} s, {imports:.2f} s are the import of its",
            f"  library and {occ['wall_s'] - imports:.2f} s all else. Without lettering it takes",
            f"  {plain['wall_s']:.2f} s, {plain['wall_s'] / build['wall_s']:.1f} times as long as",
            "  our whole build with it.",
        ]
    return lines


def _met(holds: bool) -> str:
    return "met" if holds else "missed"


def _shares(seconds: dict[str, float], ways: Figures) -> list[str]:
    total = sum(seconds.values())
    rows = [
        (name, f"{1000.0 * spent:.0f}", f"{spent / total:.0%}")
        for name, spent in sorted(seconds.items(), key=lambda share: -share[1])
    ]
    table = _table(("share", "ms", "of the whole"), rows)
    head = "## Where a whole build spends its time"
    return [head, "", *table, "", *(_wanted(seconds, ways) if OCC in ways else ())]


def _wanted(seconds: dict[str, float], ways: Figures) -> list[str]:
    """What it would take to be so many times as fast as the OCC script."""
    now, wanted = ways["build"]["wall_s"], ways[OCC]["wall_s"] / WANTED
    total, start = sum(seconds.values()), seconds[START] + seconds["imports"]
    work, gone = total - start, 1000.0 * (now - wanted)
    goes = "which is that" if gone <= 0.0 else f"so that {gone:.0f} ms would have to go"
    warm = ways[OCC]["warm_ms"] / ways[OURS]["warm_ms"]
    return [
        f"### What {WANTED:g} times would take",
        "",
        f"{WANTED:g} times as fast as the OCC script is {wanted:.2f} s on this machine; a build",
        f"takes {now:.2f} s, {goes}.",
        f"Start and imports are {start / total:.0%} of it, solids {seconds[SOLIDS] / total:.0%},",
        f"the pour {seconds[POUR] / total:.0%}, beds {seconds['beds'] / total:.0%}, writing and",
        f"reading back {seconds[WRITING] / total:.0%}.",
        f"Were all that work done in half its time, {500.0 * work:.0f} ms would go; were the",
        f"imports, {500.0 * seconds['imports']:.0f} ms. Of the solids' time, in which insert and",
        f"cavity are made too, {ways[BARE]['warm_ms']:.0f} ms are what the kernel itself takes for",
        "body and lid and cannot be had for less. So it is the imports that count, of numpy, the",
        "readers of job files and the command line: a process that stays, as the page has one,",
        f"builds the demo again in {work:.2f} s, {ways[OCC]['wall_s'] / work:.0f} times as fast as",
        f"the script that starts anew. Warm beside warm, our body and lid are {warm:.0f} times as",
        "fast as its.",
        "",
    ]


def _growth(series: list[Figures]) -> list[str]:
    rows = [
        (
            f"{one['name']}: {one['work']}",
            f"{one['sizes'][0]:,.0f} to {one['sizes'][-1]:,.0f}",
            f"{one['seconds'][0]:.3f} to {one['seconds'][-1]:.2f}",
            f"{one['exponent']:.2f}",
            f"{one['off']:.0%}",
        )
        for one in series
    ]
    return [
        "## How it grows",
        "",
        words.GROWTH,
        *_table(("size: work", "range", "time [s]", "exponent", "off"), rows),
        "",
        "![Time against size, both logarithmic](pictures/performance-growth.svg)",
        "",
        words.UNDER_GROWTH,
    ]


def _catalogue(told: Figures) -> list[str]:
    seconds, count = told["seconds"], told["count"]
    rows = [
        (way, f"{spent:.1f}", f"{1000.0 * spent / count:.0f}") for way, spent in seconds.items()
    ]
    bars = [
        (f"two cores at least {FASTER} x as fast as one", _faster(seconds), True),
        (f"the cluster at most {SLOWER} x as long as two cores", _slower_far(seconds), False),
        ("attempts more that a killed worker costs, at most 1", float(told["retries"]), False),
    ]
    limits = (FASTER, SLOWER, 1.0)
    return [
        "## A catalogue",
        "",
        words.CATALOGUE.format(count=f"{count:,}"),
        *_table(("way", "all of them [s]", "one variant [ms]"), rows),
        "",
        *(
            f"- Bar, {said}: "
            + (
                "not measured."
                if value is None
                else f"{value:.2f}, {_met(value >= limit if least else value <= limit)}."
            )
            for (said, value, least), limit in zip(bars, limits, strict=True)
        ),
        "",
    ]


def _faster(seconds: dict[str, float]) -> float:
    return seconds["one core"] / seconds["two cores"]


def _slower_far(seconds: dict[str, float]) -> float | None:
    return seconds["cluster"] / seconds["two cores"] if "cluster" in seconds else None


def _pour(pitches: list[Figures]) -> list[str]:
    rows = [
        (
            f"{one['pitch_mm']:g}",
            f"{one['voxels']:,}",
            f"{1000.0 * one['ours_s']:.1f}",
            f"{1000.0 * one['plain_s']:.0f}",
            f"{one['plain_s'] / one['ours_s']:.0f}",
            f"{one['ours_mb']:.1f}",
            f"{one['plain_mb']:.1f}",
            "yes" if one["same"] else "NO",
        )
        for one in pitches
    ]
    head = (
        "pitch [mm]", "voxels", "pour [ms]", "reconstruction [ms]", "times", "pour [MB]",
        "reconstruction [MB]", "same air",
    )  # fmt: skip
    return ["## The pour", "", words.POUR, *_table(head, rows), ""]


def _beds(told: Figures) -> list[str]:
    groups = []
    for name, cases in told.items():
        if name != "machine":
            spent = [case["seconds"] for case in cases.values()]
            met = sum(case["met"] for case in cases.values())
            groups.append(
                (name, f"{met} of {len(cases)}", f"{sum(spent):.1f}", f"{max(spent):.1f}")
            )
    plates = [
        (name, *(str(case[key]) for key in ("pieces", "found", "bound", "beside")),
         f"{case['seconds']:.2f}")
        for name, case in told["plates"].items()
    ]  # fmt: skip
    return [
        "## Beds and pots",
        "",
        words.BEDS,
        *_table(("cases", "as good or better", "processor [s]", "slowest [s]"), groups),
        "",
        *_table(
            ("case", "pieces", "plates", "no fewer than", "prototype", "processor [s]"), plates
        ),
        "",
    ]


def _tune(rows: list[Figures]) -> list[str]:
    head = (
        "rows", "posterior [s]", "Logit [s]", "apart", "with luck [s]", "mixed model [s]",
        "slope, ours", "slope, theirs", "tune [s]",
    )  # fmt: skip
    told = []
    for one in rows:
        mixed = "mixed_s" in one
        theirs = f"{one['mixed_slope']:.2f} ± {one['mixed_slope_sd']:.2f}" if mixed else ""
        told.append(
            (
                f"{one['rows']:,}",
                f"{one['posterior_s']:.3f}",
                f"{one['logit_s']:.3f}",
                f"{one['apart']:.0e}",
                f"{one['luck_s']:.3f}",
                f"{one['mixed_s']:.2f}" if mixed else "not run",
                f"{one['slope']:.2f} ± {one['slope_sd']:.2f}",
                theirs,
                f"{one['tune_s']:.3f}",
            )
        )
    return ["## What castings teach", "", words.TUNE, *_table(head, told), ""]


def _slower(found: Figures) -> list[str]:
    """Where others are quicker, or take less."""
    last = found["tune_and_statsmodels"]["rows"][-1]
    fine = found["pour_and_reconstruction"]["pitches"][-1]
    ours, bare = (found["body_and_lid"]["ways"][way] for way in (OURS, BARE))
    times = last["posterior_s"] / last["logit_s"]
    return [
        "## Where we are slower",
        "",
        f"- Fits without beliefs: `Logit` takes {last['logit_s']:.3f} s for {last['rows']:,} rows,",
        f"  `posterior` {last['posterior_s']:.2f} s, {times:.0f} times as long, since it draws.",
        f"- Body and lid in a process of their own: {ours['wall_s']:.2f} s and",
        f"  {ours['peak_mb']:.0f} MB, where a script with bare kernel calls takes",
        f"  {bare['wall_s']:.2f} s and {bare['peak_mb']:.0f} MB; what lies between is the",
        "  job file, its rules and their imports.",
        f"- Memory of the pour: {fine['ours_mb']:.0f} MB at half a millimetre, where the plain",
        f"  reconstruction takes {fine['plain_mb']:.0f} MB.",
        "- Exactness: the OCC script has exact solids and could write them as such; ours are",
        "  facets from the start.",
        "",
    ]


def _table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> list[str]:
    under = ["---", *["---:"] * (len(head) - 1)]
    return [f"| {' | '.join(cells)} |" for cells in (head, under, *rows)]


if __name__ == "__main__":
    write(kept())
