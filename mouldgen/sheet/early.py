"""Values of the sheet that are final before the slow work: no pour, no checks, no beds.

They come from the functions that make the sheet's own parts, so that their text is the same.
The solids that are made here are for the picture alone, with coarser facets than the files have;
what is measured on solids, as grams are to their last digit, is told with the slow work.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from mouldgen.answer import answer_job
from mouldgen.fingerprint import ON_PAPER, fingerprint_of
from mouldgen.made import parts_of_plan, plan_first, resin_for, with_cavity
from mouldgen.mould_set import MouldSet
from mouldgen.sheet.order_words import lead_words
from mouldgen.sheet.parts.end import cautions_part, identity_part
from mouldgen.sheet.parts.gap import gap_items
from mouldgen.sheet.parts.mould import mould_rows
from mouldgen.sheet.parts.order import insert_part, order_part
from mouldgen.sheet.parts.resin import resin_rows
from mouldgen.sheet.parts.work import SheetWork
from mouldgen.sheet.sheet_data import Facts, Item, Part, SheetData, Value

if TYPE_CHECKING:
    from mouldgen.job.load import LoadedJob
    from mouldgen.memo import Memo

PICTURE_MM = 0.05
"""Chord tolerance of the picture's solids: a quarter of a dot where 100 mm fill the screen [mm]."""

_OF_SOLIDS = frozenset({"mould.filament_g", "resin.per_mould_ml"})
_HEAT = "gap.bound.heat."  # how far heat lets the gap go is asked in full only for the sheet


def early_set(loaded: LoadedJob, memo: Memo) -> MouldSet:
    """The set of a job as far as it is known before a solid is made.

    loaded : the job, taught or not.
    memo : the caller's store of steps; the cavity round a scan is one.

    The line for a second pour, which only the pour asks for, is not there yet, and amounts leave
    out what lids and grooves take.  Fields of solids, pour, checks and beds are empty.  Raises what
    `mouldgen.build.build_moulds` raises.
    """
    answer = with_cavity(answer_job(loaded.job, learned=loaded.learned), memo)
    fingerprint = fingerprint_of(loaded.job, loaded.learned)
    bare = MouldSet.in_conflict(answer, fingerprint=fingerprint, findings=())
    if answer.size is None:
        return bare
    plan = plan_first(answer, answer.size, coarse_mm=PICTURE_MM)
    return replace(bare, plan=plan, amounts=resin_for(answer, answer.size, features_ml=0.0))


def with_picture(found: MouldSet, memo: Memo) -> MouldSet:
    """The same with solids for a picture, their facets at least as coarse as `PICTURE_MM`.

    found : of `early_set`.
    memo : the caller's store of steps.

    Raises what `mouldgen.build.build_moulds` raises.
    """
    if found.plan is None:
        return found
    return replace(found, parts=parts_of_plan(found.answer, found.plan, memo))


def early_values(found: MouldSet) -> Iterator[Value]:
    """Values of the full sheet whose text is final already.

    found : of `early_set`.
    """
    data = SheetData(
        name=Value("name", found.answer.job.name, key="name"),
        lead=Value("lead", lead_words(found.answer.job)),
        stops=(),
        parts=tuple(_parts(_work(found))),
        cards=(),
        made=(Value("fingerprint", found.fingerprint[:ON_PAPER]),),
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


def _resin(work: SheetWork) -> Iterator[Item]:
    if work.found.amounts is not None:
        yield Facts("Resin", tuple(resin_rows(work, work.found.amounts)))


def _is_late(value: Value, found: MouldSet) -> bool:
    if value.id.startswith(_HEAT):
        return found.answer.gap.gap_mm is not None  # in a conflict heat was asked in full
    return value.id in _OF_SOLIDS
