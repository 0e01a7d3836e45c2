"""heat: a thick ring of resin heats itself; neither it nor the printed wall may get too hot."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TYPE_CHECKING

from mouldgen.finding import Bound
from mouldgen.gap.words import gap_mm, mm, most_mm
from mouldgen.job.mixed import mixed_g_ml
from mouldgen.physics.constants import ZERO_CELSIUS

if TYPE_CHECKING:
    from mouldgen.gap.question import GapQuestion
    from mouldgen.job.material_tables import Resin
    from mouldgen.job.resin_numbers import CuringResin
    from mouldgen.physics.belief import Belief
    from mouldgen.physics.data_sheet import DataSheet
    from mouldgen.physics.section import Section
    from mouldgen.physics.steady import Limits

WIDEST_MM = 15.0  # beyond it a cup is no cup with a gap
SOFTENS_LESS_K = 10.0  # kept below where the plastic gives way; belief
RUBBER_SOFTENS_C = 200.0  # that silicone stands for hours; from memory, far above any resin
RESIN_LIMIT_C = 120.0  # where the card says nothing; belief: faults are told of at 100 to 200 degC
_STEP_MM = 0.05
_LEAST_MM = 0.05
_BEYOND = 1.2  # by so much a history clears more than it is asked about


def heat(question: GapQuestion, *, at_mm: float | None = None) -> Bound:
    """The widest gap at which neither the wall nor the resin is likely to get too hot.

    Likely is the middle of what is believed of heat, reaction and air.  The hot end of all of
    them together refuses rings that the trade casts every day, so that end only warns
    (`hot_at`).

    The insert counts as the round that has its section, the bore as wide as it is at the fill
    line, and rubber as thick as it stands round one cavity alone.  Where only one gap is asked
    about, a quick bound is tried, then one history a little beyond that gap; where either clears
    it the rule does not bind, and its sentence says how far that reaches: finding the true limit
    would take ten times as long.

    at_mm : the gap that the other rules ask for, or None for the rule's own value [mm].
    """
    from mouldgen.physics.steady import surely_cool

    shop, wall = question.pour.shop, softens_c(question) - SOFTENS_LESS_K
    limit = resin_limit_c(question.resin)
    if shop >= min(wall, limit):
        why = f"the shop's {shop:g} degC are already as hot as the plastic or the resin may become"
        return _bound(None, why, ("cool the shop", "print in a plastic that stands more heat"))
    sheet, belief = data_sheet(question.resin), likely_way(question.resin)
    air, limits = shop + ZERO_CELSIUS, limits_of(question)

    def possible(gap: float) -> bool:
        ring = section(question, gap)
        return not surely_cool(sheet, ring, belief=belief, air=air, limits=limits)

    def certain(gap: float) -> bool:
        from mouldgen.physics.overheat import overheats

        return overheats(sheet, section(question, gap), belief=belief, air=air, limits=limits)

    if at_mm is not None:
        cleared = _cleared(at_mm, possible, certain)
        if cleared is not None:
            why = f"does not bind: up to {gap_mm(cleared)} at least, neither the resin nor the wall"
            return _bound(math.inf, f"{why} gets too hot", ())
    if not certain(WIDEST_MM):
        why = f"does not bind: up to {mm(WIDEST_MM)} neither the resin nor the wall gets too hot"
        return _bound(math.inf, why, ())
    if certain(_LEAST_MM):
        return _bound(None, f"in any gap {_too_hot(question, _LEAST_MM)}", _relax(question))
    widest = _widest(certain, _LEAST_MM)
    why = f"above {most_mm(widest)} {_too_hot(question, widest + 2.0 * _STEP_MM)}"
    return _bound(widest, why, _relax(question))


def resin_limit_c(resin: Resin) -> float:
    """How hot the curing resin may become [C]: the card's, or what is believed."""
    return RESIN_LIMIT_C if resin.hottest is None else resin.hottest


def softens_c(question: GapQuestion) -> float:
    """Where the wall round the resin gives way: the plastic's, or rubber's [C]."""
    return question.plastic.softens if question.rubber is None else RUBBER_SOFTENS_C


def heat_j_kg(resin: CuringResin) -> float:
    """Heat of a kilogram that cures wholly, the middle of its band [J/kg]."""
    from mouldgen.physics.belief import EPOXY_HEAT, URETHANE_HEAT

    if resin.heat_j_g is not None:
        return 1000.0 * resin.heat_j_g
    return EPOXY_HEAT if resin.kind == "epoxy" else URETHANE_HEAT


def data_sheet(resin: CuringResin) -> DataSheet:
    """What the physics is calibrated on, in SI."""
    from mouldgen.physics.data_sheet import DataSheet

    return DataSheet(
        gel_time=resin.gel,
        mass=resin.gel_mass / 1000.0,
        temperature=resin.gel_temperature + ZERO_CELSIUS,
        density=1000.0 * mixed_g_ml(resin),
    )


