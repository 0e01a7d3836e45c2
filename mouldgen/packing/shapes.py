"""Footprints, beds, and where a footprint was put."""

from __future__ import annotations

import math
from dataclasses import dataclass

from mouldgen.errors import InputError


@dataclass(frozen=True, eq=False)
class Disc:
    """A round footprint.

    radius_mm : its radius [mm].
    """

    radius_mm: float

    def __post_init__(self) -> None:
        _require_size(self.radius_mm, "a disc's radius")

    @property
    def area_mm2(self) -> float:
        """Its area [mm2]."""
        return math.pi * self.radius_mm**2

    def __str__(self) -> str:
        return f"a disc of {2 * self.radius_mm:.6g} mm"


@dataclass(frozen=True, eq=False)
class Rectangle:
    """A rectangular footprint, which may be turned by 90 degrees.

    width_mm, depth_mm : its sides along x and y while it is not turned [mm].
    """

    width_mm: float
    depth_mm: float

    def __post_init__(self) -> None:
        _require_size(self.width_mm, "a rectangle's width")
        _require_size(self.depth_mm, "a rectangle's depth")

    @property
    def area_mm2(self) -> float:
        """Its area [mm2]."""
        return self.width_mm * self.depth_mm

    def __str__(self) -> str:
        return f"a rectangle of {self.width_mm:.6g} x {self.depth_mm:.6g} mm"


Footprint = Disc | Rectangle


@dataclass(frozen=True, eq=False)
class RectBed:
    """A rectangular bed; its origin is the corner with the smallest x and y.

    width_mm, depth_mm : its sides along x and y [mm].
    """

    width_mm: float
    depth_mm: float

    def __post_init__(self) -> None:
        _require_size(self.width_mm, "a bed's width")
        _require_size(self.depth_mm, "a bed's depth")

    def __str__(self) -> str:
        return f"a bed of {self.width_mm:.6g} x {self.depth_mm:.6g} mm"


@dataclass(frozen=True, eq=False)
class RoundBed:
    """A round bed; its origin is the corner of its bounding square with the smallest x and y.

    diameter_mm : its diameter [mm]; the centre is at half of it in x and in y.
    """

    diameter_mm: float

    def __post_init__(self) -> None:
        _require_size(self.diameter_mm, "a bed's diameter")

    def __str__(self) -> str:
        return f"a round bed of {self.diameter_mm:.6g} mm"


Bed = RectBed | RoundBed


@dataclass(frozen=True, eq=False)
class Placed:
    """One item on a plate.

    item : its index in the sequence that was packed.
    x_mm, y_mm : the centre of its footprint, from the bed's origin [mm].
    turned : whether it was turned by 90 degrees.
    """

    item: int
    x_mm: float
    y_mm: float
    turned: bool = False


def _require_size(value: float, what: str) -> None:
    if not (math.isfinite(value) and value > 0):
        raise InputError(f"{what} cannot be {value!r} mm", allowed="a length over 0 mm")
