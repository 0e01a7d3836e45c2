"""run-down: resin poured on top of an insert must run down past it before the mould is closed.

A stream runs down one half of the open section by its own weight, at ``K rho g/(A mu)``, while
the air climbs the other; once it has reached the floor that half fills as fast from below.  On its
way down the stream is also drawn, by its own front: for a while as if the column were higher by
Jurin's height ``z_c``.  With ``J = integral dt/mu`` over the time there is::

    J K rho g/A >= [L - z_c ln(1 + L/z_c)] + L

Derived here.  That resin and air share the section evenly is belief; where the resin bridges all
round, no time is enough (see `mouldgen.gap.sequence`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from mouldgen.finding import Bound
from mouldgen.gap.aging import ShopResin, at_shop
from mouldgen.gap.air import gelled
from mouldgen.gap.passage import Passage, least_gap_mm, passage_of
from mouldgen.gap.reach import LARGEST_GAP_MM
from mouldgen.gap.take_up import take_up, take_up_relax, taken_clause
from mouldgen.gap.words import gap_mm, minutes, mm
from mouldgen.physics.capillary import slot_rise
from mouldgen.physics.constants import STANDARD_GRAVITY

if TYPE_CHECKING:
    from mouldgen.gap.question import GapQuestion

SURFACE_TENSION = 0.040  # [N/m], uncured epoxy 0.040 to 0.047; from memory
CONTACT_ANGLE = math.radians(30.0)  # on wood and print; belief


def run_down(question: GapQuestion) -> Bound:
    """The least gap for the time from the end of mixing to closing, and the take-up."""
    resin, pour = at_shop(question.resin, question.pour), question.pour
    if resin.gelled:
        return _bound(question, None, gelled(resin))
    time = minutes(pour.close - pour.mix)
    needed = run_down_gap_mm(question, resin)
    if needed > LARGEST_GAP_MM:
        why = f"in the {time} between mixing and closing resin does not run down"
        why += f" {mm(question.layer_mm)} past the insert in any gap up to {mm(LARGEST_GAP_MM)}"
        return _bound(question, None, why)
    taken = take_up(question)
    why = (
        f"resin that runs down {mm(question.layer_mm)} past the insert in the {time} between"
        f" mixing and closing needs {gap_mm(needed)}, {taken_clause(taken)}"
    )
    return _bound(question, max(0.0, needed + taken.total_mm), why)


def run_down_gap_mm(question: GapQuestion, resin: ShopResin) -> float:
    """Open gap through which the resin reaches the floor and fills up [mm]; may be inf.

    resin : not yet gelled.
    """
    passage, height = passage_of(question), question.layer_mm / 1000.0

    def demand(gap: float) -> float:
        drawn = _drawn(passage, gap, resin.density_kg_m3)
        way = 2.0 * height - drawn * math.log1p(height / drawn)
        return way * passage.open_area(gap) / passage.conductance(gap)

    return least_gap_mm(demand, resin.density_kg_m3 * STANDARD_GRAVITY * resin.flow_per_pa)


def _drawn(passage: Passage, gap: float, density: float) -> float:
    """Jurin's height in a slot as wide as the open section is on average [m]."""
    around = math.pi * (2.0 * passage.envelope + gap)
    return slot_rise(
        passage.open_area(gap) / around,
        surface_tension=SURFACE_TENSION,
        contact_angle=CONTACT_ANGLE,
        density=density,
    )


def _bound(question: GapQuestion, value_mm: float | None, why: str) -> Bound:
    return Bound(
        rule="run-down",
        kind="at_least",
        value_mm=value_mm,
        why=why,
        source="our own derivation from the flow in an annulus (Bird, Stewart & Lightfoot 2.4-17);"
        " belief: half the section carries air, the curve of the cure",
        relax=(
            "pour the resin in first, or feed it from the bottom",
            "warm the resin a little, or take a thinner one",
            *take_up_relax(question, take_up(question)),
        ),
    )
