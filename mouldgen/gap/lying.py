"""The rules for an insert that lies in a tray, where they differ from those of a round bore.

Air has no more to climb than the insert is high, so its rule and that of the inserts' spread stay
as they are.  Nobody pushes a lying insert through a bore; the resin runs down beside it.  What the
gap is wide decides neither how high the pocket is filled nor how long it is: where those fall
short, no gap helps, and the rule says so.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from mouldgen.errors import InternalError
from mouldgen.finding import Bound
from mouldgen.gap.cover import narrowest_mm
from mouldgen.gap.reach import LARGEST_GAP_MM
from mouldgen.gap.runs import runs_in_time
from mouldgen.gap.slide import slide_mm
from mouldgen.gap.take_up import take_up
from mouldgen.gap.words import gap_mm, mm, most_mm
from mouldgen.job.outline import least_mm, outline_of, widest_mm
from mouldgen.physics.constants import STANDARD_GRAVITY, ZERO_CELSIUS
from mouldgen.size.tray import TrayQuestion, TraySize, tray_size_of

if TYPE_CHECKING:
    from mouldgen.gap.aging import ShopResin
    from mouldgen.gap.question import GapQuestion
    from mouldgen.gap.sequence import Flow
    from mouldgen.physics.section import Section

RESIN_FIRST, BOTTOM_FEED, INSERT_FIRST = "resin-first", "bottom-feed", "insert-first"
_TOLERANCE_MM = 1e-6


def tray_of(question: GapQuestion) -> TrayQuestion:
    """What the sizes of the tray depend on."""
    if not isinstance(question.sizes, TrayQuestion):
        raise InternalError(f"a rule for trays was asked about a {question.sizes.family}")
    return question.sizes


def lying_size(question: GapQuestion, gap: float) -> TraySize:
    """The tray at a gap [mm]."""
    return tray_size_of(tray_of(question), gap)


# ------------------------------------------------------------------------------------- flow


def lying_flow(question: GapQuestion) -> Flow:
    """Insert first unless the maker says otherwise: resin poured at one end drives the air out."""
    from mouldgen.gap.sequence import Flow  # late: it asks here for what lies

    told = question.pour.sequence
    if told == RESIN_FIRST:
        says = (
            "resin first: the insert is laid into it, one end first, and the air goes ahead of it"
        )
        return Flow(told, (_push(),), _advice(says))
    if told == BOTTOM_FEED:
        return Flow(told, (_feed(),), _advice("a tray has no runner to feed it from the bottom"))
    says = (
        "insert first: resin poured at one end of a pocket runs along its floor and drives the air"
        " out ahead of it; what stays shut in is the virtual pour's to find"
    )
    more = question.pour.layers - 1
    if more:
        says += "; so does its other layer" if more == 1 else f"; so do its other {more} layers"
    return Flow(INSERT_FIRST, (_run_down(question),), _advice(says))


def _run_down(question: GapQuestion) -> Bound:
    return runs_in_time(
        question,
        rule="run-down",
        needs=slot_gap_mm,
        does="resin that runs down {} beside the lying insert",
        fails="resin does not run down {} beside the lying insert",
        belief="half the section carries air, the curve of the cure",
        relax=("warm the resin a little, or take a thinner one",),
    )


def slot_gap_mm(question: GapQuestion, resin: ShopResin) -> float:
    """Open slot through which resin runs down and fills up in time [mm].

    ``J rho g b^2/12 >= 2 L``: the way of the run-down rule with what capillary forces add left
    out, between two flat sides, where the conductance over the area is ``b^2/12``.

    resin : not yet gelled.
    """
    supply = resin.density_kg_m3 * STANDARD_GRAVITY * resin.flow_per_pa
    if not supply > 0.0:
        return math.inf
    return 1000.0 * math.sqrt(24.0 * question.layer_mm / 1000.0 / supply)


def _push() -> Bound:
    why = "does not bind: a lying insert is laid into the resin, not pushed through a bore"
    return Bound("push", "at_least", 0.0, why, "geometry of the tray", ())


def _feed() -> Bound:
    why = "a tray is open above and has no runner to feed it from the bottom"
    return Bound("feed", "at_least", None, why, "geometry of the tray", ())


def _advice(why: str) -> Bound:
    source = "belief: no bridge holds along a pocket that is open from end to end"
    return Bound("sequence", "advice", math.inf, why, source, ())


# ------------------------------------------------------------------------------------ piece


def lying_turn(question: GapQuestion) -> Bound:
    """The blank must clean up: the pocket's own sides, which the chuck or the saw goes by.

    Across ``w + 2 g - undersize >= 2 (R + turning)``; sawn into n, each of them
    ``(w + 2 g - (n - 1) kerf - undersize)/n``.  A piece that lies has half of the fill below and
    half above its axis, whatever the gap.
    """
    tray = tray_of(question)
    wide = 2.0 * (widest_mm(outline_of(question.piece)) + question.turning_mm)
    narrow = question.printer.undersize
    laid, asks = tray.laid, f"a piece with {mm(question.turning_mm)} a side to turn off, {mm(wide)}"
    if tray.saw is None:
        fill = tray_size_of(tray, question.printer.clearance + tray.pip_mm).fill_mm
        if fill < wide - 1e-9:
            why = f"{asks}, does not lie in a blank {mm(fill)} high, whatever the gap"
            return _turn(
                None, why, (f"fill the pocket to {mm(wide)}: [mould] fill", "turn less off")
            )
        needs = (wide + narrow - laid.width_mm) / 2.0
        told = f"{asks}, in a blank that prints {gap_mm(narrow)} narrow beside an insert of"
        return _turn(max(0.0, needs), f"{told} {mm(laid.width_mm)}", ("turn less off",))
    columns, rows = tray.saw
    across = columns * wide + (columns - 1) * tray.kerf_mm + narrow
    along = rows * wide + (rows - 1) * tray.kerf_mm + narrow
    needs = max(across - laid.width_mm, along - laid.length_mm) / 2.0
    why = (
        f"{columns} x {rows} pieces, each {mm(wide)} with {mm(question.turning_mm)} a side to turn"
        f" off, and cuts of {mm(tray.kerf_mm)} ask for a block of {mm(across)} x {mm(along)}"
    )
    return _turn(max(0.0, needs), why, ("turn less off", "saw the block into fewer"))


def _turn(value_mm: float | None, why: str, relax: tuple[str, ...]) -> Bound:
    source = "geometry; the turning allowance is the maker's, or common practice"
    return Bound("turn", "at_least", value_mm, why, source, relax)


def lying_cover(question: GapQuestion) -> Bound | None:
    """Whether the piece covers a lying insert, also where its outline is narrowest round it.

    The gap decides nothing about it.
    """
    asked = question.piece.cover
    if asked is None:
        return None
    tray = tray_of(question)
    source = "geometry; the cover is the maker's"
    if tray.saw is not None:
        why = "pieces that are sawn from a block show what is cast into it: no gap covers it"
        return Bound("cover", "at_least", None, why, source, ("ask for no cover",))
    off = slide_mm(question, take_up(question))
    reach = math.hypot(tray.laid.width_mm / 2.0 + off, tray.laid.tall_mm / 2.0)
    needs = 2.0 * (reach + asked)
    # Pieces end to end have the insert all along them; one alone may be longer than it.
    several = tray.per_blank > 1
    across = 2.0 * least_mm(outline_of(question.piece)) if several else narrowest_mm(question)
    told = f"{gap_mm(asked)} of resin over an insert of {mm(tray.laid.width_mm)} x"
    told += f" {mm(tray.laid.tall_mm)}"
    if across < needs - 1e-9:
        why = f"{told} ask for a piece of {needs:.2f} mm, and it is turned to {mm(across)}"
        relax = ("take a thinner insert or a thicker piece",)
        return Bound("cover", "at_least", None, why, source, relax)
    why = f"does not bind: {told} stay in the piece of {mm(across)}"
    return Bound("cover", "at_least", 0.0, why, source, ())


# ------------------------------------------------------------------------------------- heat


def slab_mm(size: TraySize, layers: int) -> float:
    """How thick a slab of resin one pour counts as, cooled above and below [mm].

    ``2 V/A`` of one layer with its two level faces: the data sheet's own case.  What leaves
    through the sides is left out.

    size : of the tray.
    layers : poured one after the other.
    """
    width, length = size.pocket_mm(size.fill_mm)
    return 1000.0 * size.net_ml / layers / (width * length)


def lying_depth(question: GapQuestion) -> Bound:
    """The data sheet's greatest thickness of one pour; it never falls with a wider gap."""
    sheet = question.resin.depth
    source = "the data sheet; twice the volume over the area that is cooled, its own slab"
    relax = ("take a resin that may be poured thicker", "pour in more layers: [pour] layers")
    if sheet is None:
        why = "does not bind: the data sheet's greatest thickness is not given"
        return Bound("depth", "at_most", math.inf, why, source, ())

    def thick(gap: float) -> float:
        return slab_mm(lying_size(question, gap), question.pour.layers)

    told = f"the data sheet's {mm(sheet)} for one pour"
    least = _least(question)
    if thick(LARGEST_GAP_MM) <= sheet:
        most = thick(least)
        why = f"does not bind: one pour counts as a slab of {gap_mm(most)} at least and stays under"
        return Bound("depth", "at_most", math.inf, f"{why} {told} at any gap", source, ())
    if thick(least) > sheet:
        why = (
            f"even round the insert alone one pour counts as a slab of {gap_mm(thick(least))}, over"
        )
        return Bound("depth", "at_most", None, f"{why} {told}", source, relax)
    low, high = least, LARGEST_GAP_MM
    while high - low > _TOLERANCE_MM:
        middle = 0.5 * (low + high)
        low, high = (middle, high) if thick(middle) <= sheet else (low, middle)
    why = f"above {most_mm(low)} one pour counts as a slab thicker than {told}"
    return Bound("depth", "at_most", low, why, source, relax)


