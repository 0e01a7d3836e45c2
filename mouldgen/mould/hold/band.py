"""A rubber band over the lid: two opposed hooks near the foot of the body.

A hook is a neck on the wall with a wider flange on it, both standing on the print bed, and a roof
from the wall to the flange that rises at 45 degrees.  The band lies behind the flange, pulled
up against the roof.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.errors import JobError
from mouldgen.finding import Finding
from mouldgen.mould.feature import HoldDown
from mouldgen.mould.socket_solids import sector
from mouldgen.mould.wall import outside
from mouldgen.size.fastened import CHANNEL_MM, FLANGE_LINES
from mouldgen.solid.kernel import OVERSHOOT, Solid, union

if TYPE_CHECKING:
    from mouldgen.mould.hold import Site
    from mouldgen.mould.plan import CupPlan

# Our own choices, no source.
ANGLES = (0.0, 180.0)
HALF_MM = 4.5  # half the width of the flange
NECK_MM = 1.5  # and of the neck
FREE_MM = 5.0  # of the channel, from the bed to where the roof begins
CAP_MM = 2.0
MOST_BANDS = 6  # that one channel takes


@dataclass(frozen=True, eq=False)
class Hooks(HoldDown):
    """Two hooks.

    root_mm : radius inside the wall that neck and roof start from [mm].
    channel_mm : radius of the flange's inner side [mm].
    outer_mm : radius of its outer side [mm].
    bottom_mm, top_mm : heights of their lower and upper ends [mm].
    """

    root_mm: float = 0.0
    channel_mm: float = 0.0
    outer_mm: float = 0.0
    bottom_mm: float = 0.0
    top_mm: float = 0.0

    @property
    def on_wall(self) -> tuple[tuple[float, float], ...]:
        return tuple((angle, HALF_MM) for angle in ANGLES)

    def on_body(self, plan: CupPlan) -> list[Solid]:
        return [self._hook(plan, angle) for angle in ANGLES]

    def _hook(self, plan: CupPlan, angle: float) -> Solid:
        root, far = self.root_mm, self.outer_mm
        neck = sector(
            plan,
            angle,
            [(self.bottom_mm, root, far), (self.top_mm, root, far)],
            NECK_MM / self.channel_mm,
        )
        half = HALF_MM / self.channel_mm
        flange = sector(
            plan,
            angle,
            [(self.bottom_mm, self.channel_mm, far), (self.top_mm, self.channel_mm, far)],
            half,
        )
        start = root + OVERSHOOT
        high = self.top_mm - CAP_MM
        roof = sector(
            plan,
            angle,
            [(high - (far - start), root, start), (high, root, far), (self.top_mm, root, far)],
            half,
        )
        return union([neck, flange, roof])


def place(site: Site) -> tuple[Hooks, tuple[Finding, ...]]:
    """The hooks.

    Raises JobError where the body is too low or too thin for them.
    """
    q, size = site.question, site.size
    wall = outside(size, bottom_mm=-q.floor_mm)
    bottom = -q.floor_mm
    # On a cup that bulges the roof climbs farther, so its height depends on what it reaches over.
    top = bottom
    for _ in range(3):
        root = wall.narrowest_mm(bottom, max(top, bottom + FREE_MM)) - size.wall_mm
        channel = wall.widest_mm(bottom, max(top, bottom + FREE_MM)) + q.groove_mm + CHANNEL_MM
        outer = channel + FLANGE_LINES * q.line_mm
        top = bottom + FREE_MM + outer - (root + OVERSHOOT) + CAP_MM
    if top > size.rim_mm - q.skirt_mm - CAP_MM or root <= HALF_MM:
        raise JobError(
            f"hooks for a band need {top - bottom:.0f} mm of wall below the lid and a body more"
            f" than {2.0 * (HALF_MM + size.wall_mm):.0f} mm across",
            where="[mould] hold",
            allowed="lid, tape, weight or none on a body so small",
        )
    hooks = Hooks(
        way="hooked",
        most=MOST_BANDS,
        use="hang its ends behind the two hooks",
        root_mm=root,
        channel_mm=channel,
        outer_mm=outer,
        bottom_mm=bottom,
        top_mm=top,
    )
    return hooks, ()
