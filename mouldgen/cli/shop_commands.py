"""The commands on resin, pot, order and calendar, with their words.

Each hands back what to run, so that nothing runs in here.  Nothing that takes long to load may be
imported at the top: ``--help`` reads this file.
"""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from mouldgen.cli.asked import Asked
from mouldgen.cli.options import (
    OUT,
    AsJson,
    Castings,
    NoCastings,
    Out,
    Quiet,
    Run,
    Sets,
    Today,
    Verbose,
    in_habit,
)


def resin(asked: Asked) -> Run:
    """What to weigh of each part, into which cup, and by when."""

    def run() -> int:
        from mouldgen.cli.resin import show_resin

        return show_resin(asked)

    return run


def potcard(
    asked: Asked,
    *,
    paper: Annotated[
        str, typer.Option("--paper", metavar="PAPER", help="To print on: a4 or letter.")
    ] = "a4",
    load: Annotated[
        int | None,
        typer.Option("--load", metavar="N", min=1, help="Only this load; all without it."),
    ] = None,
    out: Annotated[
        Path | None,
        typer.Option(
            "--out",
            metavar="DIR",
            help="Write a file a card into the job's folder in here, instead of printing.",
        ),
    ] = None,
) -> Run:
    """A page to hang by the pot for each load: grams, clock, boxes."""

    def run() -> int:
        from mouldgen.cli.potcard import CardAsked, show_cards

        return show_cards(asked, CardAsked(paper, load=load, out=out))

    return run


def pot(
    asked: Asked,
    *,
    moulds: Annotated[
        int | None,
        typer.Option("--moulds", metavar="N", min=1, max=10_000, help="Load so many instead."),
    ] = None,
    out: Out = OUT,
    pictures: Annotated[
        bool, typer.Option("--pictures", help="Draw each load from above, as SVG.")
    ] = False,
) -> Run:
    """How many moulds the pot takes at once, and where each stands."""

    def run() -> int:
        from mouldgen.cli.pot import show_pot

        return show_pot(asked.into(out), moulds=moulds, pictures=pictures)

    return run


def buy(
    asked: Asked,
    *,
    quick: Annotated[
        bool,
        typer.Option("--quick", help="Closed forms only: at once, without plastic and rubber."),
    ] = False,
) -> Run:
    """What to buy for the whole job, and what it costs."""

    def run() -> int:
        from mouldgen.cli.buy import show_buy

        return show_buy(asked, quick=quick)

    return run


def plan(asked: Asked, *, today: Today = None) -> Run:
    """What is done when, when all is ready, what would change that."""

    def run() -> int:
        from mouldgen.cli.plan import show_plan

        return show_plan(asked, today=today)

    return run


def sheet(
    asked: Asked,
    *,
    paper: Annotated[
        str, typer.Option("--paper", metavar="PAPER", help="To print on: a4 or letter.")
    ] = "a4",
    pdf: Annotated[
        bool, typer.Option("--pdf", help="Write sheet.pdf as well; needs mouldgen[pdf].")
    ] = False,
    today: Today = None,
    out: Out = OUT,
) -> Run:
    """The whole job as one page to read and print, pot cards too."""

    def run() -> int:
        from mouldgen.cli.sheet import SheetAsked, show_sheet

        return show_sheet(asked.into(out), SheetAsked(paper, today=today, pdf=pdf))

    return run


def shortcut(
    folder: Annotated[
        Path | None,
        typer.Option(
            "--folder", metavar="DIR", help="Of the jobs; mouldgen-jobs in your own without it."
        ),
    ] = None,
    remove: Annotated[
        bool, typer.Option("--remove", help="Take it away again; the jobs stay.")
    ] = False,
    verbose: Verbose = False,  # noqa: ARG001 - read where a bug is told
) -> Run:
    """Put a shortcut to the page on the desktop."""

    def run() -> int:
        from mouldgen.cli.shortcut import put_shortcut, remove_shortcut

        if not remove:
            return put_shortcut(folder)
        if folder is not None:
            from mouldgen.errors import UsageError

            raise UsageError("--folder does not go with --remove: there is one shortcut")
        return remove_shortcut()

    return run


