"""A job in a shop: all that a schedule follows from, so that one thing of it can be changed."""

from __future__ import annotations

from dataclasses import dataclass

from mouldgen.shop.activity import Schedule
from mouldgen.shop.hours import Hours
from mouldgen.shop.schedule import schedule, schedule_before
from mouldgen.shop.step import Step
from mouldgen.shop.steps import Shop, places_of, steps_of
from mouldgen.shop.work_facts import WorkFacts


@dataclass(frozen=True, eq=False)
class Setting:
    """A job in a shop.

    facts : of the job.
    shop : who and what there is.
    hours : when it works, from the first day on.
    """

    facts: WorkFacts
    shop: Shop
    hours: Hours

    def steps(self) -> tuple[Step, ...]:
        """What is done."""
        return steps_of(self.facts, opens_s=self.hours.span(0)[0])

    def schedule(self, steps: tuple[Step, ...]) -> Schedule:
        """When it is done, checked.

        steps : of this setting.

        Raises NoAnswerError where something can never take place.
        """
        return schedule(
            [step.activity for step in steps],
            hours=self.hours,
            people=self.shop.people,
            places=places_of(self.facts, self.shop),
        )

    def schedule_before(self, finish_s: int, steps: tuple[Step, ...]) -> Schedule | None:
        """When it is done, where that is found to be before a time; checked.

        finish_s : the time [s].
        steps : of this setting.

        Raises NoAnswerError where something can never take place.
        """
        return schedule_before(
            finish_s,
            [step.activity for step in steps],
            hours=self.hours,
            people=self.shop.people,
            places=places_of(self.facts, self.shop),
        )
