"""From where a picture of a set is seen, and where it is cut open."""

from __future__ import annotations

import math
from dataclasses import dataclass

from mouldgen.errors import InputError
from mouldgen.sheet.cutting import Plane


@dataclass(frozen=True, eq=False)
class View:
    """Where the viewer stands.

    azimuth_deg : 0 looks at the front, from -y; 90 at the right side, from +x [degrees].
    elevation_deg : how high above the horizon; 90 looks straight down [degrees].

    Raises InputError where one is not a finite number.
    """

    azimuth_deg: float = 30.0
    elevation_deg: float = 20.0

    def __post_init__(self) -> None:
        if not (math.isfinite(self.azimuth_deg) and math.isfinite(self.elevation_deg)):
            raise InputError(
                f"nobody can look from {self.azimuth_deg} and {self.elevation_deg} degrees",
                allowed="two finite numbers",
            )


@dataclass(frozen=True, eq=False)
class Cut:
    """An upright cut through the axis of a mould; the half that faces its azimuth goes.

    azimuth_deg : 0 takes away the front, 90 the right side [degrees].
    axis_mm : x and y of the axis [mm].

    Raises InputError where one is not a finite number.
    """

    azimuth_deg: float = 0.0
    axis_mm: tuple[float, float] = (0.0, 0.0)

    def __post_init__(self) -> None:
        if not all(map(math.isfinite, (self.azimuth_deg, *self.axis_mm))):
            raise InputError(
                f"nothing can be cut at {self.azimuth_deg} degrees through {self.axis_mm}",
                allowed="finite numbers",
            )

    @property
    def plane(self) -> Plane:
        """Its normal, towards what goes, and its offset [mm]."""
        # The remainder and the quarter turns are exact, so that a cut along x or y meets the
        # faces that lie in it.
        quarter, rest = divmod(math.remainder(self.azimuth_deg, 360.0), 90.0)
        s, c = math.sin(math.radians(rest)), math.cos(math.radians(rest))
        for _ in range(int(quarter) % 4):
            s, c = c, -s
        x, y = self.axis_mm
        return (s, -c, 0.0), s * x - c * y
