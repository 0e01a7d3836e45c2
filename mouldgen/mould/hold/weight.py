"""A weight on the lid: a level ledge round it, so that port and vents stay free."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.finding import Finding
from mouldgen.mould.feature import HoldDown
from mouldgen.solid.kernel import Solid, revolve

if TYPE_CHECKING:
    from mouldgen.mould.hold import Site
    from mouldgen.mould.plan import CupPlan


@dataclass(frozen=True, eq=False)
class Ledge(HoldDown):
    """A ring round the lid's disc, level with its top.

    wide_mm : of the ring [mm].
    """

    wide_mm: float = 0.0

    def on_lid(self, plan: CupPlan) -> list[Solid]:
        size = plan.size
        inner, outer = size.lid_reach_mm - size.wall_mm, size.lid_reach_mm + self.wide_mm
        low, high = size.rim_mm, size.rim_mm + plan.question.lid_mm
        return [
            revolve([(inner, low), (outer, low), (outer, high), (inner, high)], sides=plan.sides)
        ]


def place(site: Site) -> tuple[Ledge, tuple[Finding, ...]]:
    """The ledge of the presets."""
    wide = site.question.beyond_mm
    use = f"lay it on the ledge, {wide:.0f} mm wide all round, in equal parts"
    return Ledge(way="weight", use=use, wide_mm=wide), ()
