"""The whole flow on one page: from what the maker says to a set of moulds.

Each step is a pure function from frozen values to a frozen value and takes only what it uses.
`memo`, where the caller brings one, keeps the results of steps whose input did not change.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from mouldgen.check.clear import clear
from mouldgen.check.held import Hold, held_down, hold
from mouldgen.check.pot import pressure_findings
from mouldgen.check.poured import poured
from mouldgen.check.sound import sound
from mouldgen.errors import NoAnswerError
from mouldgen.finding import NOTHING_LEARNED, Finding, Learned
from mouldgen.gap.budget import Gap, budget
from mouldgen.gap.findings import findings_of as findings_of_gap
from mouldgen.gap.question import GapQuestion
from mouldgen.insert import InsertFacts, facts_of
from mouldgen.job.allowances import Allowances, allowances_for
from mouldgen.job.holding import holdings
from mouldgen.job.later import not_used_yet
from mouldgen.job.model import Insert, Job, Piece
from mouldgen.job.woods import wood_density
from mouldgen.layout.beds import BedPlan, PartFootprint, lay_out
from mouldgen.memo import Memo, digest
from mouldgen.mix.amounts import Amounts, amounts
from mouldgen.mix.amounts import findings_of as findings_of_amounts
from mouldgen.mould.naming import mould_id
from mouldgen.mould.parts import MouldParts, make_parts
from mouldgen.mould.plan import CupPlan, plan_cup
from mouldgen.pour.attitudes import Tried, attitudes
from mouldgen.pour.pressure import share_left
from mouldgen.pour.riser import Riser, riser
from mouldgen.pour.slices import pitch_mm
from mouldgen.pour.soak import pores_ml
from mouldgen.pour.space import Space
from mouldgen.shop.counts import moulds_to_start
from mouldgen.size import Size, SizeQuestion, cup_question, size_of

WORST_FIRST = {"stop": 0, "warn": 1, "note": 2}


@dataclass(frozen=True, eq=False)
class Answer:
    """What closed forms can say, before any solid is made.

    job : what the maker said.
    insert : the insert as facts.
    allowances : of the piece's size class.
    moulds : how many to start.
    sizes : what the sizes depend on besides the gap.
    question : what the rules for the gap were asked.
    gap : their answer.
    size : the sizes at that gap, or None in a conflict.
    facing_mm : taken off each end of the blank [mm].
    """

    job: Job
    insert: InsertFacts
    allowances: Allowances
    moulds: int
    sizes: SizeQuestion
    question: GapQuestion
    gap: Gap
    size: Size | None
    facing_mm: float


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
    beds : the print beds, the first mould alone on bed 1.
    filament_g : for all moulds, printed solid [g].
    findings : the worst first.
    """

    answer: Answer
    fingerprint: str
    plan: CupPlan | None
    parts: MouldParts | None
    measured_least_mm: float | None
    tried: Tried | None
    riser: Riser | None
    hold: Hold | None
    amounts: Amounts | None
    beds: tuple[BedPlan, ...]
    filament_g: float
    findings: tuple[Finding, ...]

    @property
    def stopped(self) -> bool:
        """Whether anything must be fixed before the set is of use."""
        return any(finding.severity == "stop" for finding in self.findings)


def answer_job(job: Job, *, learned: Learned = NOTHING_LEARNED) -> Answer:
    """The gap, its reasons and the sizes of a job.

    job : presets and shop file merged in.
    learned : what castings have taught.

    Raises JobError or PresetError where the job contradicts itself.
    """
    allowances = allowances_for(job.piece.diameter)
    insert = facts_of(job.insert, density_g_ml=density_of(job.insert))
    moulds = moulds_to_start(
        job.order.pieces,
        yield_=job.order.yield_,
        confidence=job.order.confidence,
        customers_wood=job.order.customers_wood,
    )
    sizes = cup_question(
        insert,
        mould=job.mould,
        printer=job.printer,
        allowances=allowances,
        soak_ml=(1.0 - share_left(job.pour.pressure or 0.0)) * _pores_ml(insert),
        shrinkage=job.resin.shrinkage,
    )
    piece = job.piece
    question = GapQuestion(
        insert=insert,
        sizes=sizes,
        moulds=moulds,
        piece=piece,
        turning_mm=allowances.turning_mm if piece.turning is None else piece.turning,
        pour=job.pour,
        resin=job.resin,
        printer=job.printer,
        plastic=job.plastic,
        pot=job.pot,
        allowances=allowances,
        vent_grooves=job.mould.vent_grooves,
        resin_budget=job.order.resin_budget,
        learned=learned,
        given_mm=None if job.mould.gap == "auto" else job.mould.gap,
    )
    gap = budget(question)
    return Answer(
        job=job,
        insert=insert,
        allowances=allowances,
        moulds=moulds,
        sizes=sizes,
        question=question,
        gap=gap,
        size=None if gap.gap_mm is None else size_of(sizes, gap.gap_mm),
        facing_mm=allowances.facing_mm if piece.facing is None else piece.facing,
    )


