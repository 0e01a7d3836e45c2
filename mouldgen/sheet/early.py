"""Values of the sheet that are final before the slow work: no pour, no checks, no beds.

They come from the functions that make the sheet's own parts, so that their text is the same.
What the pour may still change is left out: a second line in the mould takes resin, so that
amounts are told early only where no such line can come.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from mouldgen.answer import answer_job
from mouldgen.made import fingerprint_of, make_first, resin_for, with_cavity
from mouldgen.mould_set import MouldSet
from mouldgen.sheet.order_words import lead_words
from mouldgen.sheet.parts.end import cautions_part, identity_part
from mouldgen.sheet.parts.gap import gap_items
from mouldgen.sheet.parts.mould import mould_rows, part_form
from mouldgen.sheet.parts.order import insert_part, order_part
from mouldgen.sheet.parts.resin import resin_rows, to_mix
from mouldgen.sheet.parts.work import SheetWork
from mouldgen.sheet.sheet_data import Facts, Grid, Item, Part, SheetData, Value

if TYPE_CHECKING:
    from mouldgen.job.load import LoadedJob
    from mouldgen.memo import Memo
    from mouldgen.mould.any_plan import AnyPlan

_OF_SOLIDS = frozenset({"mould.filament_g"})  # of what a second line may still change
_OF_AMOUNTS = frozenset({"resin.per_mould_ml"})
_HEAT = "gap.bound.heat."  # how far heat lets the gap go is asked in full only for the sheet


def early_set(loaded: LoadedJob, memo: Memo) -> MouldSet:
    """The set of a job as far as it is quickly known: the closed forms and the first solids.

    loaded : the job, taught or not.
    memo : the caller's store of steps; a build with the same store makes no solid again.

    Fields that the pour, the checks or the beds fill are empty.  Raises what
    `mouldgen.build.build_moulds` raises.
    """
    answer = with_cavity(answer_job(loaded.job, learned=loaded.learned), memo)
    fingerprint = fingerprint_of(loaded.job, loaded.learned)
    bare = MouldSet.in_conflict(answer, fingerprint=fingerprint, findings=())
    if answer.size is None:
        return bare
    plan, parts = make_first(answer, answer.size, memo=memo)
    amounts = resin_for(answer, answer.size, parts)
    return replace(bare, plan=plan, parts=parts, amounts=amounts)


def early_values(found: MouldSet, given: Collection[str] = ()) -> Iterator[Value]:
    """Values of the full sheet whose text is final already.

    found : of `early_set`.
    given : the keys that the maker wrote; nothing here depends on them yet.
    """
    del given
    data = SheetData(
        name=Value("name", found.answer.job.name, key="name"),
        lead=Value("lead", lead_words(found.answer.job)),
        stops=(),
        parts=tuple(_parts(_work(found))),
        cards=(),
        made=(Value("fingerprint", found.fingerprint[:12]),),
    )
    yield from (value for value in data.values() if not _is_late(value, found))


def _work(found: MouldSet) -> SheetWork:
    """What the parts are made from, nothing of it slow."""
    return SheetWork(
        found=found,
        gap=found.answer.gap,
        made=None,
        cards=(),
        pot=None,
        no_pot="",
        today=dt.date.min,  # no part here shows it
        plan=None,
        no_plan="",
        purchase=None,
        outcome=None,
        loads=(),
        tuned=None,
    )


def _parts(work: SheetWork) -> Iterator[Part]:
    yield order_part(work)
    yield insert_part(work)
    yield Part("gap", Value("gap.title", "Gap"), tuple(gap_items(work)))
    if work.found.plan is not None:
        yield Part("mould", Value("mould.title", "Mould"), tuple(_mould(work)))
        yield Part("resin", Value("resin.title", "Resin"), tuple(_resin(work)))
    yield cautions_part(work)
    yield identity_part(work)


def _mould(work: SheetWork) -> Iterator[Item]:
    yield Facts("Mould", tuple(mould_rows(work)))
    rows = tuple(tuple(part_form(work, at)) for at in range(len(work.found.printed)))
    yield Grid("Parts to print", (), rows)


def _resin(work: SheetWork) -> Iterator[Item]:
    amounts = work.found.amounts
    if amounts is None:
        return
    if _settled(work.found.plan):
        yield to_mix(amounts)
    yield Facts("Resin", tuple(resin_rows(work, amounts)))


def _settled(plan: AnyPlan | None) -> bool:
    """Whether the mould stays as it is even where one pour is not enough."""
    return plan is not None and plan.with_second().lines == plan.lines


def _is_late(value: Value, found: MouldSet) -> bool:
    if value.id.startswith(_HEAT):
        return found.answer.gap.gap_mm is not None  # in a conflict heat was asked in full
    late = _OF_SOLIDS if _settled(found.plan) else _OF_SOLIDS | _OF_AMOUNTS
    return value.id in late
