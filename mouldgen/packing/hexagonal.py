"""Rows of discs, every other row moved by half a pitch."""

from __future__ import annotations

import math
from dataclasses import dataclass

from mouldgen.packing.area import TOLERANCE_MM, Area, Spot, how_many, most
from mouldgen.packing.outline import Shape

_SHIFTS = 12  # phases of the pattern tried along each axis of a round bed


@dataclass(frozen=True, eq=False)
class _Rows:
    """Pitch along a row and from row to row [mm]."""

    pitch: float
    rise: float


def hexagonal_rows(shape: Shape, area: Area) -> list[Spot]:
    """The most of one disc that staggered rows hold on an empty plate.

    On a rectangular bed the pitch is also stretched until a row fills the width: the rows then
    lie closer together, which often lets one more of them in.  On a round bed the tight pattern
    is moved about.
    """
    if area.radius is not None:
        return _in_circle(shape, area)
    return most(
        [_in_rectangle(shape, area, along_x=True), _in_rectangle(shape, area, along_x=False)]
    )


def _rows(shape: Shape, area: Area, pitch: float) -> _Rows:
    """Rows this pitch apart, as low as the disc allows."""
    apart = 2 * shape.rim + area.spacing
    rise = math.sqrt(max(apart**2 - pitch**2 / 4, 0.0))
    # Every other row stands right above the one below, so two rises must clear a disc as well.
    return _Rows(pitch, max(area.up(rise), area.up(apart / 2)))


def _in_rectangle(shape: Shape, area: Area, *, along_x: bool) -> list[Spot]:
    spans = (area.span_x(shape), area.span_y(shape))
    (left, right), (low, high) = spans if along_x else spans[::-1]
    if right < left or high < low:
        return []
    best: tuple[int, _Rows] | None = None
    for pitch in _candidate_pitches(right - left, shape, area):
        rows = _rows(shape, area, pitch)
        count = _count(left, right, low, high, rows)
        if best is None or count > best[0]:
            best = (count, rows)
    if best is None:
        return []
    pitch, rise = best[1].pitch, best[1].rise
    spots = []
    for row in range(how_many(low, high, rise)):
        start = left + (row % 2) * pitch / 2
        for i in range(how_many(start, right, pitch)):
            along, across = start + i * pitch, low + row * rise
            spots.append(Spot(shape, *((along, across) if along_x else (across, along))))
    return spots


def _candidate_pitches(width: float, shape: Shape, area: Area) -> list[float]:
    """The tight pitch, and those that end a row, or the row above it, at the far edge."""
    apart = 2 * shape.rim + area.spacing
    pitches = [area.up(apart, per=2)]
    for halves in range(1, 2 * math.floor(width / apart) + 2):
        pitch = area.down(2 * width / halves, per=2)
        if pitch >= apart:
            pitches.append(pitch)
    return pitches


def _count(left: float, right: float, low: float, high: float, rows: _Rows) -> int:
    lines = how_many(low, high, rows.rise)
    even = how_many(left, right, rows.pitch)
    odd = how_many(left + rows.pitch / 2, right, rows.pitch)
    return (lines + 1) // 2 * even + lines // 2 * odd


def _in_circle(shape: Shape, area: Area) -> list[Spot]:
    rows = _rows(shape, area, area.up(2 * shape.rim + area.spacing, per=2))
    return most(
        [
            _shifted(shape, area, rows, i / _SHIFTS, j / _SHIFTS)
            for i in range(_SHIFTS // 2 + 1)  # the other half are mirror images
            for j in range(_SHIFTS)
        ]
    )


def _shifted(shape: Shape, area: Area, rows: _Rows, along: float, across: float) -> list[Spot]:
    """The tight pattern with one disc moved off the centre by these shares of pitch and rise."""
    x = area.up(area.width / 2 + along * rows.pitch)
    y = area.up(area.depth / 2 + across * rows.rise)
    low, high = area.span_y(shape)
    spots = []
    lowest = math.ceil((low - y - TOLERANCE_MM) / rows.rise)
    highest = math.floor((high - y + TOLERANCE_MM) / rows.rise)
    for row in range(lowest, highest + 1):
        level = y + row * rows.rise
        left, right = area.chord(shape, level)
        origin = x + (row % 2) * rows.pitch / 2
        first = origin + math.ceil((left - origin - TOLERANCE_MM) / rows.pitch) * rows.pitch
        count = how_many(first, right, rows.pitch)
        spots += [Spot(shape, first + i * rows.pitch, level) for i in range(count)]
    return spots
