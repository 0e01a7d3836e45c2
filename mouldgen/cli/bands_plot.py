"""Bands as a plot of characters: a bar from where a quantity may start to where it may end."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from mouldgen.cli.plots import Scale, Signs, axis, head


@dataclass(frozen=True, eq=False)
class BandRow:
    """One band.

    name : left of it.
    low, high : its ends, in the unit of the plot; inf where there is none.
    words : right of it.
    """

    name: str
    low: float
    high: float
    words: str


def bands_plot(
    rows: Sequence[BandRow],
    *,
    line: float,
    line_words: str,
    unit: str,
    columns: int,
    drawn: Signs,
    start: float = 0.0,
) -> str:
    """One row a band, under a line that all are held against, over an axis.

    rows : at least one.
    line : its value, in the unit of the plot.
    line_words : beside its upper end.
    unit : of the axis.
    columns : that a text line may have.
    drawn : with what signs.
    start : a value that the plot must show at its left.
    """
    names = max(len(row.name) for row in rows)
    room = columns - names - 2 - 2 - max(len(row.words) for row in rows)
    ends = [value for row in rows for value in (row.low, row.high) if math.isfinite(value)]
    scale = Scale.reaching(1.02 * max([*ends, line]), columns=room, low=start)
    told = [" " * (names + 2) + head(line, line_words, scale, drawn)]
    for row in rows:
        cells = [" "] * scale.columns
        cells[scale.column(line)] = drawn.line
        if math.isfinite(row.low):
            first, last = scale.column(row.low), scale.column(row.high)
            cells[first : last + 1] = drawn.bar * (last - first + 1)
        if math.isinf(row.high):
            cells[-1] = drawn.beyond
        told.append(f"{row.name:<{names}}  {''.join(cells)}  {row.words}")
    told += [" " * (names + 2) + text for text in axis(scale, drawn, unit=unit)]
    return "\n".join(told)
