"""``mouldgen plan``: when what is done, when the order is ready, and what would change that."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from mouldgen.cli.asked import Asked
from mouldgen.cli.findings import say_findings
from mouldgen.cli.gap import first_sentence, say_remedies
from mouldgen.cli.progress import busy
from mouldgen.cli.say import say, say_json, say_wrapped
from mouldgen.cli.tables import table
from mouldgen.cli.words import count
from mouldgen.errors import UsageError
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
from mouldgen.sheet.order_work import planned

if TYPE_CHECKING:
    from mouldgen.finding import Finding, Learned
    from mouldgen.job.load import LoadedJob
    from mouldgen.mould_set import MouldSet
    from mouldgen.shop.calendar import Entry
    from mouldgen.shop.plan import Plan
    from mouldgen.shop.what_if import Change


@dataclass(frozen=True, eq=False)
class _Told:
    """A plan with what the command says beside it."""

    plan: Plan
    job: str
    pieces: int
    today: dt.date
    stops: tuple[Finding, ...]
    learned: Learned


def show_plan(asked: Asked, *, today: str | None) -> int:
    """Say the plan of a job; 1 where there is no gap, something must be fixed or it is late.

    today : as typed, such as 2026-11-30; None for the clock's.

    Raises UsageError for a day that cannot be read, and what `plan_of` raises.
    """
    from mouldgen.build import build_moulds
    from mouldgen.shop.plan_facts import require_rating

    day = day_of(today)
    loaded = asked.load()
    require_rating(loaded.job)
    with busy(f"Planning {loaded.job.name}", quiet=asked.quiet):
        found = build_moulds(loaded.job, learned=loaded.learned, given=loaded.given)
        plan = None if found.parts is None else planned(found, day)
        if plan is not None and not asked.quiet:
            plan.changes  # noqa: B018 - planned while the wait is told
    if plan is None:
        return _say_conflict(asked, found, loaded)
    stops = tuple(finding for finding in found.findings if finding.severity == "stop")
    told = _Told(plan, loaded.job.name, loaded.job.order.pieces, day, stops, loaded.learned)
    if asked.json:
        say_json(_data(told), of=loaded)
    else:
        _say(told, quiet=asked.quiet, verbose=asked.verbose)
    return int(bool(stops) or plan.late)


def _say_conflict(asked: Asked, found: MouldSet, loaded: LoadedJob) -> int:
    gap, inches = found.answer.gap, found.answer.job.unit == "in"
    if asked.json:
        from mouldgen.files.report import conflict_data

        say_json(conflict_data(found.answer), of=loaded)
        return 1
    say_wrapped(first_sentence(gap, inches=inches))
    say_remedies(gap, inches=inches)
    return 1


def day_of(text: str | None) -> dt.date:
    """The day of ``--today``; the clock's where None.  Raises UsageError for what is no day."""
    if text is None:
        return dt.date.today()  # noqa: DTZ011 - the day on the maker's own wall
    try:
        return dt.date.fromisoformat(text)
    except ValueError:
        raise UsageError(
            f"{text!r} is not a day", where="--today", allowed="a day such as 2026-11-30"
        ) from None


def _say(told: _Told, *, quiet: bool, verbose: bool) -> None:
    say_wrapped(_first(told))
    if not quiet:
        _say_calendar(told.plan)
        _say_changes(told.plan)
        say()
        say_wrapped(basis_words(told.plan, today=told.today))
    if told.plan.late:
        say()
        say_wrapped(keeps_due_words(told.plan))
    say_findings(told.stops, quiet=quiet, verbose=verbose)


def _first(told: _Told) -> str:
    plan = told.plan
    text = (
        f"{told.job}: {count(told.pieces, 'piece')} out of {count(plan.moulds, 'casting')}, begun"
        f" on {date_words(plan.start)}, ready on {date_words(plan.ready)}."
    )
    due, slack = plan.due, plan.slack_days
    if due is None or slack is None:
        return text
    if due < told.today:
        return f"{text} Due {date_words(due)}, which is over: look whether day and year are right."
    how = "on the day" if slack == 0 else f"{count(abs(slack), 'day')} "
    how += "" if slack == 0 else ("to spare" if slack > 0 else "too late")
    return f"{text} Due {date_words(due)}: {how}."


def _say_calendar(plan: Plan) -> None:
    rows = [("day", "from", "to", "what", "how many", "waits until")]
    last = None
    for entry in plan.calendar:
        day = entry.start.date()
        rows.append(
            (
                "" if day == last else short_date(day),
                f"{entry.start:%H:%M}",
                f"{entry.end:%H:%M}" if entry.end > entry.start else "",
                entry_words(entry),
                entry_count(entry),
                "goes on" if entry.goes_on else until_words(entry),
            )
        )
        last = day
    say()
    say(table(rows))


def _say_changes(plan: Plan) -> None:
    rows = [("what if", "ready", "earlier by")]
    rows += [
        (change.what, date_words(change.ready), span(change.earlier_s) if change.earlier_s else "")
        for change in plan.changes
    ]
    say()
    say(table(rows))
    say()
    say_wrapped(bottleneck_words(plan))


def _data(told: _Told) -> dict[str, Any]:
    from mouldgen.files.report import learned_data

    plan = told.plan
    facts, found = plan.setting.facts, plan.bottleneck
    return {
        "job": told.job,
        "pieces": told.pieces,
        "castings": plan.moulds,
        "moulds": facts.moulds,
        "start": plan.start.isoformat(),
        "ready": plan.ready.isoformat(),
        "finish": plan.finish.isoformat(),
        "due": None if plan.due is None else plan.due.isoformat(),
        "slack_days": plan.slack_days,
        "late": plan.late,
        "proved_earliest": plan.schedule.earliest,
        "printing_from_solids": plan.printing_known,
        "first_article": None if facts.first is None else ("trial" if facts.trial else "article"),
        "calendar": [_entry_data(entry) for entry in plan.calendar],
        "changes": [_change_data(change) for change in plan.changes],
        "bottleneck": {
            "change": None if found.change is None else found.change.what,
            "waits": [
                {"step": wait.step, "after": wait.what, "wait_s": wait.seconds}
                for wait in found.waits
            ],
        },
        "keeps_due": [_change_data(change) for change in plan.keeps_due],
        "learned": learned_data(told.learned),
    }


def _entry_data(entry: Entry) -> dict[str, Any]:
    return {
        "start": entry.start.isoformat(),
        "end": entry.end.isoformat(),
        "step": entry.step,
        "what": entry.what,
        "count": entry.count,
        "of": entry.of,
        "goes_on": entry.goes_on,
        "waits_until": None if entry.until is None else entry.until.isoformat(),
    }


def _change_data(change: Change) -> dict[str, Any]:
    return {
        "what": change.what,
        "ready": change.ready.isoformat(),
        "earlier_s": change.earlier_s,
    }
