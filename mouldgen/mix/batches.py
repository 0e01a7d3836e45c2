"""Cutting the resin of a job into batches that can be mixed, poured and shut in in time.

Moulds are shared out over loads that differ by one mould at most, the first mould alone where it
is finished and shown before the rest; every pour of a load is a session with a clock of its own.
Several ways to mix are tried, each with as few sessions as its clock allows, and the one with the
fewest mixes is taken.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING, Literal

from mouldgen.mix.clock import Clock, CupAsk, Hands, MixAsk, session_clock
from mouldgen.mix.portion import Portion, Stock, Tint, portion

if TYPE_CHECKING:
    from mouldgen.mix.need import Need

How = Literal["together", "quick-alone", "separate"]


@dataclass(frozen=True)
class Recipe:
    """A way to mix.

    how : one mix for all colours of a session, split into cups; the same without the colours that
        gel quicker than clear resin, each of which has a mix of its own; or one mix a colour.
    tint_before : whether the tint of a mix with one colour is stirred into part A before part B
        comes to it, so that stirring takes no time of the gel's.
    """

    how: How
    tint_before: bool


@dataclass(frozen=True, eq=False)
class BatchQuestion:
    """What the batches of a job depend on.

    need : what the moulds need.
    tints : of the job, in the order of the need's colours.
    stock : resin, scale and cups.
    hands : what each thing takes.
    order : what goes into the mould first.
    gel : when a mass [g], left in its cup, gels [s].
    air_s : latest close at which air still clears the gap, from the start of a mixing; None where
        that limits nothing [s].
    reserve_s : kept free before the gel; None for a share of it [s].
    most : moulds that one session takes, at least 1.
    most_g : of both parts that are mixed at once; None for no limit [g].
    first_alone : whether the first mould is a load of its own, the first article.
    """

    need: Need
    tints: tuple[Tint, ...]
    stock: Stock
    hands: Hands
    order: str
    gel: Callable[[float], float]
    air_s: float | None
    reserve_s: float | None
    most: int
    most_g: float | None
    first_alone: bool = False


@dataclass(frozen=True, eq=False)
class Session:
    """One pour of one load of moulds.

    load, pour : counted from 1.
    moulds : their numbers in the job, from 1.
    portions : its mixes, in the order that they are mixed.
    tint_before : whether the tint of a mix of one colour goes into part A.
    clock : written out.
    """

    load: int
    pour: int
    moulds: tuple[int, ...]
    portions: tuple[Portion, ...]
    tint_before: bool
    clock: Clock

    @property
    def heaviest_g(self) -> float:
        """The largest mix [g]."""
        return max(mix.weighed.total_g for mix in self.portions)


@dataclass(frozen=True, eq=False)
class Batches:
    """A whole job cut into sessions by one recipe.

    recipe : the way that is taken.
    sessions : load by load, its pours one after another.
    """

    recipe: Recipe
    sessions: tuple[Session, ...]

    @property
    def mixes(self) -> int:
        """How often resin is mixed."""
        return sum(len(session.portions) for session in self.sessions)

    @cached_property
    def topped_ml(self) -> float:
        """Mixed for the least batch alone [ml]."""
        return math.fsum(mix.topped_ml for s in self.sessions for mix in s.portions)


def batches(question: BatchQuestion) -> tuple[Batches, ...]:
    """Every way that works, the best first; empty where not one mould can be poured in time.

    The best has the fewest mixes, then the fewest sessions, then the least resin mixed for the
    least batch alone.
    """
    found = [cut for recipe in recipes(question) if (cut := _fewest(question, recipe)) is not None]
    return tuple(
        sorted(found, key=lambda cut: (cut.mixes, len(cut.sessions), round(cut.topped_ml)))
    )


def recipes(question: BatchQuestion) -> Iterator[Recipe]:
    """The ways to mix that differ for this job, the plainest first."""
    tints = question.tints
    quick = sum(tint.gel_factor < 1.0 for tint in tints)
    shared = len(tints) > 1 and question.need.way != "layers"  # a session has several colours
    ways: list[How] = ["together"]
    if shared and 0 < quick < len(tints) - 1:
        ways.append("quick-alone")
    if shared:
        ways.append("separate")
    for how in ways:
        yield Recipe(how, tint_before=False)
        # In a swirl all colours are in every mix that is split: none of it has one tint alone.
        split = how == "together" and shared and question.need.way == "swirl"
        if not split and any(tint.stirred for tint in tints):
            yield Recipe(how, tint_before=True)


def one_mould(question: BatchQuestion) -> tuple[tuple[Session, ...], ...]:
    """For every recipe each mould alone, pour by pour, in time or not.

    Moulds that take the same are there once: with ``apart`` one may hold two colours.
    """
    need = question.need
    alike: dict[tuple[tuple[int, ...], ...], int] = {}
    for mould in range(need.moulds):
        alike.setdefault(tuple(need.fills(pour, mould) for pour in range(len(need.pours))), mould)
    return tuple(
        tuple(
            _session(question, recipe, load=1, pour=pour, moulds=range(mould, mould + 1))
            for mould in alike.values()
            for pour in range(len(need.pours))
        )
        for recipe in recipes(question)
    )


def in_time(session: Session, question: BatchQuestion) -> bool:
    """Whether a session is shut by its limit and no mix is larger than the maker's batch."""
    light = question.most_g is None or session.heaviest_g <= question.most_g + 1e-9
    return light and session.clock.fits


