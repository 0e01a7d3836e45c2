"""The part of a bed where footprints may lie.

A piece is on the bed when its cores (see `outline`) keep its rim and the margin from the edge,
and clear of a keep-out when they keep its rim and the keep-out's clearance.  Both are closed
conditions, met to within `TOLERANCE_MM`, so that exact fits fit.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from mouldgen.errors import InputError
from mouldgen.packing.outline import Shape, clear_at, convex_cores
from mouldgen.packing.shapes import Bed, KeepOut, RectBed

TOLERANCE_MM = 1e-6  # far below what any printer resolves, far above rounding on a bed's scale


@dataclass(frozen=True, eq=False)
class Spot:
    """A shape with the middle of its bounding box at x, y [mm]."""

    shape: Shape
    x: float
    y: float


@dataclass(frozen=True, eq=False)
class Area:
    """A bed with its margin, the spacing between pieces, and the lattice of positions.

    snap : positions are multiples of this [mm]; 0 leaves them free.
    keep_outs : where nothing may lie.
    """

    bed: Bed
    margin: float
    spacing: float
    snap: float
    keep_outs: tuple[KeepOut, ...] = ()

    def __post_init__(self) -> None:
        for value, what in (
            (self.margin, "the margin of a bed"),
            (self.spacing, "the spacing between parts"),
            (self.snap, "the step of positions"),
        ):
            if not (math.isfinite(value) and value >= 0):
                raise InputError(f"{what} cannot be {value!r} mm", allowed="0 mm or more")

    @property
    def width(self) -> float:
        """Of the bed or its bounding square [mm]."""
        return self.bed.width_mm if isinstance(self.bed, RectBed) else self.bed.diameter_mm

    @property
    def depth(self) -> float:
        """Of the bed or its bounding square [mm]."""
        return self.bed.depth_mm if isinstance(self.bed, RectBed) else self.bed.diameter_mm

    @property
    def radius(self) -> float | None:
        """Of a round bed less its margin [mm]; None when it is not round."""
        if isinstance(self.bed, RectBed):
            return None
        return self.bed.diameter_mm / 2 - self.margin

    @cached_property
    def blocks(self) -> tuple[tuple[Shape, float], ...]:
        """The keep-outs as shapes about the bed's origin, each with its clearance [mm]."""
        return tuple(
            (Shape(-1, 0, 0.0, 0.0, 0.0, convex_cores(k.corners_mm)), k.clearance_mm)
            for k in self.keep_outs
        )

    def up(self, value: float, *, per: int = 1) -> float:
        """The smallest multiple of `per` steps that is not below `value` [mm]."""
        step = self.snap * per
        return value if step == 0 else math.ceil((value - TOLERANCE_MM) / step) * step

    def down(self, value: float, *, per: int = 1) -> float:
        """The largest multiple of `per` steps that is not above `value` [mm]."""
        step = self.snap * per
        return value if step == 0 else math.floor((value + TOLERANCE_MM) / step) * step

    def span_x(self, shape: Shape) -> tuple[float, float]:
        """Lowest and highest x a centre may have [mm]; reversed when there is none."""
        reach = self.margin + shape.half_x
        return self.up(reach), self.down(self.width - reach)

    def span_y(self, shape: Shape) -> tuple[float, float]:
        """Lowest and highest y a centre may have [mm]; reversed when there is none."""
        reach = self.margin + shape.half_y
        return self.up(reach), self.down(self.depth - reach)

    def chord(self, shape: Shape, y: float) -> tuple[float, float]:
        """Lowest and highest x a centre may have at this y [mm]; reversed when there is none."""
        if self.radius is None:
            low, high = self.span_y(shape)
            inside = low - TOLERANCE_MM <= y <= high + TOLERANCE_MM
            return self.span_x(shape) if inside else (1.0, -1.0)
        centre = self.width / 2
        reach = self.radius - shape.rim + TOLERANCE_MM
        square = reach**2 - (abs(y - centre) + shape.core_y) ** 2
        half = math.sqrt(square) - shape.core_x if reach > 0 and square >= 0 else -1.0
        return self.up(centre - half), self.down(centre + half)

    def holds(self, shape: Shape, x: float, y: float) -> bool:
        """Whether a shape is here on the bed, off the margin and clear of the keep-outs."""
        return self._on_bed(shape, x, y) and all(
            clear_at(
                shape, block, np.array([x]), np.array([y]), spacing=kept, tolerance=TOLERANCE_MM
            )[0, 0]
            for block, kept in self.blocks
        )

    def _on_bed(self, shape: Shape, x: float, y: float) -> bool:
        if self.radius is not None:
            centre = self.width / 2
            far = max(
                math.hypot(x - centre + a, y - centre + b)
                for core in shape.cores
                for a, b in core.corners
            )
            return far + shape.rim <= self.radius + TOLERANCE_MM
        (x_low, x_high), (y_low, y_high) = self.span_x(shape), self.span_y(shape)
        return (
            x_low - TOLERANCE_MM <= x <= x_high + TOLERANCE_MM
            and y_low - TOLERANCE_MM <= y <= y_high + TOLERANCE_MM
        )


def how_many(low: float, high: float, pitch: float) -> int:
    """How many positions `pitch` apart lie in the closed range from low to high."""
    if high < low - TOLERANCE_MM:
        return 0
    return math.floor((max(high - low, 0.0) + TOLERANCE_MM) / pitch) + 1


def most(patterns: Sequence[list[Spot]]) -> list[Spot]:
    """The first of the patterns that hold the most."""
    return max(patterns, key=len, default=[])
