"""What every plot is made of, as SVG: a page, words, ticks, curves cut off at a frame.

Black on white, so that it prints well; lengths in the file are millimetres.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from mouldgen.markup import escaped

WIDTH_OF_LETTER = 0.6  # of the height of the type, on the generous side for sans-serif
SMALL = 3.0  # type of numbers, legends and names inside a plot [mm]
GREY = "#d2d2d2"  # bars, bands and grounds: light enough for black lines and words on it
DASHED, DOTTED = "3 1.5", "0.6 1.4"  # a limit, and what is only told [mm]
_STEPS = (1.0, 2.0, 5.0, 10.0)

Point = tuple[float, float]


@dataclass(frozen=True, eq=False)
class Frame:
    """Where the values of a plot lie on the page, both axes even.

    left, top, width, height : of the plot on the page [mm].
    x_from, x_to : values at its left and right.
    y_from, y_to : values at its foot and top.
    """

    left: float
    top: float
    width: float
    height: float
    x_from: float
    x_to: float
    y_from: float
    y_to: float

    def x(self, value: float) -> float:
        """Where a value of the x axis lies on the page [mm]."""
        return self.left + self.width * (value - self.x_from) / (self.x_to - self.x_from)

    def y(self, value: float) -> float:
        """Where a value of the y axis lies on the page [mm]."""
        return self.top + self.height * (self.y_to - value) / (self.y_to - self.y_from)

    @property
    def right(self) -> float:
        """Its right edge on the page [mm]."""
        return self.left + self.width

    @property
    def foot(self) -> float:
        """Its lower edge on the page [mm]."""
        return self.top + self.height

    def path(self, points: Iterable[Point]) -> str:
        """The data of a path through points given as values."""
        return "M" + "L".join(f"{n(self.x(x))},{n(self.y(y))}" for x, y in points)


def document(
    parts: Iterable[str], *, name: str, title: str, description: str, width: float, height: float
) -> str:
    """A whole SVG file.

    parts : what is drawn on the white page.
    name : in front of the ids of title and description, so that pages can hold many pictures.
    title, description : for screen readers; any text.
    width, height : of the page [mm].
    """
    return "\n".join(
        [
            '<?xml version="1.0" encoding="UTF-8"?>',
            (
                f'<svg xmlns="http://www.w3.org/2000/svg" width="{n(width)}mm" '
                f'height="{n(height)}mm" viewBox="0 0 {n(width)} {n(height)}" '
                f'role="img" aria-labelledby="{name}-title {name}-desc" '
                'font-family="Helvetica, Arial, sans-serif" fill="black">'
            ),
            f'<title id="{name}-title">{escaped(title)}</title>',
            f'<desc id="{name}-desc">{escaped(description)}</desc>',
            f'<rect width="{n(width)}" height="{n(height)}" fill="white"/>',
            *parts,
            "</svg>",
            "",
        ]
    )


def heading(title: str, *, width: float) -> str:
    """A picture's title, as large as fits the page.

    width : of the page, 6 mm of it white at either side [mm].
    """
    size = min(5.0, (width - 12.0) / max(1.0, len(title) * WIDTH_OF_LETTER))
    return text(6.0, 9.0, title, size=size, bold=True)


def text(
    x: float, y: float, words: str, *, size: float = 3.2, anchor: str = "start", bold: bool = False
) -> str:
    """Words on the page.

    x, y : of the line they stand on [mm].
    size : of the type [mm].
    anchor : start, middle or end: which part of them is at x.
    """
    weight = ' font-weight="bold"' if bold else ""
    return (
        f'<text x="{n(x)}" y="{n(y)}" font-size="{n(size)}" text-anchor="{anchor}"{weight}>'
        f"{escaped(words)}</text>"
    )


def stroke(data: str, *, width: float = 0.3, dashes: str = "", colour: str = "black") -> str:
    """A line along a path.

    data : of the path.
    width : of the line [mm].
    dashes : lengths of dashes and of spaces between, such as ``2 1`` [mm].
    """
    broken = f' stroke-dasharray="{dashes}"' if dashes else ""
    return f'<path d="{data}" fill="none" stroke="{colour}" stroke-width="{n(width)}"{broken}/>'


def rect(x: float, y: float, width: float, height: float, *, fill: str) -> str:
    """A filled rectangle without an edge [mm]."""
    return f'<rect x="{n(x)}" y="{n(y)}" width="{n(width)}" height="{n(height)}" fill="{fill}"/>'


def hatching(x: float, y: float, width: float, height: float, *, apart: float = 1.6) -> str:
    """The data of a path that fills a rectangle with lines at 45 degrees [mm]."""
    lines = []
    for k in range(1, math.ceil((width + height) / apart)):
        low, high = max(0.0, k * apart - height), min(width, k * apart)
        lines.append(
            f"M{n(x + low)},{n(y + k * apart - low)}L{n(x + high)},{n(y + k * apart - high)}"
        )
    return "".join(lines)


def x_axis(
    frame: Frame, label: str, *, marks: Sequence[float] = (), shown: Sequence[str] = ()
) -> Iterator[str]:
    """The line below a plot, its ticks with their numbers, and what it shows.

    marks : values that get a tick; even ones where empty.
    shown : what stands under each of the marks.
    """
    at = marks or ticks(frame.x_from, frame.x_to, most=10)
    yield stroke(f"M{n(frame.left)},{n(frame.foot)}H{n(frame.right)}")
    for value, words in zip(at, shown or [f"{value:g}" for value in at], strict=True):
        x = frame.x(value)
        yield stroke(f"M{n(x)},{n(frame.foot)}v1.2")
        yield text(x, frame.foot + 4.8, words, size=SMALL, anchor="middle")
    yield text(frame.left + frame.width / 2, frame.foot + 10.0, label, anchor="middle")


def y_axis(frame: Frame, label: str) -> Iterator[str]:
    """The line left of a plot, its ticks with their numbers, and above it what it shows."""
    yield stroke(f"M{n(frame.left)},{n(frame.top)}V{n(frame.foot)}")
    for value in ticks(frame.y_from, frame.y_to, most=8):
        y = frame.y(value)
        yield stroke(f"M{n(frame.left)},{n(y)}h-1.2")
        yield text(frame.left - 2.0, y + 1.1, f"{value:g}", size=SMALL, anchor="end")
    yield text(frame.left - 2.0, frame.top - 3.0, label)


def step(span: float, *, most: int) -> float:
    """The smallest of 1, 2 and 5 times a power of ten that cuts a span into no more than `most`.

    span : above 0.
    """
    power = 10.0 ** math.floor(math.log10(span / most))
    return next(power * s for s in _STEPS if span / (power * s) <= most * (1.0 + 1e-9))


def ticks(start: float, end: float, *, most: int) -> tuple[float, ...]:
    """Round values from start to end, both included where they are round."""
    by = step(end - start, most=most)
    first, last = math.ceil(start / by - 1e-6), math.floor(end / by + 1e-6)
    return tuple(float(f"{k * by:.12g}") for k in range(first, last + 1))


def within(points: Sequence[Point], *, low: float, high: float) -> list[list[Point]]:
    """The pieces of a curve whose y lies from low to high, cut where it leaves.

    points : in their order; y may be infinite.
    """
    pieces: list[list[Point]] = []
    inside = False
    for here, there in pairwise(points):
        cut = _cut(here, there, low, high)
        if cut is None:
            inside = False
            continue
        if not inside:
            pieces.append([cut[0]])
        pieces[-1].append(cut[1])
        inside = cut[1] == there
    return pieces


def _cut(here: Point, there: Point, low: float, high: float) -> tuple[Point, Point] | None:
    """The part of a line between two heights, or None."""
    (x0, y0), (x1, y1) = here, there
    if not (math.isfinite(y0) and math.isfinite(y1)):
        return None
    if max(y0, y1) < low or min(y0, y1) > high:
        return None

    def end(x: float, y: float) -> Point:
        bound = min(max(y, low), high)
        return (x, y) if bound == y else (x0 + (x1 - x0) * (bound - y0) / (y1 - y0), bound)

    return end(x0, y0), end(x1, y1)


def apart(heights: Sequence[float], *, least: float, low: float, high: float) -> list[float]:
    """Heights moved as little as keeps labels from lying on one another [mm].

    heights : where the labels would stand, any order.
    least : between two labels.
    low, high : where they may stand.
    """
    order = sorted(range(len(heights)), key=lambda i: heights[i])
    placed = [min(max(heights[i], low), high) for i in order]
    for i in range(1, len(placed)):
        placed[i] = max(placed[i], placed[i - 1] + least)
    ceiling = high
    for i in range(len(placed) - 1, -1, -1):  # push back what ran over the end
        placed[i] = min(placed[i], ceiling)
        ceiling = placed[i] - least
    found = [0.0] * len(heights)
    for i, place in zip(order, placed, strict=True):
        found[i] = place
    return found


def n(value: float) -> str:
    """A length to the hundredth of a millimetre."""
    digits = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if digits == "-0" else digits
