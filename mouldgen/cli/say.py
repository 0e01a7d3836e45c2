"""What goes to the terminal: the answer to standard output, all else to standard error."""

from __future__ import annotations

import contextlib
import os
import re
import shutil
import sys
from typing import TYPE_CHECKING, Any

from mouldgen.job.words import printable

if TYPE_CHECKING:
    from collections.abc import Mapping

    from mouldgen.job.load import LoadedJob

NARROWEST = 40
WIDEST = 100  # longer lines are hard to read
PLAIN = 80  # where the answer does not go to a terminal
_BEFORE_FRACTION = re.compile(r"(?<=\d) (?=\d+/\d)")
_FIXED = "\N{NO-BREAK SPACE}"


def set_streams() -> None:
    """Show characters that the terminal does not have by their number instead of failing.

    A stream that is closed reads as empty and takes what is written.
    """
    for name, mode in (("stdin", "r"), ("stdout", "w"), ("stderr", "w")):
        if getattr(sys, name) is None:
            setattr(sys, name, open(os.devnull, mode, encoding="utf-8"))  # noqa: PTH123, SIM115
    for stream in (sys.stdout, sys.stderr):
        with contextlib.suppress(AttributeError, OSError, ValueError):
            stream.reconfigure(errors="backslashreplace")  # type: ignore[union-attr]


def say(text: str = "") -> None:
    """One line or more of the answer."""
    print(text)


def say_json(data: Mapping[str, Any], *, of: LoadedJob | None = None) -> None:
    """The whole answer as one JSON object, in ASCII whatever the terminal's encoding.

    data : without the version that says it, which is added.
    of : the job that it is of, whose fingerprint is added too; None where there is none.
    """
    import json

    import mouldgen

    told = {**data, "version": mouldgen.__version__}
    if of is not None:
        from mouldgen.fingerprint import fingerprint_of

        told["fingerprint"] = fingerprint_of(of.job, of.learned)
    print(json.dumps(told, indent=2, allow_nan=False))


def say_wrapped(text: str, *, first: str = "", rest: str | None = None) -> None:
    """A paragraph, broken to the width of the terminal.

    first : in front of its first line.
    rest : in front of the others; as wide as `first` where None.
    """
    say(wrapped(text, first=first, rest=rest))


def wrapped(text: str, *, first: str = "", rest: str | None = None, columns: int = 0) -> str:
    """A paragraph broken to lines; neither a word nor ``3 1/2`` is ever broken.

    columns : to break to; 0 for the width of the terminal.
    """
    import textwrap

    return textwrap.fill(
        _BEFORE_FRACTION.sub(_FIXED, text),
        width=columns or width(),
        initial_indent=first,
        subsequent_indent=" " * len(first) if rest is None else rest,
        break_long_words=False,
        break_on_hyphens=False,
    ).replace(_FIXED, " ")


def width() -> int:
    """Columns to write in."""
    if not sys.stdout.isatty():
        return PLAIN
    return max(NARROWEST, min(WIDEST, shutil.get_terminal_size().columns))


def tell(text: str) -> None:
    """One paragraph on standard error; broken to lines only where a person reads it there."""
    plain = " ".join(printable(text).split())
    if sys.stderr.isatty():
        plain = wrapped(plain, columns=max(NARROWEST, shutil.get_terminal_size().columns))
    with contextlib.suppress(OSError, ValueError):  # nobody is left to be told
        print(plain, file=sys.stderr, flush=True)
