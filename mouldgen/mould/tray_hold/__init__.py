"""Ways to hold what lies in a tray: one file a way, with what it adds to the tray.

A way is a file here with a function `place` that gives its `TrayHold`; what it is trusted with
stands in ``presets/holding.toml``.  A dowel is two ways: through the wood along the saw cuts where
the blank is sawn, and across the lid elsewhere.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from importlib import import_module
from typing import TYPE_CHECKING

from mouldgen.finding import Finding

if TYPE_CHECKING:
    from mouldgen.job.model import Mould, Piece
    from mouldgen.mould.pose import Pose
    from mouldgen.mould.tray import Rect, TrayPlan
    from mouldgen.size.tray import TrayQuestion, TraySize
    from mouldgen.solid.kernel import Solid

AT_THE_LID = ("lid", "tape", "weight", "band", "across")  # the lid's legs press on the insert


@dataclass(frozen=True, eq=False, kw_only=True)
class TrayHold:
    """What a tray has so that something holds its lid or its inserts down.

    way : its name in ``presets/holding.toml``.
    most : how many of that there is room for.
    least : how many the tray needs whatever the lift: each closes a hole of its own, or two keep
        the lid level.
    share : of what one is trusted with that one holds here.
    use : one sentence on how to use it, or empty.
    pads : under the insert in the place of its pips, as seen from above; empty to keep those.
    """

    way: str
    most: float = math.inf
    least: int = 1
    share: float = 1.0
    use: str = ""
    pads: tuple[Rect, ...] = ()

    @property
    def at_insert(self) -> bool:
        """Whether it holds the insert itself, so that the lid needs no legs."""
        return self.way not in (*AT_THE_LID, "hooked")

    def body_genus(self, size: TraySize) -> int:  # noqa: ARG002
        """Holes that it makes through the body.

        size : of the tray.
        """
        return 0

    def resin_ml(self, plan: TrayPlan) -> float:  # noqa: ARG002
        """What of it takes the place of resin in one pocket [ml]."""
        return 0.0

    def on_body(self, plan: TrayPlan) -> list[Solid]:  # noqa: ARG002
        """What is joined to the body; the pockets are cut out of it as out of the walls."""
        return []

    def off_body(self, plan: TrayPlan) -> list[Solid]:  # noqa: ARG002
        """What is cut away from the body and holds no resin."""
        return []

    def in_pocket(self, plan: TrayPlan) -> list[Solid]:  # noqa: ARG002
        """What stands in one pocket, about its middle."""
        return []


@dataclass(frozen=True, eq=False)
class TraySite:
    """Where a way of holding finds its place.

    question, size : the closed form.
    mould, piece : the maker's tables.
    poses : of the finished pieces of one blank.
    layer_mm : height of a printed layer [mm].
    """

    question: TrayQuestion
    size: TraySize
    mould: Mould
    piece: Piece
    poses: tuple[Pose, ...]
    layer_mm: float


def hold_in_tray(site: TraySite) -> tuple[TrayHold | None, tuple[Finding, ...]]:
    """What holds the inserts, and what is to be said of it; nothing for the lid's legs alone.

    Raises JobError where there is no room for it, PresetError for presets that cannot be read.
    """
    hold: str = site.mould.hold
    if hold in ("lid", "none"):
        return None, ()
    if hold == "dowel":
        hold = "across" if site.question.saw is None else "through"
    placed: tuple[TrayHold, tuple[Finding, ...]] = import_module(f"{__name__}.{hold}").place(site)
    return placed