def page(
    job: Annotated[
        str | None,
        typer.Argument(metavar="JOB", help="A job file or a shipped job; the demo without."),
    ] = None,
    folder: Annotated[
        Path | None,
        typer.Option("--folder", metavar="DIR", help="Your job files; that of JOB without it."),
    ] = None,
    port: Annotated[
        int | None,
        typer.Option(
            "--port", metavar="N", min=1, max=65_535, help="This one; else the first free."
        ),
    ] = None,
    host: Annotated[
        str,
        typer.Option(
            "--host", metavar="ADDRESS", help="Also for other devices: an address of this machine."
        ),
    ] = "127.0.0.1",
    no_browser: Annotated[bool, typer.Option("--no-browser", help="Only say the address.")] = False,
    castings: Castings = None,
    no_castings: NoCastings = False,
    verbose: Verbose = False,  # noqa: ARG001 - read where a bug is told
) -> Run:
    """The job sheet in your browser, its numbers editable in place."""

    def run() -> int:
        from mouldgen.cli.page import PageAsked, show_page

        return show_page(
            PageAsked(
                job, folder=folder, port=port, host=host, browser=not no_browser,
                castings=castings, no_castings=no_castings,
            )
        )  # fmt: skip

    return run


def quote(
    job: Annotated[
        str | None,
        typer.Argument(metavar="JOB", help="A job file or a shipped job; you are asked without."),
    ] = None,
    piece: Annotated[
        str | None,
        typer.Option("--piece", metavar="SIZE", help='Without a job: such as "26 mm x 60 mm".'),
    ] = None,
    number: Annotated[
        str | None, typer.Option("--count", metavar="N", help="Without a job: good pieces.")
    ] = None,
    due: Annotated[
        str | None, typer.Option("--due", metavar="DATE", help="Without a job: year-month-day.")
    ] = None,
    out: Annotated[
        Path | None,
        typer.Option("--out", metavar="FILE", help="Without a job: also write a job file."),
    ] = None,
    quick: Annotated[
        bool, typer.Option("--quick", help="Closed forms only, as without a job: no solids.")
    ] = False,
    today: Today = None,
    as_json: AsJson = False,
    sets: Sets = None,
    quiet: Quiet = False,
    verbose: Verbose = False,
    castings: Castings = None,
    no_castings: NoCastings = False,
) -> Run:
    """What an order costs, how surely, and when it can be ready."""

    def run() -> int:
        from mouldgen.cli.quote import QuoteAsked, show_quote

        asked = QuoteAsked(
            job, piece=piece, count=number, due=due, out=out, quick=quick, today=today,
            json=as_json, sets=tuple(sets or ()), quiet=quiet, verbose=verbose,
            castings=castings, no_castings=no_castings,
        )  # fmt: skip
        if job is None:
            return show_quote(asked)
        return in_habit(job, asked.sets, lambda: show_quote(asked))

    return run


def dry(
    log: Annotated[
        str, typer.Argument(metavar="LOG", help="A CSV file of piece, when and weight.")
    ],
    add: Annotated[
        str | None,
        typer.Option("--add", metavar="WEIGHING", help='Put one at its end, such as "A1 412.3 g".'),
    ] = None,
    when: Annotated[
        str | None,
        typer.Option("--when", metavar="TIME", help="Of that weighing; now without it."),
    ] = None,
    scale: Annotated[
        str | None,
        typer.Option(
            "--scale", metavar="MASS", help="The scale's smallest digit; as written without it."
        ),
    ] = None,
    as_json: AsJson = False,
    quiet: Quiet = False,
    verbose: Verbose = False,
) -> Run:
    """Whether drying wood has come to constant weight."""

    def run() -> int:
        from mouldgen.cli.dry import DryAsked, show_drying

        return show_drying(
            DryAsked(
                log, add=add, when=when, scale=scale, json=as_json, quiet=quiet, verbose=verbose
            )
        )

    return run
