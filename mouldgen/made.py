"""Moulds are made, and poured into on the screen: a step of the flow."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from mouldgen.answer import Answer, open_pores_ml
from mouldgen.errors import NoAnswerError
from mouldgen.gap.shut_in import OnTop, poured_over
from mouldgen.job.cells import fills_evenly
from mouldgen.job.mixed import mixed_g_ml
from mouldgen.memo import Memo, digest
from mouldgen.mix.amounts import Amounts, amounts
from mouldgen.mould.families import family_of
from mouldgen.mould.naming import mould_id
from mouldgen.mould.parts import MouldParts
from mouldgen.pour.attitudes import Tried, attitudes
from mouldgen.pour.riser import Riser, pockets_ml, riser
from mouldgen.pour.slices import pitch_mm
from mouldgen.pour.space import Space

if TYPE_CHECKING:
    from mouldgen.mould.any_plan import AnyPlan
    from mouldgen.size.mould_size import MouldSize

LARGEST_MM = 1000.0  # of a whole mould; corners lie within `solid.mesh.REACH_MM` of its middle


@dataclass(frozen=True, eq=False)
class Made:
    """Moulds that were made and poured into.

    plan, parts : where the features are, and the meshes.
    tried : the virtual pour, upright and leaning.
    over : air below resin that is poured on top of the insert; None where none is.
    riser : what sinks after the pour, and the room for it.
    """

    plan: AnyPlan
    parts: MouldParts
    tried: Tried
    over: OnTop | None
    riser: Riser


def with_cavity(answer: Answer, memo: Memo) -> Answer:
    """The same with the true size of a cavity that has no closed form.

    answer : the closed forms.
    memo : the caller's store of steps.
    """
    if answer.size is None or answer.job.mould.family != "shell":
        return answer
    from mouldgen.cavity.shell import shell_findings, shell_size  # late: most inserts are drawn
    from mouldgen.insert.scan import standing
    from mouldgen.size.shell import as_shell

    scan = standing(answer.job.insert)
    size = memo.step(shell_size, as_shell(answer.sizes), answer.size.gap_mm, scan)
    return replace(answer, size=size, scanned=(*answer.scanned, *shell_findings(size)))


def make_and_pour(answer: Answer, size: MouldSize, *, letter: str, memo: Memo) -> Made:
    """Make the moulds and pour; where the riser is too small, make them with a second line.

    answer : the closed forms.
    size : the sizes at the gap that was chosen.
    letter : of a trial's rung, written before the mould's id; empty for none.
    memo : the caller's store of steps.

    Raises JobError where there is no room for a feature that is asked for.
    """
    plan = plan_first(answer, size, letter=letter)
    parts = parts_of_plan(answer, plan, memo)
    tried = memo.step(pour_into, parts, plan)
    over = poured_over(answer.question, size.gap_mm, sequence=answer.gap.sequence)
    sinks = _sinks(answer, size, tried, over=over, insert_top_mm=plan.insert_top_mm)
    if not sinks.fits:
        plan = plan.with_second()
        parts = parts_of_plan(answer, plan, memo)
    return Made(plan, parts, tried, over, sinks)


def resin_for(answer: Answer, size: MouldSize, *, features_ml: float) -> Amounts:
    """The resin of moulds.

    answer : the closed forms.
    size : the sizes at the gap that was chosen.
    features_ml : that grooves and the like of one mould take.
    """
    return amounts(
        size.net_ml * size.blanks,
        riser_ml=size.riser_ml * size.blanks,
        features_ml=features_ml,
        moulds=answer.fillings,
        resin=answer.job.resin,
        scale_g=answer.job.shop.scale,
    )


def pour_into(parts: MouldParts, plan: AnyPlan) -> Tried:
    """The virtual pour; the lid is on, so air leaves by its vents and its port only.

    parts, plan : of one set.
    """
    pitch = pitch_mm(plan.size.gap_mm)
    # Cells are all the same, and each gets the same amount: one is poured into.
    x, y = parts.places[0]
    lid = parts.part("lid").assembled.moved(-x, -y)
    return attitudes(
        Space(parts.hollow, (parts.displacing, lid), plan.size.open_mm),
        level_mm=plan.size.level_mm,
        layer_mm=pitch,
        row_mm=pitch,
    )


def plan_first(
    answer: Answer, size: MouldSize, *, letter: str = "", coarse_mm: float = 0.0
) -> AnyPlan:
    """Where the features of a mould are, before it is known whether it gets a second line.

    answer : the closed forms.
    size : the sizes at the gap that was chosen.
    letter : of a trial's rung, written before the mould's id; empty for none.
    coarse_mm : chord tolerance of a picture, where the job's own is finer [mm].

    Raises JobError where there is no room for a feature that is asked for, NoAnswerError for a
    mould as long as a door is wide.
    """
    _require_reach(size)
    job = answer.job
    # What is lettered tells the mould, not the picture of it: of the job's own chord.
    shaping = (answer.sizes, size.gap_mm, job.mould, job.printer)
    more = {"spread": fills_evenly(job.insert)} if answer.sizes.lies else {}
    plan: AnyPlan = family_of(job.mould.family).plan(
        answer.sizes,
        size,
        slide_mm=max(answer.gap.take_up_mm, 0.0) + job.printer.clearance,
        mould=job.mould.model_copy(update={"chord": max(job.mould.chord, coarse_mm)}),
        piece=job.piece,
        printer=job.printer,
        mould_id=mould_id(job.name, given=job.mould.id, fingerprint=digest(shaping)),
        letter=letter,
        resin_g_ml=mixed_g_ml(job.resin),
        layers=job.pour.layers,
        **more,
    )
    return plan


def _require_reach(size: MouldSize) -> None:
    """Solids are worked to a fine grid that does not go on for ever."""
    widths = (2.0 * size.across_mm,) if size.sides_mm is None else size.sides_mm
    largest = max(*widths, size.stack_height_mm, size.body_height_mm, size.lid_height_mm)
    if largest > LARGEST_MM:
        raise NoAnswerError(
            f"the mould would be {largest:.0f} mm in its longest direction",
            allowed=f"a mould of at most {LARGEST_MM:g} mm",
            try_="Look at the units of the insert, of the gap and of the fill height.",
        )


def parts_of_plan(answer: Answer, plan: AnyPlan, memo: Memo) -> MouldParts:
    """The solids of a plan.

    answer : the closed forms.
    plan : of the mould.
    memo : the caller's store of steps.
    """
    family = family_of(answer.job.mould.family)
    parts = memo.step(family.make, plan, answer.job.insert)
    if family.each_casting:
        parts = parts.counted(family.each_casting, answer.moulds)
    return parts


def _sinks(
    answer: Answer, size: MouldSize, tried: Tried, *, over: OnTop | None, insert_top_mm: float
) -> Riser:
    return riser(
        pockets_ml=pockets_ml(
            tried.pours[0],
            bridged_ml=over.most_ml if over else 0.0,
            insert_top_mm=insert_top_mm,
        ),
        pores_ml=open_pores_ml(answer.insert),
        shrinkage=answer.job.resin.shrinkage,
        net_ml=size.net_ml,
        pressure_kpa=answer.job.pour.pressure or 0.0,
        room_ml=size.riser_ml,
    )
