"""What the castings file teaches a job: read in one place for every command."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from mouldgen.castings.place import castings_place
from mouldgen.cli.say import tell
from mouldgen.errors import CastingsError, SurroundingsError, UsageError

if TYPE_CHECKING:
    from mouldgen.castings.records import Load
    from mouldgen.finding import Learned
    from mouldgen.job.load import LoadedJob


def with_lessons(
    loaded: LoadedJob, job: str | None, *, castings: Path | None, without: bool
) -> LoadedJob:
    """The job with what castings teach it.

    A file that cannot be used stops nothing: that is told on standard error, and the physics alone
    is reckoned with.  Without a file nothing is loaded that reads one.

    loaded : as it was read.
    job : its file or name; None for one that is not written yet.
    castings : the file, or None for the shop's own.
    without : as if none were logged.

    Raises UsageError for a file that was named and is not there.
    """
    loads, unread = loads_for(job, castings=castings, without=without)
    if unread:
        return replace(loaded, learned=replace(loaded.learned, unread=unread))
    if loads is None:
        return loaded
    from mouldgen.learn import learn  # late: most shops log nothing yet

    found = learn(loaded, loads)
    if found.learned.unread:
        tell(f"{found.learned.unread} The gap is that of the physics alone.")
    return found


def loads_for(
    job: str | None, *, castings: Path | None, without: bool
) -> tuple[tuple[Load, ...] | None, str]:
    """What there is to learn from, None without a file; and why its file cannot be used, or empty.

    job, castings, without : as `with_lessons` takes them; what cannot be used is told as there.

    Raises UsageError for a file that was named and is not there.
    """
    if without:
        if castings is not None:
            raise UsageError("--castings and --no-castings do not go together")
        return None, ""
    path = castings or castings_place(job)
    if not path.exists():
        if castings is not None:
            raise no_such_file(castings)
        return None, ""
    try:
        return read_loads(path), ""
    except (CastingsError, SurroundingsError) as problem:
        tell(f"{problem} No castings are reckoned with: the answer is that of the physics alone.")
        return None, str(problem)


def read_loads(path: Path) -> tuple[Load, ...]:
    """All loads of a castings file; none where it is not there.

    path : of the file.

    Raises CastingsError and SurroundingsError where it cannot be read.
    """
    from mouldgen.castings.store import castings_file  # late: it loads the database

    with castings_file(path) as file:
        return file.loads()


def no_such_file(path: Path) -> UsageError:
    """For a castings file that was named and is not there."""
    return UsageError(
        "there is no such castings file",
        where=str(path),
        try_="mouldgen log pour JOB begins one; without --castings the shop's own is read.",
    )


def taken_over(loaded: LoadedJob, learned: Learned) -> LoadedJob:
    """A change of a job with the yield, the fills and the loss that castings taught the job itself.

    loaded : the change, as it was read; what it writes itself stands.
    learned : what castings teach the job.
    """
    job = loaded.job
    if learned.yield_ is not None and "order.yield" not in loaded.given:
        order = job.order.model_copy(update={"yield_": learned.yield_})
        job = job.model_copy(update={"order": order})
    if learned.fills is not None and "order.fills" not in loaded.given:
        order = job.order.model_copy(update={"fills": learned.fills})
        job = job.model_copy(update={"order": order})
    if learned.loss is not None and "resin.loss" not in loaded.given:
        resin = job.resin.model_copy(update={"loss": learned.loss})
        job = job.model_copy(update={"resin": resin})
    return replace(loaded, job=job, learned=learned)
