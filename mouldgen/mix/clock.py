"""The clock of one session, written out: what one person does from which second to which.

Second 0 is the start of the first mixing; what can be done before, such as weighing, has negative
seconds.  Nobody does two things at once.  A session ends when its moulds are shut and, where
there is a pot, under pressure, all of them at once.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from mouldgen.mix.life import cup_life

if TYPE_CHECKING:
    from collections.abc import Sequence

    from mouldgen.job.model import Pour
    from mouldgen.job.work import WorkTimes

What = Literal["weigh", "stir", "place", "lid", "mix", "split", "pour", "press", "close"]
Limit = Literal["gel", "air"]


@dataclass(frozen=True, eq=False)
class Step:
    """One thing that is done.

    start_s, end_s : from the start of the session's first mixing [s].
    what : is done.
    mix, cup, mould : which, counted from 1 in the session (moulds: in the job); None where it is
        of no single one.
    """

    start_s: float
    end_s: float
    what: What
    mix: int | None = None
    cup: int | None = None
    mould: int | None = None


@dataclass(frozen=True, eq=False)
class Hands:
    """What one person takes for each thing [s].

    weigh, mix : a mix.
    split, stir : a cup.
    pour : a cavity from a cup.
    place : an insert.
    lid : a mould.
    press : to carry the load in, to shut the pot and to press; None without a pot.
    """

    weigh: float
    mix: float
    split: float
    stir: float
    pour: float
    place: float
    lid: float
    press: float | None


@dataclass(frozen=True, eq=False)
class CupAsk:
    """One cup that is to be poured.

    mass_g : in it [g].
    tinted : whether a tint is stirred in.
    gel_factor : gel time with that tint over that without.
    fills : moulds that it is poured into, and into how many cavities of each.
    """

    mass_g: float
    tinted: bool
    gel_factor: float
    fills: tuple[tuple[int, int], ...]


@dataclass(frozen=True, eq=False)
class MixAsk:
    """One mix, and the cups that it is split into.

    mass_g : of both parts [g].
    cups : one alone stays in the mixing cup.
    tint_before : whether the one tint is stirred into part A before part B comes to it.
    """

    mass_g: float
    cups: tuple[CupAsk, ...]
    tint_before: bool = False


@dataclass(frozen=True, eq=False)
class CupClock:
    """One cup on the clock of its session; all times from the start of the session [s].

    tint_s : when its tint goes in, or its mixing starts where it has none.
    done_s : when the last of it is poured.
    gel_s : when it gels, on the early side; inf where it does not.
    stop_s : less the reserve: no pour starts later.
    """

    tint_s: float
    done_s: float
    gel_s: float
    stop_s: float


@dataclass(frozen=True, eq=False)
class Clock:
    """The clock of one session.

    steps : one after another.
    cups : of each mix, in the order asked for.
    mixed_s : when each mixing starts [s].
    pour_s : when the first pour starts [s].
    close_s : when all is shut and under pressure [s].
    limit_s : the latest moment for that; inf for none [s].
    limited_by : what sets it.
    """

    steps: tuple[Step, ...]
    cups: tuple[tuple[CupClock, ...], ...]
    mixed_s: tuple[float, ...]
    pour_s: float
    close_s: float
    limit_s: float
    limited_by: Limit

    @property
    def slack_s(self) -> float:
        """From the close to the limit [s]; below 0 where it comes too late."""
        return self.limit_s - self.close_s

    @property
    def fits(self) -> bool:
        """Whether all is shut by the limit, and poured before anything thickens."""
        return self.slack_s >= 0.0 and all(
            step.start_s <= self.cups[step.mix - 1][step.cup - 1].stop_s
            for step in self.steps
            if step.what == "pour" and step.mix is not None and step.cup is not None
        )


def hands_of(work: WorkTimes, pour: Pour, *, order: str, pot: bool) -> Hands:
    """What the hands of a job take.

    work : its times.
    pour : its mixing, and its push where the resin is in first.
    order : what goes into the mould first.
    pot : whether there is one.
    """
    return Hands(
        weigh=work.weigh,
        mix=pour.mix,
        split=work.split,
        stir=work.stir,
        pour=work.pour,
        place=pour.push_time if order == "resin-first" else work.place,
        lid=work.lid,
        press=work.load if pot else None,
    )


def session_clock(
    mixes: Sequence[MixAsk],
    *,
    moulds: Sequence[int],
    inserts: int,
    order: str,
    hands: Hands,
    gel: Callable[[float], float],
    air_s: float | None,
    reserve_s: float | None,
) -> Clock:
    """The clock of one session.

    mixes : in the order that they are mixed.
    moulds : numbers of those that are filled.
    inserts : that are placed in each; 0 in a later pour.
    order : what goes into the mould first.
    hands : what each thing takes.
    gel : when a mass [g], left in its cup, gels [s].
    air_s : latest close, from the start of a mixing, at which air still clears the gap; None
        where that limits nothing [s].
    reserve_s : kept free before the gel; None for a share of it [s].

    Of one mix all cups are split off first, then tinted, those that last longest first; the one
    that gels first is poured first.  Each mix is poured before the next is started.
    """
    before = order != "resin-first"
    ahead = _Hand(0.0)
    for number, mix in enumerate(mixes, 1):
        ahead.do("weigh", hands.weigh, mix=number)
        if mix.tint_before:
            ahead.do("stir", hands.stir, mix=number, cup=1)
    if before:
        ahead.enclose(moulds, inserts, hands, lids=order == "bottom-feed")
    hand = _Hand(0.0, [_moved(step, -ahead.now) for step in ahead.steps])
    cups, starts, limits = [], [], []
    for number, mix in enumerate(mixes, 1):
        starts.append(hand.now)
        found = _one_mix(hand, number, mix, hands=hands, gel=gel, reserve_s=reserve_s)
        cups.append(found)
        limits += [(cup.stop_s, "gel") for cup in found]
        if air_s is not None:
            limits.append((starts[-1] + air_s, "air"))
    if not before:
        hand.enclose(moulds, inserts, hands, lids=True)
    elif order == "insert-first":
        hand.enclose(moulds, 0, hands, lids=True)
    if hands.press is None:
        hand.do("close", 0.0)
    else:
        hand.do("press", hands.press)
    limit, by = min(limits)
    return Clock(
        steps=tuple(hand.steps),
        cups=tuple(cups),
        mixed_s=tuple(starts),
        pour_s=next(step.start_s for step in hand.steps if step.what == "pour"),
        close_s=hand.now,
        limit_s=limit,
        limited_by="air" if by == "air" else "gel",
    )


def _one_mix(
    hand: _Hand,
    number: int,
    mix: MixAsk,
    *,
    hands: Hands,
    gel: Callable[[float], float],
    reserve_s: float | None,
) -> tuple[CupClock, ...]:
    """Mix, split, tint and pour; the clock of each cup."""
    start = hand.now
    hand.do("mix", hands.mix, mix=number)
    numbers = list(range(len(mix.cups)))
    # What a cup can stand: its own mass and tint, as if it were by itself from the start.
    stands = [gel(cup.mass_g) * cup.gel_factor for cup in mix.cups]
    slow_first = sorted(numbers, key=lambda k: -stands[k])
    split = [0.0] * len(mix.cups)
    if len(mix.cups) > 1:
        for k in slow_first:
            hand.do("split", hands.split, mix=number, cup=k + 1)
            split[k] = hand.now - start
    tinted = [start] * len(mix.cups)
    for k in slow_first:
        if mix.cups[k].tinted and not mix.tint_before:
            tinted[k] = hand.now
            hand.do("stir", hands.stir, mix=number, cup=k + 1)
    lives = [
        cup_life(
            gel,
            mix_g=mix.mass_g,
            cup_g=cup.mass_g,
            split_s=split[k],
            tint_s=max(split[k], tinted[k] - start),
            gel_factor=cup.gel_factor,
            reserve_s=reserve_s,
        )
        for k, cup in enumerate(mix.cups)
    ]
    done = [0.0] * len(mix.cups)
    for k in sorted(numbers, key=lambda k: lives[k].stop_s):
        for mould, cavities in mix.cups[k].fills:
            for _ in range(cavities):
                hand.do("pour", hands.pour, mix=number, cup=k + 1, mould=mould)
        done[k] = hand.now
    return tuple(
        CupClock(tinted[k], done[k], start + life.gel_s, start + life.stop_s)
        for k, life in enumerate(lives)
    )


class _Hand:
    """One person: whatever is done starts when the last thing has ended."""

    def __init__(self, now: float, steps: list[Step] | None = None) -> None:
        self.now = now
        self.steps = [] if steps is None else steps

    def do(
        self,
        what: What,
        takes: float,
        *,
        mix: int | None = None,
        cup: int | None = None,
        mould: int | None = None,
    ) -> None:
        """Something that takes a time [s]."""
        self.steps.append(Step(self.now, self.now + takes, what, mix, cup, mould))
        self.now += takes

    def enclose(self, moulds: Sequence[int], inserts: int, hands: Hands, *, lids: bool) -> None:
        """Inserts and lids, mould by mould."""
        for mould in moulds:
            for _ in range(inserts):
                self.do("place", hands.place, mould=mould)
            if lids:
                self.do("lid", hands.lid, mould=mould)


def _moved(step: Step, by_s: float) -> Step:
    return Step(step.start_s + by_s, step.end_s + by_s, step.what, step.mix, step.cup, step.mould)


def clock_text(seconds: float) -> str:
    """A time as a clock shows it: ``7:05``, ``1:02:00``, ``-2:30``; ``never`` where it is inf.

    seconds : from the start of mixing [s].
    """
    if math.isinf(seconds):
        return "never"
    whole = round(abs(seconds))
    hours, rest = divmod(whole, 3600)
    sign = "-" if seconds < 0.0 and whole else ""
    if hours:
        return f"{sign}{hours}:{rest // 60:02d}:{rest % 60:02d}"
    return f"{sign}{rest // 60}:{rest % 60:02d}"
