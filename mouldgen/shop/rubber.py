"""How much rubber to mix for the moulds, and how often each is cast from."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.mix.amounts import round_up_to
from mouldgen.size.rubber import RubberSize

if TYPE_CHECKING:
    from mouldgen.job.model import Job
    from mouldgen.mould.parts import MouldParts
    from mouldgen.mould.plan import CupPlan


@dataclass(frozen=True, eq=False)
class RubberAmounts:
    """Rubber for the moulds of a job.

    one_ml : in one mould as it is cast, between box and plugs [ml].
    box_ml : inside of the box to the line [ml].
    loss : share that stays in the bucket, on top of what is poured.
    sets : how many moulds are made.
    up : cavities of each.
    castings : that the order asks for.
    one_g, total_g : to weigh for one mould and for all, loss included [g].
    """

    one_ml: float
    box_ml: float
    loss: float
    sets: int
    up: int
    castings: int
    one_g: float
    total_g: float

    @property
    def plugs_ml(self) -> float:
        """What stands in the box: plugs, and the rings round them [ml]."""
        return self.box_ml - self.one_ml

    @property
    def rounds(self) -> int:
        """How often all moulds together are filled; the last time perhaps not every cavity."""
        return math.ceil(self.castings / (self.up * self.sets))


def rubber_amounts(
    job: Job, plan: CupPlan, parts: MouldParts, *, castings: int
) -> RubberAmounts | None:
    """Rubber as the meshes have it; None where moulds are printed.

    The loss comes on top of what is poured, as with resin.

    job : its rubber, and the scale's digit.
    plan, parts : of one set.
    castings : that the order asks for.
    """
    size, rubber = plan.size, job.rubber
    if rubber is None or not isinstance(size, RubberSize):
        return None
    from mouldgen.mould.rubber import block_solid  # late: most moulds are printed

    grown, sets = size.scale**3 / 1000.0, job.mould.sets or 1
    poured = grown * parts.part("body").mesh.volume_mm3
    exact = poured * rubber.density * (1.0 + rubber.loss)
    return RubberAmounts(
        one_ml=poured,
        box_ml=grown * block_solid(plan).volume_mm3(),
        loss=rubber.loss,
        sets=sets,
        up=size.up,
        castings=castings,
        one_g=round_up_to(exact, job.shop.scale),
        total_g=round_up_to(exact * sets, job.shop.scale),
    )
