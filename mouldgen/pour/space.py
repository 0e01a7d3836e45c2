"""What resin is poured into: a hollow, what stands in it, and where it is open.

An attitude is how the mould leans while it is poured.  Heights of a pour are plumb heights in
that attitude; places are told in the mould's own coordinates.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from mouldgen.solid.mesh import Floats, Mesh


@dataclass(frozen=True, eq=False)
class Space:
    """A space to pour into.

    hollow : the inside of the mould with all its grooves and holes, as a closed surface.
    solids : what stands in it (insert, lid with its legs); they may touch or overlap, and
        what of them lies outside the hollow does not count.
    open_above_mm : air of the hollow above this height over the mould's floor is open air
        [mm].  A hollow that ends half a millimetre over the rim, with the lid among the
        solids, is open at the lid's vents and its port and nowhere else.
    """

    hollow: Mesh
    solids: tuple[Mesh, ...]
    open_above_mm: float


@dataclass(frozen=True, eq=False)
class Attitude:
    """How a mould leans.

    tilt_deg : between its axis and the plumb line [degrees].
    azimuth_deg : towards which side its top leans, counted from the mould's x axis [degrees].
    """

    tilt_deg: float = 0.0
    azimuth_deg: float = 0.0

    @property
    def turn(self) -> Floats:
        """Rows: the mould's directions of the lean, of the level line across it, and of up."""
        tilt, azimuth = math.radians(self.tilt_deg), math.radians(self.azimuth_deg)
        ct, st, ca, sa = math.cos(tilt), math.sin(tilt), math.cos(azimuth), math.sin(azimuth)
        return np.array(((ct * ca, ct * sa, st), (-sa, ca, 0.0), (-st * ca, -st * sa, ct)))


UPRIGHT = Attitude()
