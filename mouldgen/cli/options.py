"""The words that commands share, each said once; ``--help`` reads this file."""

from __future__ import annotations

from collections.abc import Callable
from inspect import Signature, signature
from pathlib import Path
from typing import Annotated, Any

import typer

from mouldgen.cli.asked import Asked

Run = Callable[[], int]

JobArgument = Annotated[
    str, typer.Argument(metavar="JOB", help="A job file, or the name of a shipped job.")
]
Out = Annotated[
    Path, typer.Option("--out", metavar="DIR", help="Folder that gets a folder for each job.")
]
AsJson = Annotated[
    bool, typer.Option("--json", help="Answer with one JSON object and nothing else.")
]
Sets = Annotated[
    list[str] | None,
    typer.Option(
        "--set",
        metavar="TABLE.KEY=VALUE",
        help="Change one value of the job for this run; may be repeated.",
    ),
]
Quiet = Annotated[bool, typer.Option("--quiet", help="Only the result and what must be fixed.")]
Verbose = Annotated[
    bool, typer.Option("--verbose", help="Every note and source; after a bug, where it happened.")
]
Castings = Annotated[
    Path | None,
    typer.Option(
        "--castings",
        metavar="FILE",
        help="The castings file; castings.sqlite beside shop.toml, or in this folder, without.",
    ),
]
NoCastings = Annotated[
    bool, typer.Option("--no-castings", help="Reckon as if no castings were logged.")
]
Today = Annotated[
    str | None,
    typer.Option(
        "--today", metavar="DATE", help="The first day, such as 2026-11-30; today without."
    ),
]

OUT = Path("out")


def takes_job(command: Callable[..., Run]) -> Callable[..., Run]:
    """A command on a job, with the words that all of those take.

    command : its first parameter is an `Asked`; its own options follow.

    The job stands before the command's own options in ``--help``, the other shared ones after.
    """
    job, *shared = signature(_asked, eval_str=True).parameters.values()
    _, *own = signature(command, eval_str=True).parameters.values()

    def run(**words: Any) -> Run:
        asked = _asked(**{each.name: words.pop(each.name) for each in (job, *shared)})
        work = command(asked, **words)
        return lambda: in_habit(asked.job, asked.sets, work)

    run.__name__, run.__doc__ = command.__name__, command.__doc__
    # The parser asks a function for its signature.
    run.__signature__ = Signature([job, *own, *shared])  # type: ignore[attr-defined]
    return run


def in_habit(job: str, sets: tuple[str, ...], work: Run) -> int:
    """Do the work; a refusal is told in the units that the maker of the job writes.

    job, sets : that the work is on.

    Raises what the work raises.
    """
    from mouldgen.errors import InternalError, MouldgenError

    try:
        return work()
    except InternalError:  # a bug is told as it is
        raise
    except MouldgenError as problem:
        from mouldgen.job.habit import habit_of
        from mouldgen.units.beside import in_both

        habit = habit_of(job, sets=sets)
        told = problem.retold(
            lambda text: in_both(text, inches=habit.inches, written=habit.written)
        )
        raise told.with_traceback(problem.__traceback__) from problem.__cause__


def _asked(
    job: JobArgument,
    *,
    as_json: AsJson = False,
    sets: Sets = None,
    quiet: Quiet = False,
    verbose: Verbose = False,
    castings: Castings = None,
    no_castings: NoCastings = False,
) -> Asked:
    return Asked(
        job=job, json=as_json, sets=tuple(sets or ()), quiet=quiet, verbose=verbose,
        castings=castings, no_castings=no_castings,
    )  # fmt: skip
