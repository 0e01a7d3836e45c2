"""Tape over a tray's lid: opposed notches in the rim, so that a strip lies flat down both sides.

They stay higher than the drain notch in the left side, and off it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.errors import JobError
from mouldgen.finding import Finding
from mouldgen.job.holding import holdings
from mouldgen.mould.tray_hold import TrayHold, TraySite
from mouldgen.solid.kernel import Solid, box

if TYPE_CHECKING:
    from mouldgen.mould.tray import TrayPlan

# Our own choices, no source.
PLAY_MM = 0.5  # beside the tape
DEEP_MM = 2.0  # of a notch, or half of the rim where that is less
FROM_DRAIN_MM = 5.0  # from the middle to the nearest notch: half of the drain notch and a web
NARROWEST_MM = 8.0
OVER_MM = 1.0


@dataclass(frozen=True, eq=False, kw_only=True)
class Notches(TrayHold):
    """Notches in the left and the right side of the rim.

    at_mm : along the tray, of their middles [mm].
    half_mm : half the width of one [mm].
    deep_mm : below the rim [mm].
    """

    at_mm: tuple[float, ...]
    half_mm: float
    deep_mm: float

    def off_body(self, plan: TrayPlan) -> list[Solid]:
        size = plan.size
        x, low = size.body_mm[0] / 2.0 + OVER_MM, size.rim_mm - self.deep_mm
        return [
            box((-x, y - self.half_mm, low), (x, y + self.half_mm, size.rim_mm + OVER_MM))
            for y in self.at_mm
        ]


def place(site: TraySite) -> tuple[TrayHold, tuple[Finding, ...]]:
    """As many notches as either half of the sides takes, for the tape of the presets.

    Raises JobError where there is room for none, PresetError for presets that cannot be read.
    """
    size = site.size
    wide = next(way.wide_mm for way in holdings() if way.name == "tape")
    full = wide + 2.0 * PLAY_MM
    far = size.body_mm[1] / 2.0 - size.wall_mm
    room = far - FROM_DRAIN_MM
    count = max(1, math.floor((room + size.wall_mm) / (full + size.wall_mm)))
    each = min(full, room)
    if each < NARROWEST_MM:
        raise JobError(
            f"a tray {2.0 * (far + size.wall_mm):.0f} mm deep has no room for notches"
            f" {NARROWEST_MM:g} mm wide beside its drain notch",
            where="[mould] hold",
            allowed="weight, dowel or lid on a tray so short",
        )
    step = room / count
    middles = [FROM_DRAIN_MM + (k + 0.5) * step for k in range(count)]
    fits = each - 2.0 * PLAY_MM
    use = (
        f"each pair of notches takes tape {fits:.0f} mm wide; a strip over a port goes on when the"
        " pockets are full"
    )
    return Notches(
        way="tape",
        most=2 * count,
        least=2,
        share=fits / wide,
        use=use,
        at_mm=tuple(sorted([*middles, *(-y for y in middles)])),
        half_mm=each / 2.0,
        deep_mm=min(DEEP_MM, (size.rim_mm - size.deck_mm) / 2.0),
    ), ()