def build_moulds(
    job: Job,
    *,
    learned: Learned = NOTHING_LEARNED,
    memo: Memo | None = None,
    given: Sequence[str] = (),
) -> MouldSet:
    """A set of moulds for a job.

    job : presets and shop file merged in.
    learned : what castings have taught.
    memo : the caller's store of steps; None computes everything.
    given : the keys that the maker wrote, so that those without a rule yet can be named.

    A conflict or a must-fix finding is part of the result, not an exception.
    Raises JobError, PresetError or NoAnswerError where the job cannot be worked at all.
    """
    memo = memo or Memo()
    answer = answer_job(job, learned=learned)
    fingerprint = digest(job)
    findings = [*findings_of_gap(answer.gap, answer.question), *_not_used(job, given)]
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
            beds=(),
            filament_g=0.0,
            findings=_sorted(findings),
        )
    plan = _plan(answer, answer.size)
    parts = memo.step(make_parts, plan, insert=job.insert)
    tried = memo.step(_poured, parts, plan)
    pressure_kpa = job.pour.pressure or 0.0
    sinks = riser(
        pockets_ml=tried.pours[0].shut_in_ml,
        pores_ml=_pores_ml(answer.insert),
        shrinkage=job.resin.shrinkage,
        net_ml=answer.size.net_ml,
        pressure_kpa=pressure_kpa,
        room_ml=answer.size.riser_ml,
    )
    checked = memo.step(check_parts, parts, plan, piece=job.piece, facing_mm=answer.facing_mm)
    resin = amounts(
        answer.size.net_ml,
        riser_ml=answer.size.riser_ml,
        features_ml=parts.features_ml,
        moulds=answer.moulds,
        resin=job.resin,
        scale_g=job.shop.scale,
    )
    beds, no_room = _beds(parts, answer, memo)
    holds = hold(plan, resin_g_ml=resin.density_g_ml, push_n=job.pour.push, holdings=holdings())
    findings += [
        *plan.remarks,
        *checked[1],
        *no_room,
        *poured(tried, sinks, pressure_kpa=pressure_kpa),
        *pressure_findings(job.pour, job.pot),
        *findings_of_amounts(resin),
        *held_down(holds),
    ]
    solid_ml = sum(part.mesh.volume_mm3 for part in parts.parts) / 1000.0
    return MouldSet(
        answer=answer,
        fingerprint=fingerprint.hex(),
        plan=plan,
        parts=parts,
        measured_least_mm=checked[0],
        tried=tried,
        riser=sinks,
        hold=holds,
        amounts=resin,
        beds=beds,
        filament_g=solid_ml * job.plastic.density * answer.moulds,
        findings=_sorted(findings),
    )


def check_parts(
    parts: MouldParts, plan: CupPlan, *, piece: Piece, facing_mm: float
) -> tuple[float, tuple[Finding, ...]]:
    """The measured least gap [mm], and what is wrong with the parts.

    parts, plan : of one set.
    piece : the finished piece.
    facing_mm : taken off each end of the blank [mm].
    """
    clearance = clear(parts, plan, piece=piece, facing_mm=facing_mm)
    surfaces = [
        finding
        for part in parts.parts
        for finding in sound(part.mesh, name=part.name, genus=part.genus, shells=part.shells)
    ]
    return clearance.least_mm, (*surfaces, *clearance.findings)


def _pores_ml(insert: InsertFacts) -> float:
    return pores_ml(insert.volume_ml, density_g_ml=insert.density_g_ml)


def _poured(parts: MouldParts, plan: CupPlan) -> Tried:
    """The virtual pour; the lid is on, so air leaves by its vents and its port only."""
    pitch = pitch_mm(plan.size.gap_mm)
    lid = parts.part("lid").assembled
    return attitudes(
        Space(parts.hollow, (parts.insert, lid), plan.size.rim_mm),
        level_mm=plan.size.level_mm,
        layer_mm=pitch,
        row_mm=pitch,
    )


def density_of(insert: Insert) -> float:
    """Density of an insert: its own, or its wood's [g/ml].

    insert : the table of the job file; the loader has seen to it that it names one.
    """
    return wood_density(insert.wood or "") if insert.density is None else insert.density


def _plan(answer: Answer, size: Size) -> CupPlan:
    job = answer.job
    shaping = (answer.sizes, size.gap_mm, job.mould, job.printer)
    return plan_cup(
        answer.sizes,
        size,
        slide_mm=max(answer.gap.take_up_mm, 0.0) + job.printer.clearance,
        mould=job.mould,
        piece=job.piece,
        printer=job.printer,
        mould_id=mould_id(job.name, given=job.mould.id, fingerprint=digest(shaping)),
    )


def _beds(
    parts: MouldParts, answer: Answer, memo: Memo
) -> tuple[tuple[BedPlan, ...], tuple[Finding, ...]]:
    footprints = tuple(PartFootprint(p.name, p.radius_mm, p.mesh.bounds[1][2]) for p in parts.parts)
    try:
        beds = memo.step(lay_out, footprints, moulds=answer.moulds, printer=answer.job.printer)
    except NoAnswerError as error:
        # A gap that the maker insists on can outgrow the bed; the parts are still worth a look.
        finding = Finding(
            id="beds.no-room", rule="beds", severity="stop", message=str(error), place="[printer]"
        )
        return (), (finding,)
    return beds, ()


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
