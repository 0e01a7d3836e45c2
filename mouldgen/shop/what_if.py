"""What one more mould, pot, printer, person, day or hour changes: each planned anew."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from mouldgen.errors import NoAnswerError
from mouldgen.shop.hours import DAY_S, Hours
from mouldgen.shop.setting import Setting
from mouldgen.shop.work_facts import WorkFacts

LONGER_S = 2 * 3600  # of a day; our own choice
_DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


@dataclass(frozen=True, eq=False)
class Change:
    """One thing that could be otherwise.

    what : in words, such as ``one more pot``.
    finish_s : when all would be over [s].
    ready : the day of that.
    earlier_s : than as it is, at least 0 [s].
    adds : whether it adds something, such as a pot, rather than leaves something out.
    """

    what: str
    finish_s: int
    ready: dt.date
    earlier_s: int
    adds: bool


FactsWith = Callable[[int, bool | None], WorkFacts]
"""The job's facts with so many more moulds, and with a first article or without; None as told."""


def ready_on(hours: Hours, finish_s: int) -> dt.date:
    """The day on which all is over: what ends at midnight belongs to the day before.

    hours : with the first day.
    finish_s : when all is over [s].
    """
    return hours.date(max(0, finish_s - 1))


def changes_of(setting: Setting, finish_s: int, *, facts_with: FactsWith) -> tuple[Change, ...]:
    """The table of single changes, in a fixed order.

    setting : as it is.
    finish_s : when all is over as it is [s].
    facts_with : the job's facts otherwise.

    With more of something the plan as it is can still be carried out, so that a change never ends
    later than that; what the search finds is taken where it is earlier.
    """
    others = _others(setting, facts_with)
    return tuple(_change(what, other, finish_s, adds=adds) for what, other, adds in others)


def together(setting: Setting, finish_s: int, *, facts_with: FactsWith) -> Change:
    """All changes of the table at once.

    setting, finish_s, facts_with : as `changes_of` takes them.
    """
    shop, more = setting.shop, int(setting.facts.reused)
    most = replace(shop, people=shop.people + 1, printers=shop.printers + 1, pots=shop.pots + 1)
    hours = _longer(_more_days(setting.hours) or setting.hours)
    hours = hours or _more_days(setting.hours) or setting.hours
    other = Setting(facts_with(more, False), most, hours)
    return _change("all of the table together", other, finish_s, adds=True)


def _others(setting: Setting, facts_with: FactsWith) -> Iterator[tuple[str, Setting, bool]]:
    """What is changed, how it is then, and whether something is added."""
    shop, facts, hours = setting.shop, setting.facts, setting.hours
    if facts.reused:
        yield "one more mould", replace(setting, facts=facts_with(1, None)), True
    for key, what in (("pots", "pot"), ("printers", "printer"), ("people", "person")):
        if key == "pots" and facts.cure.hold_s is None:
            continue
        more = replace(shop, **{key: getattr(shop, key) + 1})
        yield f"one more {what}", replace(setting, shop=more), True
    more_days = _more_days(hours)
    if more_days is not None:
        day = next(n for n in range(7) if more_days.days[n] != hours.days[n])
        yield f"{_DAYS[day]} worked too", replace(setting, hours=more_days), True
    longer = _longer(hours)
    if longer is not None:
        yield "two hours more a day", replace(setting, hours=longer), True
    if facts.first is not None:
        what = "no trial in other wood" if facts.trial else "no first article"
        yield what, replace(setting, facts=facts_with(0, False)), False


def _more_days(hours: Hours) -> Hours | None:
    """The first free day of the week worked too; None where there is none."""
    free = next((n for n, works in enumerate(hours.days) if not works), None)
    if free is None:
        return None
    return replace(hours, days=tuple(works or n == free for n, works in enumerate(hours.days)))


def _longer(hours: Hours) -> Hours | None:
    """Two hours more at the end of the day, or at its beginning; None where neither has room."""
    length = hours.length_s + LONGER_S
    if hours.opens_s + length <= DAY_S:
        return replace(hours, length_s=length)
    if hours.opens_s >= LONGER_S:
        return replace(hours, opens_s=hours.opens_s - LONGER_S, length_s=length)
    return None


def _change(what: str, other: Setting, finish_s: int, *, adds: bool) -> Change:
    try:
        found = other.schedule_before(finish_s, other.steps())
    except NoAnswerError:  # no plan was found, and the one there is can still be carried out
        found = None
    finish = finish_s if found is None else found.finish_s
    return Change(what, finish, ready_on(other.hours, finish), finish_s - finish, adds)
