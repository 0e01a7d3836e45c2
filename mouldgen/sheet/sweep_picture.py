"""How the gap and what every rule asks for change with one value of the job, as SVG.

One line a rule with its name at its end, at-most bounds dashed, advice dotted, the gap thick.
Where no gap meets every rule the ground is grey; where the job itself is refused it is hatched.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise
from typing import TYPE_CHECKING

from mouldgen.sheet.chart import (
    DASHED,
    DOTTED,
    GREY,
    SMALL,
    Frame,
    Point,
    apart,
    document,
    hatching,
    heading,
    n,
    rect,
    stroke,
    text,
    within,
    x_axis,
    y_axis,
)

if TYPE_CHECKING:
    from mouldgen.finding import Bound, Kind

_WIDTH, _HEIGHT = 190.0, 128.0  # page [mm]
_LEFT, _TOP, _ROOM, _HIGH = 16.0, 28.5, 140.0, 76.5  # of the plot
_LINE = 4.2  # between two labels
_ABOVE = 1.3  # the plot's top over the widest gap
_MOST_POINTS, _CUT = 0.8, 2.0  # a gap twice as wide as in four points of five is cut off
_ADVICE = 3.0  # advice so many times past the plot is left to the words
_DASHES: dict[Kind, str] = {"at_least": "", "at_most": DASHED, "advice": DOTTED}
_NO_GAP, _REFUSED = "no gap", "refused"


@dataclass(frozen=True, eq=False)
class SweepPoint:
    """What the rules answer at one value.

    value : in the unit of the picture.
    gap_mm : the gap, or None where there is none [mm].
    set_by : the rule that set it, or empty.
    bounds : of every rule; none where the job itself was refused.
    """

    value: float
    gap_mm: float | None
    set_by: str
    bounds: tuple[Bound, ...]


def sweep_svg(points: Sequence[SweepPoint], *, key: str, unit: str, title: str) -> str:
    """A sweep as a whole SVG document, the same text for the same points.

    points : at least two, their values rising.
    key : what was swept, such as ``pour.shop``.
    unit : of the values, or empty.
    title : above the picture and for screen readers; any text.
    """
    frame = _frame(points)
    swept = f"{key}, {unit}" if unit else key
    parts = [
        heading(title, width=_WIDTH),
        *_grounds(points, frame),
        *_set_by(points, frame),
        *x_axis(frame, swept),
        *y_axis(frame, "gap, mm"),
        *_curves(points, frame),
        text(_LEFT, _HEIGHT - 5.0, _legend(points), size=SMALL),
    ]
    return document(
        parts,
        name="sweep",
        title=title,
        description=_description(points, swept),
        width=_WIDTH,
        height=_HEIGHT,
    )


def _legend(points: Sequence[SweepPoint]) -> str:
    """What the lines and grounds of this picture mean."""
    kinds = {bound.kind for point in points for bound in point.bounds}
    states = {_state(point) for point in points}
    told = {
        "thick: the gap": True,
        "thin: at least": "at_least" in kinds,
        "dashed: at most": "at_most" in kinds,
        "dotted: advice": "advice" in kinds,
        "grey: no gap meets every rule": _NO_GAP in states,
        "hatched: the job is refused": _REFUSED in states,
    }
    return "; ".join(words for words, is_there in told.items() if is_there)


def _frame(points: Sequence[SweepPoint]) -> Frame:
    gaps = [point.gap_mm for point in points if point.gap_mm is not None]
    bounds = [bound for point in points for bound in point.bounds]
    widest = max(gaps, default=0.0) or min(
        (b.value_mm for b in bounds if b.value_mm is not None and 0.0 < b.value_mm < math.inf),
        default=1.0,
    )
    told = [b.value_mm for b in bounds if b.kind == "advice" and b.value_mm is not None]
    most = sorted(gaps)[int(_MOST_POINTS * (len(gaps) - 1))] if gaps else widest
    shown = min(_ABOVE * widest, _CUT * most)
    top = max([shown, *(1.1 * mm for mm in told if mm <= _ADVICE * shown)])
    return Frame(
        left=_LEFT, top=_TOP, width=_ROOM, height=_HIGH,
        x_from=points[0].value, x_to=points[-1].value, y_from=0.0, y_to=top,
    )  # fmt: skip


# ------------------------------------------------------------------ grounds and what set the gap


def _grounds(points: Sequence[SweepPoint], frame: Frame) -> Iterator[str]:
    """Shade the values at which there is no gap, each as far as half way to its neighbours."""
    for state, start, end in _stretches(points, _state):
        left, width = frame.x(start), frame.x(end) - frame.x(start)
        if state == _NO_GAP:
            yield rect(left, frame.top, width, frame.height, fill=GREY)
        elif state == _REFUSED:
            data = hatching(left, frame.top, width, frame.height, apart=4.0)
            yield stroke(data, width=0.15)


def _set_by(points: Sequence[SweepPoint], frame: Frame) -> Iterator[str]:
    """Above the plot, what sets the gap from where to where."""
    line = frame.top - 8.5
    yield text(4.0, line - 1.2, "set by", size=SMALL)
    for rule, start, end in _stretches(points, lambda point: point.set_by or _state(point)):
        left, right = frame.x(start), frame.x(end)
        yield stroke(f"M{n(left + 0.3)},{n(line + 1.5)}v-1.5H{n(right - 0.3)}v1.5")
        if right - left > 1.9 * len(rule):
            yield text(0.5 * (left + right), line - 1.2, rule, size=SMALL, anchor="middle")


def _state(point: SweepPoint) -> str:
    if not point.bounds:
        return _REFUSED
    return _NO_GAP if point.gap_mm is None else ""


def _stretches(
    points: Sequence[SweepPoint], of: Callable[[SweepPoint], str]
) -> Iterator[tuple[str, float, float]]:
    """Neighbours that are alike, from half way before the first to half way behind the last."""
    values = [point.value for point in points]
    edges = [values[0], *(0.5 * (a + b) for a, b in pairwise(values))]
    edges.append(values[-1])
    for state, group in groupby(range(len(points)), key=lambda i: of(points[i])):
        numbers = list(group)
        yield state, edges[numbers[0]], edges[numbers[-1] + 1]


# -------------------------------------------------------------------------- lines and their names


def _curves(points: Sequence[SweepPoint], frame: Frame) -> Iterator[str]:
    kinds = {bound.rule: bound.kind for point in points for bound in point.bounds}
    ends: list[tuple[str, Point]] = []
    gaps = [(p.value, math.inf if p.gap_mm is None else p.gap_mm) for p in points]
    pieces = within(gaps, low=0.0, high=frame.y_to)
    for piece in pieces:
        yield stroke(frame.path(piece), width=1.1)
    if pieces:
        ends.append(("gap", pieces[-1][-1]))
    for rule, kind in kinds.items():
        pieces = within(_asked(points, rule), low=0.0, high=frame.y_to)
        for piece in pieces:
            yield stroke(frame.path(piece), width=0.35, dashes=_DASHES[kind])
        if pieces:
            ends.append((rule, pieces[-1][-1]))
    yield from _names(ends, frame)


def _asked(points: Sequence[SweepPoint], rule: str) -> list[Point]:
    """What a rule asks for at each value; infinite where it asks for nothing or all too much."""
    found = []
    for point in points:
        values = [b.value_mm for b in point.bounds if b.rule == rule and b.value_mm is not None]
        found.append((point.value, values[0] if values else math.inf))
    return found


def _names(ends: Sequence[tuple[str, Point]], frame: Frame) -> Iterator[str]:
    """Each name right of the plot, with a hair line from where its curve ends."""
    heights = [frame.y(y) for _, (_, y) in ends]
    places = apart(heights, least=_LINE, low=frame.top, high=frame.foot)
    for (name, (x, _)), height, place in zip(ends, heights, places, strict=True):
        start, left = frame.x(x), frame.right
        yield stroke(
            f"M{n(start)},{n(height)}L{n(left + 5)},{n(place)}", width=0.12, colour="#777777"
        )
        yield text(left + 6.0, place + 1.1, name, bold=name == "gap")


def _description(points: Sequence[SweepPoint], swept: str) -> str:
    told = []
    for point in points:
        if point.gap_mm is None:
            told.append(f"{point.value:g}: {_state(point)}")
        else:
            told.append(f"{point.value:g}: {point.gap_mm:.2f} mm, set by {point.set_by}")
    return f"Gap for each value of {swept}. {'; '.join(told)}."
