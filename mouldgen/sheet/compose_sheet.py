"""From a finished set to everything that its job sheet shows."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterator, Sequence
from typing import TYPE_CHECKING

from mouldgen.errors import JobError, NoAnswerError
from mouldgen.fingerprint import ON_PAPER
from mouldgen.sheet.gap_words import answered
from mouldgen.sheet.order_words import lead_words
from mouldgen.sheet.order_work import mixed, planned, purchase_of, worked_out
from mouldgen.sheet.parts.beds import beds_part
from mouldgen.sheet.parts.buy import buy_part
from mouldgen.sheet.parts.calendar import calendar_part
from mouldgen.sheet.parts.card import card_part
from mouldgen.sheet.parts.cuts import cuts_part
from mouldgen.sheet.parts.end import cautions_part, findings_of, findings_part, identity_part
from mouldgen.sheet.parts.gap import gap_part
from mouldgen.sheet.parts.log import log_part
from mouldgen.sheet.parts.mould import mould_part
from mouldgen.sheet.parts.order import insert_part, order_part
from mouldgen.sheet.parts.pot import pot_part
from mouldgen.sheet.parts.resin import resin_part
from mouldgen.sheet.parts.work import SheetWork
from mouldgen.sheet.sheet_data import Part, SheetData, Value

if TYPE_CHECKING:
    from mouldgen.castings.records import Load
    from mouldgen.castings.tune import Tuned
    from mouldgen.layout.pot import PotPlan
    from mouldgen.mix.mixing import Mixing
    from mouldgen.mould_set import MouldSet
    from mouldgen.sheet.pot_card_values import PotCard
    from mouldgen.shop.plan import Plan

# From the order to what tells this sheet from another, as the work goes.
_PARTS = (
    order_part, insert_part, gap_part, mould_part, resin_part, beds_part, pot_part, calendar_part,
    cuts_part, buy_part, log_part, findings_part, cautions_part, identity_part,
)  # fmt: skip
_NO_POT = "The job has no [pot]: its moulds cure in the open."


def sheet_data(
    found: MouldSet,
    *,
    today: dt.date,
    given: Collection[str] = (),
    loads: Sequence[Load] = (),
    tuned: Tuned | None = None,
    made: Mixing | None = None,
) -> SheetData:
    """Everything that the sheet of a job shows; the same input gives the same sheet.

    found : the set of moulds.
    today : the first day, where the job has none.
    given : the keys that the maker wrote.
    loads : of the castings file; only those of this job are shown.
    tuned : what castings say of its gap; None where nothing can be said.
    made : how its resin is mixed, where that is known already.
    """
    work = sheet_work(found, today=today, given=given, loads=loads, tuned=tuned, made=made)
    return sheet_of(work, parts=tuple(part for part in parts_of(work) if part is not None))


def sheet_of(work: SheetWork, *, parts: tuple[Part, ...] = ()) -> SheetData:
    """The sheet with these parts, its cards and its head; without parts it is quickly made.

    work : what it is made from.
    parts : of the work, in the order of the sheet.
    """
    found = work.found
    stops = [f.message for f in findings_of(work) if f.severity == "stop"]
    return SheetData(
        name=Value("name", found.answer.job.name, key="name"),
        lead=Value("lead", lead_words(found.answer.job)),
        stops=tuple(Value(f"stop.{at}", work.said(text)) for at, text in enumerate(stops)),
        parts=parts,
        cards=tuple(card_part(card) for card in work.cards),
        made=(Value("fingerprint", found.fingerprint[:ON_PAPER]),),
    )


def parts_of(work: SheetWork) -> Iterator[Part | None]:
    """Each part in the order of the sheet, made when it is asked for; None where there is none.

    work : what they are made from.
    """
    for make in _PARTS:
        yield make(work)


def sheet_work(
    found: MouldSet,
    *,
    today: dt.date,
    given: Collection[str] = (),
    loads: Sequence[Load] = (),
    tuned: Tuned | None = None,
    made: Mixing | None = None,
) -> SheetWork:
    """What the parts are made from.

    found, today, given, loads, tuned, made : as of `sheet_data`.
    """
    job = found.answer.job
    made = made or mixed(found)
    pot, no_pot = _pot(found)
    plan, no_plan = _plan(found, today)
    by_price = "resin.price" in given and "resin.packs" not in given
    bought = (
        (None, None)
        if found.amounts is None
        else purchase_of(worked_out(found), found.amounts, by_price=by_price, poured=made)
    )
    return SheetWork(
        found=found,
        gap=answered(job, learned=found.answer.question.learned).gap,
        made=made,
        cards=_cards(found, made),
        pot=pot,
        no_pot=no_pot,
        today=today,
        plan=plan,
        no_plan=no_plan,
        purchase=bought[0],
        outcome=bought[1],
        loads=tuple(load for load in loads if load.job == job.name),
        tuned=tuned,
    )


def _cards(found: MouldSet, made: Mixing | None) -> tuple[PotCard, ...]:
    from mouldgen.sheet.pot_card_values import pot_cards

    size = found.answer.size
    if made is None or size is None:
        return ()
    label = None if found.plan is None else found.plan.body_label
    return pot_cards(
        found.answer, made, size=size, findings=found.findings,
        lettered=None if label is None else label.text,
    )  # fmt: skip


def _pot(found: MouldSet) -> tuple[PotPlan | None, str]:
    """The loads, or why there are none."""
    from mouldgen.job.first_article import first_alone
    from mouldgen.layout.pot_order import pot_of_order

    answer = found.answer
    if answer.size is None:
        return None, ""
    try:
        plan = pot_of_order(
            answer.job, answer.size, sizes=answer.sizes, blanks=answer.moulds,
            printed=answer.printed, first_alone=first_alone(answer.job, answer.fillings),
        )  # fmt: skip
    except NoAnswerError as problem:
        return None, str(problem)
    return plan, "" if plan is not None else _NO_POT


def _plan(found: MouldSet, today: dt.date) -> tuple[Plan | None, str]:
    """The calendar, or why there is none."""
    from mouldgen.shop.plan_facts import require_rating

    if found.parts is None:
        return None, ""
    try:
        require_rating(found.answer.job)
        return planned(found, today), ""
    except (NoAnswerError, JobError) as problem:
        return None, str(problem)
