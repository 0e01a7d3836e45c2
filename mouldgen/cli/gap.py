"""``mouldgen gap``: the gap, what set it, what would narrow it, and a plot of all bounds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from mouldgen.cli.asked import Asked
from mouldgen.cli.findings import say_findings
from mouldgen.cli.say import say, say_json, say_wrapped, width
from mouldgen.cli.tables import table
from mouldgen.cli.words import gap as gap_words
from mouldgen.sheet.gap_words import (
    KINDS,
    answered,
    bounds_drawing,
    first_sentence,
    setting_bound,
    size_words,
)
from mouldgen.units.beside import in_both

if TYPE_CHECKING:
    from mouldgen.finding import Bound, Finding
    from mouldgen.gap.budget import Gap
    from mouldgen.job.load import LoadedJob

__all__ = [
    "answered",
    "bounds_drawing",
    "bounds_table",
    "draw_bounds",
    "first_sentence",
    "say_remedies",
    "setting_bound",
    "show_gap",
]


def show_gap(asked: Asked, *, pictures: bool = False) -> int:
    """Say the gap and what every rule asks for; 1 where no gap fits or the given one cannot.

    pictures : also draw the bounds into the job's plots.
    """
    from mouldgen.gap.findings import findings_of

    loaded = asked.load()
    answer = answered(loaded.job, learned=loaded.learned)
    findings = findings_of(answer.gap, answer.question)
    code = int(any(finding.severity == "stop" for finding in findings))
    picture = draw_bounds(asked, answer.gap, loaded=loaded) if pictures else None
    if asked.json:
        from mouldgen.files.report import gap_data, learned_data
        from mouldgen.files.single import plot_name

        files = {} if picture is None else {"files": [plot_name(picture)]}
        learned = learned_data(loaded.learned)
        say_json({**gap_data(answer.gap), "learned": learned, **files}, of=loaded)
        return code
    inches = loaded.job.unit == "in"
    say_wrapped(first_sentence(answer.gap, inches=inches))
    if answer.gap.conflict is not None:
        say_remedies(answer.gap, inches=inches)
    if not asked.quiet:
        say()
        say(bounds_table(answer.gap.bounds, inches=inches))
        if asked.verbose:
            _say_sources(answer.gap.bounds)
        say()
        say(_plot(answer.gap))
        say()
    rest = _not_told_yet(findings, answer.gap)
    say_findings(rest, quiet=asked.quiet, verbose=asked.verbose, inches=inches)
    if picture is not None:
        say_wrapped(f"Picture: {picture.as_posix()}")
    return code


def say_remedies(gap: Gap, *, inches: bool) -> None:
    """What would help in a conflict, each with the gap that it would allow."""
    if not gap.remedies:
        return
    say()
    rows = [("what would help", "gap then")]
    for remedy in gap.remedies:
        then = "" if remedy.gap_mm is None else gap_words(remedy.gap_mm, inches=inches)
        rows.append((in_both(remedy.text, inches=inches), then))
    say(table([row[::-1] for row in rows], right=(0,)))


def bounds_table(bounds: tuple[Bound, ...], *, inches: bool) -> str:
    """What every rule asks for and why."""
    rows = [("rule", "asks for", "mm", *(("in",) if inches else ()), "why")]
    for bound in bounds:
        sizes = (size_words(bound), *((size_words(bound, inches=True),) if inches else ()))
        rows.append((bound.rule, KINDS[bound.kind], *sizes, in_both(bound.why, inches=inches)))
    return table(rows, right=(2, 3) if inches else (2,))


def _plot(gap: Gap) -> str:
    from mouldgen.cli.bounds_plot import bounds_plot
    from mouldgen.cli.plots import signs

    return bounds_plot(gap.bounds, gap_mm=gap.gap_mm, columns=width(), drawn=signs())


def draw_bounds(asked: Asked, gap: Gap, *, loaded: LoadedJob) -> Path:
    """Put the bounds as a picture among the job's plots, and say where.

    loaded : the job.
    """
    from mouldgen.files.single import put_plots
    from mouldgen.fingerprint import fingerprint_of

    name = loaded.job.name
    (path,) = put_plots(
        asked.out / name,
        {"gap.svg": bounds_drawing(gap, name=name)},
        fingerprint=fingerprint_of(loaded.job, loaded.learned),
    )
    return path


def _not_told_yet(findings: Sequence[Finding], gap: Gap) -> list[Finding]:
    """Without the conflict, and with the rules that a given gap falls short of in one line."""
    rest = [finding for finding in findings if finding.id != "gap.conflict"]
    if gap.set_by in {bound.rule for bound in gap.bounds}:
        return rest
    short = [f for f in rest if f.severity == "warn" and f.id == f"gap.{f.rule}"]
    if len(short) < 2:
        return rest
    rules = ", ".join(finding.rule for finding in short)
    one = replace(short[0], message=f"Your gap is under what these rules ask for: {rules}.")
    return [one if f is short[0] else f for f in rest if f not in short[1:]]


def _say_sources(bounds: tuple[Bound, ...]) -> None:
    say()
    say(table([("rule", "rests on"), *((bound.rule, bound.source) for bound in bounds)]))
