"""Where the lettering goes: on the wall of the cup and on the top of the lid."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from mouldgen.mould.lettering import outline, text_width
from mouldgen.mould.strokes import WIDEST
from mouldgen.size import Size
from mouldgen.solid.mesh import Floats

TALLEST_LETTERS = 6.0  # mm; lower than LOWEST they do not print legibly (our own trial, no source)
LOWEST_LETTERS = 3.5
LABEL_EDGE = 1.5  # mm between lettering and the lid's edge
STEP_MM = 0.5  # between two places that are tried
CLEAR = 0.8  # mm between lettering and a hole or a groove's back

Round = tuple[float, float, float]  # x, y, radius [mm]


@dataclass(frozen=True, eq=False)
class Label:
    """One line of lettering.

    text : what it says.
    height_mm : of the capitals [mm].
    stroke_mm : width of the strokes, whole lines [mm].
    x_mm, y_mm : lower left corner; on the body x runs up the wall and y round it [mm].
    """

    text: str
    height_mm: float
    stroke_mm: float
    x_mm: float
    y_mm: float


def letter_rings(label: Label) -> list[Floats]:
    """The outlines of a line of lettering where it stands, each (n, 2) [mm]."""
    corner = np.array([label.x_mm, label.y_mm])
    rings = outline(label.text, height_mm=label.height_mm, stroke_mm=label.stroke_mm)
    return [ring + corner for ring in rings]


def stroke_of(line_mm: float) -> float:
    """Width of a stroke [mm]: two printed lines, or one where two would close the counters.

    line_mm : width of a printed line [mm].
    """
    return 2.0 * line_mm if 2.0 * line_mm <= WIDEST * TALLEST_LETTERS else line_mm


def letter_heights(stroke_mm: float) -> Iterator[float]:
    """Heights of letters from the tallest down that a stroke of this width leaves legible."""
    height = TALLEST_LETTERS
    while height >= LOWEST_LETTERS and stroke_mm <= WIDEST * height * (1.0 + 1e-9):
        yield height
        height -= 0.5


def body_label(
    texts: tuple[str, ...], size: Size, stroke_mm: float, *, grooves: int
) -> Label | None:
    """Lettering up the wall midway between two grooves, where the wall is plain.

    texts : what to say, the one liked best first.
    stroke_mm : width of the strokes [mm].
    grooves : how many the wall has.

    Returns the tallest line that fits, of the first text that fits at all, or None.
    """
    outside = size.bore_mm(0.0) + size.wall_mm
    pitch = 2.0 * math.pi * outside / max(grooves, 1)
    room = pitch - (
        2.0 * (size.reach_mm - size.bore_mm(size.rim_mm)) + 2.0 * CLEAR if grooves else 0
    )
    for text in texts:
        for height in letter_heights(stroke_mm):
            # A flat letter on a round wall: beyond a third of the radius it would smear.
            if height + stroke_mm > min(room, 0.66 * outside):
                continue
            width = text_width(text, height)
            start = (size.level_mm - width) / 2.0
            if start >= 2.0:
                return Label(text, height, stroke_mm, start, -height / 2.0)
    return None


def lid_label(
    texts: tuple[str, ...],
    size: Size,
    stroke_mm: float,
    *,
    holes: list[Round],
    edge_mm: float | None = None,
) -> Label | None:
    """Lettering on the lid's top that keeps off the holes and the edge.

    texts : what to say, the one liked best first.
    stroke_mm : width of the strokes [mm].
    holes : each x, y and radius [mm].
    edge_mm : radius that it stays within; None for that of the lid [mm].

    Returns the tallest line that fits, of the first text that fits at all, or None.
    """
    edge = size.lid_reach_mm - LABEL_EDGE if edge_mm is None else edge_mm
    for text in texts:
        for height in letter_heights(stroke_mm):
            half = text_width(text, height) / 2.0 + stroke_mm / 2.0
            low = 0.0
            while low + height <= edge:
                y = low - stroke_mm / 2.0, low + height + stroke_mm / 2.0
                if math.hypot(half, y[1]) <= edge and all(_off(hole, half, *y) for hole in holes):
                    return Label(text, height, stroke_mm, -text_width(text, height) / 2.0, low)
                low += 0.5
    return None


def second_label(
    texts: tuple[str, ...],
    stroke_mm: float,
    *,
    holes: list[Round],
    first: Label,
    edge_mm: float,
) -> Label | None:
    """A second line of lettering on the lid: as near its middle as there is room, rather below.

    texts : what to say, the one liked best first.
    stroke_mm : width of the strokes [mm].
    holes : each x, y and radius [mm].
    first : the line that is there already; no letter becomes higher than its letters.
    edge_mm : radius that the lettering stays within [mm].

    Returns the tallest line that fits, of the first text that fits at all, or None.
    """
    for text in texts:
        for height in letter_heights(stroke_mm):
            if height > first.height_mm:
                continue
            wide = text_width(text, height)
            place = _beside(first, wide, height, stroke_mm, holes=holes, edge_mm=edge_mm)
            if place is not None:
                return Label(text, height, stroke_mm, *place)
    return None


def _beside(
    first: Label,
    wide: float,
    height: float,
    stroke: float,
    *,
    holes: list[Round],
    edge_mm: float,
) -> tuple[float, float] | None:
    """Lower left corner of a line that keeps off holes, edge and first line, or None."""
    if math.hypot(wide + stroke, height + stroke) > 2.0 * edge_mm:
        return None
    steps = np.arange(-math.floor(edge_mm / STEP_MM), math.floor(edge_mm / STEP_MM) + 1) * STEP_MM
    x, y = np.meshgrid(steps, steps)  # the middle of a line
    half_x, half_y = (wide + stroke) / 2.0, (height + stroke) / 2.0
    free = np.hypot(np.abs(x) + half_x, np.abs(y) + half_y) <= edge_mm
    apart = (height + first.height_mm) / 2.0 + stroke + CLEAR
    free &= np.abs(y - first.y_mm - first.height_mm / 2.0) >= apart
    for a, b, radius in holes:
        off = np.hypot(
            np.maximum(np.abs(x - a) - half_x, 0.0), np.maximum(np.abs(y - b) - half_y, 0.0)
        )
        free &= off >= radius + CLEAR
    if not free.any():
        return None
    at = np.flatnonzero(free)
    # Nearest to the middle line; then the upper one below the first line; then the right one.
    best = at[np.lexsort((-x.flat[at], -y.flat[at], np.abs(x.flat[at])))[0]]
    return float(x.flat[best]) - wide / 2.0, float(y.flat[best]) - height / 2.0


def _off(hole: Round, half: float, bottom: float, top: float) -> bool:
    x, y, radius = hole
    dx = max(abs(x) - half, 0.0)
    dy = max(bottom - y, y - top, 0.0)
    return math.hypot(dx, dy) >= radius + CLEAR
