"""The commands on moulds, meshes and presets, with their words.

Each hands back what to run, so that nothing runs in here.  Nothing that takes long to load may be
imported at the top: ``--help`` reads this file.
"""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from mouldgen.cli.asked import Asked
from mouldgen.cli.options import OUT, AsJson, Out, Quiet, Run, Verbose

Pictures = Annotated[
    bool, typer.Option("--pictures", help="Draw the set, where air stays, and the bounds.")
]


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
    asked: Asked,
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
) -> Run:
    """How wide the gap should be, what sets it, what would narrow it."""

    def run() -> int:
        if sweep is not None:
            from mouldgen.cli.sweep import show_sweep

            return show_sweep(asked.into(out), sweep=sweep, steps=steps or 21, pictures=pictures)
        if steps is not None:
            from mouldgen.errors import UsageError

            raise UsageError("--steps does not go without --sweep")
        from mouldgen.cli.gap import show_gap

        return show_gap(asked.into(out), pictures=pictures)

    return run


def build(
    asked: Asked,
    *,
    out: Out = OUT,
    pictures: Pictures = False,
    anyway: Annotated[
        bool,
        typer.Option("--anyway", help="Write a set that must be fixed too, under such names."),
    ] = False,
) -> Run:
    """Make the moulds: parts and beds as STL and 3MF, and a report."""

    def run() -> int:
        from mouldgen.cli.build import build_and_write

        return build_and_write(asked.into(out), pictures=pictures, anyway=anyway)

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
            Asked(
                "boathouse-pegs",
                out=out,
                json=as_json,
                quiet=quiet,
                verbose=verbose,
                no_castings=True,  # it is no job of the shop's
            )
        )

    return run


def heat(
    asked: Asked,
    *,
    out: Out = OUT,
    pictures: Annotated[
        bool, typer.Option("--pictures", help="Draw temperatures and the cup's clock, as SVG.")
    ] = False,
) -> Run:
    """How hot mould and cup get, and how long there is to pour."""

    def run() -> int:
        from mouldgen.cli.heat import show_heat

        return show_heat(asked.into(out), pictures=pictures)

    return run


def check(
    files: Annotated[
        list[str],
        typer.Argument(metavar="FILE", help="STL, 3MF, OBJ, PLY, OFF or GLB files, anybody's."),
    ],
    printer: Annotated[
        str, typer.Option("--printer", metavar="CARD", help="Whose lines and layers are taken.")
    ] = "square-220",
    as_json: AsJson = False,
    quiet: Quiet = False,
    verbose: Verbose = False,
) -> Run:
    """Whether mesh files would print as solids."""

    def run() -> int:
        from mouldgen.cli.check import check_files

        return check_files(files, printer=printer, as_json=as_json, quiet=quiet, verbose=verbose)

    return run


def beds(
    asked: Asked,
    *,
    moulds: Annotated[
        int | None,
        typer.Option("--moulds", metavar="N", min=1, max=10_000, help="Lay out so many instead."),
    ] = None,
    effort: Annotated[
        str,
        typer.Option(
            "--effort", metavar="EFFORT", help="How long to look: quick, usual or thorough."
        ),
    ] = "usual",
) -> Run:
    """What lies on which print bed; writes no file."""

    def run() -> int:
        from mouldgen.cli.beds import show_beds

        return show_beds(asked, moulds=moulds, effort=effort)

    return run


def tune(
    asked: Asked,
    *,
    pieces: Annotated[
        int | None,
        typer.Option(
            "--pieces",
            metavar="N",
            min=1,
            max=1_000_000,
            help="Good ones still to be made, for what a trial is worth; 100 without, or the"
            " order's where that is more.",
        ),
    ] = None,
    out: Out = OUT,
    pictures: Annotated[
        bool, typer.Option("--pictures", help="Draw the chance of a void over the gap, as SVG.")
    ] = False,
) -> Run:
    """What your castings say of the gap, and which trial is next."""

    def run() -> int:
        from mouldgen.cli.tune import show_tune

        return show_tune(asked.into(out), pieces=pieces, pictures=pictures)

    return run


def trial(
    asked: Asked,
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
    each: Annotated[
        int, typer.Option("--each", metavar="N", min=1, max=20, help="Moulds of every gap.")
    ] = 1,
    out: Out = OUT,
    anyway: Annotated[
        bool, typer.Option("--anyway", help="Print gaps that must be fixed too, under such names.")
    ] = False,
) -> Run:
    """Moulds of several gaps, to see which leave voids."""

    def run() -> int:
        from mouldgen.cli.trial import show_trial

        return show_trial(
            asked.into(out), gaps=gaps, steps=steps, around=around, each=each, anyway=anyway
        )

    return run


def catalogue(
    asked: Asked,
    table: Annotated[
        Path | None,
        typer.Argument(
            metavar="TABLE", help="CSV: a column a key, a line a variant; or use --grid."
        ),
    ] = None,
    *,
    grid: Annotated[
        list[str] | None,
        typer.Option(
            "--grid",
            metavar="TABLE.KEY=VALUES",
            help="Values of a key, such as 20,22,24 mm; repeated, each goes with each.",
        ),
    ] = None,
    moulds: Annotated[
        bool, typer.Option("--sets", help="Write each variant's moulds too, a folder each.")
    ] = False,
    again: Annotated[
        bool, typer.Option("--again", help="Make all anew, also what an earlier run has made.")
    ] = False,
    workers: Annotated[
        int | None,
        typer.Option(
            "--workers", metavar="N", min=1, max=1024, help="Processes; one a core without it."
        ),
    ] = None,
    limit: Annotated[
        str, typer.Option("--limit", metavar="TIME", help="After which a variant is given up.")
    ] = "60 s",
    scheduler: Annotated[
        str | None,
        typer.Option(
            "--scheduler",
            metavar="ADDRESS",
            help="Hand the work to a Dask cluster; needs mouldgen[cluster].",
        ),
    ] = None,
    out: Out = OUT,
) -> Run:
    """Many variants of a job, and a table with a row of each."""

    def run() -> int:
        from mouldgen.cli.catalogue import show_catalogue

        return show_catalogue(
            asked.into(out), table=table, grid=tuple(grid or ()), sets=moulds, again=again,
            workers=workers, limit=limit, scheduler=scheduler,
        )  # fmt: skip

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