def hot_way(resin: Resin) -> Belief:
    """All that makes a resin hot together: the upper edge of the band."""
    from mouldgen.physics.belief import beliefs

    return beliefs(heat_j_kg(resin))[-1]


def likely_way(resin: Resin) -> Belief:
    """The middle of what is believed."""
    from mouldgen.physics.belief import beliefs

    return beliefs(heat_j_kg(resin))[1]


def hot_at(question: GapQuestion, gap: float) -> bool:
    """Whether wall or resin pass their limits at a gap, all beliefs at their hot end.

    gap : between the bore and the round that encloses the insert [mm].
    """
    from mouldgen.physics.steady import surely_cool

    sheet, ring, belief = (
        data_sheet(question.resin),
        section(question, gap),
        hot_way(question.resin),
    )
    air, limits = question.pour.shop + ZERO_CELSIUS, limits_of(question)
    if air >= min(limits.wall, limits.resin):
        return True
    if surely_cool(sheet, ring, belief=belief, air=air, limits=limits):
        return False
    from mouldgen.physics.overheat import overheats

    return overheats(sheet, ring, belief=belief, air=air, limits=limits)


def limits_of(question: GapQuestion) -> Limits:
    """How hot resin and wall may become, in SI."""
    from mouldgen.physics.steady import Limits

    return Limits(
        resin=resin_limit_c(question.resin) + ZERO_CELSIUS,
        wall=softens_c(question) - SOFTENS_LESS_K + ZERO_CELSIUS,
    )


def section(question: GapQuestion, gap: float) -> Section:
    """The mould across its axis, at a gap [mm], in SI."""
    if question.sizes.lies:
        from mouldgen.gap.lying import lying_section  # late: most moulds are cups

        return lying_section(question, gap)
    from mouldgen.physics.material import printed, rubber, wood
    from mouldgen.physics.section import Section

    size, insert = question.size(gap), question.insert
    around = (
        printed(1000.0 * question.plastic.density)
        if question.rubber is None
        else rubber(1000.0 * question.rubber.density)
    )
    return Section(
        insert_radius=math.sqrt(insert.least_mm2 / math.pi) / 1000.0,
        bore_radius=size.widest_mm / 1000.0,
        wall=size.wall_mm / 1000.0,
        insert=wood(1000.0 * insert.density_g_ml, temperature=question.pour.shop + ZERO_CELSIUS),
        plastic=around,
    )


def _cleared(
    at_mm: float, possible: Callable[[float], bool], certain: Callable[[float], bool]
) -> float | None:
    """A gap no narrower than one that is asked about, and cool; None where the search must tell."""
    beyond = at_mm * _BEYOND
    if beyond > WIDEST_MM:
        return None
    for gap in (beyond, at_mm):
        if not possible(gap):
            return gap
    return None if certain(beyond) else beyond


def _widest(too_hot: Callable[[float], bool], cool: float) -> float:
    """The largest gap that is not too hot, between one that is not and the widest of all."""
    low, high = cool, WIDEST_MM
    while high - low > _STEP_MM:
        middle = 0.5 * (low + high)
        low, high = (low, middle) if too_hot(middle) else (middle, high)
    return low


def _too_hot(question: GapQuestion, gap: float) -> str:
    """What gets too hot at a gap that is too wide, and how hot."""
    from mouldgen.physics.exotherm import cure_in_mould

    history = cure_in_mould(
        data_sheet(question.resin),
        section(question, gap),
        belief=likely_way(question.resin),
        air=question.pour.shop + ZERO_CELSIUS,
    )
    softens = softens_c(question)
    wall = "plastic" if question.rubber is None else "rubber"
    clauses = []
    if history.wall_peak > softens - SOFTENS_LESS_K + ZERO_CELSIUS:
        clauses.append(
            f"the wall may pass {softens - SOFTENS_LESS_K:g} degC, {SOFTENS_LESS_K:g} C degrees"
            f" below where the {wall} softens"
        )
    if history.peak > resin_limit_c(question.resin) + ZERO_CELSIUS:
        clauses.append(f"the resin may pass {resin_limit_c(question.resin):g} degC")
    return " and ".join(clauses) or "the resin or the wall may get too hot"


def _relax(question: GapQuestion) -> tuple[str, ...]:
    plastic = (f"print in a plastic that softens above {question.plastic.softens:g} degC",)
    return (
        *(plastic if question.rubber is None else ()),
        "take a slower resin, or one that gives less heat",
        "cool the shop",
    )


def _bound(value_mm: float | None, why: str, relax: tuple[str, ...]) -> Bound:
    return Bound(
        rule="heat",
        kind="at_most",
        value_mm=value_mm,
        why=why,
        source="published: heat conduction with the cure of Kamal & Sourour 1973, calibrated on the"
        " data sheet's gel time; belief: heat, activation energy and film, the middle of each",
        relax=relax,
    )
