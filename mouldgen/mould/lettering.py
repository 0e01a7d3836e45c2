"""Lettering for printed parts: centre lines, and the outline of strokes of a given width.

A character is a plane drawing whose strokes meet at shared points, so its outline needs no
polygon library: walk once around every face of the drawing, half a stroke to the right of the
lines.  The walk around the outside comes out counter-clockwise, the walk around a counter
clockwise, as fill rules want them.  Ends and corners are tangent polygons of 45 degrees a side:
never narrower than the stroke, and few triangles.
"""

from __future__ import annotations

import math
from functools import cache, lru_cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from mouldgen.errors import InputError
from mouldgen.mould.strokes import CAP, CHARACTERS, SPACING, WIDEST

Point = tuple[float, float]
Polyline = tuple[Point, ...]
Ring = NDArray[np.float64]

_STEP = math.radians(45.0)
_SHORTEST_MM = 0.01  # an edge below this prints nothing and makes needle triangles
_STRAIGHT = 1e-9  # a turn below this is a line that runs on


def strokes(text: str, *, height_mm: float) -> tuple[Polyline, ...]:
    """The centre lines of a line of text, from x = 0 with its base line on y = 0.

    height_mm : height of a capital, between centre lines [mm].

    Returns polylines of (x, y) [mm], in reading order.
    Raises InputError for a character that has no drawing, and for a height that is not positive.
    """
    scale = _scale(height_mm)
    return tuple(
        tuple((scale * (left + x), scale * y) for x, y in line)
        for left, char in _placed(text)
        for line in _drawing(char)
    )


def text_width(text: str, height_mm: float) -> float:
    """Width of a line of text between the centre lines of its ends [mm].

    Strokes of width w reach w/2 further at either end.  Raises InputError like `strokes`.
    """
    scale = _scale(height_mm)
    placed = _placed(text)
    if not placed:
        return 0.0
    left, char = placed[-1]
    return scale * (left + CHARACTERS[char][0])


def outline(text: str, *, height_mm: float, stroke_mm: float) -> list[Ring]:
    """The outline of a line of text as closed polygons, for either fill rule of a kernel.

    height_mm : height of a capital, between centre lines [mm].
    stroke_mm : width of a stroke, in whole printed lines; at most a quarter of the height [mm].

    Returns arrays (n, 2) [mm] without a repeated last point: outlines counter-clockwise,
    counters clockwise, none touching another.  The outline reaches stroke_mm/2 beyond the box
    that `strokes` fills.
    Raises InputError like `strokes`, and for a stroke too wide to leave the counters open.
    """
    scale = _scale(height_mm)
    if not 0.0 < stroke_mm <= WIDEST * height_mm * (1.0 + 1e-9):
        raise InputError(
            f"a stroke {stroke_mm:g} mm wide cannot draw characters {height_mm:g} mm high",
            allowed=f"more than 0, up to {WIDEST * height_mm:g} mm, a quarter of the height",
            try_="Write higher or with fewer printed lines a stroke.",
        )
    return [
        ring + np.array((scale * left, 0.0))
        for left, char in _placed(text)
        for ring in _rings(char, height_mm, stroke_mm)
    ]


def _scale(height_mm: float) -> float:
    if not (height_mm > 0.0 and math.isfinite(height_mm)):
        raise InputError(
            f"lettering cannot be {height_mm:g} mm high", allowed="a height above 0 mm"
        )
    return height_mm / CAP


def _placed(text: str) -> list[tuple[float, str]]:
    """Each character with the left end of its box, in grid units."""
    left = 0.0
    placed = []
    for char in text:
        if char not in CHARACTERS:
            raise InputError(
                f"the character {char!r} in {text!r} cannot be written on a mould",
                allowed=" ".join(sorted(CHARACTERS)).strip() + " and the space",
                try_="Use capital letters, digits and the signs listed.",
            )
        placed.append((left, char))
        left += CHARACTERS[char][0] + SPACING
    return placed


@cache
def _drawing(char: str) -> tuple[Polyline, ...]:
    """The strokes of one character in grid units."""
    lines = []
    for stroke in CHARACTERS[char][1].split(";"):
        points = [point.split(",") for point in stroke.split()]
        if points:
            lines.append(tuple((float(x), float(y)) for x, y in points))
    return tuple(lines)


@lru_cache(maxsize=512)
def _rings(char: str, height_mm: float, stroke_mm: float) -> tuple[Ring, ...]:
    """The outline of one character at x = 0 [mm]; read-only, since it is kept."""
    scale = height_mm / CAP
    rings = []
    for face in _faces(_drawing(char)):
        walk = [(scale * x, scale * y) for x, y in face]
        ring = np.array(_thinned(_beside(walk, stroke_mm / 2.0)))
        ring.flags.writeable = False
        rings.append(ring)
    return tuple(rings)


def _faces(lines: tuple[Polyline, ...]) -> list[list[Point]]:
    """The walk around each face of a drawing, the face on the right hand."""
    around: dict[Point, list[Point]] = {}
    for line in lines:
        for a, b in pairwise(line):
            around.setdefault(a, []).append(b)
            around.setdefault(b, []).append(a)
    around = {at: _counter_clockwise(at, ends) for at, ends in around.items()}
    ahead = {(a, b) for a, ends in around.items() for b in ends}
    faces = []
    for start in sorted(ahead):
        if start not in ahead:
            continue
        walk, (a, b) = [], start
        while (a, b) in ahead:
            ahead.remove((a, b))
            walk.append(a)
            ends = around[b]
            # The sharpest right turn: the next line counter-clockwise from the way back.
            a, b = b, ends[(ends.index(a) + 1) % len(ends)]
        faces.append(walk)
    return faces


def _counter_clockwise(at: Point, ends: list[Point]) -> list[Point]:
    return sorted(ends, key=lambda end: math.atan2(end[1] - at[1], end[0] - at[0]))


def _beside(walk: list[Point], half: float) -> list[Point]:
    """The line that runs `half` to the right of a closed walk."""
    ring: list[Point] = []
    for before, at, after in zip(walk[-1:] + walk[:-1], walk, walk[1:] + walk[:1], strict=True):
        came = math.atan2(at[1] - before[1], at[0] - before[0])
        goes = math.atan2(after[1] - at[1], after[0] - at[0])
        turn = math.remainder(goes - came, math.tau)
        if before == after:
            turn = math.pi  # the end of a stroke, where the remainder may take either sign
        if abs(turn) < _STRAIGHT:
            continue
        sides = max(1, math.ceil(turn / _STEP - 1e-6))  # one point where it turns right
        reach = half / math.cos(turn / (2 * sides))
        for side in range(sides):
            aim = came - math.pi / 2 + turn * (side + 0.5) / sides
            ring.append((at[0] + reach * math.cos(aim), at[1] + reach * math.sin(aim)))
    return ring


def _thinned(ring: list[Point]) -> list[Point]:
    """A ring without edges too short to print."""
    kept = ring[:1]
    for point in ring[1:]:
        if math.dist(point, kept[-1]) >= _SHORTEST_MM:
            kept.append(point)
    while len(kept) > 3 and math.dist(kept[0], kept[-1]) < _SHORTEST_MM:
        kept.pop()
    return kept