def _fewest(question: BatchQuestion, recipe: Recipe) -> Batches | None:
    """The fewest loads of a recipe; None where not even single moulds are in time.

    Fewer moulds are shut sooner, so that the number of loads is found by halving.
    """
    moulds, first = question.need.moulds, int(question.first_alone)
    seen: dict[tuple[object, ...], bool] = {}

    def works(loads: int) -> bool:
        return all(
            _works(question, recipe, pour, run, seen)
            for run in runs_of(moulds, loads, first_alone=question.first_alone)
            for pour in range(len(question.need.pours))
        )

    low, high = first + math.ceil((moulds - first) / question.most), moulds
    if not works(high):
        return None
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if works(middle) else (middle + 1, high)
    return Batches(
        recipe,
        tuple(
            _session(question, recipe, load=load, pour=pour, moulds=run)
            for load, run in enumerate(runs_of(moulds, high, first_alone=question.first_alone), 1)
            for pour in range(len(question.need.pours))
        ),
    )


def _works(
    question: BatchQuestion,
    recipe: Recipe,
    pour: int,
    moulds: range,
    seen: dict[tuple[object, ...], bool],
) -> bool:
    """Whether one session is in time; sessions that take the same are looked at once."""
    mls = question.need.of_moulds_ml(pour, moulds)
    key = (pour, len(moulds), *(round(ml, 6) for ml in mls))
    if key not in seen:
        session = _session(question, recipe, load=1, pour=pour, moulds=moulds)
        seen[key] = in_time(session, question)
    return seen[key]


def runs_of(moulds: int, loads: int, *, first_alone: bool) -> Iterator[range]:
    """The moulds of each load, numbered from 0.

    moulds : in all.
    loads : that they are shared out over, at most as many.
    first_alone : whether the first is a load of its own, so that two moulds or more take two loads.
    """
    first = int(first_alone)
    if first:
        yield range(1)
    if moulds > first:
        for run in evenly(moulds - first, loads - first):
            yield range(run.start + first, run.stop + first)


def evenly(number: int, parts: int) -> Iterator[range]:
    """Numbers from 0 in as many runs, whose lengths differ by one at most, longer ones first.

    number : how many in all, at least `parts`.
    """
    each, more = divmod(number, parts)
    start = 0
    for part in range(parts):
        end = start + each + (part < more)
        yield range(start, end)
        start = end


def _session(
    question: BatchQuestion, recipe: Recipe, *, load: int, pour: int, moulds: range
) -> Session:
    q, need = question, question.need
    totals = need.of_moulds_ml(pour, moulds)
    groups = _grouped([k for k, ml in enumerate(totals) if ml > 0.0], q.tints, recipe.how)
    portions = tuple(
        _longest_first(portion([(k, totals[k]) for k in group], tints=q.tints, stock=q.stock), q)
        for group in groups
    )
    into = {k: _fills(need, pour, moulds, k) for group in groups for k in group}
    asks = [
        MixAsk(
            mass_g=mix.weighed.total_g,
            cups=tuple(
                CupAsk(
                    mass_g=cup.g,
                    tinted=q.tints[cup.colour].stirred,
                    gel_factor=q.tints[cup.colour].gel_factor,
                    fills=into[cup.colour],
                )
                for cup in mix.cups
            ),
            tint_before=_before(recipe, mix, q.tints),
        )
        for mix in portions
    ]
    clock = session_clock(
        asks,
        moulds=[m + 1 for m in moulds],
        inserts=need.cavities if pour == 0 else 0,
        order=q.order,
        hands=q.hands,
        gel=q.gel,
        air_s=q.air_s,
        reserve_s=q.reserve_s,
    )
    numbers = tuple(m + 1 for m in moulds)
    return Session(load, pour + 1, numbers, portions, recipe.tint_before, clock)


def _longest_first(mix: Portion, question: BatchQuestion) -> Portion:
    """The same with its cups in the order that they are tinted."""
    tints = question.tints
    last = sorted(mix.cups, key=lambda c: -question.gel(c.g) * tints[c.colour].gel_factor)
    return replace(mix, cups=tuple(last))


def _before(recipe: Recipe, mix: Portion, tints: Sequence[Tint]) -> bool:
    return recipe.tint_before and len(mix.cups) == 1 and tints[mix.cups[0].colour].stirred


def _fills(need: Need, pour: int, moulds: range, colour: int) -> tuple[tuple[int, int], ...]:
    """Moulds that a colour is poured into, and into how many cavities of each."""
    counts = ((m + 1, need.fills(pour, m)[colour]) for m in moulds)
    return tuple((number, count) for number, count in counts if count)


def _grouped(colours: list[int], tints: Sequence[Tint], how: How) -> list[list[int]]:
    """Which colours share a mix; the mixes that last longest first."""
    slow_first = sorted(colours, key=lambda k: -tints[k].gel_factor)
    if how == "together":
        return [slow_first]
    alone = [k for k in slow_first if how == "separate" or tints[k].gel_factor < 1.0]
    shared = [k for k in slow_first if k not in alone]
    return [*([shared] if shared else []), *([k] for k in alone)]
