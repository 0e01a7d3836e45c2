"""The bare cavity: what the insert stands in before any feature is added."""

from __future__ import annotations

from mouldgen.size import Size
from mouldgen.solid.kernel import Solid, revolve


def bare_cavity(size: Size, *, sides: int, top_mm: float) -> Solid:
    """The bore alone, from the inside floor to a height, drawn around its circle.

    size : the cup at its gap.
    sides : of every circle about the axis.
    top_mm : where it ends, usually the fill height [mm].
    """
    wall = [(r, z) for z, r in size.bore.between(0.0, top_mm)]
    return revolve([(0.0, 0.0), *wall, (0.0, top_mm)], sides=sides)
