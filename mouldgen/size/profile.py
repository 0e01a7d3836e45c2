"""A round bore in closed form: radii at heights, straight between them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from mouldgen.errors import InternalError

FAR_MM = 1000.0
ROOF = 1.0  # the most by which a bore closes for each mm of height: 45 degrees print unsupported
LEAST_MM = 1e-6


@dataclass(frozen=True, eq=False)
class Profile:
    """A round bore about an axis.

    points : heights over the inside floor and radii there, rising [mm].  Beyond either end the
        wall goes on as it does at that end.
    """

    points: tuple[tuple[float, float], ...]

    def __post_init__(self) -> None:
        heights = [z for z, _ in self.points]
        if len(self.points) < 2 or any(b <= a for a, b in pairwise(heights)):
            raise InternalError("a bore needs two or more radii at rising heights")

    def radius_mm(self, height_mm: float) -> float:
        """Radius at a height [mm]."""
        (low, foot), (high, top) = self._piece(height_mm)
        return foot + (top - foot) * (height_mm - low) / (high - low)

    def slope(self, height_mm: float) -> float:
        """Growth of the radius for each mm of height, a pure number [1]."""
        (low, foot), (high, top) = self._piece(height_mm)
        return (top - foot) / (high - low)

    def widest_mm(self, low_mm: float, high_mm: float) -> float:
        """Largest radius between two heights [mm]."""
        return max(r for _, r in self.between(low_mm, high_mm))

    def narrowest_mm(self, low_mm: float, high_mm: float) -> float:
        """Smallest radius between two heights [mm]."""
        return min(r for _, r in self.between(low_mm, high_mm))

    def between(self, low_mm: float, high_mm: float) -> list[tuple[float, float]]:
        """Heights and radii from one height to a higher one, both included [mm]."""
        inside = [(z, r) for z, r in self.points if low_mm < z < high_mm]
        ends = (low_mm, self.radius_mm(low_mm)), (high_mm, self.radius_mm(high_mm))
        return [ends[0], *inside, ends[1]]

    def volume_ml(self, height_mm: float) -> float:
        """Volume from the floor to a height [ml]; negative below the floor."""
        if height_mm < 0.0:
            return -_volume_ml(self.between(height_mm, 0.0))
        return _volume_ml(self.between(0.0, height_mm)) if height_mm > 0.0 else 0.0

    def height_mm(self, volume_ml: float) -> float:
        """Height that a volume stands at [mm], the inverse of `volume_ml`.

        volume_ml : at least 0 [ml].
        """
        level, filled = 0.0, 0.0
        for low, high, foot, slope in self._frusta():
            held = frustum_ml(foot, slope, high - low)
            if filled + held >= volume_ml:
                return low + _height_for(foot, slope, volume_ml - filled)
            level, filled = high, filled + held
        return level + _height_for(
            self.radius_mm(level), self.slope(level), max(0.0, volume_ml - filled)
        )

    def _frusta(self) -> Iterator[tuple[float, float, float, float]]:
        """Lower and upper height, foot radius and slope of each piece above the floor."""
        top = self.points[-1][0]
        if top <= 0.0:
            return
        for (low, foot), (high, upper) in pairwise(self.between(0.0, top)):
            yield low, high, foot, (upper - foot) / (high - low)

    def _piece(self, height_mm: float) -> tuple[tuple[float, float], tuple[float, float]]:
        for low, high in self._pieces:
            if height_mm < high[0]:
                return low, high
        return self._pieces[-1]

    @cached_property
    def _pieces(self) -> tuple[tuple[tuple[float, float], tuple[float, float]], ...]:
        return tuple(pairwise(self.points))


def drafted(foot_mm: float, slope: float) -> Profile:
    """A bore with one straight wall.

    foot_mm : radius at the floor [mm].
    slope : growth of the radius for each mm of height, tan(draft).
    """
    # Its two points lie beyond any mould, so that no corner stands on a straight wall.
    return Profile(tuple((z, foot_mm + slope * z) for z in (-FAR_MM, FAR_MM)))


def roofed(points: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """The least outline over some points that, going up, closes by no more than 45 degrees.

    points : heights and radii, rising [mm].
    """
    out = [points[0]]
    for (low, wanted), (high, upper) in pairwise(points):
        held, rise = out[-1][1], high - low
        slope = (upper - wanted) / rise
        if held > wanted and slope > -ROOF:
            # The roof that comes from below meets the wanted line here, or above this piece.
            meets = low + (held - wanted) / (ROOF + slope)
            if low + LEAST_MM < meets < high - LEAST_MM:
                out.append((meets, held - ROOF * (meets - low)))
        out.append((high, max(upper, held - ROOF * rise)))
    return out


def frustum_ml(foot_mm: float, slope: float, height_mm: float) -> float:
    """Volume of a frustum from its foot radius, growth and height [ml].

    ``V = pi h (r0^2 + r0 r1 + r1^2) / 3``, the closed form of any geometry text.
    """
    top = foot_mm + slope * height_mm
    return math.pi * height_mm * (foot_mm**2 + foot_mm * top + top**2) / 3000.0


def _volume_ml(points: Sequence[tuple[float, float]]) -> float:
    return math.fsum(
        frustum_ml(foot, (top - foot) / (high - low), high - low)
        for (low, foot), (high, top) in pairwise(points)
    )


def _height_for(foot_mm: float, slope: float, volume_ml: float) -> float:
    """Height that a volume stands at in a frustum [mm], the inverse of `frustum_ml`."""
    # r1^3 - r0^3 = 3 s V / pi, where r1 = r0 + s h.  Dividing r1 - r0 by s loses every digit where
    # the wall is all but straight, so h = 3 V / (pi (r0^2 + r0 r1 + r1^2)) instead.
    top = math.cbrt(foot_mm**3 + 3000.0 * slope * volume_ml / math.pi)
    return 3000.0 * volume_ml / (math.pi * (foot_mm**2 + foot_mm * top + top**2))
