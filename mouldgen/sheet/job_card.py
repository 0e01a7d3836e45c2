"""What the pot cards of a job say, as far as the log needs it.

Where no more than that is wanted, the moulds are made and poured into and nothing else: checks,
beds and pictures change nothing on a card.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from mouldgen.castings.on_card import JobCard, OnCard
from mouldgen.errors import NoAnswerError
from mouldgen.gap.take_up import take_up
from mouldgen.job.resin_numbers import kept_clock, kept_resin
from mouldgen.sheet.pot_hold import pressure_kpa

if TYPE_CHECKING:
    from mouldgen.answer import Answer
    from mouldgen.job.load import LoadedJob
    from mouldgen.job.model import Job
    from mouldgen.mix.amounts import Amounts
    from mouldgen.mix.mixing import Mixing
    from mouldgen.mould.label import Label
    from mouldgen.mould_set import MouldSet


def job_card(loaded: LoadedJob) -> JobCard:
    """The cards of a job.

    loaded : with what castings teach it.

    Raises NoAnswerError where no gap meets every rule, JobError, PresetError or NoAnswerError
    where the job cannot be worked at all.
    """
    from mouldgen.answer import answer_job
    from mouldgen.fingerprint import fingerprint_of
    from mouldgen.made import make_and_pour, resin_for, with_cavity
    from mouldgen.memo import Memo
    from mouldgen.mix.mixing import mixing
    from mouldgen.sheet.pot_loads import most_per_load

    job, memo = loaded.job, Memo(most=0)
    answer = with_cavity(answer_job(job, learned=loaded.learned), memo)
    if answer.size is None or answer.gap.gap_mm is None:
        raise NoAnswerError(
            f"no gap meets every rule, so no mould was made. {answer.gap.conflict}",
            where=job.name,
            try_="Tell the gap of the moulds that you have, such as --set mould.gap='1.2 mm'.",
        )
    made = make_and_pour(answer, answer.size, letter="", memo=memo)
    resin = resin_for(answer, answer.size, features_ml=made.parts.features_ml)
    at_once = most_per_load(answer)
    return _card(
        answer,
        mixing(answer, found=resin, most_per_load=at_once, told=False),
        resin,
        gap_mm=answer.gap.gap_mm,
        fingerprint=fingerprint_of(job, loaded.learned),
        label=made.plan.body_label,
    )


def card_of_set(found: MouldSet, made: Mixing | None) -> JobCard | None:
    """The same of a set that was made already; None where there is no gap.

    found : the set.
    made : how its resin is mixed, as `mouldgen.sheet.order_work.mixed` has it.
    """
    gap_mm = found.answer.gap.gap_mm
    if made is None or found.amounts is None or found.plan is None or gap_mm is None:
        return None
    return _card(
        found.answer,
        made,
        found.amounts,
        gap_mm=gap_mm,
        fingerprint=found.fingerprint,
        label=found.plan.body_label,
    )


def _card(
    answer: Answer,
    made: Mixing,
    resin: Amounts,
    *,
    gap_mm: float,
    fingerprint: str,
    label: Label | None,
) -> JobCard:
    job, question = answer.job, answer.question
    return JobCard(
        job=job.name,
        unit=job.unit,
        fingerprint=fingerprint,
        fillings=answer.fillings,
        loads=_loads(answer, made),
        pours=job.pour.layers,
        gap_mm=gap_mm,
        taken_mm=take_up(question).total_mm,
        layer_mm=question.layer_mm,
        mould_ml=0.0 if job.pour.layers > 1 else resin.per_mould_ml,
        mould_id="" if label is None else label.text.split()[0],
        sequence=answer.gap.sequence,
        resin_name=job.resin.card or job.resin.title,
        wood=job.insert.wood or "",
        resin=kept_resin(question.resin),
        clock=kept_clock(question.pour),
        pressure_kpa=_pressure_kpa(job),
        rating_kpa=None if job.pot is None else job.pot.rating,
        air_shift=question.learned.air_shift,
    )


def _loads(answer: Answer, made: Mixing) -> dict[int, OnCard]:
    """Where not one mould can be poured in time there is no card, and one load holds all moulds."""
    first = [session for session in made.sessions if session.pour == 1]
    if not first:
        return {1: OnCard(tuple(range(1, answer.fillings + 1)), answer.job.pour.close)}
    return {session.load: OnCard(session.moulds, session.clock.close_s) for session in first}


def _pressure_kpa(job: Job) -> float | None:
    """None of a job without a pot is none at all; a pot's may be a blank."""
    if job.pot is None and job.pour.pressure is None:
        return 0.0
    return pressure_kpa(job)
