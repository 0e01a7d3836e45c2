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
        return command(asked, **words)

    run.__name__, run.__doc__ = command.__name__, command.__doc__
    # The parser asks a function for its signature.
    run.__signature__ = Signature([job, *own, *shared])  # type: ignore[attr-defined]
    return run


def _asked(
    job: JobArgument,
    *,
    as_json: AsJson = False,
    sets: Sets = None,
    quiet: Quiet = False,
    verbose: Verbose = False,
) -> Asked:
    return Asked(job=job, json=as_json, sets=tuple(sets or ()), quiet=quiet, verbose=verbose)
