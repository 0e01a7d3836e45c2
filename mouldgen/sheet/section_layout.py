"""Dimension lines placed round a section so that no text lies on another: a small greedy layout.

Rows above and below the section, columns left and right of it.  Short lengths come first and
nearest; each goes into the first row or column where neither its line nor its text is in the way.
Lengths here are those of the page, y running down it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from mouldgen.errors import InternalError
from mouldgen.sheet.chart import WIDTH_OF_LETTER

if TYPE_CHECKING:
    from mouldgen.sheet.section_sizes import Dimension, Place

TEXT_MM = 2.8  # height of the type
RISE, DROP = 0.8, 0.25  # of a line of type over and under the line it stands on, of its height
FIRST_MM, STEP_MM = 5.0, 5.0  # from the section to the nearest row, and from row to row
ARROW_MM = 1.8
_CLEAR_MM = 0.6  # kept free round every text
_OUT_MM = 3.0  # a text that does not fit between its arrows begins so far beside the section
_MOST = 40  # rows


@dataclass(frozen=True, eq=False)
class Box:
    """An upright rectangle of the page [mm]."""

    left: float
    top: float
    right: float
    foot: float

    def meets(self, other: Box, *, clear: float = 0.0) -> bool:
        """Whether the two overlap, or come closer than `clear` [mm]."""
        return (
            self.left < other.right + clear
            and other.left < self.right + clear
            and self.top < other.foot + clear
            and other.top < self.foot + clear
        )


@dataclass(frozen=True, eq=False)
class Words:
    """A line of type on the page.

    text : of any kind.
    x, y : of the line it stands on, at its anchor [mm].
    anchor : start, middle or end.
    size : of the type [mm].
    upright : whether it is turned to be read from the right.
    bold : whether it is set in bold type.
    """

    text: str
    x: float
    y: float
    anchor: str = "start"
    size: float = TEXT_MM
    upright: bool = False
    bold: bool = False

    @property
    def box(self) -> Box:
        """What it covers, on the generous side [mm]."""
        wide = len(self.text) * WIDTH_OF_LETTER * self.size
        back = {"start": 0.0, "middle": wide / 2.0, "end": wide}[self.anchor]
        rise, drop = RISE * self.size, DROP * self.size
        if self.upright:
            low = self.y + back
            return Box(self.x - rise, low - wide, self.x + drop, low)
        left = self.x - back
        return Box(left, self.y - rise, left + wide, self.y + drop)


@dataclass(frozen=True, eq=False)
class Placed:
    """A dimension on the page.

    dimension : which one.
    words : its text.
    line : from end to end, two places [mm].
    extensions : lines from the section to it, two places each [mm].
    arrows : tip of each arrow, and the direction that it points in, (1, 0) to the right.
    """

    dimension: Dimension
    words: Words
    line: tuple[Place, Place]
    extensions: tuple[tuple[Place, Place], ...]
    arrows: tuple[tuple[Place, Place], ...]


@dataclass(frozen=True, eq=False)
class _Ground:
    """What dimensions stand round.

    section : what is drawn of the parts [mm].
    stops : where across the page lines from the section may come down: no text stands there.
    inward : whether a text rather stands towards the middle.
    """

    section: Box
    stops: tuple[float, ...]
    inward: bool

    def stops_at(self, words: Words) -> bool:
        box = words.box
        return any(box.left - _CLEAR_MM < x < box.right + _CLEAR_MM for x in self.stops)


def placed(
    dimensions: Sequence[Dimension],
    *,
    words: Callable[[Dimension], str],
    page: Callable[[Place], Place],
    section: Box,
    inward: bool = False,
) -> tuple[Placed, ...]:
    """Every dimension in a row or a column of its side.

    dimensions : of one section.
    words : the text of one.
    page : from u and z of the section to the page [mm].
    section : what is drawn of the parts, on the page [mm].
    inward : whether a text beside its arrows rather stands towards the middle, where a broad
        section has room for it.

    Raises InternalError where forty rows are not enough.
    """
    done: list[Placed] = []
    stops = [page(end)[0] for d in dimensions if d.level for end in (d.start, d.end)]
    ground = _Ground(section, tuple(stops), inward)
    for dimension in sorted(dimensions, key=_order):
        at = page(dimension.start), page(dimension.end)
        found = [
            one
            for number in range(_MOST)
            for one in _tries(dimension, words(dimension), at, ground, number)
        ]
        # Thin lines through a text are still read; better to have none.
        best = next((one for one in found if _free(one, done, lines=True)), None)
        best = best or next((one for one in found if _free(one, done, lines=False)), None)
        if best is None:
            raise InternalError(f"no row of the section has room for {dimension.name}")
        done.append(best)
    return tuple(done)


def _order(dimension: Dimension) -> tuple[float, str]:
    return round(dimension.seen_mm, 3), dimension.name


def _tries(
    dimension: Dimension,
    text: str,
    at: tuple[Place, Place],
    ground: _Ground,
    number: int,
) -> Iterator[Placed]:
    """The ways to write a dimension in one row, the best first."""
    away, section = FIRST_MM + number * STEP_MM, ground.section
    if dimension.level:
        y = section.foot + away if dimension.side == "below" else section.top - away
        yield from _in_row(dimension, text, at, ground, y)
    else:
        x = section.right + away if dimension.side == "right" else section.left - away
        yield from _in_column(dimension, text, at, x)


def _in_row(
    dimension: Dimension,
    text: str,
    at: tuple[Place, Place],
    ground: _Ground,
    y: float,
) -> Iterator[Placed]:
    (left, left_y), (right, right_y) = sorted(at)
    past = 1.0 if dimension.side == "below" else -1.0
    extensions = (((left, left_y), (left, y + past)), ((right, right_y), (right, y + past)))
    base = y - 0.8
    inside = Words(text, (left + right) / 2.0, base, "middle")
    if inside.box.right - inside.box.left + 2.0 * ARROW_MM < right - left:
        inward = (((left, y), (-1.0, 0.0)), ((right, y), (1.0, 0.0)))
        yield Placed(dimension, inside, ((left, y), (right, y)), extensions, inward)
        return
    outward = (((left, y), (1.0, 0.0)), ((right, y), (-1.0, 0.0)))
    tail = 2.0 * ARROW_MM
    near_left, near_right = left - tail - _CLEAR_MM, right + tail + _CLEAR_MM
    to_left, to_right = Words(text, near_left, base, "end"), Words(text, near_right, base)
    section = ground.section
    if ground.stops_at(to_left):
        to_left = replace(to_left, x=min(section.left - _OUT_MM, near_left))
    if ground.stops_at(to_right):
        to_right = replace(to_right, x=max(section.right + _OUT_MM, near_right))
    middle = (section.left + section.right) / 2.0
    pair = [
        (to_left, ((to_left.box.left, y), (right + tail, y))),
        (to_right, ((left - tail, y), (to_right.box.right, y))),
    ]
    outer = (left + right < 2.0 * middle) != ground.inward
    for written, line in pair if outer else pair[::-1]:
        yield Placed(dimension, written, line, extensions, outward)


def _in_column(
    dimension: Dimension, text: str, at: tuple[Place, Place], x: float
) -> Iterator[Placed]:
    (top_x, top), (foot_x, foot) = sorted(at, key=lambda place: place[1])
    right = dimension.side == "right"
    past = 1.0 if right else -1.0
    extensions = (((top_x, top), (x + past, top)), ((foot_x, foot), (x + past, foot)))
    along = Words(text, x - 0.8, (top + foot) / 2.0, "middle", upright=True)
    if along.box.foot - along.box.top + 2.0 * ARROW_MM < foot - top:
        inward = (((x, top), (0.0, -1.0)), ((x, foot), (0.0, 1.0)))
        yield Placed(dimension, along, ((x, top), (x, foot)), extensions, inward)
        return
    outward = (((x, top), (0.0, 1.0)), ((x, foot), (0.0, -1.0)))
    tail = 2.0 * ARROW_MM
    line = ((x, top - tail), (x, foot + tail))
    if right:  # three heights stand there: upright, over or under its line, each takes less room
        over = Words(text, x - 0.8, top - tail, "start", upright=True)
        under = Words(text, x - 0.8, foot + tail, "end", upright=True)
        for written in (over, under):
            reach = written.box.top, written.box.foot
            whole = ((x, min(line[0][1], *reach)), (x, max(line[1][1], *reach)))
            yield Placed(dimension, written, whole, extensions, outward)
    aside, anchor = (x + 1.6, "start") if right else (x - 1.6, "end")
    base = (top + foot) / 2.0 + 0.35 * TEXT_MM
    for lower in (0.0, -1.0, 1.0, -2.0, 2.0):  # beside the middle, then over or under it
        written = Words(text, aside, base + lower * 1.3 * TEXT_MM, anchor)
        yield Placed(dimension, written, line, extensions, outward)


def _free(one: Placed, done: Sequence[Placed], *, lines: bool) -> bool:
    """Whether a dimension may stand where it does, beside those that are placed.

    lines : whether extension lines have to keep clear of texts as well.
    """
    box, line = one.words.box, _thin(one.line)
    for other in done:
        their = other.words.box
        if box.meets(their, clear=_CLEAR_MM) or line.meets(their) or _thin(other.line).meets(box):
            return False
        if line.meets(_thin(other.line), clear=1.0) and _parallel(one, other):
            return False
        if lines and (
            any(_thin(way).meets(their) for way in one.extensions)
            or any(_thin(way).meets(box) for way in other.extensions)
        ):
            return False
    return True


def _parallel(one: Placed, other: Placed) -> bool:
    return one.dimension.level == other.dimension.level


def _thin(line: tuple[Place, Place]) -> Box:
    (a, b), (c, d) = line
    return Box(min(a, c), min(b, d), max(a, c), max(b, d))
