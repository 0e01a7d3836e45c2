"""Where the lettering goes: on the wall of the cup and on the top of the lid."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from mouldgen.mould.lettering import outline, text_width
from mouldgen.size import Size
from mouldgen.solid.mesh import Floats

TALLEST_LETTERS = 6.0  # mm; lower than LOWEST they do not print legibly (our own trial, no source)
LOWEST_LETTERS = 3.5
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


def _heights() -> Iterator[float]:
    height = TALLEST_LETTERS
    while height >= LOWEST_LETTERS:
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
        for height in _heights():
            # A flat letter on a round wall: beyond a third of the radius it would smear.
            if height + stroke_mm > min(room, 0.66 * outside):
                continue
            width = text_width(text, height)
            start = (size.level_mm - width) / 2.0
            if start >= 2.0:
                return Label(text, height, stroke_mm, start, -height / 2.0)
    return None


def lid_label(
    texts: tuple[str, ...], size: Size, stroke_mm: float, *, holes: list[Round]
) -> Label | None:
    """Lettering on the lid's top that keeps off the holes and the edge.

    texts : what to say, the one liked best first.
    stroke_mm : width of the strokes [mm].
    holes : each x, y and radius [mm].

    Returns the tallest line that fits, of the first text that fits at all, or None.
    """
    edge = size.lid_reach_mm - 1.5
    for text in texts:
        for height in _heights():
            half = text_width(text, height) / 2.0 + stroke_mm / 2.0
            low = 0.0
            while low + height <= edge:
                y = low - stroke_mm / 2.0, low + height + stroke_mm / 2.0
                if math.hypot(half, y[1]) <= edge and all(_off(hole, half, *y) for hole in holes):
                    return Label(text, height, stroke_mm, -text_width(text, height) / 2.0, low)
                low += 0.5
    return None


def _off(hole: Round, half: float, bottom: float, top: float) -> bool:
    x, y, radius = hole
    dx = max(abs(x) - half, 0.0)
    dy = max(bottom - y, y - top, 0.0)
    return math.hypot(dx, dy) >= radius + CLEAR
