"""The parser of all commands, made from the functions that declare them.

A command on a job asks for an `Asked`, which brings the words that all of those take, and for
its own options.

Nothing that takes long to load may be imported at the top: ``--help`` reads this file.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import typer

from mouldgen.cli import log_commands
from mouldgen.cli import mould_commands as moulds
from mouldgen.cli import shop_commands as shop
from mouldgen.cli.options import takes_job

Command = Callable[..., Any]  # hands back what to run; log hands on to its own commands
EPILOG = (
    "Exit codes: 0 done; 1 something must be fixed, or no gap fits; 2 bad input or words;"
    " 3 the disk or the system failed; 130 interrupted."
)

# In the order of ``--help``: what is used daily comes first.
COMMANDS: tuple[Command, ...] = (
    moulds.new, moulds.gap, moulds.build, shop.resin, shop.potcard, log_commands.log, moulds.tune,
    moulds.demo, moulds.heat,
    moulds.check, moulds.beds, shop.pot, shop.buy, shop.plan, shop.quote, shop.sheet,
    shop.page, shop.shortcut, shop.dry, moulds.trial, moulds.catalogue, moulds.presets,
    moulds.schema,
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
        if function is log_commands.log and "log" in words:
            app.add_typer(log_commands.group(), name="log")  # it has commands of its own
            continue
        app.command()(_spelt(function) if function.__name__ in words else _only_named(function))
    return typer.main.get_command(app)


def _spelt(function: Command) -> Command:
    """The same with the words that all commands on a job take, where it is one."""
    return takes_job(function) if "asked" in function.__annotations__ else function


def _only_named(function: Command) -> Callable[[], None]:
    def stub() -> None:
        """Never called."""

    stub.__name__, stub.__doc__ = function.__name__, function.__doc__
    return stub
