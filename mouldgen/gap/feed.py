"""feed: resin that enters at the floor must rise past the insert before the mould is closed.

Its head is a funnel that is kept full, ``H`` over the floor.  Rising to ``z`` it flows at
``K rho g (H - z)/(mu z)``, so that with ``J = integral dt/mu`` over the time there is::

    J K rho g/A >= 2 [H ln(H/(H - L)) - L]

The 2: the runner may take half of the time, and `least_runner_mm` says how wide it must be to.
Derived here.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from mouldgen.gap.aging import ShopResin, at_shop
from mouldgen.gap.along import Along, passages
from mouldgen.gap.passage import Passage
from mouldgen.gap.runs import running_gap_mm, runs_in_time
from mouldgen.gap.words import mm
from mouldgen.physics.constants import STANDARD_GRAVITY
from mouldgen.size.question import FUNNEL_MM

if TYPE_CHECKING:
    from mouldgen.finding import Bound
    from mouldgen.gap.question import GapQuestion


def feed(question: GapQuestion) -> Bound:
    """The least gap for the time from the end of mixing to closing, and the take-up."""
    return runs_in_time(
        question,
        rule="feed",
        needs=feed_gap_mm,
        does="resin that rises {} past the insert from the bottom, under a funnel"
        f" {mm(FUNNEL_MM)} over the rim,",
        fails="resin fed from the bottom does not rise {} past the insert",
        belief="the curve of the cure",
        relax=("warm the resin a little, or take a thinner one", "set the funnel higher"),
    )


def feed_gap_mm(question: GapQuestion, resin: ShopResin) -> float:
    """Open gap through which the resin rises in time [mm]; may be inf.

    resin : not yet gelled.
    """
    head, height = _head(question), question.layer_mm / 1000.0
    way = 2.0 * (head * math.log(head / (head - height)) - height)

    def needed(passage: Passage | Along) -> float:
        if isinstance(passage, Along):
            return running_gap_mm(passage, lambda gap: 2.0 * passage.way_up(gap, head=head), resin)
        return running_gap_mm(passage, lambda _gap: way, resin)

    return max(needed(passage) for passage in passages(question))


def least_runner_mm(question: GapQuestion, gap_mm: float) -> float:
    """Bore of a round runner that takes no more than half of the time [mm]; inf once gelled.

    From ``A l/(K_r rho g) ln(H/(H - L)) = J/2`` with ``K_r = pi r^4/8``, for a runner as long as
    its funnel is high.

    gap_mm : between the bore and the round that encloses the insert [mm].
    """
    resin = at_shop(question.resin, question.pour)
    if not resin.flow_per_pa > 0.0:
        return math.inf
    head, height = _head(question), question.layer_mm / 1000.0
    volume = max(_open_area(one, gap_mm / 1000.0) for one in passages(question)) * head
    drive = resin.density_kg_m3 * STANDARD_GRAVITY * resin.flow_per_pa / 2.0
    conductance = volume * math.log(head / (head - height)) / drive
    return 2000.0 * math.sqrt(math.sqrt(8.0 * conductance / math.pi))


def _open_area(passage: Passage | Along, gap: float) -> float:
    """All that resin fills, the insert's holes too [m2]."""
    holes = passage.stretches[0].passage if isinstance(passage, Along) else passage
    return passage.open_area(gap) + holes.holes_area


def _head(question: GapQuestion) -> float:
    """Height of the funnel's brim over the floor [m]."""
    over = question.sizes.head_mm if question.pour.layers == 1 else 0.0
    rim = question.layer_mm + over + question.sizes.freeboard_mm
    return (rim + FUNNEL_MM) / 1000.0
