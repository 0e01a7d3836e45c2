"""By how much two upright members of a bundle overlap, in closed form."""

from __future__ import annotations

import math
from dataclasses import dataclass

from mouldgen.insert.facts import Corners


@dataclass(frozen=True, eq=False)
class Place:
    """A member where it stands.

    x, y : its axis [mm].
    turn_deg : counter-clockwise [degrees].
    lower_mm, upper_mm : its radius at either end; of a bar the round that encloses it [mm].
    inside_mm : radius of its open bore, 0 with none [mm].
    half_mm : half the width and half the thickness of a bar, both 0 for a round [mm].
    """

    x: float
    y: float
    turn_deg: float
    lower_mm: float
    upper_mm: float
    inside_mm: float
    half_mm: tuple[float, float]

    @property
    def is_bar(self) -> bool:
        """Whether it has corners."""
        return self.half_mm != (0.0, 0.0)

    @property
    def radius_mm(self) -> float:
        """At its thicker end [mm]."""
        return max(self.lower_mm, self.upper_mm)

    @property
    def corners(self) -> Corners:
        """Of a bar, counter-clockwise [mm]."""
        cos, sin = math.cos(math.radians(self.turn_deg)), math.sin(math.radians(self.turn_deg))
        a, b = self.half_mm
        return tuple(
            (self.x + u * a * cos - v * b * sin, self.y + u * a * sin + v * b * cos)
            for u, v in ((1, 1), (-1, 1), (-1, -1), (1, -1))
        )

    @property
    def reach_mm(self) -> float:
        """From the axis of the bundle to its farthest place [mm]."""
        if self.is_bar:
            return max(math.hypot(x, y) for x, y in self.corners)
        return math.hypot(self.x, self.y) + self.radius_mm


def overlap_mm(one: Place, other: Place) -> float:
    """How far two members reach into each other [mm]; 0 or less where they stand apart.

    One that stands within the open bore of another stands apart.
    """
    return min(_beside(one, other), _within(one, other), _within(other, one))


def _beside(one: Place, other: Place) -> float:
    if one.is_bar and other.is_bar:
        return _bars(one, other)
    if one.is_bar:
        return _bar_and_round(one, other)
    if other.is_bar:
        return _bar_and_round(other, one)
    # Both grow evenly, so that they are nearest at one of their ends.
    reach = max(one.lower_mm + other.lower_mm, one.upper_mm + other.upper_mm)
    return reach - math.dist((one.x, one.y), (other.x, other.y))


def _within(tube: Place, inner: Place) -> float:
    """How far the inner one reaches into a tube's wall from its bore [mm]."""
    if tube.inside_mm == 0.0:
        return math.inf
    if inner.is_bar:
        reach = max(math.dist((tube.x, tube.y), corner) for corner in inner.corners)
    else:
        reach = math.dist((tube.x, tube.y), (inner.x, inner.y)) + inner.radius_mm
    return reach - tube.inside_mm


def _bar_and_round(bar: Place, round_: Place) -> float:
    """The round against the bar's own axes: its middle's distance from the rectangle."""
    turn = math.radians(bar.turn_deg)
    dx, dy = round_.x - bar.x, round_.y - bar.y
    along = abs(dx * math.cos(turn) + dy * math.sin(turn)) - bar.half_mm[0]
    across = abs(dy * math.cos(turn) - dx * math.sin(turn)) - bar.half_mm[1]
    outside = math.hypot(max(along, 0.0), max(across, 0.0))
    apart = outside if outside > 0.0 else max(along, across)
    return round_.radius_mm - apart


def _bars(one: Place, other: Place) -> float:
    """The least overlap along the four directions of their sides (separating axes)."""
    least = math.inf
    for degrees in (one.turn_deg, one.turn_deg + 90.0, other.turn_deg, other.turn_deg + 90.0):
        x, y = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
        first, second = ([x * cx + y * cy for cx, cy in bar.corners] for bar in (one, other))
        least = min(least, min(max(first), max(second)) - max(min(first), min(second)))
    return least
