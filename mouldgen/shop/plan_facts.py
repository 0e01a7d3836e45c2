"""From the closed forms of a job to the facts that its plan follows from."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from mouldgen.errors import JobError, NoAnswerError
from mouldgen.job.cells import pieces_per_blank
from mouldgen.job.work import WorkTimes, work_times
from mouldgen.mould.families import family_of
from mouldgen.shop.mould_plastic import beds_for, mould_plastic_ml
from mouldgen.shop.needs import ClosedForms
from mouldgen.shop.work_facts import BedFacts, CureFacts, LoadFacts, RubberFacts, WorkFacts

if TYPE_CHECKING:
    from mouldgen.job.material_tables import Resin
    from mouldgen.job.model import Job
    from mouldgen.size.mould_size import MouldSize

# Of so many fillings, at most so many at once, the first of them alone or not.
LoadsOf = Callable[[int, int, bool], Sequence[LoadFacts]]


def facts_of_plan(
    answer: ClosedForms,
    *,
    loads_of: LoadsOf,
    most: int | None,
    beds: Sequence[BedFacts] | None = None,
    more_moulds: int = 0,
    first_article: bool | None = None,
) -> WorkFacts:
    """The facts of a job's plan.

    answer : the closed forms.
    loads_of : shares fillings out over loads, and tells the hands of each.
    most : fillings that a pot takes at once; None for any number.
    beds : what each bed prints, of the solids; None reckons it from the closed forms.
    more_moulds : beyond those that the job prints, to see what they change.
    first_article : whether one is shown first; None for as the job says.

    Raises NoAnswerError where no gap fits or the pot has no rating, JobError where the resin's or
    the rubber's card does not tell what a plan needs.
    """
    job, size = answer.job, answer.size
    if size is None:
        raise NoAnswerError(
            "no gap fits this job, so there is nothing to plan", try_="See what gap says of it."
        )
    require_rating(job)
    times = work_times(job.work)
    rubber = _rubber(job, times, more_moulds)
    fillings, up = answer.fillings, (job.mould.up or 1) if rubber else 1
    trial = bool(job.order.customers_wood)
    wants_first = (trial or job.order.first_article) if first_article is None else first_article
    shown = wants_first and (trial or (fillings > 1 and job.order.pieces > 1))
    apart = shown and not trial  # the first of the order's own castings
    moulds, reused = _moulds(answer, fillings, rubber, trial=shown and trial, more=more_moulds)
    there_are = moulds * up if reused else fillings
    at_once = min(there_are, fillings, fillings if most is None else most)
    loads = tuple(loads_of(fillings, at_once, apart))
    first = loads_of(1, 1, False)[0] if shown and trial else loads[0] if apart else None
    one_more = shown and trial and not reused  # the trial's mould is turned away
    return WorkFacts(
        times=times,
        cure=_cure(job),
        inserts=answer.moulds,
        drying=not job.insert.constant_weight,
        beds=_beds(job, size, moulds, rubber, beds, trial=one_more, more=more_moulds),
        moulds=moulds,
        reused=reused,
        rubber=rubber,
        blanks=size.blanks,
        castings=answer.moulds,
        pieces_each=pieces_per_blank(job),
        first=first,
        trial=shown and trial,
        approval_s=job.order.approval or 0.0,
        loads=loads[apart:],
        pieces=job.order.pieces,
        drilled=job.piece.thread is not None or job.piece.hole is not None,
        tapped=job.piece.thread is not None,
        fills=job.order.fills,
        pot_takes=None if most is None else most * size.blanks * pieces_per_blank(job),
    )


def require_rating(job: Job) -> None:
    """See to it that a pot has a rating: nobody plans days under a pressure that may be too much.

    Raises NoAnswerError.
    """
    if job.pot is not None and job.pot.rating is None:
        raise NoAnswerError(
            "the pot has no rating, and nothing is planned under pressure without it",
            where="[pot] rating",
            allowed="the rating on the pot's plate, such as 60 psi",
            try_="Read it off the plate and type it into the job or into shop.toml.",
        )


def _cure(job: Job) -> CureFacts:
    resin = job.resin
    demould = resin.demould
    if demould is None:
        raise JobError(
            "the resin's card does not say how long a casting stays in its mould",
            where="[resin] demould",
            allowed='a time from the data sheet, such as "24 h"',
        )
    hold = None
    if job.pot is not None:
        hold = demould if job.pot.hold is None else job.pot.hold
    return CureFacts(
        hold_s=hold,
        demould_s=max(demould, hold or 0.0),
        full_s=max(resin.full_cure or demould, demould, hold or 0.0),
        recoat_s=_recoat(resin) if job.pour.layers > 1 else None,
    )


def _recoat(resin: Resin) -> tuple[float, float]:
    if resin.recoat is None:
        raise JobError(
            "the resin's card does not say when a second pour holds on the first",
            where="[resin] recoat",
            allowed='from when to when, such as ["2 h", "24 h"]',
        )
    return resin.recoat


def _rubber(job: Job, times: WorkTimes, more: int) -> RubberFacts | None:
    if job.mould.family != "master":
        return None
    cure = None if job.rubber is None else job.rubber.cure
    if cure is None:
        raise JobError(
            "the rubber's card does not say how long it cures before its plugs may come out",
            where="[rubber] cure",
            allowed='a time from the data sheet, such as "24 h"',
        )
    hands = times.weigh + times.stir + times.pour + (0.0 if job.pot is None else times.load)
    return RubberFacts(sets=(job.mould.sets or 1) + more, hands_s=hands, cure_s=cure)


def _moulds(
    answer: ClosedForms, fillings: int, rubber: RubberFacts | None, *, trial: bool, more: int
) -> tuple[int, bool]:
    """How many moulds there are, and whether they are filled more than once."""
    if rubber is not None:
        return rubber.sets, True
    several = bool(family_of(answer.job.mould.family).casts_each) or answer.job.mould.sets
    if several:
        return answer.printed + more, True
    return fillings + int(trial), False


def _beds(
    job: Job,
    size: MouldSize,
    moulds: int,
    rubber: RubberFacts | None,
    beds: Sequence[BedFacts] | None,
    *,
    trial: bool,
    more: int,
) -> tuple[BedFacts, ...]:
    """Those of the solids with what comes on top of them, or all of them reckoned."""
    if beds is None:
        return estimated_beds(job, size, moulds=1 if rubber else moulds)
    one = sum(bed.seconds for bed in beds if bed.first) or sum(bed.seconds for bed in beds)
    extra = 0 if rubber else more + int(trial)
    return (*beds, *(BedFacts(one, 1) for _ in range(extra)))


def estimated_beds(job: Job, size: MouldSize, *, moulds: int) -> tuple[BedFacts, ...]:
    """Print beds before there are solids, the first mould alone.

    job : its printer and family.
    size : of one mould.
    moulds : how many are printed; the box of a rubber mould is one.
    """
    printer = job.printer
    each = 1000.0 * mould_plastic_ml(size, job.mould.family) / printer.flow
    layers = size.body_height_mm / printer.layer * printer.layer_change
    rest = moulds - 1
    many = min(rest, max(0, beds_for(size, printer, moulds=moulds) - 1))
    on_each = [rest // many + (k < rest % many) for k in range(many)] if many else []
    return (
        BedFacts(each + layers, 1, first=True),
        *(BedFacts(number * each + layers, number) for number in on_each),
    )
