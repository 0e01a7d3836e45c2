"""run-down: resin poured on top of an insert must run down past it before the mould is closed.

A stream runs down one half of the open section by its own weight, at ``K rho g/(A mu)``, while
the air climbs the other; once it has reached the floor that half fills as fast from below.  On its
way down the stream is also drawn, by its own front: for a while as if the column were higher by
Jurin's height ``z_c``.  With ``J = integral dt/mu`` over the time there is::

    J K rho g/A >= [L - z_c ln(1 + L/z_c)] + L

Derived here.  That resin and air share the section evenly is belief; where the resin bridges all
round, no time is enough (see `mouldgen.gap.shut_in`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from mouldgen.gap.along import Along, passages
from mouldgen.gap.passage import Passage
from mouldgen.gap.runs import running_gap_mm, runs_in_time
from mouldgen.physics.capillary import slot_rise

if TYPE_CHECKING:
    from mouldgen.finding import Bound
    from mouldgen.gap.aging import ShopResin
    from mouldgen.gap.question import GapQuestion

SURFACE_TENSION = 0.040  # [N/m], uncured epoxy 0.040 to 0.047; from memory
CONTACT_ANGLE = math.radians(30.0)  # on wood and print; belief


def run_down(question: GapQuestion) -> Bound:
    """The least gap for the time from the end of mixing to closing, and the take-up."""
    return runs_in_time(
        question,
        rule="run-down",
        needs=run_down_gap_mm,
        does="resin that runs down {} past the insert",
        fails="resin does not run down {} past the insert",
        belief="half the section carries air, the curve of the cure",
        relax=(
            "pour the resin in first, or feed it from the bottom",
            "warm the resin a little, or take a thinner one",
        ),
    )


def run_down_gap_mm(question: GapQuestion, resin: ShopResin) -> float:
    """Open gap through which the resin reaches the floor and fills up [mm]; may be inf.

    resin : not yet gelled.
    """
    height = question.layer_mm / 1000.0

    def needed(passage: Passage | Along) -> float:
        def way(gap: float) -> float:
            drawn = _drawn(passage, gap, resin.density_kg_m3)
            return 2.0 * height - drawn * math.log1p(height / drawn)

        return running_gap_mm(passage, way, resin)

    return max(needed(passage) for passage in passages(question))


def _drawn(passage: Passage | Along, gap: float, density: float) -> float:
    """Jurin's height in a slot as wide as the open section is on average [m]."""
    around = math.pi * (2.0 * passage.envelope + gap)
    return slot_rise(
        passage.open_area(gap) / around,
        surface_tension=SURFACE_TENSION,
        contact_angle=CONTACT_ANGLE,
        density=density,
    )
