"""What the plots on the terminal are made of: signs, a scale in columns, an axis."""

from __future__ import annotations

import math
import sys
from dataclasses import dataclass


@dataclass(frozen=True, eq=False)
class Signs:
    """What a plot is drawn with; each one column wide."""

    bar: str
    half: str  # the end of a bar in half a column; empty for none
    wide: str  # too wide for a rule
    dot: str
    line: str  # what the bars are to be held against
    beyond: str  # a value to the right of the plot
    tick: str
    axis: str


BLOCKS = Signs(bar="█", half="▌", wide="░", dot="●", line="│", beyond="→", tick="┴", axis="─")
PLAIN = Signs(bar="#", half="", wide="/", dot="o", line="|", beyond=">", tick="+", axis="-")


def signs() -> Signs:
    """Blocks where standard output takes them, else ASCII."""
    encoding = getattr(sys.stdout, "encoding", None) or "ascii"
    return BLOCKS if encoding.casefold().replace("-", "") == "utf8" else PLAIN


@dataclass(frozen=True, eq=False)
class Scale:
    """The columns that values fall into.

    columns : of the plot.
    start, end : the values at its left and right ends.
    by : between two ticks.
    """

    columns: int
    start: float
    end: float
    by: float

    @classmethod
    def reaching(cls, value: float, *, columns: int, low: float = 0.0) -> Scale:
        """A scale from the tick before one value to the tick past another."""
        from mouldgen.sheet.chart import step

        by = step(value - low, most=max(2, columns // 8))
        return cls(columns, math.floor(low / by) * by, math.ceil(value / by - 1e-9) * by, by)

    def at(self, value: float) -> float:
        """How many columns lie left of a value, with their parts."""
        share = (value - self.start) / (self.end - self.start)
        return min(max(0.0, share * self.columns), float(self.columns))

    def column(self, value: float) -> int:
        """The column that a value falls into."""
        return min(self.columns - 1, int(self.at(value) + 1e-9))


def head(value: float, words: str, scale: Scale, drawn: Signs) -> str:
    """The upper end of a line at a value, with words beside it where there is more room."""
    column = scale.column(value)
    if column + 2 + len(words) <= scale.columns:
        return " " * column + f"{drawn.line} {words}"
    return f"{words} {drawn.line}".rjust(column + 1)


def axis(scale: Scale, drawn: Signs, *, unit: str) -> tuple[str, str]:
    """The axis and the numbers under it."""
    line = [drawn.axis] * scale.columns
    numbers = [" "] * (scale.columns + 8)
    places = max(0, -math.floor(math.log10(scale.by) + 1e-9))
    for tick in range(round((scale.end - scale.start) / scale.by) + 1):
        value = scale.start + tick * scale.by
        column = scale.column(value)
        line[column] = drawn.tick
        text = f"{value:.{places}f}"
        start = max(0, min(column - (len(text) - 1) // 2, scale.columns - len(text)))
        numbers[start : start + len(text)] = text
    return "".join(line), "".join(numbers).rstrip() + f" {unit}"
