"""Whether wood that is weighed while it dries has come to constant weight.

Constant is what lost, within three hours or more, no more than twice the scale's smallest digit:
the end point of oven drying in ASTM D4442, from memory.  It also lost no more than a thousandth
of its weight, which is belief and binds where a coarse scale weighs a small piece.

Constant weight in the oven is dry.  On a shelf it is only in balance with the air of the shop.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from mouldgen.shop.drying_fit import LEAST_READINGS, ready
from mouldgen.shop.drying_log import Weighing

LEAST_HOURS = 3.0  # ASTM D4442, from memory
DIGITS = 2.0  # of the scale; the same
LEAST_SHARE = 0.001  # of the weight; belief
MOST_FITTED = 6  # the last weighings; before them more than one exponential is at work
COARSEST_G = 1.0  # a kitchen scale, where nobody says
_ROUNDING_G = 1e-6

State = Literal["constant", "losing", "gained", "too soon"]


@dataclass(frozen=True, eq=False)
class WhenReady:
    """When a piece will be at constant weight.

    earliest, likely, latest : of the weighing that would show it; a band of 95 %.
    """

    earliest: dt.datetime
    likely: dt.datetime
    latest: dt.datetime


@dataclass(frozen=True, eq=False)
class PieceDrying:
    """How far one piece has dried.

    piece : its name.
    weighings : all of them, the earliest first.
    state : ``constant``; ``losing``; ``gained``, where it has become heavier; ``too soon``, where
        no two weighings lie three hours apart and nothing else tells.
    limit_g : the most that it may lose [g].
    loss_g : between the two weighings that decided; None with one alone [g].
    over_h : between those two, at least [h].
    rate_g_h : loss an hour between the last two weighings; None with one alone [g/h].
    gains : pairs of weighings one after the other between which it gained more than the limit.
    ready : when it will be constant; None where it is, or where that cannot be said.
    again : not before then is it of use to weigh again; None where it is constant.
    scale_g : the scale's smallest digit [g].
    """

    piece: str
    weighings: tuple[Weighing, ...]
    state: State
    limit_g: float
    loss_g: float | None
    over_h: float
    rate_g_h: float | None
    gains: tuple[tuple[Weighing, Weighing], ...]
    ready: WhenReady | None
    again: dt.datetime | None
    scale_g: float

    @property
    def last(self) -> Weighing:
        """The last weighing."""
        return self.weighings[-1]

    @property
    def lightest_g(self) -> float:
        """The least that it ever weighed [g]."""
        return min(weighing.mass_g for weighing in self.weighings)

    @property
    def moisture_first(self) -> float:
        """Water at the first weighing as a share of the lightest, if that was oven-dry."""
        return self.weighings[0].mass_g / self.lightest_g - 1.0

    @property
    def moisture_last(self) -> float:
        """Water at the last weighing as a share of the lightest, if that was oven-dry."""
        return self.last.mass_g / self.lightest_g - 1.0

    @property
    def too_coarse(self) -> bool:
        """Whether one digit of the scale is more than a thousandth of the piece."""
        return self.scale_g > LEAST_SHARE * self.last.mass_g


def scale_of(log: Mapping[str, Sequence[Weighing]]) -> float:
    """The scale's smallest digit as the log shows it [g]: the finest place written, at most 1 g.

    log : the weighings of each piece.
    """
    digits = [w.digit_g for weighings in log.values() for w in weighings if w.digit_g is not None]
    return min([COARSEST_G, *digits])


def drying(
    log: Mapping[str, Sequence[Weighing]], *, scale_g: float | None = None
) -> tuple[PieceDrying, ...]:
    """How far each piece has dried, in the order of the log.

    log : the weighings of each piece, the earliest first, each piece at least once.
    scale_g : the scale's smallest digit; None for what the log shows [g].
    """
    digit = scale_of(log) if scale_g is None else scale_g
    return tuple(_piece(name, tuple(weighings), digit) for name, weighings in log.items())


def limit_g(mass_g: float, *, scale_g: float) -> float:
    """The most that a piece of constant weight may lose within three hours [g].

    mass_g : of the piece [g].
    scale_g : the scale's smallest digit [g].
    """
    return min(DIGITS * scale_g, LEAST_SHARE * mass_g)


def least_hours(before: Weighing, after: Weighing) -> float:
    """Hours that surely lie between two weighings [h].

    A day without a time may mean any time of it.  Two such days are taken at the same time of day.

    before, after : of one piece.
    """
    start, end = before.when, after.when
    if before.timed != after.timed:
        if after.timed:
            start = dt.datetime.combine(start.date() + dt.timedelta(days=1), dt.time())
        else:
            end = dt.datetime.combine(end.date(), dt.time())
    return max(0.0, _hours(start, end))


def _piece(name: str, weighings: tuple[Weighing, ...], digit_g: float) -> PieceDrying:
    last = weighings[-1]
    most = limit_g(last.mass_g, scale_g=digit_g) + _ROUNDING_G
    state, loss, over = _state(weighings, most)
    band = _when_ready(weighings, digit_g, most) if state == "losing" else None
    soonest = last.when + dt.timedelta(hours=LEAST_HOURS)
    if not last.timed:
        soonest = dt.datetime.combine(last.when.date() + dt.timedelta(days=1), last.when.time())
    return PieceDrying(
        piece=name,
        weighings=weighings,
        state=state,
        limit_g=most - _ROUNDING_G,
        loss_g=loss,
        over_h=over,
        rate_g_h=_rate(weighings),
        gains=tuple(pair for pair in pairwise(weighings) if pair[1].mass_g - pair[0].mass_g > most),
        ready=band,
        again=None
        if state == "constant"
        else soonest
        if band is None
        else max(soonest, band.likely),
        scale_g=digit_g,
    )


def _state(weighings: Sequence[Weighing], most_g: float) -> tuple[State, float | None, float]:
    """The verdict, the loss that it rests on [g], and the hours over which that was lost."""
    *earlier, last = weighings
    if not earlier:
        return "too soon", None, 0.0
    apart = [w for w in earlier if least_hours(w, last) >= LEAST_HOURS]
    since = apart[-1] if apart else earlier[0]
    loss, over = since.mass_g - last.mass_g, least_hours(since, last)
    if loss < -most_g:
        return "gained", loss, over
    if loss > most_g:
        return "losing", loss, over
    return ("constant" if apart else "too soon"), loss, over


def _rate(weighings: Sequence[Weighing]) -> float | None:
    if len(weighings) < 2:
        return None
    before, last = weighings[-2:]
    return (before.mass_g - last.mass_g) / _hours(before.when, last.when)


def _when_ready(weighings: Sequence[Weighing], digit_g: float, most_g: float) -> WhenReady | None:
    fitted = [weighings[-1]]
    for weighing in reversed(weighings[:-1]):
        if len(fitted) == MOST_FITTED or fitted[-1].mass_g - weighing.mass_g > most_g:
            break  # what it picked up dries anew
        fitted.append(weighing)
    fitted.reverse()
    if len(fitted) < LEAST_READINGS or len({w.timed for w in fitted}) > 1:
        return None
    start = fitted[0].when
    found = ready(
        [_hours(start, w.when) for w in fitted],
        [w.mass_g for w in fitted],
        digit_g=digit_g,
        limit_g=most_g,
        over_h=LEAST_HOURS,
    )
    if found is None:
        return None
    return WhenReady(
        *(
            start + dt.timedelta(hours=hour)
            for hour in (found.earliest_h, found.likely_h, found.latest_h)
        )
    )


def _hours(start: dt.datetime, end: dt.datetime) -> float:
    return (end - start).total_seconds() / 3600.0
