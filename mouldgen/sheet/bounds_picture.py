"""What every rule asks of the gap, as SVG: a bar covers the gaps that a rule rules out.

At least: grey, from nothing to where the rule asks.  At most: hatched, from the right.  Advice: a
dot.  The gap is the bold line where no bar is in its way.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from mouldgen.sheet.chart import (
    GREY,
    SMALL,
    Frame,
    document,
    hatching,
    heading,
    n,
    rect,
    stroke,
    text,
    ticks,
    x_axis,
)

if TYPE_CHECKING:
    from mouldgen.finding import Bound

_WIDTH = 190.0  # page [mm]
_LEFT, _ROOM = 24.0, 116.0  # of the plot
_TOP, _ROW, _BAR = 26.0, 8.0, 4.4
_FOOT = 27.0
_ENLARGED = (100, 50, 40, 25, 20, 10, 5, 4, 2, 1)  # a whole number, so that a ruler can check it
_FAR = 2.0  # an at-most bound so many times past everything else is an arrow at the edge
_DARK = "#8c8c8c"  # the bar of the rule that sets the gap


def bounds_svg(bounds: Sequence[Bound], *, gap_mm: float | None, set_by: str, title: str) -> str:
    """The bounds of a gap as a whole SVG document, the same text for the same bounds.

    bounds : one row each, in their order.
    gap_mm : the bold line; None in a conflict [mm].
    set_by : the rule whose bar is darker.
    title : above the picture and for screen readers; any text.
    """
    bounds = plotted(bounds)
    frame, enlarged = _frame(bounds, gap_mm)
    scale = f"gap in mm, drawn {enlarged} times as large as life" if enlarged > 1 else "gap in mm"
    rows = [
        part
        for number, bound in enumerate(bounds)
        for part in _row(bound, frame, _TOP + number * _ROW, chosen=bound.rule == set_by)
    ]
    parts = [
        heading(title, width=_WIDTH),
        *_grid(frame),
        *rows,
        *x_axis(frame, scale),
        *_gap_line(frame, gap_mm),
        *_legend(frame.foot + 20.0),
    ]
    return document(
        parts,
        name="bounds",
        title=title,
        description=_description(bounds, gap_mm, set_by),
        width=_WIDTH,
        height=frame.foot + _FOOT,
    )


def plotted(bounds: Sequence[Bound]) -> tuple[Bound, ...]:
    """The bounds that have a place in a plot: advice without a gap in it has none."""
    return tuple(b for b in bounds if not (b.kind == "advice" and _value(b) == math.inf))


def shown_to_mm(bounds: Sequence[Bound], *, gap_mm: float | None) -> float:
    """How far a plot must reach to show what matters [mm].

    All at-least bounds, advice and the gap; an at-most bound where it is not far beyond them.

    bounds : of one gap.
    gap_mm : that gap, or None [mm].
    """
    near = [gap_mm or 0.0]
    near += [_value(bound) for bound in bounds if bound.kind != "at_most"]
    most = [_value(bound) for bound in bounds if bound.kind == "at_most"]
    reach = max((value for value in near if math.isfinite(value)), default=0.0)
    if reach <= 0.0:
        reach = min((value for value in most if 0.0 < value < math.inf), default=1.0)
    return max([reach, *(value for value in most if value <= _FAR * reach)])


def _frame(bounds: Sequence[Bound], gap_mm: float | None) -> tuple[Frame, int]:
    """The plot, and how many times it enlarges."""
    need = 1.05 * shown_to_mm(bounds, gap_mm=gap_mm)
    enlarged = next((times for times in _ENLARGED if need * times <= _ROOM), 1)
    end = max(need, _ROOM / enlarged) if enlarged > 1 else need
    frame = Frame(
        left=_LEFT, top=_TOP, width=_ROOM, height=_ROW * len(bounds) + 1.0,
        x_from=0.0, x_to=end, y_from=0.0, y_to=1.0,
    )  # fmt: skip
    return frame, enlarged


def _row(bound: Bound, frame: Frame, top: float, *, chosen: bool) -> Iterator[str]:
    line = top + 0.5 * _ROW
    yield text(_LEFT - 2.0, line + 1.1, bound.rule, anchor="end", bold=chosen)
    yield text(frame.right + 3.0, line + 1.1, _words(bound), bold=chosen)
    value = max(0.0, _value(bound))
    bar = line - 0.5 * _BAR
    if bound.value_mm is None and bound.kind == "at_most":
        yield from _ruled_out(frame.left, bar, frame.width)
    elif bound.kind == "advice":
        if value <= frame.x_to:
            yield f'<circle cx="{n(frame.x(value))}" cy="{n(line)}" r="1.4"/>'
    elif bound.kind == "at_least":
        end = frame.x(min(value, frame.x_to))
        if end > frame.left:
            fill = _DARK if chosen else GREY
            yield rect(frame.left, bar, end - frame.left, _BAR, fill=fill)
            if value <= frame.x_to:
                yield stroke(f"M{n(end)},{n(bar)}v{n(_BAR)}", width=0.5)
    elif value <= frame.x_to:
        start = frame.x(value)
        yield from _ruled_out(start, bar, frame.right - start)
    elif math.isfinite(value):
        tip = frame.right
        yield stroke(f"M{n(tip - 8)},{n(line)}H{n(tip)}m-2,-1.2l2,1.2l-2,1.2", width=0.4)


def _ruled_out(start: float, bar: float, width: float) -> Iterator[str]:
    yield stroke(hatching(start, bar, width, _BAR), width=0.25)
    yield stroke(f"M{n(start)},{n(bar)}v{n(_BAR)}", width=0.5)


def _grid(frame: Frame) -> Iterator[str]:
    for value in ticks(frame.x_from, frame.x_to, most=10):
        x = n(frame.x(value))
        yield stroke(f"M{x},{n(frame.top)}V{n(frame.foot)}", width=0.15, colour="#bbbbbb")


def _gap_line(frame: Frame, gap_mm: float | None) -> Iterator[str]:
    if gap_mm is None:
        yield text(frame.left, frame.top - 4.0, "no gap is free of bars", bold=True, size=3.6)
        return
    x = frame.x(gap_mm)
    yield stroke(f"M{n(x)},{n(frame.top - 2.0)}V{n(frame.foot)}", width=0.9)
    words = f"gap {gap_mm:.2f} mm"
    anchor = "middle" if frame.left + 14.0 < x < frame.right - 14.0 else "start"
    if x >= frame.right - 14.0:
        anchor = "end"
    yield text(x, frame.top - 4.0, words, size=3.8, anchor=anchor, bold=True)


def _legend(line: float) -> Iterator[str]:
    x, bar = _LEFT, line - 3.0
    yield rect(x, bar, 9.0, 3.6, fill=GREY)
    yield stroke(f"M{n(x + 9)},{n(bar)}v3.6", width=0.5)
    yield text(x + 11.0, line, "too narrow for the rule", size=SMALL)
    yield stroke(f"M{n(x + 50)},{n(bar)}v3.6", width=0.5)
    yield stroke(hatching(x + 50.0, bar, 9.0, 3.6), width=0.25)
    yield text(x + 61.0, line, "too wide for it", size=SMALL)
    yield f'<circle cx="{n(x + 90)}" cy="{n(line - 1.1)}" r="1.4"/>'
    yield text(x + 93.0, line, "advice", size=SMALL)


def _words(bound: Bound) -> str:
    """What the rule asks for, to the strict side."""
    kind = {"at_least": "at least", "at_most": "at most", "advice": "advice"}[bound.kind]
    if bound.value_mm is None:
        return "no gap will do"
    return "any gap will do" if any_gap(bound) else f"{kind} {shown(bound)} mm"


def any_gap(bound: Bound) -> bool:
    """Whether a rule leaves every gap open: it asks for at least nothing, or for no end."""
    if bound.value_mm is None:
        return False
    return math.isinf(bound.value_mm) or (bound.kind == "at_least" and bound.value_mm <= 0.0)


def shown(bound: Bound, *, unit_mm: float = 1.0, places: int = 2) -> str:
    """A finite bound rounded to its strict side, as the gap is: what is shown meets the rule.

    bound : with a finite value.
    unit_mm : what it is shown in [mm].
    places : decimals.
    """
    steps = _value(bound) / unit_mm * 10**places
    whole = math.floor(steps + 1e-6) if bound.kind == "at_most" else math.ceil(steps - 1e-6)
    return f"{whole / 10**places:.{places}f}"


def _description(bounds: Sequence[Bound], gap_mm: float | None, set_by: str) -> str:
    asked = "; ".join(f"{bound.rule} {_words(bound)}" for bound in bounds)
    if gap_mm is None:
        return f"No gap meets every rule: {asked}."
    return f"The gap is {gap_mm:.2f} mm, set by {set_by}: {asked}."


def _value(bound: Bound) -> float:
    return math.inf if bound.value_mm is None else bound.value_mm
