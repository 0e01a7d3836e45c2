"""The whole flow on one page: from what the maker says to a set of moulds.

The closed forms come first (`mouldgen.answer`), then the solids and the pour (`mouldgen.made`),
the checks (`mouldgen.looked`), the resin and the beds; all of it is one `MouldSet`.

Each step is a pure function from frozen values to a frozen value and takes only what it uses.
`memo`, where the caller brings one, keeps the results of steps whose input did not change.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, cast

from mouldgen.answer import Answer, answer_job
from mouldgen.check.dry import dry_enough
from mouldgen.check.held import held_down, hold
from mouldgen.check.prints import PrintCheck
from mouldgen.errors import NoAnswerError
from mouldgen.finding import NOTHING_LEARNED, Finding, Learned, worst_first
from mouldgen.fingerprint import fingerprint_of
from mouldgen.gap.findings import findings_of as findings_of_gap
from mouldgen.job.holding import holdings
from mouldgen.job.later import not_used_yet
from mouldgen.job.model import Job
from mouldgen.layout.beds import BedPlan, footprints_of, lay_out
from mouldgen.looked import look_at, of_the_pour
from mouldgen.made import make_and_pour, resin_for, with_cavity
from mouldgen.memo import Memo
from mouldgen.mix.amounts import Amounts
from mouldgen.mix.amounts import findings_of as findings_of_amounts
from mouldgen.mould.parts import MouldParts, Part
from mouldgen.mould.plan import CupPlan
from mouldgen.mould_set import MouldSet
from mouldgen.shop.print_time import print_time, print_times
from mouldgen.size import Size

if TYPE_CHECKING:
    from mouldgen.mould.any_plan import AnyPlan
    from mouldgen.mould.extras import ExtraPart
    from mouldgen.shop.rubber import RubberAmounts
    from mouldgen.size.mould_size import MouldSize


def build_moulds(
    job: Job,
    *,
    learned: Learned = NOTHING_LEARNED,
    memo: Memo | None = None,
    given: Sequence[str] = (),
    letter: str = "",
) -> MouldSet:
    """A set of moulds for a job.

    job : presets and shop file merged in.
    learned : what castings have taught.
    memo : the caller's store of steps; None computes everything.
    given : the keys that the maker wrote, so that those without a rule yet can be named.
    letter : of a trial's rung, written before the mould's id; empty for none.

    A conflict or a must-fix finding is part of the result, not an exception.
    Raises JobError, PresetError or NoAnswerError where the job cannot be worked at all.
    """
    memo = Memo(most=0) if memo is None else memo
    answer = with_cavity(answer_job(job, learned=learned), memo)
    fingerprint = fingerprint_of(job, learned)
    known = _known_before(answer, given)
    if answer.size is None:
        return MouldSet.in_conflict(answer, fingerprint=fingerprint, findings=worst_first(known))
    made = make_and_pour(answer, answer.size, letter=letter, memo=memo)
    looked = look_at(answer, made, memo=memo)
    resin = resin_for(answer, answer.size, features_ml=made.parts.features_ml)
    extras, extra_prints, wrong_extras = _beside(answer, answer.size, resin, memo)
    all_parts = (*made.parts.parts, *(extra.part for extra in extras))
    beds, no_room = _beds(all_parts, answer, memo)
    holds = hold(
        made.plan, resin_g_ml=resin.density_g_ml, push_n=job.pour.push, holdings=holdings()
    )
    rubber, wrong_rubber = _rubber(answer, made.plan, made.parts)
    return MouldSet(
        answer=answer,
        fingerprint=fingerprint,
        plan=made.plan,
        parts=made.parts,
        measured_least_mm=looked.least_mm,
        tried=made.tried,
        riser=made.riser,
        hold=holds,
        amounts=resin,
        piece=looked.piece,
        cuts=looked.cuts,
        prints=(*looked.prints, *extra_prints),
        part_times=tuple(print_time([part.mesh], job.printer) for part in all_parts),
        beds=beds,
        print_time=print_times({p.name: p.mesh for p in all_parts}, beds, job.printer),
        filament_g=_filament_g(answer, made.parts, all_parts),
        findings=worst_first(
            (
                *known,
                *looked.findings,
                *no_room,
                *wrong_extras,
                *of_the_pour(answer, made, hole=looked.hole),
                *findings_of_amounts(resin),
                *held_down(holds),
                *wrong_rubber,
            )
        ),
        extras=extras,
        rubber=rubber,
    )


def _known_before(answer: Answer, given: Sequence[str]) -> tuple[Finding, ...]:
    """What is to be said of a job whether or not any mould can be made."""
    from mouldgen.check.unlikely import unlikely  # late, as is the next: nothing before needs it
    from mouldgen.mix.ratio import ratio_findings

    job = answer.job
    return (
        *answer.scanned,
        *findings_of_gap(answer.gap, answer.question),
        *dry_enough(job.insert, job.resin, facts=answer.insert),
        *ratio_findings(job.resin),
        *unlikely(job),
        *_not_used(job, given),
    )


def _not_used(job: Job, given: Sequence[str]) -> tuple[Finding, ...]:
    """Keys without a rule yet, and keys that the rest of the job leaves without effect."""
    if not given:
        return ()
    from mouldgen.job.idle import idle_keys  # late: only where it is known what a maker wrote

    later = (
        (f"not-used-yet.{key}", key, "no number depends on it yet") for key in not_used_yet(given)
    )
    idle = (
        (f"no-effect.{key}", key, f"it changes nothing here: {why}")
        for key, why in idle_keys(job, given)
    )
    return tuple(
        Finding(
            id=f"job.{name}",
            rule="job",
            severity="note",
            message=f"{key} is kept, but {why}.",
            place=key,
        )
        for name, key, why in (*later, *idle)
    )


def _beside(
    answer: Answer, size: MouldSize, resin: Amounts, memo: Memo
) -> tuple[tuple[ExtraPart, ...], tuple[PrintCheck, ...], tuple[Finding, ...]]:
    job = answer.job
    if job.extras is None:
        return (), (), ()
    from mouldgen.check.extra_parts import checked_extras  # late: most jobs ask for none
    from mouldgen.mould.extras.question import ExtrasQuestion

    question = ExtrasQuestion(
        extras=job.extras,
        # Only a pot rack asks for its bore, and a job of a block or a tray has none.
        size=cast("Size", size),
        sizes=answer.sizes,
        printer=job.printer,
        pot=job.pot,
        chord_mm=job.mould.chord,
        lettered=job.mould.lettering,
        moulds=answer.printed,
        mould_ml=resin.per_mould_ml,
        resin_g_ml=resin.density_g_ml,
    )
    return memo.step(checked_extras, question)


def _beds(
    parts: Sequence[Part], answer: Answer, memo: Memo
) -> tuple[tuple[BedPlan, ...], tuple[Finding, ...]]:
    footprints = footprints_of(parts, moulds=answer.printed)
    try:
        return memo.step(lay_out, footprints, printer=answer.job.printer), ()
    except NoAnswerError as error:
        # A gap that the maker insists on can outgrow the bed; the parts are still worth a look.
        return (), (Finding("beds.no-room", "beds", "stop", str(error), place="[printer]"),)


def _rubber(
    answer: Answer, plan: AnyPlan, parts: MouldParts
) -> tuple[RubberAmounts | None, tuple[Finding, ...]]:
    """The rubber that moulds are cast in, and what to know of it; nothing of printed moulds."""
    job = answer.job
    if job.mould.family != "master" or not isinstance(plan, CupPlan):
        return None, ()
    from mouldgen.check.rubber import rubber_findings  # late: most moulds are printed
    from mouldgen.shop.rubber import rubber_amounts

    found = rubber_findings(
        job.rubber, plan.size, pressure_kpa=job.pour.pressure or 0.0, pot=job.pot
    )
    return rubber_amounts(job, plan, parts, castings=answer.moulds), found


def _filament_g(answer: Answer, parts: MouldParts, all_parts: Sequence[Part]) -> float:
    """For all moulds and extras, printed solid [g]."""
    solid_ml = sum(p.mesh.volume_mm3 for p in parts.parts if p.count is None) / 1000.0
    beside_ml = sum(p.mesh.volume_mm3 * (p.count or 0) for p in all_parts) / 1000.0
    return (solid_ml * answer.printed + beside_ml) * answer.job.plastic.density
