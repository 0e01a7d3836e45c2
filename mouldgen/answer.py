"""What closed forms answer about a job, before any solid is made: the first half of the flow.

Each step is a pure function from frozen values to a frozen value and takes only what it uses.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from mouldgen.finding import NOTHING_LEARNED, Finding, Learned
from mouldgen.gap.budget import Gap, budget
from mouldgen.gap.question import GapQuestion
from mouldgen.gap.turn import allowed_outline
from mouldgen.insert import InsertFacts, facts_of
from mouldgen.job.allowances import Allowances, allowances_for
from mouldgen.job.cells import IN_CELLS, pieces_per_blank
from mouldgen.job.lathe import Lathe, lathe_habits
from mouldgen.job.model import Insert, Job
from mouldgen.job.woods import wood_density
from mouldgen.mould.families import family_of, require_held, require_suited
from mouldgen.pour.pressure import share_left
from mouldgen.pour.soak import pores_ml
from mouldgen.shop.counts import moulds_to_start
from mouldgen.size import SizeQuestion, mould_size_of, size_question

if TYPE_CHECKING:
    from mouldgen.size.mould_size import MouldSize


@dataclass(frozen=True, eq=False)
class Answer:
    """What closed forms can say, before any solid is made.

    job : what the maker said.
    insert : the insert as facts.
    allowances : of the piece's size class.
    moulds : how many blanks to start.
    sizes : what the sizes depend on besides the gap.
    question : what the rules for the gap were asked.
    gap : their answer.
    size : the sizes at that gap, or None in a conflict.
    facing_mm : taken off each end of the blank [mm].
    lathe : habits at saw and lathe.
    scanned : what was done to a scan, and how it stands.
    """

    job: Job
    insert: InsertFacts
    allowances: Allowances
    moulds: int
    sizes: SizeQuestion
    question: GapQuestion
    gap: Gap
    size: MouldSize | None
    facing_mm: float
    lathe: Lathe
    scanned: tuple[Finding, ...] = ()

    @property
    def reused(self) -> bool:
        """Whether a mould is cast more than once."""
        return family_of(self.job.mould.family).casts_each > 0

    @property
    def fillings(self) -> int:
        """How often a whole mould is filled: once a blank, or less often with several cells."""
        return math.ceil(self.moulds / self.sizes.blanks)

    @property
    def printed(self) -> int:
        """Moulds that are printed: one a casting, or fewer where each is used again."""
        family = family_of(self.job.mould.family)
        if not family.casts_each:
            return self.job.mould.sets or self.fillings
        return self.job.mould.sets or math.ceil(self.moulds / family.casts_each)


def answer_job(job: Job, *, learned: Learned = NOTHING_LEARNED) -> Answer:
    """The gap, its reasons and the sizes of a job.

    job : presets and shop file merged in.
    learned : what castings have taught.

    Raises JobError or PresetError where the job contradicts itself.
    """
    require_suited(family_of(job.mould.family), job.insert.shape)
    require_held(family_of(job.mould.family), job.mould.hold)
    job, scanned = _stood_up(job)
    allowances = allowances_for(job.piece.diameter)
    insert = facts_of(job.insert, density_g_ml=density_of(job.insert))
    moulds = moulds_to_start(
        math.ceil(job.order.pieces / pieces_per_blank(job)),
        yield_=job.order.yield_,
        confidence=job.order.confidence,
        customers_wood=job.order.customers_wood,
    )
    sizes = size_question(
        insert,
        mould=job.mould,
        printer=job.printer,
        allowances=allowances,
        soak_ml=(1.0 - share_left(job.pour.pressure or 0.0)) * open_pores_ml(insert),
        shrinkage=job.resin.shrinkage,
        rubber=job.rubber,
    )
    piece, lathe = job.piece, lathe_habits()
    if job.mould.family in IN_CELLS:
        from mouldgen.size.cells import in_cells  # late: most moulds have one cell

        sizes = in_cells(
            sizes,
            mould=job.mould,
            insert=job.insert,
            piece=piece,
            printer=job.printer,
            kerf_mm=lathe.kerf_mm if piece.kerf is None else piece.kerf,
            pours=job.pour.layers,
        )
    question = GapQuestion(
        insert=sizes.insert,
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
        rubber=job.rubber if job.mould.family == "master" else None,
    )
    if job.mould.family == "contour" or (job.mould.family == "master" and piece.outline):
        sizes = replace(sizes, outline_mm=allowed_outline(question))
        question = replace(question, sizes=sizes)
    if job.mould.family == "shell":
        from mouldgen.insert.shadow import shadow_of  # late: most inserts are drawn
        from mouldgen.size.shell import with_shadow

        allowed = allowed_outline(question)
        sizes = with_shadow(sizes, shadow_of(job.insert), allowed_mm=allowed)
        question = replace(question, sizes=sizes)
    if job.pour.sequence == "bottom-feed":
        from mouldgen.gap.runner import with_runner  # late: most moulds have none

        question = with_runner(question)
        sizes = question.sizes
    gap = budget(question)
    return Answer(
        job=job,
        insert=insert,
        allowances=allowances,
        moulds=moulds,
        sizes=sizes,
        question=question,
        gap=gap,
        size=None if gap.gap_mm is None else mould_size_of(sizes, gap.gap_mm),
        facing_mm=allowances.facing_mm if piece.facing is None else piece.facing,
        lathe=lathe,
        scanned=scanned,
    )


def _stood_up(job: Job) -> tuple[Job, tuple[Finding, ...]]:
    if job.insert.shape != "scan":
        return job, ()
    from mouldgen.pour.ends import stood_up  # late: most inserts are drawn

    return stood_up(job)


def open_pores_ml(insert: InsertFacts) -> float:
    """Pores of an insert that resin gets into: as told, or as its density tells [ml]."""
    if insert.porosity is not None:
        return insert.porosity * insert.material_ml
    return pores_ml(insert.material_ml, density_g_ml=insert.density_g_ml)


def density_of(insert: Insert) -> float:
    """Density of an insert: its own, its wood's, or its weight over its volume [g/ml].

    insert : the table of the job file; the loader has seen to it that it names one.
    """
    if insert.density is None and insert.wood is None and insert.weight and insert.displaced:
        return insert.weight / insert.displaced
    return wood_density(insert.wood or "") if insert.density is None else insert.density
