"""Digits several lines high, drawn from block characters, to be read from a step away.

Every sign is three dots wide and five high, the colon and the point one dot wide.  In a large
one a dot is two columns of one line, which is near a square on paper; in a small one it is half
a line high and one column wide.
"""

from __future__ import annotations

from typing import Literal

from mouldgen.errors import InputError

Size = Literal["large", "small"]

LINES: dict[Size, int] = {"large": 5, "small": 3}

_DOTS = {
    "0": ("###", "# #", "# #", "# #", "###"),
    "1": (" # ", "## ", " # ", " # ", "###"),
    "2": ("###", "  #", "###", "#  ", "###"),
    "3": ("###", "  #", " ##", "  #", "###"),
    "4": ("# #", "# #", "###", "  #", "  #"),
    "5": ("###", "#  ", "###", "  #", "###"),
    "6": ("###", "#  ", "###", "# #", "###"),
    "7": ("###", "  #", " # ", " # ", " # "),
    "8": ("###", "# #", "###", "# #", "###"),
    "9": ("###", "# #", "###", "  #", "###"),
    ":": (" ", "#", " ", "#", " "),
    ".": (" ", " ", " ", " ", "#"),
}
_BLOCK = "█"
_HALVES = {"  ": " ", "# ": "▀", " #": "▄", "##": _BLOCK}  # the upper dot and the lower one


def big_digits(text: str, *, size: Size = "large", block: str = _BLOCK) -> tuple[str, ...]:
    """The lines of a number, all of them equally wide.

    text : digits, with colons or a point.
    size : five lines high, or three.
    block : what a dot of a large one is drawn with, one column wide.

    Raises InputError for a sign that is not drawn.
    """
    unknown = sorted(set(text) - set(_DOTS))
    if unknown or not text:
        raise InputError(
            f"{text!r} cannot be drawn large", allowed="digits, a point and colons, at least one"
        )
    rows = [" ".join(_DOTS[sign][row] for sign in text) for row in range(5)]
    if size == "large":
        return tuple("".join(2 * (block if dot == "#" else " ") for dot in row) for row in rows)
    rows.append(" " * len(rows[0]))
    return tuple(
        "".join(_HALVES[upper + lower] for upper, lower in zip(rows[k], rows[k + 1], strict=True))
        for k in (0, 2, 4)
    )


def read_back(lines: tuple[str, ...]) -> str:
    """What such lines say: the inverse of `big_digits` with its own block, for checks.

    lines : of one number.

    Raises InputError for lines that are no such number.
    """
    if len(lines) == LINES["large"]:
        rows = ["".join("#" if sign == _BLOCK else " " for sign in line[::2]) for line in lines]
    else:
        dots = {half: pair for pair, half in _HALVES.items()}
        both = [[dots.get(sign, "  ") for sign in line] for line in lines]
        rows = ["".join(pair[k] for pair in line) for line in both for k in (0, 1)][:5]
    said, at = "", 0
    while at < len(rows[0]):
        for sign, drawn in _DOTS.items():
            wide = len(drawn[0])
            if tuple(row[at : at + wide] for row in rows) == drawn:
                said, at = said + sign, at + wide + 1
                break
        else:
            raise InputError("these lines are no number")
    return said
