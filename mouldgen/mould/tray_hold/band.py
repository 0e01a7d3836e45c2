"""Rubber bands over a tray's lid: opposed hooks near the foot of both sides.

A band round the whole tray would lie under its floor and tip it; from hook to hook it stands level.
A hook is drawn as a cup's: a neck, a flange, and a roof of 45 degrees from the wall to the flange.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from mouldgen.errors import JobError
from mouldgen.finding import Finding
from mouldgen.mould.hold.band import CAP_MM, FREE_MM, HALF_MM, MOST_BANDS, NECK_MM
from mouldgen.mould.tray_hold import TrayHold, TraySite
from mouldgen.size.fastened import CHANNEL_MM
from mouldgen.solid.kernel import Solid, box, prism

if TYPE_CHECKING:
    from mouldgen.mould.tray import TrayPlan

ROOT_MM = 0.5  # of neck and roof inside the wall
APART_MM = 1.0  # between two hooks of a side
_FRONT = ((1.0, 0.0, 0.0, 0.0), (0.0, 0.0, -1.0, 0.0), (0.0, 1.0, 0.0, 0.0))


@dataclass(frozen=True, eq=False, kw_only=True)
class TrayHooks(TrayHold):
    """Four hooks, two a side.

    at_mm : along the tray from its middle [mm].
    channel_mm, outer_mm : of the flange's inner and outer side from the wall [mm].
    """

    at_mm: float
    channel_mm: float
    outer_mm: float

    @property
    def tall_mm(self) -> float:
        """Of a hook over the bed [mm]."""
        return FREE_MM + self.outer_mm + CAP_MM

    def on_body(self, plan: TrayPlan) -> list[Solid]:
        right = [self._hook(plan, y) for y in (-self.at_mm, self.at_mm)]
        return [solid for hook in right for part in hook for solid in (part, part.turned(180.0))]

    def _hook(self, plan: TrayPlan, y: float) -> tuple[Solid, Solid, Solid]:
        wall, bed = plan.size.body_mm[0] / 2.0, -plan.question.floor_mm
        far, top = wall + self.outer_mm, bed + self.tall_mm
        neck = box((wall - ROOT_MM, y - NECK_MM, bed), (far, y + NECK_MM, top))
        near = wall + self.channel_mm
        flange = box((near, y - HALF_MM, bed), (far, y + HALF_MM, top))
        high, root = top - CAP_MM, wall - ROOT_MM
        low = high - self.outer_mm  # where the roof's underside leaves the wall
        under = [(root, low), (wall, low), (far, high), (far, top), (root, top)]
        roof = prism([np.array(under)], bottom_mm=-y - HALF_MM, top_mm=HALF_MM - y)
        return neck, flange, roof.placed(_FRONT)


def place(site: TraySite) -> tuple[TrayHold, tuple[Finding, ...]]:
    """The hooks, a quarter of the tray from its ends.

    Raises JobError where the tray is too low or too short for them.
    """
    q, size = site.question, site.size
    outer = q.beyond_mm
    hooks = TrayHooks(
        way="hooked",
        most=2 * MOST_BANDS,
        least=2,
        use="hang their ends behind the hooks, as many on either pair",
        at_mm=size.hook_at_mm,
        channel_mm=CHANNEL_MM,
        outer_mm=outer,
    )
    high = q.floor_mm + size.rim_mm
    if hooks.tall_mm > high or size.hook_at_mm < HALF_MM + APART_MM:
        raise JobError(
            f"hooks for a band need {hooks.tall_mm:.0f} mm of height and"
            f" {4.0 * (HALF_MM + APART_MM):.0f} mm of depth, and the tray is {high:.0f} mm high"
            f" and {size.body_mm[1]:.0f} mm deep",
            where="[mould] hold",
            allowed="tape, weight, dowel or lid on a tray so small",
        )
    return hooks, ()
