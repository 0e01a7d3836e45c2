"""Errors as the page is told them: the facts apart, the sentence whole, never a traceback."""

from __future__ import annotations

import re
from typing import Any

from mouldgen.errors import InputError, InternalError, MouldgenError, SurroundingsError

# Such as ``pegs.toml [piece] diameter`` or ``pegs.toml [[colour]] 2 share``.
_IN_TABLE = re.compile(r"\[\[?(?P<table>[a-z_.]+)\]\]?(?: (?P<item>\d+)\b)?(?: (?P<key>[a-z_]+))?")
_AT_TOP = re.compile(r"\.toml (?P<key>[a-z_]+)$")


class ConflictError(InputError):
    """What is to be saved would write over something that the maker has not seen."""

    id = "conflict"


class TooLargeError(InputError):
    """What was sent is larger than anything that is read."""

    id = "too-large"


def problem_of(error: MouldgenError, *, key: str = "") -> dict[str, Any]:
    """An error as JSON tells it.

    error : already in the words of its reader.
    key : that was edited, where the error names none itself.
    """
    return {
        "problem": {
            "id": error.id,
            "what": error.what,
            "where": error.where,
            "key": key_of(error.where) or key,
            "allowed": error.allowed,
            "try": error.try_,
            "text": str(error),
        }
    }


def key_of(where: str) -> str:
    """The key of the job file that an error's place names, such as ``piece.diameter``.

    where : as errors have it, such as ``pegs.toml [piece] diameter``; lists count from one.

    Empty where it names none.
    """
    if found := _IN_TABLE.search(where):
        return ".".join(part for part in found.group("table", "item", "key") if part)
    top = _AT_TOP.search(where)
    return top["key"] if top else ""


def status_of(error: MouldgenError) -> int:
    """The status of the answer that tells an error."""
    if isinstance(error, ConflictError):
        return 409
    if isinstance(error, TooLargeError):
        return 413
    if isinstance(error, SurroundingsError):
        return 503
    return 500 if isinstance(error, InternalError) else 422
