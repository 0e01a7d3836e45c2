"""``mouldgen tune``: what castings say of the gap, what it saves, and which trial says more."""

from __future__ import annotations

import math
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from mouldgen.castings.place import castings_place
from mouldgen.cli.asked import Asked
from mouldgen.cli.lessons import no_such_file, read_loads
from mouldgen.cli.progress import busy
from mouldgen.cli.say import say_json
from mouldgen.cli.trial_gaps import log_line, trial_line
from mouldgen.errors import UsageError

if TYPE_CHECKING:
    from mouldgen.castings.next_trial import Trial
    from mouldgen.castings.tune import Tuned
    from mouldgen.gap.budget import Gap
    from mouldgen.job.load import LoadedJob
    from mouldgen.job.model import Job
    from mouldgen.learn import Taught


@dataclass(frozen=True, eq=False, kw_only=True)
class NextTrial:
    """The trial that is worth most, with the lines that make it and write it down.

    found : the trial.
    gaps_mm : as its moulds are lettered, rising; of the best one where none is worth it [mm].
    make, pour : the lines; empty where none is worth it.
    """

    found: Trial
    gaps_mm: tuple[float, ...]
    make: str
    pour: str


@dataclass(frozen=True, eq=False, kw_only=True)
class Lesson:
    """What the command tells.

    file : the castings file, there or not.
    job : as the maker wrote it, before anything is learned.
    taught : what castings say.
    gap : of the job with what was learned.
    trial : the next one; None where nothing can be said of the gap, or no gap is known to help.
    """

    file: Path
    job: Job
    taught: Taught
    gap: Gap
    trial: NextTrial | None


def show_tune(asked: Asked, *, pieces: int | None, pictures: bool) -> int:
    """Say what castings teach; 1 where nothing can be said of the gap.

    pieces : good ones still to be made; None for a usual number, or the order's.
    pictures : also draw the chance of a void into the job's plots.

    Raises UsageError for a castings file that was named and is not there, CastingsError and
    SurroundingsError for one that cannot be read.
    """
    lesson = _learn(asked, pieces)
    tuned = lesson.taught.tuned
    picture = None
    if pictures and tuned is not None:
        picture = _draw(asked, tuned, lesson.taught.loaded)
    if asked.json:
        from mouldgen.cli.tune_data import tune_data
        from mouldgen.files.single import plot_name

        files = {} if picture is None else {"files": [plot_name(picture)]}
        say_json({**tune_data(lesson), **files}, of=lesson.taught.loaded)
    else:
        from mouldgen.cli.tune_words import say_lesson

        say_lesson(lesson, quiet=asked.quiet, verbose=asked.verbose, picture=picture)
    return int(tuned is None)


def _learn(asked: Asked, pieces: int | None) -> Lesson:
    from mouldgen.answer import answer_job
    from mouldgen.job.load import load_job
    from mouldgen.learn import teach

    if asked.no_castings and asked.castings is not None:
        raise UsageError("--castings and --no-castings do not go together")
    file = asked.castings or castings_place(asked.job)
    if asked.castings is not None and not file.exists():
        raise no_such_file(file)
    loaded = load_job(asked.job, sets=asked.sets)
    loads = () if asked.no_castings else read_loads(file)
    with busy(f"Looking through the castings for {loaded.job.name}", quiet=asked.quiet):
        taught = teach(loaded, loads)
        gap = answer_job(taught.loaded.job, learned=taught.loaded.learned).gap
        trial = _next(asked, taught, pieces)
    return Lesson(file=file, job=loaded.job, taught=taught, gap=gap, trial=trial)


def _next(asked: Asked, taught: Taught, pieces: int | None) -> NextTrial | None:
    from mouldgen.castings.next_trial import PIECES, next_trial
    from mouldgen.castings.words import no_answer

    if taught.tuned is None or taught.costs is None or no_answer(taught.tuned):
        return None
    job = taught.loaded.job
    found = next_trial(
        taught.tuned,
        pieces=pieces or max(PIECES, job.order.pieces),
        set_up=taught.costs.set_up,
    )
    told = found if found.worth_it else found.best or found
    gaps = _lettered(told.gaps_mm, most_mm=float(taught.tuned.choices.gap_mm[-1]))
    if not found.worth_it:
        return NextTrial(found=found, gaps_mm=gaps, make="", pour="")
    return NextTrial(
        found=found,
        gaps_mm=gaps,
        make=trial_line(asked.job, gaps, each=found.each, sets=asked.sets),
        pour=log_line(
            asked.job,
            gaps,
            name=job.name,
            each=found.each,
            sets=asked.sets,
            castings=asked.castings,
        ),
    )


def _lettered(gaps_mm: tuple[float, ...], *, most_mm: float) -> tuple[float, ...]:
    """To the hundredth, to the side that the other rules allow [mm]."""
    from mouldgen.gap.choice import round_up

    most = math.floor(100.0 * most_mm + 1e-6) / 100.0
    return tuple(min(round_up(gap), most) for gap in gaps_mm)


def _draw(asked: Asked, tuned: Tuned, loaded: LoadedJob) -> Path:
    from mouldgen.files.single import put_plots
    from mouldgen.fingerprint import fingerprint_of
    from mouldgen.sheet.chance_picture import chance_svg

    name = loaded.job.name
    svg = chance_svg(tuned, title=f"{name}: chance of a void over the gap")
    fingerprint = fingerprint_of(loaded.job, loaded.learned)
    (path,) = put_plots(asked.out / name, {"tune.svg": svg.encode()}, fingerprint=fingerprint)
    return path
