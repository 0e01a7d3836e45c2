"""A tier of the pot seen from above, in characters: a round with the moulds' numbers in it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from mouldgen.sheet.pot_card_values import CardSpot

COLUMNS, LINES = 23, 9  # on a card; a character is about twice as high as it is wide
_BETWEEN = 4  # columns between two tiers
_BESIDE = (0, 1, -1, 2, -2)  # columns by which a number may stand beside its place


@dataclass(frozen=True)
class Mark:
    """A text at a place in the pot.

    text : such as a mould's number.
    x, y : from the pot's axis, as a share of its inside radius; x to the right, y to the back.
    """

    text: str
    x: float
    y: float


def pot_drawing(spots: Sequence[CardSpot]) -> tuple[str, ...]:
    """The lines of one tier as a card has them, numbers in brackets.

    spots : of the tier.
    """
    return drawn([Mark(f"({numbers(spot.moulds)})", spot.x, spot.y) for spot in spots])


def drawn(marks: Sequence[Mark], *, columns: int = COLUMNS, lines: int = LINES) -> tuple[str, ...]:
    """The lines of one tier, all of them equally wide, the back of the pot on top.

    marks : of the tier.
    columns, lines : of the drawing, odd.

    Where there is no room for a text without touching another or the wall, it stands up to two
    columns beside its place; where there is none there either, a dot stands for it.
    """
    middle, half = (lines - 1) / 2.0, (columns - 1) / 2.0
    found = [_round(row - middle, columns=columns, lines=lines) for row in range(lines)]
    for mark in marks:
        row = round(middle - mark.y * middle)
        start = round(half + mark.x * half - (len(mark.text) - 1) / 2.0)
        dot = round(half + mark.x * half)
        # A column or two beside its place a number is still read as that mould's; a dot is not.
        places = [(mark.text, start + by) for by in _BESIDE] + [(".", dot)]
        for told, at in places:
            if _free(found[row], at, len(told)):
                found[row][at : at + len(told)] = told
                break
    return tuple("".join(line) for line in found)


def side_by_side(drawings: Sequence[Sequence[str]], *, columns: int) -> str:
    """Drawings beside one another, as many to a row as there is room for.

    drawings : of one size, at least one.
    columns : of the terminal or the sheet.
    """
    each = max(1, (columns + _BETWEEN) // (len(drawings[0][0]) + _BETWEEN))
    rows = [drawings[start : start + each] for start in range(0, len(drawings), each)]
    return "\n\n".join(
        "\n".join((" " * _BETWEEN).join(line).rstrip() for line in zip(*row, strict=True))
        for row in rows
    )


def numbers(moulds: tuple[int, int]) -> str:
    """``7``, or ``5-8`` where a mould has several numbers."""
    first, last = moulds
    return str(first) if first == last else f"{first}-{last}"


def _round(y: float, *, columns: int, lines: int) -> list[str]:
    """One line of the empty round."""
    middle, half = (lines - 1) / 2.0, (columns - 1) / 2.0
    line = [" "] * columns
    # The line's own edge that is nearer the middle, so that the first and last have a width.
    reach = round(half * math.sqrt(max(0.0, 1.0 - (max(0.0, abs(y) - 0.5) / middle) ** 2)))
    left, right = round(half) - reach, round(half) + reach
    if abs(y) == middle:
        line[left : right + 1] = ["-"] * (right - left + 1)
        line[left], line[right] = (".", ".") if y < 0 else ("'", "'")
    else:
        steep = abs(y) <= middle / 4.0
        line[left] = "|" if steep else "/" if y < 0 else "\\"
        line[right] = "|" if steep else "\\" if y < 0 else "/"
    return line


def _free(line: Sequence[str], at: int, wide: int) -> bool:
    """Whether a text has its own place in a line, with a blank on both sides."""
    return (
        at > 0
        and at + wide < len(line)
        and not any(line[k].strip() for k in range(at - 1, at + wide + 1))
    )
