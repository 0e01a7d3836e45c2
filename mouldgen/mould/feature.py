"""What a mould may have besides the parts that every one has: added to its solids, or cut away."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from mouldgen.mould.plan import CupPlan
    from mouldgen.solid.kernel import Solid


@dataclass(frozen=True, eq=False)
class Feature:
    """Solids in the place where they belong, the inside floor at z = 0; by itself it has none.

    Each method takes the plan of the mould that the feature is a part of.
    """

    @property
    def body_genus(self) -> int:
        """Holes that it makes through the body."""
        return 0

    @property
    def lid_genus(self) -> int:
        """Holes that it makes through the lid."""
        return 0

    @property
    def on_wall(self) -> tuple[tuple[float, float], ...]:
        """What of it is on the wall outside: each its angle and half its width [degrees, mm]."""
        return ()

    @property
    def scored_mm(self) -> float:
        """By how much it thins the wall, level [mm]."""
        return 0.0

    def on_body(self, plan: CupPlan) -> list[Solid]:  # noqa: ARG002
        """What is joined to the body; the cavity is cut out of it as out of the wall."""
        return []

    def off_body(self, plan: CupPlan) -> list[Solid]:  # noqa: ARG002
        """What is cut away from the body and holds no resin."""
        return []

    def of_cavity(self, plan: CupPlan) -> list[Solid]:  # noqa: ARG002
        """What is cut away from the body and holds resin."""
        return []

    def in_cavity(self, plan: CupPlan) -> list[Solid]:  # noqa: ARG002
        """What stands in the cavity."""
        return []

    def own_parts(self, plan: CupPlan) -> list[tuple[str, Solid, int]]:  # noqa: ARG002
        """What is printed beside body and lid, once a mould: name, solid, holes through it."""
        return []

    def on_lid(self, plan: CupPlan) -> list[Solid]:  # noqa: ARG002
        """What is joined to the lid."""
        return []

    def off_lid(self, plan: CupPlan) -> list[Solid]:  # noqa: ARG002
        """What is cut away from the lid."""
        return []


@dataclass(frozen=True, eq=False)
class HoldDown(Feature):
    """A feature that something holds the lid or the insert down by.

    way : its name in ``presets/holding.toml``.
    most : how many of that there is room for.
    least : how many the mould needs whatever the lift, since each closes a hole of its own.
    share : of what one is trusted with that one holds here.
    use : one sentence on how to use it, or empty.
    """

    way: str
    most: float = math.inf
    least: int = 1
    share: float = 1.0
    use: str = ""
