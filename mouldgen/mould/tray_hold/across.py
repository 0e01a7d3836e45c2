"""Dowels across a tray's lid: opposed bores in the two sides of the rim, a slide fit.

They lie on the lid, whose legs press on the inserts, and far over the deck: nothing of them is
ever in resin.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.errors import JobError
from mouldgen.finding import Finding
from mouldgen.mould.hold.dowel import teardrop
from mouldgen.mould.tray_hold import TrayHold, TraySite
from mouldgen.mould.tray_hold.tape import FROM_DRAIN_MM
from mouldgen.size.fastened import dowel_bore
from mouldgen.solid.kernel import Solid, prism

if TYPE_CHECKING:
    from mouldgen.mould.tray import TrayPlan
    from mouldgen.size.tray import TraySize

ALONG_X = ((0.0, 0.0, 1.0, 0.0), (1.0, 0.0, 0.0, 0.0), (0.0, 1.0, 0.0, 0.0))


@dataclass(frozen=True, eq=False, kw_only=True)
class Across(TrayHold):
    """Bores for two dowels.

    at_mm : along the tray, one to either side of its middle [mm].
    height_mm : of their middles [mm].
    radius_mm : of the bores [mm].
    """

    at_mm: float
    height_mm: float
    radius_mm: float

    def body_genus(self, size: TraySize) -> int:  # noqa: ARG002
        return 4

    def off_body(self, plan: TrayPlan) -> list[Solid]:
        far = plan.size.body_mm[0] / 2.0 + 2.0
        ring = teardrop(self.radius_mm, chord_mm=plan.chord_mm)
        bore = prism([ring], bottom_mm=-far, top_mm=far).placed(ALONG_X)
        return [bore.moved(0.0, y, self.height_mm) for y in (-self.at_mm, self.at_mm)]


def place(site: TraySite) -> tuple[TrayHold, tuple[Finding, ...]]:
    """The bores, a quarter of the tray from its ends.

    Raises JobError where they do not fit beside the drain notch.
    """
    q, size, thick = site.question, site.size, site.mould.dowel
    bore = dowel_bore(thick, clearance_mm=q.clearance_mm, line_mm=q.line_mm)
    at = size.body_mm[1] / 4.0
    if at - bore.radius_mm - bore.web_mm < FROM_DRAIN_MM:
        least = 4.0 * (FROM_DRAIN_MM + bore.radius_mm + bore.web_mm)
        raise JobError(
            f"two dowels of {thick:g} mm do not fit across a lid that is"
            f" {size.body_mm[1]:.0f} mm deep, beside its drain notch",
            where="[mould] dowel",
            allowed=f"{least:.0f} mm or more with it; else tape, weight or lid",
        )
    long = size.body_mm[0] + 2.0 * bore.radius_mm
    use = (
        f"two of {thick:g} mm, {long:.0f} mm long or longer, over the lid from rim to rim; they"
        f" leave it {2.0 * q.clearance_mm:.1f} mm of play"
    )
    return Across(
        way="across",
        most=2,
        least=2,
        use=use,
        at_mm=at,
        height_mm=size.rim_mm - bore.web_mm - bore.tip_mm,
        radius_mm=bore.radius_mm,
    ), ()
