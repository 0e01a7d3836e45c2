"""A TOML file as plain data, or one sentence about why not."""

from __future__ import annotations

import re
import tomllib
from copy import deepcopy
from functools import lru_cache
from pathlib import Path
from typing import Any

from mouldgen.errors import InputError, JobError, SurroundingsError

LARGEST_BYTES = 1_000_000
# The reader of TOML takes the square of a key's parts: half a minute for 40 kB of a.a.a ... = 1.
_MOST_PARTS = 20
_PART = r"""(?:[A-Za-z0-9_-]++|"[^"\n]*+"|'[^'\n]*+')"""
_MANY_PARTS = re.compile(rf"(?<![A-Za-z0-9_-]){_PART}(?:[ \t]*+\.[ \t]*+{_PART}){{{_MOST_PARTS}}}")


def read_toml(path: Path, *, label: str, error: type[InputError] = JobError) -> dict[str, Any]:
    """The tables of a TOML file.

    path : the file.
    label : what messages call it.
    error : raised for a file that is not there, too large, not text or not TOML.

    Raises `error`, or SurroundingsError where the system refuses to read the file.
    """
    if path.is_dir():
        raise error("this is a folder, not a file", where=label, allowed="a TOML file")
    try:
        if path.stat().st_size > LARGEST_BYTES:
            raise error(
                "this file is larger than 1 MB, which no job needs",
                where=label,
                allowed="a TOML file of at most 1 MB",
            )
        if not path.is_file():
            raise error("this is not an ordinary file", where=label, allowed="a TOML file")
        content = path.read_bytes()
    except (FileNotFoundError, NotADirectoryError, ValueError) as problem:
        if isinstance(problem, InputError):
            raise
        raise error("there is no such file", where=label, allowed="a TOML file") from None
    except OSError as problem:
        raise SurroundingsError(
            f"the file cannot be read ({problem.strerror or problem})", where=label
        ) from problem
    return parse_toml(content, label=label, error=error)


def parse_toml(content: bytes, *, label: str, error: type[InputError] = JobError) -> dict[str, Any]:
    """The tables in the bytes of a TOML file; a byte order mark is tolerated.  Raises `error`."""
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        line = content.count(b"\n", 0, problem.start) + 1
        raise error(
            f"the text is not UTF-8, from line {line} on",
            where=label,
            allowed="text in UTF-8",
            try_="Save the file again with the encoding set to UTF-8.",
        ) from None
    if deep := _MANY_PARTS.search(text):
        raise error(
            f"a key has more than {_MOST_PARTS} parts with dots between them",
            where=f"{label} line {text.count(chr(10), 0, deep.start()) + 1}",
            allowed='a key such as length = "70 mm" below its [table]',
        )
    try:
        return deepcopy(_tables(text))
    except ValueError as problem:  # with TOMLDecodeError, a number of thousands of digits
        raise _not_toml(str(problem), label, error) from None
    except RecursionError:
        raise error("brackets are nested too deeply", where=label, allowed="plain tables") from None


@lru_cache(maxsize=64)  # a page reads the same cards again at every edit
def _tables(text: str) -> dict[str, Any]:
    return tomllib.loads(text)


def _not_toml(problem: str, label: str, error: type[InputError]) -> InputError:
    found = re.search(r"\s*\(at line (\d+), column (\d+)\)", problem)
    reason = problem[: found.start()] if found else re.split(r" \(", problem)[0]
    if reason == r"Illegal character '\n'":
        reason = "a quote is opened on this line and not closed"
    elif reason.startswith("Exceeds the limit"):
        reason = "a number has thousands of digits"
    reason = re.sub(r"\('([^']*)',\)", r"[\1]", reason)
    at = f" line {found[1]}" if found else ""
    return error(
        f"this is not TOML: {reason[:1].lower()}{reason[1:]}",
        where=f"{label}{at}",
        allowed='lines such as length = "70 mm", and [tables] on lines of their own',
        try_="Text stands in quotes, and inches written with a sign in single ones: '1-1/8\"'.",
    )
