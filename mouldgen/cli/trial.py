"""``mouldgen trial``: a ladder of gaps, one mould each, and which to expect voids in."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from mouldgen.cli.asked import Asked
from mouldgen.cli.findings import say_findings
from mouldgen.cli.progress import busy
from mouldgen.cli.say import say, say_json, say_wrapped
from mouldgen.cli.story import say_files
from mouldgen.cli.tables import table
from mouldgen.cli.trial_gaps import log_line
from mouldgen.cli.words import count, strict_gap
from mouldgen.cli.words import gap as gap_words
from mouldgen.errors import NoAnswerError, UsageError
from mouldgen.sheet.number_words import grams

if TYPE_CHECKING:
    from mouldgen.finding import Bound
    from mouldgen.job.load import LoadedJob
    from mouldgen.trial import Rung, Trial


def show_trial(
    asked: Asked,
    *,
    gaps: str | None,
    steps: int | None,
    around: bool,
    each: int = 1,
    anyway: bool = False,
) -> int:
    """Make a mould for each gap, write them and compare; 1 where a rung must be fixed.

    gaps : as they were typed, or None.
    steps : how many of a range, or None.
    around : a ladder round the job's own gap instead.
    each : moulds of every gap.
    anyway : print the rungs that must be fixed too.
    """
    from mouldgen.trial import run_trial

    if (gaps is None) == (not around):
        raise UsageError(
            "a trial needs its gaps, once",
            allowed="--gaps 0.6,0.9,1.2, or --gaps 0.6..1.4 --steps 5, or --around",
        )
    loaded = asked.load()
    ladder = _ladder(loaded, gaps, steps)
    with busy(f"Building {count(len(ladder), 'mould')} of {loaded.job.name}", quiet=asked.quiet):
        trial = run_trial(loaded.job, ladder, each=each, anyway=anyway, learned=loaded.learned)
    try:
        written = _write(asked, trial)
    except NoAnswerError:
        _answer(asked, trial, written=())
        raise
    _answer(asked, trial, written=written)
    return int(trial.stopped)


def _ladder(loaded: LoadedJob, gaps: str | None, steps: int | None) -> tuple[float, ...]:
    from mouldgen.cli.trial_gaps import around, read_gaps

    job = loaded.job
    if gaps is not None:
        return read_gaps(gaps, steps=steps, unit=job.unit)
    from mouldgen.answer import answer_job

    own = answer_job(job, learned=loaded.learned).gap
    if own.gap_mm is None:
        raise NoAnswerError(
            f"no gap meets every rule, so there is none to go round. {own.conflict}",
            where=job.name,
            try_="Give the gaps yourself with --gaps.",
        )
    return around(own.gap_mm, steps=steps)


def _write(asked: Asked, trial: Trial) -> tuple[Path, ...]:
    from mouldgen.files.write_trial import write_trial
    from mouldgen.sheet.bed_picture import bed_svg

    job = trial.job
    pictures = [
        bed_svg(bed, job.printer, title=f"{job.name} trial, bed {bed.number}") for bed in trial.beds
    ]
    with busy("Writing the files", quiet=asked.quiet):
        return write_trial(trial, out=asked.out, bed_pictures=pictures)


def _answer(asked: Asked, trial: Trial, *, written: tuple[Path, ...]) -> None:
    from mouldgen.files.write_trial import trial_folder

    folder = trial_folder(trial, out=asked.out)
    if asked.json:
        from mouldgen.files.trial_report import trial_data

        files = [path.relative_to(folder).as_posix() for path in written]
        say_json(trial_data(trial, files=files))
        return
    say_wrapped(_first_sentence(trial))
    say()
    say(_ladder_table(trial))
    if not asked.quiet and trial.made:
        say()
        _say_resin(asked, trial)
    _say_findings(asked, trial)
    if written and not asked.quiet:
        say()
        say_files(folder, written)


def _first_sentence(trial: Trial) -> str:
    inches = trial.job.unit == "in"
    first, last = trial.rungs[0], trial.rungs[-1]
    what = (
        f"{trial.job.name}: {count(len(trial.rungs), 'gap')} from {first.letter} with"
        f" {gap_words(first.gap_mm, inches=inches)} to {last.letter} with"
        f" {gap_words(last.gap_mm, inches=inches)}"
    )
    if len(trial.rungs) == 1:
        what = f"{trial.job.name}: one gap, {gap_words(first.gap_mm, inches=inches)}"
    moulds = "" if trial.each == 1 else f", {trial.each} moulds of each"
    return f"{what}{moulds}{_where(trial)}."


def _where(trial: Trial) -> str:
    beds = len(trial.beds)
    if not beds:
        return "; none is laid out"
    bed = trial.beds[0].bed
    some = f"{len(trial.made)} of them " if trial.kept_out else ""
    if beds == 1:
        return f", {some or ('all ' if len(trial.made) > 1 else '')}on {bed}"
    return f"; {some or 'they '}do not fit on one bed and take {beds}, each {bed}"


def _ladder_table(trial: Trial) -> str:
    moulds = trial.rungs[0].found.answer.moulds
    digit = trial.job.shop.scale
    priced = trial.job.resin.price is not None
    cost = ("cost",) if priced else ()
    rows = [("rung", "gap", "net ml", "g each", f"g for {moulds}", *cost, "voids", "why")]
    for rung in trial.rungs:
        resin = rung.found.amounts
        rows.append(
            (
                rung.letter,
                gap_words(rung.gap_mm, inches=trial.job.unit == "in"),
                "" if resin is None else f"{resin.net_ml:.1f}",
                "" if resin is None else grams(resin.one.total_g, digit_g=digit),
                "" if resin is None else grams(resin.total_g, digit_g=digit),
                *((f"{rung.cost:.2f}",) if rung.cost is not None else ()),
                "expect" if rung.voids else "",
                _why(trial, rung),
            )
        )
    return table(rows, right=(1, 2, 3, 4, 5) if priced else (1, 2, 3, 4))


def _why(trial: Trial, rung: Rung) -> str:
    """The rules that the rung breaks, with what they ask for."""
    inches = trial.job.unit == "in"
    told = [_asks(bound, inches=inches) for bound in rung.broken]
    if any(finding.id.startswith("pour.") for finding in rung.voids):
        told.append("air stays shut in")
    if not told and not rung.found.stopped:
        told = ["meets every rule"]
    if rung in trial.kept_out:
        told.insert(0, "kept out")
    elif rung.found.stopped:
        told.insert(0, "must fix")
    return "; ".join(told)


def _asks(bound: Bound, *, inches: bool) -> str:
    if bound.value_mm is None:
        return f"{bound.rule}: no gap meets it"
    least = "at least" if bound.kind == "at_least" else "at most"
    return f"{bound.rule} {least} {strict_gap(bound, inches=inches)}"


def _say_resin(asked: Asked, trial: Trial) -> None:
    mass = grams(trial.resin_g, digit_g=trial.job.shop.scale)
    what = "One casting of each takes" if trial.each == 1 else "All castings take"
    say_wrapped(
        f"{what} {mass} g of resin, loss included. Cast them alike, on one day; then cut them open"
        " along the insert and write down which have voids:"
    )
    gaps = [rung.gap_mm for rung in trial.made]
    line = log_line(
        asked.job,
        gaps,
        name=trial.job.name,
        each=trial.each,
        sets=asked.sets,
        castings=asked.castings,
    )
    say(f"    {line}")


def _say_findings(asked: Asked, trial: Trial) -> None:
    """What must be fixed, rung by rung; with --verbose everything."""
    for rung in trial.rungs:
        told = [f for f in rung.found.findings if asked.verbose or f.severity == "stop"]
        if not told:
            continue
        say()
        kept = " is kept out" if rung in trial.kept_out else ""
        say(f"Rung {rung.letter}{kept}:")
        inches = rung.found.answer.job.unit == "in"
        say_findings(told, quiet=asked.quiet, verbose=asked.verbose, inches=inches)
