"""``mouldgen log`` and its own commands, with their words.

Each hands back what to run, so that nothing runs in here.  Nothing that takes long to load may be
imported at the top: ``--help`` reads this file.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Annotated

import typer

from mouldgen.cli.options import OUT, AsJson, Castings, Out, Quiet, Run, Sets, in_habit

LoadArgument = Annotated[
    str,
    typer.Argument(metavar="LOAD", help="Its number in the castings file, or JOB:N, or JOB."),
]
NewFile = Annotated[Path, typer.Argument(metavar="FILE", help="A file that is not there yet.")]


def log(
    context: typer.Context,
    castings: Castings = None,
    as_json: AsJson = False,
    quiet: Quiet = False,
) -> Run | None:
    """What was poured, and what was found at the lathe."""
    if context.invoked_subcommand is None:

        def run() -> int:
            from mouldgen.cli.log import show_open

            return show_open(castings, json=as_json, quiet=quiet)

        return run
    if castings is not None or as_json or quiet:
        raise typer.BadParameter(
            f"Options go behind the word: mouldgen log {context.invoked_subcommand} ... --json"
        )
    return None


def pour(
    job: Annotated[
        str,
        typer.Argument(
            metavar="JOB:N",
            help="A job and the load on its pot card; without :N the next one to pour.",
        ),
    ],
    shop: Annotated[
        str | None, typer.Option("--shop", metavar="TEMP", help='The shop, such as "19 C".')
    ] = None,
    close: Annotated[
        str | None,
        typer.Option("--close", metavar="TIME", help='From mixing to pressure, such as "16 min".'),
    ] = None,
    pressure: Annotated[
        str | None,
        typer.Option("--pressure", metavar="PRESSURE", help='Gauge, such as "45 psi".'),
    ] = None,
    when: Annotated[
        str | None,
        typer.Option("--when", metavar="TIME", help='Such as "2026-11-20 18:30"; now without.'),
    ] = None,
    gap: Annotated[
        list[str] | None,
        typer.Option(
            "--gap",
            metavar="GAP",
            help='As printed, of all, or of some as "1-4=0.9 mm"; may be repeated.',
        ),
    ] = None,
    moulds: Annotated[
        str | None,
        typer.Option("--moulds", metavar="NUMBERS", help='Those really poured, such as "1-6, 8".'),
    ] = None,
    mixed: Annotated[
        str | None, typer.Option("--mixed", metavar="MASS", help="Resin that was weighed out.")
    ] = None,
    left: Annotated[
        str | None, typer.Option("--left", metavar="MASS", help="Of it left over.")
    ] = None,
    note: Annotated[
        str | None, typer.Option("--note", metavar="WORDS", help="Anything else, in your words.")
    ] = None,
    again: Annotated[
        bool, typer.Option("--again", help="A load that was poured before is cast once more.")
    ] = False,
    out: Out = OUT,
    castings: Castings = None,
    as_json: AsJson = False,
    sets: Sets = None,
    quiet: Quiet = False,
) -> Run:
    """Write a load down: what the pot card says, but for what you tell."""

    def run() -> int:
        from mouldgen.cli.log_pour import PourAsked, show_pour, split_job
        from mouldgen.desk.log_told import PourSaid

        said = PourSaid(
            shop=shop, close=close, pressure=pressure, when=when, gap=tuple(gap or ()),
            moulds=moulds, mixed=mixed, left=left, note=note,
        )  # fmt: skip
        asked = PourAsked(
            job=job, said=said, again=again, castings=castings, json=as_json,
            sets=tuple(sets or ()), quiet=quiet, out=out,
        )  # fmt: skip
        return in_habit(split_job(job)[0], asked.sets, lambda: show_pour(asked))

    return run


def result(
    load: Annotated[
        str | None,
        typer.Argument(metavar="LOAD", help="Its number, or JOB:N, or JOB."),
    ] = None,
    words: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="WORDS",
            help='Such as "voids in 3 and 7, 7 scrapped, 25 min"; numbers as on the pot card.',
        ),
    ] = None,
    note: Annotated[
        str | None, typer.Option("--note", metavar="WORDS", help="Anything else, in your words.")
    ] = None,
    castings: Castings = None,
    as_json: AsJson = False,
    quiet: Quiet = False,
) -> Run:
    """Write down what was found at the lathe.

    Only voids that break the finished surface count. A casting that was repaired is not scrapped.
    Say "all good"; or "voids in 3 and 7, 7 scrapped, 25 min"; or "worst 3 mm in 7 at the top".
    What you do not speak of is good. Said again, it replaces what was said before.
    """

    def run() -> int:
        from mouldgen.cli.log_result import ResultAsked, show_result

        return show_result(
            ResultAsked(
                load=load, words=tuple(words or ()), note=note, castings=castings, json=as_json,
                quiet=quiet,
            )
        )  # fmt: skip

    return run


def list_(
    open_: Annotated[bool, typer.Option("--open", help="Only those without a result.")] = False,
    castings: Castings = None,
    as_json: AsJson = False,
    quiet: Quiet = False,
) -> Run:
    """All loads: what was found, and which are still open."""

    def run() -> int:
        from mouldgen.cli.log import show_loads

        return show_loads(castings, open_only=open_, json=as_json, quiet=quiet)

    return run


def show(
    load: LoadArgument,
    castings: Castings = None,
    as_json: AsJson = False,
    quiet: Quiet = False,
) -> Run:
    """Everything that is written down of one load."""

    def run() -> int:
        from mouldgen.cli.log import show_load

        return show_load(load, castings, json=as_json, quiet=quiet)

    return run


def undo(castings: Castings = None, as_json: AsJson = False, quiet: Quiet = False) -> Run:
    """Take back what was written last; again and again, further back."""

    def run() -> int:
        from mouldgen.cli.log_files import show_undo

        return show_undo(castings, json=as_json, quiet=quiet)

    return run


def save(
    file: NewFile, castings: Castings = None, as_json: AsJson = False, quiet: Quiet = False
) -> Run:
    """Write all rows as .csv, for a spreadsheet, or as .json."""

    def run() -> int:
        from mouldgen.cli.log_files import show_save

        return show_save(file, castings, json=as_json, quiet=quiet)

    return run


def read(
    file: Annotated[
        Path, typer.Argument(metavar="FILE", help="Ending in .csv or .json, written by save.")
    ],
    castings: Castings = None,
    as_json: AsJson = False,
    quiet: Quiet = False,
) -> Run:
    """Take in rows that save wrote, all of them or none."""

    def run() -> int:
        from mouldgen.cli.log_files import show_read

        return show_read(file, castings, json=as_json, quiet=quiet)

    return run


def copy(
    file: NewFile, castings: Castings = None, as_json: AsJson = False, quiet: Quiet = False
) -> Run:
    """Copy the castings file, to keep or to move it."""

    def run() -> int:
        from mouldgen.cli.log_files import show_copy

        return show_copy(file, castings, json=as_json, quiet=quiet)

    return run


# In the order of ``mouldgen log --help``: what is used daily comes first.
OWN: dict[str, Callable[..., Run]] = {
    "pour": pour, "result": result, "list": list_, "show": show, "undo": undo, "save": save,
    "read": read, "copy": copy,
}  # fmt: skip


def group() -> typer.Typer:
    """``mouldgen log`` with its own commands."""
    app = typer.Typer(rich_markup_mode=None, invoke_without_command=True)
    app.callback()(log)
    for name, function in OWN.items():
        app.command(name)(function)
    return app
