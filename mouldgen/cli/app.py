"""The commands and their words; each hands back what to run, so that nothing runs in here.

Nothing that takes long to load may be imported at the top: ``--help`` reads this file.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
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
Pictures = Annotated[
    bool, typer.Option("--pictures", help="Draw the set, where air stays, and the bounds.")
]

OUT = Path("out")
EPILOG = (
    "Exit codes: 0 done; 1 something must be fixed, or no gap fits; 2 bad input or words;"
    " 3 the disk or the system failed; 130 interrupted."
)


def new(
    name: Annotated[
        str | None, typer.Argument(metavar="NAME", help="Name of the job, such as coat-pegs.")
    ] = None,
    out: Annotated[
        Path | None,
        typer.Option("--out", metavar="FILE", help="File to write; NAME.toml without it."),
    ] = None,
    verbose: Verbose = False,  # noqa: ARG001 - read where a bug is told
) -> Run:
    """Ask at most ten questions and write a job file."""

    def run() -> int:
        from mouldgen.cli.new import new_job

        return new_job(name, out=out)

    return run


def gap(
    job: JobArgument,
    *,
    sweep: Annotated[
        str | None,
        typer.Option(
            "--sweep",
            metavar="TABLE.KEY=FROM..TO",
            help="The gap over a row of values of one key, as CSV and picture.",
        ),
    ] = None,
    steps: Annotated[
        int | None,
        typer.Option(
            "--steps", metavar="N", min=2, max=1000, help="How many values to sweep; 21 without it."
        ),
    ] = None,
    out: Out = OUT,
    pictures: Annotated[
        bool, typer.Option("--pictures", help="Draw what every rule asks for, as SVG.")
    ] = False,
    as_json: AsJson = False,
    sets: Sets = None,
    quiet: Quiet = False,
    verbose: Verbose = False,
) -> Run:
    """How wide the gap should be, what sets it, what would narrow it."""

    def run() -> int:
        asked = _asked(job, out=out, as_json=as_json, sets=sets, quiet=quiet, verbose=verbose)
        if sweep is not None:
            from mouldgen.cli.sweep import show_sweep

            return show_sweep(asked, sweep=sweep, steps=steps or 21, pictures=pictures)
        if steps is not None:
            from mouldgen.errors import UsageError

            raise UsageError("--steps does not go without --sweep")
        from mouldgen.cli.gap import show_gap

        return show_gap(asked, pictures=pictures)

    return run


def build(
    job: JobArgument,
    *,
    out: Out = OUT,
    pictures: Pictures = False,
    anyway: Annotated[
        bool,
        typer.Option("--anyway", help="Write a set that must be fixed too, under such names."),
    ] = False,
    as_json: AsJson = False,
    sets: Sets = None,
    quiet: Quiet = False,
    verbose: Verbose = False,
) -> Run:
    """Make the moulds: parts and beds as STL and 3MF, and a report."""

    def run() -> int:
        from mouldgen.cli.build import build_and_write

        asked = _asked(job, out=out, as_json=as_json, sets=sets, quiet=quiet, verbose=verbose)
        return build_and_write(asked, pictures=pictures, anyway=anyway)

    return run


def resin(
    job: JobArgument,
    *,
    as_json: AsJson = False,
    sets: Sets = None,
    quiet: Quiet = False,
    verbose: Verbose = False,
) -> Run:
    """What to weigh of each part, for one mould and for all."""

    def run() -> int:
        from mouldgen.cli.resin import show_resin

        return show_resin(_asked(job, as_json=as_json, sets=sets, quiet=quiet, verbose=verbose))

    return run


def demo(
    out: Out = OUT,
    as_json: AsJson = False,
    quiet: Quiet = False,
    verbose: Verbose = False,
) -> Run:
    """Build the shipped job boathouse-pegs, with pictures."""

    def run() -> int:
        from mouldgen.cli.demo import show_demo

        return show_demo(
            _asked(
                "boathouse-pegs", out=out, as_json=as_json, sets=None, quiet=quiet, verbose=verbose
            )
        )

    return run


def heat(
    job: JobArgument,
    *,
    out: Out = OUT,
    pictures: Annotated[
        bool, typer.Option("--pictures", help="Draw temperatures and the cup's clock, as SVG.")
    ] = False,
    as_json: AsJson = False,
    sets: Sets = None,
    quiet: Quiet = False,
    verbose: Verbose = False,
) -> Run:
    """How hot mould and cup get, and how long there is to pour."""

    def run() -> int:
        from mouldgen.cli.heat import show_heat

        asked = _asked(job, out=out, as_json=as_json, sets=sets, quiet=quiet, verbose=verbose)
        return show_heat(asked, pictures=pictures)

    return run


def check(
    files: Annotated[
        list[str],
        typer.Argument(metavar="FILE", help="STL, 3MF, OBJ, PLY, OFF or GLB files, anybody's."),
    ],
    as_json: AsJson = False,
    quiet: Quiet = False,
    verbose: Verbose = False,
) -> Run:
    """Whether mesh files would print as solids."""

    def run() -> int:
        from mouldgen.cli.check import check_files

        return check_files(files, as_json=as_json, quiet=quiet, verbose=verbose)

    return run


def beds(
    job: JobArgument,
    *,
    moulds: Annotated[
        int | None,
        typer.Option("--moulds", metavar="N", min=1, max=10_000, help="Lay out so many instead."),
    ] = None,
    as_json: AsJson = False,
    sets: Sets = None,
    quiet: Quiet = False,
    verbose: Verbose = False,
) -> Run:
    """What lies on which print bed; writes no file."""

    def run() -> int:
        from mouldgen.cli.beds import show_beds

        return show_beds(
            _asked(job, as_json=as_json, sets=sets, quiet=quiet, verbose=verbose), moulds=moulds
        )

    return run


def trial(
    job: JobArgument,
    *,
    gaps: Annotated[
        str | None,
        typer.Option(
            "--gaps", metavar="GAPS", help="Such as 0.6,0.9,1.2 or 0.6..1.4; up to 26 of them."
        ),
    ] = None,
    steps: Annotated[
        int | None,
        typer.Option(
            "--steps", metavar="N", min=2, max=26, help="How many of a range; 5 without it."
        ),
    ] = None,
    around: Annotated[
        bool, typer.Option("--around", help="A ladder round the job's own gap instead.")
    ] = False,
    out: Out = OUT,
    anyway: Annotated[
        bool, typer.Option("--anyway", help="Print gaps that must be fixed too, under such names.")
    ] = False,
    as_json: AsJson = False,
    sets: Sets = None,
    quiet: Quiet = False,
    verbose: Verbose = False,
) -> Run:
    """One mould for each of several gaps, to see which leave voids."""

    def run() -> int:
        from mouldgen.cli.trial import show_trial

        asked = _asked(job, out=out, as_json=as_json, sets=sets, quiet=quiet, verbose=verbose)
        return show_trial(asked, gaps=gaps, steps=steps, around=around, anyway=anyway)

    return run


def presets(
    kind: Annotated[
        str | None, typer.Argument(metavar="KIND", help="Such as resins; all kinds without it.")
    ] = None,
    name: Annotated[
        str | None, typer.Argument(metavar="NAME", help="A card, to see its numbers.")
    ] = None,
    verbose: Verbose = False,  # noqa: ARG001
) -> Run:
    """The cards there are, and where their numbers come from."""

    def run() -> int:
        from mouldgen.cli.presets import show_presets

        return show_presets(kind, name)

    return run


def schema(
    verbose: Verbose = False,  # noqa: ARG001
) -> Run:
    """The job file's JSON Schema, for editors that check it."""

    def run() -> int:
        from mouldgen.cli.schema import show_schema

        return show_schema()

    return run


