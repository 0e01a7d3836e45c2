"""The bounds of a gap as a plot of characters: a bar covers the gaps that a rule rules out."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from mouldgen.cli.plots import Scale, Signs, axis, head

if TYPE_CHECKING:
    from mouldgen.finding import Bound


def bounds_plot(
    bounds: Sequence[Bound], *, gap_mm: float | None, columns: int, drawn: Signs
) -> str:
    """One row a rule under a row with the gap, over an axis in mm and what the signs mean.

    bounds : of one gap, in their order.
    gap_mm : the vertical line; None in a conflict [mm].
    columns : that a line may have.
    drawn : with what signs.
    """
    from mouldgen.sheet.bounds_picture import plotted, shown_to_mm

    bounds = plotted(bounds)
    names = max(len(bound.rule) for bound in bounds)
    values = [_value_words(bound) for bound in bounds]
    room = columns - names - 2 - 2 - max(len(value) for value in values)
    scale = Scale.reaching(1.02 * shown_to_mm(bounds, gap_mm=gap_mm), columns=room)
    if gap_mm is None:
        top = "no gap is free of bars"
    else:
        top = head(gap_mm, f"gap {gap_mm:.2f} mm", scale, drawn)
    lines = [" " * (names + 2) + top]
    for bound, value in zip(bounds, values, strict=True):
        row = "".join(_row(bound, gap_mm, scale, drawn))
        lines.append(f"{bound.rule:<{names}}  {row:<{room}}  {value}")
    lines += [" " * (names + 2) + line for line in axis(scale, drawn, unit="mm")]
    return "\n".join([*lines, "", _meaning(bounds, gap_mm, drawn)])


def _row(bound: Bound, gap_mm: float | None, scale: Scale, drawn: Signs) -> list[str]:
    cells = [" "] * scale.columns
    if bound.value_mm is None:
        cells = [drawn.bar if bound.kind == "at_least" else drawn.wide] * scale.columns
    elif bound.kind == "at_least":
        at = scale.at(bound.value_mm)
        bar = drawn.bar * int(at) + (drawn.half if at % 1.0 >= 0.5 else "")
        cells[: len(bar)] = bar
    elif bound.kind == "at_most" and bound.value_mm <= scale.end:
        start = min(math.ceil(scale.at(bound.value_mm)), scale.columns - 1)
        cells[start:] = drawn.wide * (scale.columns - start)
    if gap_mm is not None:
        cells[scale.column(gap_mm)] = drawn.line
    if bound.value_mm is not None and bound.kind == "advice" and bound.value_mm <= scale.end:
        cells[scale.column(bound.value_mm)] = drawn.dot
    elif bound.value_mm is not None and scale.end < bound.value_mm < math.inf:
        cells[-1] = drawn.beyond
    return cells


def _meaning(bounds: Sequence[Bound], gap_mm: float | None, drawn: Signs) -> str:
    told = [f"{drawn.bar} too narrow for the rule"]
    if any(bound.kind == "at_most" for bound in bounds):
        told += [f"{drawn.wide} too wide", f"{drawn.beyond} further right"]
    if any(bound.kind == "advice" for bound in bounds):
        told.append(f"{drawn.dot} advice")
    if gap_mm is not None:
        told.append(f"{drawn.line} the gap")
    return ", ".join(told)


def _value_words(bound: Bound) -> str:
    from mouldgen.sheet.bounds_picture import any_gap, shown

    if bound.value_mm is None:
        return "none"
    return "any" if any_gap(bound) else shown(bound)
