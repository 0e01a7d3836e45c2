"""The chance of a void over the gap as SVG: the band, the castings, the gap of least cost.

Every casting stands at the gap of this job that is as wide against what air asks.  Castings that
stand at one gap are one circle, as large as they are many, as high as their share of voids.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator
from typing import TYPE_CHECKING

from mouldgen.castings.seen import gaps_seen
from mouldgen.sheet.chart import (
    DASHED,
    GREY,
    SMALL,
    Frame,
    Point,
    document,
    heading,
    n,
    stroke,
    text,
    within,
    x_axis,
    y_axis,
)

if TYPE_CHECKING:
    from mouldgen.castings.tune import Tuned

_WIDTH, _HEIGHT = 190.0, 118.0  # page [mm]
_LEFT, _TOP, _ROOM, _HIGH = 18.0, 30.0, 162.0, 66.0  # of the plot
_RADIUS = 0.7  # of a circle of one casting [mm]
_LARGEST = 4.0
_CLEAR = 8.0  # of words in the middle over a circle from the line of least cost [mm]
_BEYOND = 1.05
_BINS = 40  # circles side by side at most


def chance_svg(tuned: Tuned, *, title: str) -> str:
    """The chance of a void as a whole SVG document, the same text for the same castings.

    tuned : what castings say of a job's gap.
    title : above the picture and for screen readers; any text.
    """
    circles = _circles(tuned)
    frame = _frame(tuned, circles)
    parts = [
        heading(title, width=_WIDTH),
        *_band(tuned, frame),
        *x_axis(frame, "gap, mm"),
        *y_axis(frame, "castings with a void, %"),
        *_gaps(tuned, frame),
        *_drawn(circles, frame, beside_mm=tuned.least.gap_mm),
        text(_LEFT, _HEIGHT - 5.0, _LEGEND, size=SMALL),
    ]
    return document(
        parts,
        name="tune",
        title=title,
        description=_description(tuned),
        width=_WIDTH,
        height=_HEIGHT,
    )


_LEGEND = "grey: eight times in ten; line: the next casting; circles: yours, larger for more"

Circle = tuple[float, int, int]  # gap [mm], castings, voids


def _circles(tuned: Tuned) -> list[Circle]:
    """Castings near one another put together, by ratio of what is open."""
    bins: dict[int, list[tuple[float, bool]]] = defaultdict(list)
    reach = math.log(20.0)
    for gap, void in zip(gaps_seen(tuned), tuned.rows.void, strict=True):
        at = math.log((gap - tuned.job.taken_mm) / tuned.job.air_mm)
        bins[round(at / reach * _BINS)].append((gap, bool(void)))
    found = []
    for _, rows in sorted(bins.items()):
        mean = math.fsum(gap for gap, _ in rows) / len(rows)
        found.append((mean, len(rows), sum(void for _, void in rows)))
    return found


def _frame(tuned: Tuned, circles: list[Circle]) -> Frame:
    gaps, least = tuned.choices.gap_mm, tuned.least
    ends = [least.high_mm, least.now_mm, *(gap for gap, _, _ in circles)]
    last = min(float(gaps[-1]), max(1.5 * least.high_mm, *ends))
    first = min(float(gaps[0]), least.now_mm, *(gap for gap, _, _ in circles))
    highest = max(100.0 * point.high for point in tuned.band if point.gap_mm <= last)
    shares = [100.0 * voids / castings for _, castings, voids in circles]
    return Frame(
        left=_LEFT, top=_TOP, width=_ROOM, height=_HIGH,
        x_from=0.9 * first, x_to=_BEYOND * max(last, *ends),
        y_from=0.0, y_to=min(100.0, _BEYOND * max([highest, *shares, 5.0])),
    )  # fmt: skip


def _band(tuned: Tuned, frame: Frame) -> Iterator[str]:
    shown = [point for point in tuned.band if point.gap_mm <= frame.x_to]
    upper = [(point.gap_mm, 100.0 * point.high) for point in shown]
    lower = [(point.gap_mm, 100.0 * point.low) for point in shown]
    clipped = [(gap, min(share, frame.y_to)) for gap, share in upper]
    yield f'<path d="{frame.path([*clipped, *lower[::-1]])}Z" fill="{GREY}"/>'
    means: list[Point] = [(point.gap_mm, 100.0 * point.mean) for point in shown]
    for piece in within(means, low=0.0, high=frame.y_to):
        yield stroke(frame.path(piece), width=0.7)


def _gaps(tuned: Tuned, frame: Frame) -> Iterator[str]:
    """The gap of least cost with its range above the plot, and the gap of now."""
    least = tuned.least
    line = frame.top - 3.0
    low, high = frame.x(least.low_mm), frame.x(min(least.high_mm, frame.x_to))
    yield stroke(f"M{n(low)},{n(line)}v-1.2v2.4v-1.2H{n(high)}v-1.2v2.4", width=0.35)
    x = frame.x(least.gap_mm)
    yield stroke(f"M{n(x)},{n(line - 1.6)}V{n(frame.foot)}", width=0.9)
    words = f"least cost {least.gap_mm:.2f} mm"
    anchor = "start" if x < frame.left + 30.0 else "end" if x > frame.right - 30.0 else "middle"
    yield text(x, line - 3.4, words, size=3.8, anchor=anchor, bold=True)
    if abs(least.now_mm - least.gap_mm) > 0.005 and frame.x_from <= least.now_mm <= frame.x_to:
        now = frame.x(least.now_mm)
        yield stroke(f"M{n(now)},{n(frame.top)}V{n(frame.foot)}", width=0.3, dashes=DASHED)
        side, beside = ("end", -1.2) if now < x else ("start", 1.2)
        if side == "end" and now < frame.left + 26.0:
            side, beside = "start", 1.2
        yield text(
            now + beside, frame.top + 3.4, f"now {least.now_mm:.2f} mm", size=SMALL, anchor=side
        )


def _drawn(circles: list[Circle], frame: Frame, *, beside_mm: float) -> Iterator[str]:
    line = frame.x(beside_mm)
    for gap, castings, voids in circles:
        x, y = frame.x(gap), frame.y(100.0 * voids / castings)
        radius = min(_LARGEST, _RADIUS * math.sqrt(castings))
        yield (
            f'<circle cx="{n(x)}" cy="{n(y)}" r="{n(radius)}" fill="white" stroke="black"'
            ' stroke-width="0.4"/>'
        )
        above = y - radius - 1.0
        at = above if above > frame.top + 2.0 else y + radius + 3.4
        side = "middle" if abs(x - line) > _CLEAR else "end" if x <= line else "start"
        at_x = x if side == "middle" else line + (-1.2 if side == "end" else 1.2)
        yield text(at_x, at, f"{voids} of {castings}", size=SMALL, anchor=side)


def _description(tuned: Tuned) -> str:
    least = tuned.least
    return (
        f"{tuned.voids} of {tuned.castings} castings had voids. A good piece costs least at a gap"
        f" of {least.gap_mm:.2f} mm, eight times in ten between {least.low_mm:.2f} mm and"
        f" {least.high_mm:.2f} mm."
    )
