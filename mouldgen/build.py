"""The whole flow on one page: from what the maker says to a set of moulds.

The closed forms come first (`mouldgen.answer`), then the solids, the pour, the checks, the resin
and the beds.

Each step is a pure function from frozen values to a frozen value and takes only what it uses.
`memo`, where the caller brings one, keeps the results of steps whose input did not change.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, cast

from mouldgen.answer import Answer, answer_job, open_pores_ml
from mouldgen.check.clear import clear
from mouldgen.check.dry import dry_enough
from mouldgen.check.held import Hold, held_down, hold
from mouldgen.check.piece import PieceMeasure, ends_mm, measure_piece, piece_findings
from mouldgen.check.pot import headroom_findings, pressure_findings
from mouldgen.check.poured import poured
from mouldgen.check.print_parts import print_parts
from mouldgen.check.prints import PrintCheck
from mouldgen.check.sealed import hole_in_hollow, sealed_hollow
from mouldgen.check.sound import sound
from mouldgen.errors import NoAnswerError
from mouldgen.finding import NOTHING_LEARNED, Finding, Learned
from mouldgen.gap.findings import findings_of as findings_of_gap
from mouldgen.gap.shut_in import poured_over
from mouldgen.job.cells import fills_evenly
from mouldgen.job.holding import holdings
from mouldgen.job.later import not_used_yet
from mouldgen.job.model import Job, Piece, Resin
from mouldgen.layout.beds import BedPlan, footprints_of, lay_out
from mouldgen.memo import Memo, digest
from mouldgen.mix.amounts import Amounts, amounts
from mouldgen.mix.amounts import findings_of as findings_of_amounts
from mouldgen.mould.families import family_of
from mouldgen.mould.naming import mould_id
from mouldgen.mould.parts import MouldParts, Part
from mouldgen.mould.plan import CupPlan
from mouldgen.physics.mixture import mixed_density
from mouldgen.pour.attitudes import Tried, attitudes
from mouldgen.pour.riser import Riser, pockets_ml, riser
from mouldgen.pour.slices import pitch_mm
from mouldgen.pour.space import Space
from mouldgen.shop.cut_list import CutList, cut_list
from mouldgen.shop.print_time import PrintTime, print_time, print_times
from mouldgen.size import Size
from mouldgen.size.hole import Hole, hole_of
from mouldgen.size.stack_up import stack_up

if TYPE_CHECKING:
    from mouldgen.mould.any_plan import AnyPlan
    from mouldgen.mould.extras import ExtraPart
    from mouldgen.mould.families.family import Family
    from mouldgen.shop.rubber import RubberAmounts
    from mouldgen.size.mould_size import MouldSize

WORST_FIRST = {"stop": 0, "warn": 1, "note": 2}


@dataclass(frozen=True, eq=False)
class MouldSet:
    """A set of moulds for one job: everything that files, sheets and pages show.

    answer : the closed forms.
    fingerprint : of the job and all its cards, as hexadecimal digits.
    plan, parts : where the features are, and the meshes; None in a conflict.
    measured_least_mm : the least gap measured on the solids [mm], or None.
    tried : the virtual pour, upright and leaning; None in a conflict.
    riser : what sinks after the pour, and the room for it; None in a conflict.
    hold : what holds the insert; None in a conflict.
    amounts : the resin, or None in a conflict.
    piece : what was measured on the finished piece; None in a conflict.
    cuts : what is done to a blank at saw and lathe; None in a conflict.
    prints : what each part is like to print, in the order of `printed`.
    part_times : what printing each part alone takes, in the same order.
    beds : the print beds, the first mould alone on bed 1.
    print_time : what all beds take; None without a bed.
    filament_g : for all moulds and extras, printed solid [g].
    findings : the worst first.
    extras : what is printed beside the moulds; none in a conflict.
    rubber : that moulds are cast in; None where they are printed.
    """

    answer: Answer
    fingerprint: str
    plan: AnyPlan | None
    parts: MouldParts | None
    measured_least_mm: float | None
    tried: Tried | None
    riser: Riser | None
    hold: Hold | None
    amounts: Amounts | None
    piece: PieceMeasure | None
    cuts: CutList | None
    prints: tuple[PrintCheck, ...]
    part_times: tuple[PrintTime, ...]
    beds: tuple[BedPlan, ...]
    print_time: PrintTime | None
    filament_g: float
    findings: tuple[Finding, ...]
    extras: tuple[ExtraPart, ...] = ()
    rubber: RubberAmounts | None = None

    @property
    def printed(self) -> tuple[Part, ...]:
        """Every part that is printed, those of a mould first; none in a conflict."""
        moulds = () if self.parts is None else self.parts.parts
        return (*moulds, *(extra.part for extra in self.extras))

    @property
    def stopped(self) -> bool:
        """Whether anything must be fixed before the set is of use."""
        return any(finding.severity == "stop" for finding in self.findings)


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
    answer = _with_cavity(answer_job(job, learned=learned), memo)
    fingerprint = digest(job)
    findings = [
        *answer.scanned,
        *findings_of_gap(answer.gap, answer.question),
        *dry_enough(job.insert, job.resin, facts=answer.insert),
        *_not_used(job, given),
    ]
    if answer.size is None:
        return MouldSet(
            answer,
            fingerprint.hex(),
            plan=None,
            parts=None,
            measured_least_mm=None,
            tried=None,
            riser=None,
            hold=None,
            amounts=None,
            piece=None,
            cuts=None,
            prints=(),
            part_times=(),
            beds=(),
            print_time=None,
            filament_g=0.0,
            findings=_sorted(findings),
        )
    plan = _plan(answer, answer.size, letter)
    family = family_of(job.mould.family)
    parts = _made(family, plan, answer, memo)
    tried = memo.step(_poured, parts, plan)
    pressure_kpa = job.pour.pressure or 0.0
    over = poured_over(answer.question, answer.size.gap_mm, sequence=answer.gap.sequence)
    sinks = riser(
        pockets_ml=pockets_ml(
            tried.pours[0],
            bridged_ml=over.most_ml if over else 0.0,
            insert_top_mm=plan.insert_top_mm,
        ),
        pores_ml=open_pores_ml(answer.insert),
        shrinkage=job.resin.shrinkage,
        net_ml=answer.size.net_ml,
        pressure_kpa=pressure_kpa,
        room_ml=answer.size.riser_ml,
    )
    if not sinks.fits:
        plan = plan.with_second()
        parts = _made(family, plan, answer, memo)
    hole = hole_of(job.piece, answer.lathe)
    least_mm, measure, wrong = memo.step(check_parts, parts, plan, piece=job.piece, hole=hole)
    printed = memo.step(
        print_parts, parts, plan, line_mm=job.printer.line, layer_mm=job.printer.layer
    )
    stack = stack_up(
        job.piece,
        blank_mm=plan.blank_mm,
        facing_mm=answer.facing_mm,
        lathe=answer.lathe,
        pieces=job.piece.per_blank or 1,
    )
    from_top = job.piece.hole_from == "top"
    ends = ends_mm(plan, job.piece, from_top=from_top)
    resin = amounts(
        answer.size.net_ml * answer.size.blanks,
        riser_ml=answer.size.riser_ml * answer.size.blanks,
        features_ml=parts.features_ml,
        moulds=answer.fillings,
        resin=job.resin,
        scale_g=job.shop.scale,
    )
    extras, extra_prints, wrong_extras = _beside(answer, answer.size, resin, memo)
    all_parts = (*parts.parts, *(extra.part for extra in extras))
    beds, no_room = _beds(all_parts, answer, memo)
    holds = hold(plan, resin_g_ml=resin.density_g_ml, push_n=job.pour.push, holdings=holdings())
    rubber, wrong_rubber = _rubber(answer, plan, parts)
    findings += [
        *plan.remarks,
        *wrong,
        *(finding for check in printed for finding in check.findings),
        *piece_findings(
            measure,
            piece=job.piece,
            hole=hole,
            plan=plan,
            poured=tried.proposed,
            stack=stack,
            lathe=answer.lathe,
        ),
        *no_room,
        *wrong_extras,
        *poured(tried, sinks, pressure_kpa=pressure_kpa, over=over),
        *pressure_findings(job.pour, job.pot),
        *headroom_findings(answer.size, job.pot),
        *reuse_findings(answer, family),
        *sealed_hollow(answer.insert, pressure_kpa=pressure_kpa),
        *hole_in_hollow(job.insert, hole),
        *findings_of_amounts(resin),
        *held_down(holds),
        *wrong_rubber,
    ]
    solid_ml = sum(p.mesh.volume_mm3 for p in parts.parts if p.count is None) / 1000.0
    beside_ml = sum(p.mesh.volume_mm3 * (p.count or 0) for p in all_parts) / 1000.0
    return MouldSet(
        answer=answer,
        fingerprint=fingerprint.hex(),
        plan=plan,
        parts=parts,
        measured_least_mm=least_mm,
        tried=tried,
        riser=sinks,
        hold=holds,
        amounts=resin,
        piece=measure,
        cuts=cut_list(stack, ends_mm=ends, from_top=from_top, hole=hole),
        prints=(*printed, *extra_prints),
        part_times=tuple(print_time([part.mesh], job.printer) for part in all_parts),
        beds=beds,
        print_time=print_times({p.name: p.mesh for p in all_parts}, beds, job.printer),
        filament_g=(solid_ml * answer.printed + beside_ml) * job.plastic.density,
        findings=_sorted(findings),
        extras=extras,
        rubber=rubber,
    )


def check_parts(
    parts: MouldParts, plan: AnyPlan, *, piece: Piece, hole: Hole | None
) -> tuple[float, PieceMeasure, tuple[Finding, ...]]:
    """The measured least gap [mm], the piece as measured, and what is wrong with the parts.

    parts, plan : of one set.
    piece : the finished piece.
    hole : on its axis, or None.
    """
    clearance = clear(parts, plan, piece=piece)
    surfaces = [
        finding
        for part in (*parts.parts, *parts.cast)
        for finding in sound(part.mesh, name=part.name, genus=part.genus, shells=part.shells)
    ]
    measure = measure_piece(parts, plan, piece=piece, hole=hole)
    return clearance.least_mm, measure, (*surfaces, *clearance.findings)


def _with_cavity(answer: Answer, memo: Memo) -> Answer:
    """The same with the true size of a cavity that has no closed form."""
    if answer.size is None or answer.job.mould.family != "shell":
        return answer
    from mouldgen.cavity.shell import opened, shell_size  # late: most inserts are drawn
    from mouldgen.insert.scan import standing
    from mouldgen.size.shell import as_shell

    scan = standing(answer.job.insert)
    size = memo.step(shell_size, as_shell(answer.sizes), answer.size.gap_mm, scan)
    return replace(answer, size=size, scanned=(*answer.scanned, opened(size)))


def _made(family: Family, plan: AnyPlan, answer: Answer, memo: Memo) -> MouldParts:
    parts = memo.step(family.make, plan, answer.job.insert)
    if family.each_casting:
        parts = parts.counted(family.each_casting, answer.moulds)
    return parts


def _poured(parts: MouldParts, plan: AnyPlan) -> Tried:
    """The virtual pour; the lid is on, so air leaves by its vents and its port only."""
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


def _mixed_g_ml(resin: Resin) -> float:
    return mixed_density(
        *resin.ratio,
        density_a=resin.density_a,
        density_b=resin.density_b,
        by_volume=resin.ratio_basis == "volume",
    )


def _plan(answer: Answer, size: MouldSize, letter: str) -> AnyPlan:
    job = answer.job
    shaping = (answer.sizes, size.gap_mm, job.mould, job.printer)
    more = {"spread": fills_evenly(job.insert)} if answer.sizes.lies else {}
    plan: AnyPlan = family_of(job.mould.family).plan(
        answer.sizes,
        size,
        slide_mm=max(answer.gap.take_up_mm, 0.0) + job.printer.clearance,
        mould=job.mould,
        piece=job.piece,
        printer=job.printer,
        mould_id=mould_id(job.name, given=job.mould.id, fingerprint=digest(shaping)),
        letter=letter,
        resin_g_ml=_mixed_g_ml(job.resin),
        layers=job.pour.layers,
        **more,
    )
    return plan


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


def _beds(
    parts: Sequence[Part], answer: Answer, memo: Memo
) -> tuple[tuple[BedPlan, ...], tuple[Finding, ...]]:
    footprints = footprints_of(parts, moulds=answer.printed)
    try:
        return memo.step(lay_out, footprints, printer=answer.job.printer), ()
    except NoAnswerError as error:
        # A gap that the maker insists on can outgrow the bed; the parts are still worth a look.
        return (), (Finding("beds.no-room", "beds", "stop", str(error), place="[printer]"),)


def reuse_findings(answer: Answer, family: Family) -> tuple[Finding, ...]:
    """How long the castings of a mould that is used again take, where the data sheet says."""
    if not family.casts_each:
        return ()
    from mouldgen.check.reuse import rounds  # late: most moulds are turned away

    return rounds(answer.moulds, moulds=answer.printed, resin=answer.job.resin)


def _not_used(job: Job, given: Sequence[str]) -> list[Finding]:
    return [
        Finding(
            id=f"job.not-used-yet.{key}",
            rule="job",
            severity="note",
            message=f"{key} is kept, but no number depends on it yet.",
            place=key,
        )
        for key in not_used_yet(job, given)
    ]


def _sorted(findings: Sequence[Finding]) -> tuple[Finding, ...]:
    return tuple(sorted(findings, key=lambda finding: WORST_FIRST[finding.severity]))
