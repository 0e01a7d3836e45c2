"""The chance of a void over the gap as a plot of characters: one row a gap."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from mouldgen.cli.plots import Scale, Signs, axis


@dataclass(frozen=True, eq=False)
class ChanceRow:
    """One gap.

    name : left of the plot.
    low, mean, high : chance of a void, 0 to 1.
    words : right of the plot.
    """

    name: str
    low: float
    mean: float
    high: float
    words: str


def chance_plot(rows: Sequence[ChanceRow], *, columns: int, drawn: Signs) -> str:
    """A band from low to high with a dot at the mean, over an axis in percent.

    rows : at least one.
    columns : that a text line may have.
    drawn : with what signs.
    """
    names = max(len(row.name) for row in rows)
    words = max(len(row.words) for row in rows)
    scale = Scale.reaching(
        100.0 * max(row.high for row in rows), columns=columns - names - words - 4
    )
    lines = []
    for row in rows:
        cells = [" "] * scale.columns
        first, last = scale.column(100.0 * row.low), scale.column(100.0 * row.high)
        cells[first : last + 1] = drawn.wide * (last - first + 1)
        cells[scale.column(100.0 * row.mean)] = drawn.dot
        lines.append(f"{row.name:>{names}}  {''.join(cells)}  {row.words}".rstrip())
    lines += [" " * (names + 2) + line for line in axis(scale, drawn, unit="% with a void")]
    lines.append(f"{drawn.wide} eight times in ten; {drawn.dot} the next casting")
    return "\n".join(lines)
