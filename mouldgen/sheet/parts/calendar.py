"""The calendar on the job sheet."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from mouldgen.sheet.calendar_words import (
    basis_words,
    bottleneck_words,
    date_words,
    entry_count,
    entry_words,
    keeps_due_words,
    short_date,
    span,
    until_words,
)
from mouldgen.sheet.parts.shown import number
from mouldgen.sheet.parts.work import SheetWork
from mouldgen.sheet.plain_words import count
from mouldgen.sheet.sheet_data import Cell, Facts, Grid, Item, Part, Told, Value

if TYPE_CHECKING:
    from mouldgen.shop.plan import Plan


def calendar_part(work: SheetWork) -> Part | None:
    """What is done when; None in a conflict."""
    if work.found.answer.size is None:
        return None
    plan, items = work.plan, list[Item]()
    if plan is None:
        items.append(Told(Value("calendar.none", work.said(work.no_plan)), loud=True))
    else:
        items += [
            Facts("Calendar", (*_rows(plan), *_shop(work, plan))),
            _days(plan),
            _changes(plan),
            Told(Value("calendar.bottleneck", bottleneck_words(plan))),
            Told(Value("calendar.basis", basis_words(plan, today=work.today))),
        ]
        if plan.late:
            items.append(Told(Value("calendar.late", keeps_due_words(plan)), loud=True))
    return Part("calendar", Value("calendar.title", "Calendar"), tuple(items))


def _rows(plan: Plan) -> Iterator[tuple[str, tuple[Value, ...]]]:
    yield "begun", (Value("calendar.start", date_words(plan.start), key="order.start"),)
    yield "ready", (Value("calendar.ready", date_words(plan.ready)),)
    due, slack = plan.due, plan.slack_days
    if due is None or slack is None:
        return
    yield "due", (Value("calendar.due", date_words(due), key="order.due"),)
    told = f"{count(abs(slack), 'day')} {'to spare' if slack > 0 else 'too late'}"
    yield "that is", (Value("calendar.slack", told if slack else "on the day", slack, "d"),)


def _shop(work: SheetWork, plan: Plan) -> Iterator[tuple[str, tuple[Value, ...]]]:
    """When the shop works, and who and what there is."""
    shop, hours = work.job.shop, plan.setting.hours
    long = hours.length_s / 3600.0
    opens = f"{hours.opens_s // 3600}:{hours.opens_s // 60 % 60:02d}"
    yield "work begins", (Value("shop.opens", opens, key="shop.opens"),)
    yield "in a day", (Value("shop.hours", f"{long:g} h", long, "h", "shop.hours"),)
    yield "people", (number("shop.people", shop.people, key="shop.people"),)
    yield "printers", (number("shop.printers", shop.printers, key="shop.printers"),)
    if work.job.pot is not None:
        yield "pots", (number("shop.pots", shop.pots, key="shop.pots"),)


def _days(plan: Plan) -> Grid:
    rows: list[tuple[Cell, ...]] = []
    last = None
    for at, entry in enumerate(plan.calendar):
        day, name = entry.start.date(), f"calendar.{at}"
        until = "goes on" if entry.goes_on else until_words(entry)
        many = entry_count(entry)
        rows.append(
            (
                "" if day == last else Value(f"{name}.day", short_date(day)),
                Value(f"{name}.from", f"{entry.start:%H:%M}"),
                Value(f"{name}.to", f"{entry.end:%H:%M}") if entry.end > entry.start else "",
                Value(f"{name}.what", entry_words(entry)),
                Value(f"{name}.count", many, entry.count) if many else "",
                Value(f"{name}.until", until) if until else "",
            )
        )
        last = day
    head = ("day", "from", "to", "what", "how many", "waits until")
    return Grid("Day by day", head, tuple(rows), prose=(3,), boxed=True)


def _changes(plan: Plan) -> Grid:
    rows: list[tuple[Cell, ...]] = []
    for at, change in enumerate(plan.changes):
        name = f"calendar.change.{at}"
        earlier = Value(f"{name}.earlier", span(change.earlier_s), change.earlier_s, "s")
        rows.append(
            (
                Value(f"{name}.what", change.what),
                Value(f"{name}.ready", date_words(change.ready)),
                earlier if change.earlier_s else "",
            )
        )
    return Grid("What would make it ready earlier", ("what if", "ready", "earlier by"), tuple(rows))
