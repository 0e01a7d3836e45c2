"""The one place where errors become a paragraph and an exit code."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Sequence

from mouldgen import cli
from mouldgen.cli.say import set_streams, tell
from mouldgen.errors import InternalError, MouldgenError

DONE = 0
USAGE = 2
SURROUNDINGS = 3
INTERRUPTED = cli.INTERRUPTED


def run(argv: Sequence[str] | None) -> int:
    """Parse the words, run what they ask for, and return the exit code.

    argv : the words after ``mouldgen``; those of the process where None.
    """
    words = list(sys.argv[1:] if argv is None else argv) or ["--help"]
    set_streams()
    try:
        code = _watched(lambda: _run(words), verbose="--verbose" in words)
        sys.stdout.flush()
    except BrokenPipeError:
        code = _reader_left()
    except OSError as problem:
        code = _surroundings(problem)
    return code


def _run(words: list[str]) -> int:
    asked = _parsed(words)
    return asked() if callable(asked) else asked


def _parsed(words: list[str]) -> Callable[[], int] | int:
    """What to run, or the exit code where parsing alone has done it all (``--help``)."""
    import typer

    from mouldgen.cli.app import command

    # The parser's own errors are told apart by their base, which has no public name.
    usage_error: type[Exception] = typer.BadParameter.__mro__[2]
    try:
        asked: Callable[[], int] | int | None = command(words).main(
            words, prog_name="mouldgen", standalone_mode=False
        )
    except usage_error as problem:
        tell(_usage(problem))
        return USAGE
    if asked == INTERRUPTED:  # Ctrl-C while it parsed: no command has run
        raise KeyboardInterrupt
    return DONE if asked is None else asked


def _usage(problem: Exception) -> str:
    """One plain paragraph from an error of the parser."""
    what = " ".join(problem.format_message().split())  # type: ignore[attr-defined]
    what = what if what.endswith((".", "?", "!")) else f"{what}."
    context = getattr(problem, "ctx", None)
    path = context.command_path if context else "mouldgen"
    return f"{what} For the words that can follow: {path} --help."


def _watched(work: Callable[[], int], *, verbose: bool) -> int:
    try:
        return work()
    except MouldgenError as problem:
        if verbose and isinstance(problem, InternalError):
            _show_traceback()
        tell(str(problem))
        return problem.exit_code
    except KeyboardInterrupt:
        tell("Interrupted.")
        return INTERRUPTED
    except OSError:  # a broken pipe, a full disk: told by the caller
        raise
    except MemoryError:
        tell("This needs more memory than there is. A coarser scan or fewer facets need less.")
        return SURROUNDINGS
    except Exception as problem:  # noqa: BLE001 - a maker is never shown a traceback unasked
        if verbose:
            _show_traceback()
        told = " ".join(f"{type(problem).__name__}: {problem}".rstrip(": ").split())
        hint = "" if verbose else " Run the same words with --verbose to see where."
        tell(f"mouldgen hit a bug, and it is not your doing ({told}).{hint}")
        return SURROUNDINGS


def _show_traceback() -> None:
    import traceback

    traceback.print_exc()


def _surroundings(problem: OSError) -> int:
    name = f"{problem.filename}: " if problem.filename else ""
    tell(f"{name}the system refused: {problem.strerror or problem}.")
    return SURROUNDINGS


def _reader_left() -> int:
    """Whoever read our output has what they wanted; the interpreter must not complain either."""
    sys.stdout = open(os.devnull, "w", encoding="utf-8")  # noqa: PTH123, SIM115
    return DONE
