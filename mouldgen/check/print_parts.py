"""The parts of a mould set looked at as a printer would."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from mouldgen.check.prints import PrintCheck, prints
from mouldgen.mould.parts import MouldParts
from mouldgen.mould.plan import FILL_LINE, CupPlan

if TYPE_CHECKING:
    from mouldgen.mould.any_plan import AnyPlan

# Our own parts have no walls that extend less, and what they are made of is known.
PITCH_MM = 1.5


def print_parts(
    parts: MouldParts, plan: AnyPlan, *, line_mm: float, layer_mm: float
) -> tuple[PrintCheck, ...]:
    """What each part of a set is like to print, in the order of the parts.

    parts, plan : of one set.
    line_mm, layer_mm : width of a line and height of a layer [mm].
    """
    # The fill line runs all round and a score line crosses it: so much do a body's features leave.
    scored = sum(f.scored_mm for f in plan.features) if isinstance(plan, CupPlan) else 0.0
    left = plan.size.wall_mm - FILL_LINE - scored
    behind = {part.name: left for part in parts.bodies if part.name != "disc"}
    return tuple(
        prints(
            part.mesh,
            name=part.name,
            line_mm=line_mm,
            layer_mm=layer_mm,
            pitch_mm=PITCH_MM,
            groove_mm=behind.get(part.name, math.inf),
        )
        for part in parts.parts
    )
