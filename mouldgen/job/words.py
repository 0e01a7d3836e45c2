"""Words of a maker: the nearest known one, and names that every system can store."""

from __future__ import annotations

import re
from collections.abc import Iterable

_NAME = re.compile(r"[a-z0-9][a-z0-9-]{0,47}")
_KEPT_BY_WINDOWS = {
    "con", "prn", "aux", "nul",
    *(f"com{n}" for n in range(1, 10)),
    *(f"lpt{n}" for n in range(1, 10)),
}  # fmt: skip

NAME_ALLOWED = "small letters, digits and hyphens, at most 48, such as coat-pegs"


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word that is most like this one, or None where none is."""
    import difflib  # only on the way to an error message

    folded = word.casefold().replace(" ", "-")
    options = list(known)
    close = difflib.get_close_matches(folded, options, n=1, cutoff=0.6)
    if close:
        return close[0]
    part = [option for option in options if len(folded) > 2 and folded in option]
    return part[0] if part else None


def printable(text: str) -> str:
    """The text without what would move the cursor or colour the terminal."""
    return "".join(sign if sign.isprintable() else " " for sign in text)


def one_line(text: str) -> str:
    """A text as a message can hold it: on one line, not too long, steering no terminal."""
    plain = " ".join(printable(text).split())
    return plain if len(plain) <= 60 else f"{plain[:56]} ..."


def is_name(text: str) -> bool:
    """Whether a text may name a job or a card: small letters, digits, hyphens."""
    return _NAME.fullmatch(text) is not None


def is_reserved(text: str) -> bool:
    """Whether Windows keeps this name for a device, whatever its ending."""
    return text.casefold().split(".")[0].strip() in _KEPT_BY_WINDOWS