def _asked(
    job: str,
    *,
    out: Path = OUT,
    as_json: bool,
    sets: list[str] | None,
    quiet: bool,
    verbose: bool,
) -> Asked:
    return Asked(
        job=job, out=out, json=as_json, sets=tuple(sets or ()), quiet=quiet, verbose=verbose
    )


COMMANDS: tuple[Callable[..., Run], ...] = (
    new, gap, build, resin, demo, heat, check, beds, trial, presets, schema,
)  # fmt: skip


def command(words: Sequence[str]) -> Any:
    """The parser of all commands.

    words : what will be parsed; only the command that they name gets its options, because
        making those of every command takes longer than all the rest of ``--help``.
    """
    app = typer.Typer(
        help="Printable moulds, bed layouts and resin amounts for casting inserts in resin.",
        epilog=EPILOG,
        add_completion=False,
        rich_markup_mode=None,
        context_settings={"help_option_names": ["--help", "-h"], "max_content_width": 100},
    )
    for function in COMMANDS:
        app.command()(function if function.__name__ in words else _only_named(function))
    return typer.main.get_command(app)


def _only_named(function: Callable[..., Run]) -> Callable[[], None]:
    def stub() -> None:
        """Never called."""

    stub.__name__, stub.__doc__ = function.__name__, function.__doc__
    return stub
