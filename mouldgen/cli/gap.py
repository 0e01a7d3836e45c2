"""``mouldgen gap``: the gap, what set it, what would narrow it, and a plot of all bounds."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from mouldgen.cli.asked import Asked
from mouldgen.cli.findings import say_findings
from mouldgen.cli.say import say, say_json, say_wrapped, width
from mouldgen.cli.tables import table
from mouldgen.cli.words import either, strict_gap
from mouldgen.cli.words import gap as gap_words
from mouldgen.finding import NOTHING_LEARNED
from mouldgen.units.beside import in_both

if TYPE_CHECKING:
    from mouldgen.answer import Answer
    from mouldgen.finding import Bound, Finding, Learned
    from mouldgen.gap.budget import Gap
    from mouldgen.job.model import Job

KINDS = {"at_least": "at least", "at_most": "at most", "advice": "advice"}


def show_gap(asked: Asked, *, pictures: bool = False) -> int:
    """Say the gap and what every rule asks for; 1 where no gap fits or the given one cannot.

    pictures : also draw the bounds into the job's plots.
    """
    from mouldgen.gap.findings import findings_of

    loaded = asked.load()
    answer = answered(loaded.job, learned=loaded.learned)
    findings = findings_of(answer.gap, answer.question)
    code = int(any(finding.severity == "stop" for finding in findings))
    picture = draw_bounds(asked, answer.gap, name=loaded.job.name) if pictures else None
    if asked.json:
        from mouldgen.files.report import gap_data, learned_data
        from mouldgen.files.single import plot_name

        files = {} if picture is None else {"files": [plot_name(picture)]}
        learned = learned_data(loaded.learned)
        say_json({**gap_data(answer.gap), "learned": learned, **files})
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


def answered(job: Job, *, learned: Learned = NOTHING_LEARNED) -> Answer:
    """The answer of the rules, with how far heat would really let the gap go.

    A build asks heat only whether it binds at the gap; a table, and a plot of what is too wide,
    need the true limit.

    learned : what castings have taught.
    """
    from mouldgen.answer import answer_job
    from mouldgen.gap.heat import heat

    answer = answer_job(job, learned=learned)
    gap = answer.gap
    if gap.gap_mm is None:  # heat was asked in full
        return answer
    bounds = tuple(heat(answer.question) if b.rule == "heat" else b for b in gap.bounds)
    return replace(answer, gap=replace(gap, bounds=bounds))


def first_sentence(gap: Gap, *, inches: bool) -> str:
    """The gap, what set it and what would narrow it; or why there is none."""
    return in_both(_first_sentence(gap, inches=inches), inches=inches)


def _first_sentence(gap: Gap, *, inches: bool) -> str:
    if gap.gap_mm is None:
        return f"No gap meets every rule. {gap.conflict}"
    asking = setting_bound(gap)
    size = gap_words(gap.gap_mm, inches=inches)
    if gap.set_by != asking.rule:
        return f"The gap is {size} all round, set by you; {_asked_for(asking, inches=inches)}."
    narrower = f" To narrow it: {either(asking.relax)}." if asking.relax else ""
    return f"The gap is {size} all round, set by {gap.set_by}: {asking.why}.{narrower}"


def _asked_for(bound: Bound, *, inches: bool) -> str:
    """What the rule that asks for the most would have had instead of the maker's own gap."""
    if bound.value_mm is None:
        return f"no gap meets {bound.rule}: {bound.why}"
    if bound.value_mm == 0.0:
        return "no rule asks for one"
    return f"{bound.rule} asks for {strict_gap(bound, inches=inches)}"


def setting_bound(gap: Gap) -> Bound:
    """The bound that asks for the most, also where the maker gave the gap."""
    least = [bound for bound in gap.bounds if bound.kind == "at_least"]
    named = [bound for bound in least if bound.rule == gap.set_by]
    return named[0] if named else max(least, key=_asks)


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
        sizes = (_size(bound), *((_size(bound, inches=True),) if inches else ()))
        rows.append((bound.rule, KINDS[bound.kind], *sizes, in_both(bound.why, inches=inches)))
    return table(rows, right=(2, 3) if inches else (2,))


def _plot(gap: Gap) -> str:
    from mouldgen.cli.bounds_plot import bounds_plot
    from mouldgen.cli.plots import signs

    return bounds_plot(gap.bounds, gap_mm=gap.gap_mm, columns=width(), drawn=signs())


def draw_bounds(asked: Asked, gap: Gap, *, name: str) -> Path:
    """Put the bounds as a picture among the job's plots, and say where.

    name : of the job.
    """
    from mouldgen.files.single import put_plots

    (path,) = put_plots(asked.out / name, {"gap.svg": bounds_drawing(gap, name=name)})
    return path


def bounds_drawing(gap: Gap, *, name: str) -> bytes:
    """The bounds of a gap as a picture.

    name : of the job.
    """
    from mouldgen.sheet.bounds_picture import bounds_svg

    asks = "why there is no gap" if gap.gap_mm is None else f"the gap is set by {gap.set_by}"
    title = f"{name}: {asks}"
    svg = bounds_svg(gap.bounds, gap_mm=gap.gap_mm, set_by=gap.set_by, title=title)
    return svg.encode()


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


def _size(bound: Bound, *, inches: bool = False) -> str:
    from mouldgen.sheet.bounds_picture import any_gap, shown

    if bound.value_mm is None:
        return "none"  # no gap satisfies the rule
    if any_gap(bound):
        return "" if bound.kind == "advice" else "any"
    size = shown(bound)
    # From the hundredth that is shown, as the gap's inches are: the two are read side by side.
    return f"{float(size) / 25.4:.3f}" if inches else size


def _asks(bound: Bound) -> float:
    return math.inf if bound.value_mm is None else bound.value_mm