def _least(question: GapQuestion) -> float:
    """The narrowest gap that a pocket of this draft is drawn with [mm]."""
    tray = tray_of(question)
    return max(
        slide_mm(question, take_up(question)),
        math.tan(math.radians(tray.draft_deg)) * tray.pip_mm + tray.line_mm,
    )


def lying_section(question: GapQuestion, gap: float) -> Section:
    """One pour in a pocket, as heat sees it: a ring with the same resin and the same cooled skin.

    Per length of the pocket the ring has the perimeter of width and height of one layer as its
    outside and the layer's resin as its area, so that ``2 V/A`` is the same; the insert is gathered
    in its middle with the heat that it takes.  The ends are left out, and so is that the lower
    layers have set (belief: lumps and walls of cells are as near to the resin as that).

    gap : between the lying insert's sides and the pocket's [mm].
    """
    from mouldgen.physics.material import printed, wood
    from mouldgen.physics.section import Section

    size, insert, layers = lying_size(question, gap), question.insert, question.pour.layers
    width, length = sorted(size.pocket_mm(size.fill_mm))
    high = size.fill_mm / layers
    outer = (width + high) / math.pi
    resin = 1000.0 * size.net_ml / layers / length
    core = math.sqrt(max(0.0, outer**2 - resin / math.pi))
    material = 1000.0 * insert.material_ml / layers / length
    share = min(1.0, material / (math.pi * core**2)) if core > 0.0 else 0.0
    return Section(
        insert_radius=core / 1000.0 if share > 0.0 else 0.0,
        bore_radius=outer / 1000.0,
        wall=size.wall_mm / 1000.0,
        insert=wood(
            1000.0 * insert.density_g_ml * (share or 1.0),
            temperature=question.pour.shop + ZERO_CELSIUS,
        ),
        plastic=printed(1000.0 * question.plastic.density),
    )
