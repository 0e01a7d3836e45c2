"""A plan's days, waits and steps in words."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from mouldgen.sheet.plain_words import count, hours, percent

if TYPE_CHECKING:
    from mouldgen.shop.calendar import Entry
    from mouldgen.shop.plan import Plan

_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")

_MONTHS = (
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
)  # fmt: skip

_MORE = {"cavity": "cavities"}

_WAITS_TOLD = 3

_DAY_S = 86_400


def date_words(date: dt.date) -> str:
    """A day as people write it: ``Mon 30 Nov 2026``."""
    return f"{_DAYS[date.weekday()]} {date.day} {_MONTHS[date.month - 1]} {date.year}"


def span(seconds: float) -> str:
    """A time that may be days long [s]: ``5.0 h``, ``3.1 days``, ``21 days``."""
    if seconds < 2 * _DAY_S:
        return hours(seconds)
    days = seconds / _DAY_S
    return f"{days:.1f} days" if days < 9.95 else f"{days:.0f} days"


def short_date(date: dt.date) -> str:
    """A day of a calendar: ``Mon 30 Nov``."""
    return f"{_DAYS[date.weekday()]} {date.day:2d} {_MONTHS[date.month - 1]}"


def moment_words(moment: dt.datetime) -> str:
    """A moment of a calendar: ``Mon 30 Nov 14:30``."""
    return f"{short_date(moment.date())} {moment:%H:%M}".replace("  ", " ")


def entry_words(entry: Entry) -> str:
    """What is done, with the load or bed that it belongs to: ``load 2: demould``."""
    if entry.step.startswith(entry.what):
        return entry.step
    return f"{entry.step}: {entry.what}"


def entry_count(entry: Entry) -> str:
    """How many of what are worked on; empty where that is not counted."""
    return count(entry.count, entry.of, _MORE.get(entry.of, "")) if entry.count else ""


def until_words(entry: Entry) -> str:
    """When what waits for this may go on; empty where nothing has to wait."""
    return "" if entry.until is None else moment_words(entry.until)


def bottleneck_words(plan: Plan) -> str:
    """What holds an order up most, and the longest waits on the way."""
    found = plan.bottleneck
    waits = "; ".join(
        f"{wait.step}, after {wait.what!r}, {span(wait.seconds)}".replace("'", '"')
        for wait in found.waits[:_WAITS_TOLD]
    )
    on_the_way = f" The longest waits on the way to the end: {waits}." if waits else ""
    ready = plan.ready if found.change is None else found.change.ready
    # Nothing is added where no piece is shown first, and that may gain more than all that can be.
    sooner = "".join(
        f" With {one.what} it would be ready on {date_words(one.ready)}."
        for one in plan.changes
        if not one.adds and one.ready < ready
    )
    if found.change is None:
        return f"More of nothing makes it ready earlier.{sooner}{on_the_way}"
    if ready == plan.ready:
        return f"More of nothing makes it ready on an earlier day.{sooner}{on_the_way}"
    return (
        f"What holds it up most: with {found.change.what} it would be ready on"
        f" {date_words(ready)}.{sooner}{on_the_way}"
    )


def basis_words(plan: Plan, *, today: dt.date) -> str:
    """What a plan rests on, and what it leaves out.

    plan : of the job.
    today : the day that it is made on.
    """
    facts = plan.setting.facts
    shown = "trial" if facts.trial else "first piece"
    notes = []
    if not plan.printing_known:
        notes.append("Printing times are reckoned from sizes, without solids.")
    if facts.first is not None and not facts.approval_s:
        notes.append(f"No days are kept for the customer's look at the {shown}: [order] approval.")
    if facts.drying:
        notes.append("The wood is dried first; [insert] constant_weight = true once it is.")
    if plan.start < today:
        notes.append(f"It begins before today, {date_words(today)}: [order] start.")
    if facts.first is not None and facts.fills > 0.0:
        notes.append(
            f"The {shown} is planned without a void; with a chance of {percent(facts.fills)} it"
            " has one, and a fill and its cure come before it is shown."
        )
    if not plan.schedule.earliest:
        notes.append(
            "It is the earliest of the plans that were tried and not proved to be the earliest"
            " there is."
        )
    notes.append("Times of hands are those of [work]; time them yourself.")
    return " ".join(notes)


def keeps_due_words(plan: Plan) -> str:
    """What would keep the date of an order that is late.

    plan : that is late.
    """
    if plan.due is not None and plan.due < plan.start:
        return (
            f"[order] due lies before the first day of work, {date_words(plan.start)}: look whether"
            " day and year are right."
        )
    if not plan.keeps_due:
        return (
            "Nothing of that, nor all of it together, keeps the date: promise"
            f" {date_words(plan.ready)}, or cast fewer pieces."
        )
    ways = "; or ".join(f"{c.what} (ready {date_words(c.ready)})" for c in plan.keeps_due)
    return f"What would keep the date: {ways}."
