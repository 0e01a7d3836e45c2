"""The plan of a job: a calendar, the ready date, what holds it up and what would change it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, cached_property
from typing import TYPE_CHECKING, Protocol

from mouldgen.job.shop_tables import Shop as ShopTable
from mouldgen.mix.answered import Answered
from mouldgen.shop.activity import Schedule
from mouldgen.shop.bottleneck import Bottleneck, bottleneck_of
from mouldgen.shop.calendar import Entry, calendar_of
from mouldgen.shop.hours import hours_of
from mouldgen.shop.load_names import in_order
from mouldgen.shop.needs import ClosedForms
from mouldgen.shop.plan_facts import facts_of_plan, require_rating
from mouldgen.shop.plan_loads import loads_of
from mouldgen.shop.setting import Setting
from mouldgen.shop.step import Step
from mouldgen.shop.steps import Shop
from mouldgen.shop.what_if import Change, FactsWith, changes_of, ready_on, together
from mouldgen.shop.work_facts import BedFacts, LoadFacts, WorkFacts

if TYPE_CHECKING:
    from mouldgen.mix.amounts import Amounts


class Planned(ClosedForms, Answered, Protocol):
    """The closed forms of a job: `mouldgen.answer.Answer` is one."""


@dataclass(frozen=True, eq=False)
class Plan:
    """A plan that has passed its independent check.

    setting : the job in its shop.
    steps : what is done.
    schedule : when.
    due : that the customer was promised, or None.
    moulds : that are started, spares among them.
    printing_known : whether printing times are of solids; else they are reckoned from sizes.
    facts_with : the job's facts with so many more moulds, and without a first article.
    """

    setting: Setting
    steps: tuple[Step, ...]
    schedule: Schedule
    due: dt.date | None
    moulds: int
    printing_known: bool
    facts_with: FactsWith

    @property
    def start(self) -> dt.date:
        """The first day."""
        return self.setting.hours.first

    @property
    def finish(self) -> dt.datetime:
        """When the last piece is packed."""
        return self.setting.hours.moment(self.schedule.finish_s)

    @property
    def ready(self) -> dt.date:
        """The day of that."""
        return ready_on(self.setting.hours, self.schedule.finish_s)

    @property
    def slack_days(self) -> int | None:
        """From ready to due, below 0 where it is late; None without a due date."""
        return None if self.due is None else (self.due - self.ready).days

    @property
    def late(self) -> bool:
        """Whether the due date cannot be kept."""
        return self.due is not None and self.due < self.ready

    @cached_property
    def calendar(self) -> tuple[Entry, ...]:
        """Every stretch of work, in the order of time."""
        return calendar_of(self.steps, self.schedule, self.setting.hours)

    @cached_property
    def changes(self) -> tuple[Change, ...]:
        """What one more mould, pot, printer, person, day or hour would change; planned anew."""
        return changes_of(self.setting, self.schedule.finish_s, facts_with=self.facts_with)

    @cached_property
    def bottleneck(self) -> Bottleneck:
        """What holds the plan up."""
        return bottleneck_of(self.steps, self.schedule, self.changes)

    @cached_property
    def keeps_due(self) -> tuple[Change, ...]:
        """Where it is late: the single changes that keep the date, else all together if that does.

        Empty where nothing does, or nothing is late.
        """
        due = self.due
        if due is None or not self.late:
            return ()
        single = tuple(change for change in self.changes if change.ready <= due)
        if single:
            return single
        every = together(self.setting, self.schedule.finish_s, facts_with=self.facts_with)
        return (every,) if every.ready <= due else ()


def plan_of(
    answer: Planned,
    *,
    today: dt.date,
    beds: Sequence[BedFacts] | None = None,
    amounts: Amounts | None = None,
    per_load: int | None = None,
) -> Plan:
    """The plan of a job, started on its own first day, else today.

    answer : the closed forms.
    today : the library never asks the clock.
    beds : what each bed prints, of the solids; None reckons it from sizes.
    amounts : the resin of a finished set; None reckons it from closed forms.
    per_load : moulds that the pot takes at once; None lays them out.

    Raises NoAnswerError where no gap fits, the pot has no rating, not one mould can be poured in
    time or nothing fits the working hours; JobError where a card lacks what a plan needs.
    """
    job = answer.job
    require_rating(job)
    most = _per_load(answer) if per_load is None else per_load
    up = _up(answer)

    @cache  # what is asked for otherwise mostly has the same loads
    def loads(fillings: int, at_once: int, first_alone: bool) -> tuple[LoadFacts, ...]:
        return loads_of(
            answer, fillings, at_once=at_once, first_alone=first_alone, found=amounts, up=up
        )

    def facts(more_moulds: int, first_article: bool | None) -> WorkFacts:
        return facts_of_plan(
            answer,
            loads_of=loads,
            most=most,
            beds=beds,
            more_moulds=more_moulds,
            first_article=first_article,
        )

    start = job.order.start or today
    setting = Setting(facts(0, None), _shop(job.shop), hours_of(job.shop, first=start))
    steps = setting.steps()
    steps, schedule = in_order(steps, setting.schedule(steps))
    return Plan(
        setting=setting,
        steps=steps,
        schedule=schedule,
        due=job.order.due,
        moulds=answer.moulds,
        printing_known=beds is not None,
        facts_with=facts,
    )


def _up(answer: Planned) -> int:
    """Cavities of one rubber mould, each with a lid of its own; 1 for any other."""
    mould = answer.job.mould
    return (mould.up or 1) if mould.family == "master" else 1


def _shop(shop: ShopTable) -> Shop:
    return Shop(people=shop.people, printers=shop.printers, pots=shop.pots)


def _per_load(answer: Planned) -> int | None:
    """Fillings that the pot takes at once; None without a pot or without sizes."""
    size = answer.size
    if answer.job.pot is None or size is None:
        return None
    from mouldgen.layout.pot_order import pot_of_order  # late: a plan alone needs it

    up = _up(answer)
    loads = pot_of_order(
        answer.job, size, sizes=answer.sizes, blanks=answer.moulds, printed=answer.printed
    )
    # Not `per_load`: the moulds that there are limit that, and one more of them is asked about.
    return None if loads is None else min(up * loads.per_tier * loads.tiers, answer.fillings)
