"""How much air stays shut in: resin poured on top of an insert, against an insert pushed into it.

Poured on top, the air of the gap and of the space under the insert is below the resin.  In a
narrow gap it bridges (`bridging_mm`), and two answers are given: the most, where the bridge holds
all round, and the least, where it breaks up and the air climbs as the air rule has it: from
closing to the gel, with that rule's factor on the height and what castings have taught.

Pushed in, a prism carries down no more than the film that its flat foot catches; hollows of a
shape that is no prism are the virtual pour's to find.

Volumes are those of the bore and the insert as drawn; what is taken up narrows the gap that the
air climbs in.  Pips, sockets and ribs are left out.  How the two parts are derived, and what of it
is published: `mouldgen.physics.bridging` and `mouldgen.physics.foot_film`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.gap.aging import ShopResin, at_shop
from mouldgen.gap.air import SAFETY
from mouldgen.gap.passage import passage_of
from mouldgen.gap.run_down import SURFACE_TENSION
from mouldgen.gap.take_up import take_up
from mouldgen.physics.arrest import least_slot_gap, least_tube_diameter
from mouldgen.physics.bridging import air_left, breaking_perimeter, clearing_gap, climb
from mouldgen.physics.constants import STANDARD_GRAVITY
from mouldgen.physics.foot_film import caught_film, share_kept
from mouldgen.physics.gas import volume_share
from mouldgen.size import bore_of

if TYPE_CHECKING:
    from mouldgen.gap.question import GapQuestion
    from mouldgen.size.profile import Profile

INSERT_FIRST = "insert-first"


@dataclass(frozen=True, eq=False)
class OnTop:
    """Air below resin that was poured on top, before any pot's pressure.

    most_ml : where the bridge holds all round [ml].
    least_ml : where it breaks up as soon as it may [ml].
    """

    most_ml: float
    least_ml: float


@dataclass(frozen=True, eq=False)
class ShutIn:
    """The two ways beside each other.

    on_top : insert first, resin poured on top of it.
    pushed_ml : resin first, the insert pushed into it [ml].
    """

    on_top: OnTop
    pushed_ml: float


def shut_in(question: GapQuestion, gap_mm: float) -> ShutIn:
    """Air that stays shut in either way, whichever the job takes.

    gap_mm : between the bare bore and the round that encloses the insert, as drawn [mm].
    """
    return ShutIn(on_top(question, gap_mm), pushed_ml(question, gap_mm))


def on_top(question: GapQuestion, gap_mm: float, *, from_mm: float = 0.0) -> OnTop:
    """Air that stays below resin poured on top of the insert.

    gap_mm : as drawn [mm].
    from_mm : height of the insert that stands in set resin already; with 0 there is air under
        its foot as well [mm].
    """
    resin = at_shop(question.resin, question.pour)
    open_mm = max(0.0, gap_mm - take_up(question).total_mm)
    slot, hollow = _limits_mm(question, resin)
    if open_mm >= hollow:
        return OnTop(0.0, 0.0)
    pip, length = question.sizes.pip_mm, question.insert.length_mm
    ring = _ring_ml(question, gap_mm, pip + from_mm, pip + length)
    under = 0.0 if from_mm else _bore_ml(question, gap_mm, pip)
    head = question.allowances.head_mm / 1000.0
    squeezed = volume_share(resin.density_kg_m3 * STANDARD_GRAVITY * head)

    def left(climbed_mm: float) -> float:
        height = length - from_mm
        return squeezed * air_left(ring=ring, under=under, height=height, climbed=climbed_mm)

    least = left(_climb_mm(question, open_mm, resin))
    if open_mm >= slot:
        return OnTop(least, least)
    around = math.pi * (2.0 * question.insert.envelope_mm + gap_mm) / 1000.0
    breaks = around > breaking_perimeter(SURFACE_TENSION, density_difference=resin.density_kg_m3)
    return OnTop(left(0.0), least if breaks else left(0.0))


def pushed_ml(question: GapQuestion, gap_mm: float) -> float:
    """Air that stays under an insert pushed into resin, at most [ml].

    gap_mm : as drawn [mm].
    """
    insert, pip, layer = question.insert, question.sizes.pip_mm, question.layer_mm
    film = caught_film(
        math.sqrt(insert.lower.area_mm2 / math.pi) / 1000.0,
        speed=layer / 1000.0 / question.pour.push_time,
        density=at_shop(question.resin, question.pour).density_kg_m3,
    )
    head = question.allowances.head_mm if question.pour.layers == 1 else 0.0
    resin_ml = _bore_ml(question, gap_mm, pip + layer + head) - insert.below_ml(layer)
    # A floor that leans may take more room than the insert leaves: then it comes down on none.
    depth = _bore(question, gap_mm).height_mm(max(0.0, resin_ml))
    return insert.lower.area_mm2 * film * share_kept(pip, start_depth=depth)


def poured_over(question: GapQuestion, gap_mm: float, *, sequence: str) -> OnTop | None:
    """Air below what a job's own sequence pours on top of the insert; None where it pours none.

    Of several layers all but the first are poured on top, whatever comes first.

    gap_mm : as drawn [mm].
    sequence : the job's, or the one that the rules chose.
    """
    if question.sizes.lies:  # poured at one end, resin drives the air out along the pocket
        return None
    if sequence == INSERT_FIRST:
        return on_top(question, gap_mm)
    if question.pour.layers > 1:
        return on_top(question, gap_mm, from_mm=question.layer_mm)
    return None


def bridging_mm(question: GapQuestion) -> float:
    """Gap, with its take-up, under which resin on top may bridge all round [mm]; 0 where never.

    The slot's limit, or less where a flute, a flat or a vent groove then holds a circle as wide
    as a tube that clears itself.
    """
    if question.sizes.lies:
        return 0.0
    limit = min(_limits_mm(question, at_shop(question.resin, question.pour)))
    return max(0.0, limit + take_up(question).total_mm) if limit > 0.0 else 0.0


def _limits_mm(question: GapQuestion, resin: ShopResin) -> tuple[float, float]:
    """Open gap from which the ring, and from which a hollow beside it, stays open [mm]."""
    slot, tube = (
        1000.0 * limit(SURFACE_TENSION, density_difference=resin.density_kg_m3)
        for limit in (least_slot_gap, least_tube_diameter)
    )
    insert, hollows = question.insert, [math.inf]
    if insert.corners_mm:  # a flat is wider than it is deep: so is the circle in it
        hollows.append(max(0.0, tube - (insert.envelope_mm - insert.core_mm)))
    if insert.flutes:
        hollows.append(clearing_gap(tube, groove=insert.flute_mm))
    if insert.holes and 2.0 * insert.hole_mm >= tube:
        hollows.append(0.0)
    if question.vent_grooves:
        hollows.append(clearing_gap(tube, groove=question.sizes.groove_mm))
    return slot, min(hollows)


def _climb_mm(question: GapQuestion, open_mm: float, resin: ShopResin) -> float:
    """Height that air clears as the air rule reckons, castings and factor and all [mm]."""
    clears = climb(
        open_mm * math.exp(-question.learned.air_shift) / 1000.0,
        density_difference=resin.density_kg_m3,
        fluidity_integral=resin.fluidity_per_pa,
    )
    return 1000.0 * clears / SAFETY


def _ring_ml(question: GapQuestion, gap_mm: float, low_mm: float, high_mm: float) -> float:
    bore = _bore_ml(question, gap_mm, high_mm) - _bore_ml(question, gap_mm, low_mm)
    return bore - question.insert.between_ml(low_mm, high_mm, foot_mm=question.sizes.pip_mm)


def _bore_ml(question: GapQuestion, gap_mm: float, height_mm: float) -> float:
    """The bore with its vent grooves, from the floor to a height [ml]."""
    grooves = 1000.0 * passage_of(question).vents_area * height_mm
    return _bore(question, gap_mm).volume_ml(height_mm) + grooves


def _bore(question: GapQuestion, gap_mm: float) -> Profile:
    """The bare bore as its family draws it: that of a contour mould is wide where the piece is."""
    sizes = question.sizes
    return bore_of(sizes.family)(sizes, gap_mm)
