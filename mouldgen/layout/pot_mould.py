"""What a closed mould covers on the floor of a pot, and how high it stands."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.packing.shapes import Disc, Footprint, Polygon, Rectangle

if TYPE_CHECKING:
    from mouldgen.job.material_tables import Resin
    from mouldgen.mould.extras.question import ExtrasQuestion
    from mouldgen.size.mould_size import MouldSize


@dataclass(frozen=True, eq=False)
class PotMould:
    """A closed mould, or a catch mould, as the pot sees it.

    name : such as ``mould``.
    shape : what it covers, its middle on its own axis.
    across_mm : diameter of the round about that axis that holds it [mm].
    height_mm : how high it stands, its funnel with it [mm].
    """

    name: str
    shape: Footprint
    across_mm: float
    height_mm: float


def mould_in_pot(size: MouldSize) -> PotMould:
    """A closed mould as it stands in the pot: a round, or a rectangle without its corners.

    A pot takes a rectangle by its diagonal, which lifting tabs at its ends do not make longer: the
    corners that the round about it cuts off are left away.

    size : of the mould put together.
    """
    sides = _sides(size)
    shape = Disc(size.across_mm) if sides is None else _within(size.across_mm, sides)
    return PotMould("mould", shape, 2.0 * size.across_mm, size.stack_height_mm)


def catch_mould_in_pot(question: ExtrasQuestion) -> PotMould:
    """One of the catch moulds that a job asks for."""
    from mouldgen.mould.extras.catch_mould import catch_mould  # late: it brings the kernel

    catch = catch_mould(question)
    reach = catch.reach_mm
    return PotMould("catch mould", Disc(reach), 2.0 * reach, catch.rim_mm + catch.floor_mm)


def blanks_in(size: MouldSize) -> int:
    """Blanks that are cast in one mould at once, those of a rubber mould with several cavities too.

    size : of the mould.
    """
    from mouldgen.size.rubber import RubberSize

    return size.up if isinstance(size, RubberSize) else size.blanks


def least_moulds(size: MouldSize, resin: Resin) -> int:
    """Moulds whose resin makes the least batch that hardens as it should; 1 where none is told.

    size : of one mould.
    resin : its least batch, density and loss.
    """
    if resin.least_batch is None:
        return 1
    from mouldgen.job.mixed import mixed_g_ml

    one_g = blanks_in(size) * (size.net_ml + size.riser_ml) * mixed_g_ml(resin) * (1.0 + resin.loss)
    return max(1, math.ceil(resin.least_batch / one_g - 1e-9))


def _sides(size: MouldSize) -> tuple[float, float] | None:
    """Width and depth of what it covers as it stands; None where it is round [mm]."""
    from mouldgen.size.split import SplitSize

    if isinstance(size, SplitSize):
        return size.lies_mm[0], 2.0 * size.deep_mm  # two halves on edge
    return size.sides_mm


def _within(reach: float, sides: tuple[float, float]) -> Footprint:
    """A rectangle, its corners cut off along tangents of the round that holds the mould.

    reach : radius of that round [mm].
    sides : of the rectangle [mm].
    """
    half_x, half_y = sides[0] / 2.0, sides[1] / 2.0
    diagonal = math.hypot(half_x, half_y)
    if diagonal <= reach * (1.0 + 1e-9):
        return Rectangle(*sides)
    # The tangent stands square to the diagonal: x cos + y sin = reach.
    cos, sin = half_x / diagonal, half_y / diagonal
    x, y = (reach - half_y * sin) / cos, (reach - half_x * cos) / sin
    corner = ((half_x, y), (x, half_y))
    return Polygon(
        (
            *corner,
            *((-a, b) for a, b in reversed(corner)),
            *((-a, -b) for a, b in corner),
            *((a, -b) for a, b in reversed(corner)),
        )
    )
