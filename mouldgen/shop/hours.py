"""The shop's working hours: when hands are there, and how far a stretch of work reaches.

Times are whole seconds from midnight of the first day of a plan, so that sums are exact.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from mouldgen.errors import NoAnswerError

if TYPE_CHECKING:
    from mouldgen.job.shop_tables import Shop

DAY_S = 86_400
HOURS = 8.0  # of a day, where the shop does not say; common practice
_WEEK = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_LONGEST_BREAK = 400  # days; a shop that is closed longer has no next day of work


@dataclass(frozen=True)
class Hours:
    """When the shop works.

    first : the day that times are counted from.
    opens_s : from midnight [s].
    length_s : of a working day [s], not past midnight.
    days : which days of the week, Monday first.
    closed : days without work.
    """

    first: dt.date
    opens_s: int
    length_s: int
    days: tuple[bool, ...]
    closed: frozenset[dt.date] = frozenset()

    @cached_property
    def closes_s(self) -> int:
        """From midnight [s]."""
        return self.opens_s + self.length_s

    def date(self, time_s: int) -> dt.date:
        """The day of a time.

        time_s : from midnight of the first day [s].
        """
        return self.first + dt.timedelta(days=time_s // DAY_S)

    def moment(self, time_s: int) -> dt.datetime:
        """The day and the time of day."""
        return dt.datetime.combine(self.first, dt.time()) + dt.timedelta(seconds=time_s)

    def works_on(self, day: int) -> bool:
        """Whether anybody works on a day.

        day : from the first one, which is 0.
        """
        known = self._known.get(day)
        if known is None:
            date = self.first + dt.timedelta(days=day)
            known = self._known[day] = self.days[date.weekday()] and date not in self.closed
        return known

    @cached_property
    def _known(self) -> dict[int, bool]:
        """Days that were asked about: plans ask a million times."""
        return {}

    def span(self, time_s: int) -> tuple[int, int]:
        """The stretch of working hours that holds a time, or else the next one [s].

        The second is when it closes.  A time at closing is not in it.

        Raises NoAnswerError where no day of work follows.
        """
        day = time_s // DAY_S
        for later in range(day, day + _LONGEST_BREAK):
            closes = later * DAY_S + self.closes_s
            if self.works_on(later) and time_s < closes:
                return max(time_s, later * DAY_S + self.opens_s), closes
        raise NoAnswerError(
            f"nobody works within {_LONGEST_BREAK} days after {self.date(time_s)}",
            where="[shop] days, closed",
            try_="Give a day of the week on which the shop works.",
        )

    def whole(self, time_s: int, length_s: int) -> int:
        """The earliest start from a time on of work that is not interrupted [s].

        Raises NoAnswerError where it is longer than a working day.
        """
        if length_s > self.length_s:
            raise NoAnswerError(
                f"{length_s / 3600:.3g} h of work in one go do not fit a day of"
                f" {self.length_s / 3600:.3g} h",
                where="[shop] hours",
                try_="Work longer that day, or cast fewer moulds at once.",
            )
        start, closes = self.span(time_s)
        while start + length_s > closes:
            start, closes = self.span(closes)
        return start

    def until(self, start_s: int, length_s: int) -> int:
        """When work that starts within working hours ends, nights and free days left out [s].

        start_s : within working hours, or at the end of them with nothing to do.
        length_s : of hands [s].
        """
        left, now = length_s, start_s
        while left > 0:
            now, closes = self.span(now)
            done = min(left, closes - now)
            left, now = left - done, now + done
        return now

    def between(self, start_s: int, end_s: int) -> int:
        """Working time between two times [s]."""
        total, now = 0, start_s
        while now < end_s:
            opens, closes = self.span(now)
            if opens >= end_s:
                break
            total += min(closes, end_s) - opens
            now = closes
        return total


def hours_of(shop: Shop, *, first: dt.date) -> Hours:
    """The hours of a shop.

    first : the first day of the plan.
    """
    return Hours(
        first=first,
        opens_s=round(shop.opens),
        length_s=round(3600.0 * (HOURS if shop.hours is None else shop.hours)),
        days=tuple(name in shop.days for name in _WEEK),
        closed=frozenset(shop.closed),
    )
