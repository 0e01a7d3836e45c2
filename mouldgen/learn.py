"""What a shop's castings teach one job: its yield, its fills, its loss of resin and its gap.

What the maker wrote stands: a yield, fills, a loss or a gap of the job file, of the shop file or of
a setting is never moved.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

from mouldgen.answer import Answer, answer_job
from mouldgen.castings.design_columns import JobFacts
from mouldgen.castings.least_cost import GapCost
from mouldgen.castings.lessons import (
    LearnedLoss,
    learned_fills,
    learned_loss,
    learned_yield,
)
from mouldgen.castings.seen import seen_elsewhere_mm
from mouldgen.castings.shares import Share
from mouldgen.castings.tune import Tuned, tune
from mouldgen.errors import InputError
from mouldgen.finding import Bound, Learned
from mouldgen.gap.aging import at_shop
from mouldgen.gap.air import air_gap_mm, gelled
from mouldgen.gap.choice import round_up
from mouldgen.gap.cool import stays_cool
from mouldgen.gap.heat import WIDEST_MM, heat
from mouldgen.gap.rules import light_bounds
from mouldgen.gap.words import gap_mm
from mouldgen.job.costs import costs as costs_of
from mouldgen.job.mixed import mixed_g_ml
from mouldgen.shop.casting_cost import CastingCosts, casting_costs

if TYPE_CHECKING:
    from mouldgen.castings.records import Casting, Load
    from mouldgen.job.load import LoadedJob
    from mouldgen.job.model import Job

# Gaps are looked at up to so many times the rule's open gap at first: there a void has about a
# 250th of the odds.  Further out only where what is found lies at that end.
_REACH = 4.0
_APART = 1e-6  # of ln(gap): air stays below a rule that sets the gap instead of it
_END_MM = 1e-6


@dataclass(frozen=True, eq=False)
class Taught:
    """A job and what castings teach it.

    loaded : the job with the learned yield, fills and loss as its own, and what was learned.
    answer : its closed forms by the physics alone.
    noted : castings with a result, which the yield rests on.
    good : share that comes good, over the maker's or the believed yield.
    seen_gap_mm : the job's gap that castings with a result stand for, where its own gap is further
        from it than they differ among themselves; None else [mm].
    loss : of resin, over the maker's or the believed loss.
    tuned : what castings say of the gap; None where nothing can be said.
    costs : of its castings at any gap; None as that.
    why_not : of that, a clause; empty where it is said.
    """

    loaded: LoadedJob
    answer: Answer
    noted: int
    good: Share | None
    seen_gap_mm: float | None
    loss: LearnedLoss
    tuned: Tuned | None
    costs: CastingCosts | None
    why_not: str

    @property
    def written(self) -> bool:
        """Whether the maker wrote the gap, so that nothing moves it."""
        return self.answer.question.given_mm is not None


def learn(loaded: LoadedJob, loads: Sequence[Load]) -> LoadedJob:
    """The job with what castings teach it: ready for `answer_job` and `build_moulds`.

    loaded : as it was read; its ``learned`` belongs into what it is handed to.
    loads : of the castings file.

    Raises what `answer_job` raises, and what costs raise.
    """
    if not any(_noted(loads)) and not any(load.left_g is not None for load in loads):
        return loaded
    return _taught(loaded, loads, tuning=loaded.job.mould.gap == "auto").loaded


def teach(loaded: LoadedJob, loads: Sequence[Load]) -> Taught:
    """All that castings say of a job, also where there are none and where the gap is written.

    loaded : as it was read.
    loads : of the castings file.

    Raises what `answer_job` raises, and what costs raise.
    """
    return _taught(loaded, loads, tuning=True)


def _taught(loaded: LoadedJob, loads: Sequence[Load], *, tuning: bool) -> Taught:
    castings = tuple(_noted(loads))
    learned = Learned()
    good, fills = _shares(loaded.job, castings)
    if good is not None and castings and "order.yield" not in loaded.given:
        share = round(good.mean, 4)
        learned = replace(
            learned, yield_=share, yield_castings=len(castings), yield_seen=good.yes + good.no
        )
        loaded = replace(loaded, job=_with_yield(loaded.job, share))
    if fills is not None and castings and "order.fills" not in loaded.given:
        share = round(fills.mean, 4)
        learned = replace(
            learned, fills=share, fills_seen=fills.yes + fills.no, yield_castings=len(castings)
        )
        loaded = replace(loaded, job=_with_fills(loaded.job, share))
    answer = answer_job(loaded.job)
    loss = _loss(answer, loads)
    if loss.loads and "resin.loss" not in loaded.given:
        learned = replace(learned, loss=round(loss.share, 4), loss_loads=loss.loads)
        loaded = replace(loaded, job=_with_loss(loaded.job, round(loss.share, 4)))
        answer = answer_job(loaded.job)
    scene = _Scene(answer, castings, loaded.given)
    tuned = scene.tuned if tuning else None
    if tuned is not None and loaded.job.mould.gap == "auto":
        learned = replace(
            learned,
            air_shift=scene.air_shift(tuned),
            of_the_way=tuned.trust,
            castings=tuned.castings,
            voids=tuned.voids,
            loads=tuned.loads,
        )
    seen_gap_mm = scene.seen_elsewhere_mm(learned)
    if learned.yield_ is not None or learned.fills is not None:
        learned = replace(learned, seen_gap_mm=seen_gap_mm)
    if scene.trouble:
        learned = replace(learned, unread=scene.trouble)
    return Taught(
        loaded=replace(loaded, learned=learned),
        answer=answer,
        noted=len(castings),
        good=good,
        seen_gap_mm=seen_gap_mm,
        loss=loss,
        tuned=tuned,
        costs=None if tuned is None else scene.costs,
        why_not=scene.why_not if tuning else "",
    )


def _noted(loads: Sequence[Load]) -> list[Casting]:
    return [one for load in loads for one in load.castings if one.result is not None]


def _shares(job: Job, castings: Sequence[Casting]) -> tuple[Share | None, Share | None]:
    """Yield and fills; None where a belief is certain, held on nothing or not to be read."""
    try:
        on = costs_of(job.cost, job.shop)
    except InputError:  # told with the costs
        return None, None
    good, filled = job.order.yield_, job.order.fills
    return (
        learned_yield(castings, believed=good, on=on.yield_seen)
        if 0.0 < good < 1.0 and on.yield_seen > 0.0
        else None,
        learned_fills(castings, believed=filled, on=on.fills_seen)
        if 0.0 < filled < 1.0 and on.fills_seen > 0.0
        else None,
    )


def _loss(answer: Answer, loads: Sequence[Load]) -> LearnedLoss:
    """Only of weighed loads of this job: what other moulds take is not known here."""
    job = answer.job
    mine = [
        load
        for load in loads
        if load.job == job.name and all(_tells_loss(one, answer) for one in load.castings)
    ]

    def poured_g(load: Load) -> float:
        sizes = [answer.question.mould_size(one.gap_mm) for one in load.castings]
        ml = math.fsum(size.blanks * (size.net_ml + size.riser_ml) for size in sizes)
        return ml * mixed_g_ml(job.resin)

    return learned_loss(mine, poured_g=poured_g, believed=job.resin.loss)


def _tells_loss(casting: Casting, answer: Answer) -> bool:
    """In several pours the first one's weight says nothing of how much it was of the whole."""
    job = answer.job
    return (
        casting.pours == 1
        and casting.resin == (job.resin.card or job.resin.title)
        and casting.gap_mm > answer.gap.take_up_mm
    )


def _with_yield(job: Job, share: float) -> Job:
    return job.model_copy(update={"order": job.order.model_copy(update={"yield_": share})})


def _with_fills(job: Job, share: float) -> Job:
    return job.model_copy(update={"order": job.order.model_copy(update={"fills": share})})


def _with_loss(job: Job, share: float) -> Job:
    return job.model_copy(update={"resin": job.resin.model_copy(update={"loss": share})})


class _Scene:
    """The gaps that a job may have by all rules but air, and what castings say of them."""

    def __init__(self, answer: Answer, castings: Sequence[Casting], given: Sequence[str]) -> None:
        self.castings = castings
        self.question = replace(answer.question, given_mm=None)
        self.given_mm = answer.question.given_mm
        self.take_up_mm = answer.gap.take_up_mm
        self.why_not = self.trouble = ""
        self.least_mm = 0.0
        pour = self.question.pour
        resin = at_shop(self.question.resin, pour)
        self.gelled = gelled(resin) if resin.gelled else ""
        self.air_mm = math.inf if resin.gelled else air_gap_mm(self.question.layer_mm, resin)
        self.facts = JobFacts(
            air_mm=self.air_mm,
            taken_mm=self.take_up_mm,
            sequence=answer.gap.sequence,
            pressure_kpa=pour.pressure or 0.0,
            shop_c=pour.shop,
            pours=pour.layers,
        )
        self.answer, self.given = answer, given

    @cached_property
    def costs(self) -> CastingCosts:
        """Of the job's castings at any gap."""
        air_mm = min(self.air_mm + self.take_up_mm, WIDEST_MM)
        return casting_costs(
            self.answer,
            size_at=self.question.mould_size,
            own_mm=self.given_mm or self.answer.gap.gap_mm or air_mm,
            given=self.given,
        )

    @cached_property
    def tuned(self) -> Tuned | None:
        """What castings say; None with `why_not` set where no gap is left to choose."""
        if self.gelled:
            self.why_not = self.gelled
            return None
        if self.air_mm + self.take_up_mm > WIDEST_MM:
            self.why_not = (
                f"air asks for more than {WIDEST_MM:g} mm, where a mould is no mould with a gap"
            )
            return None
        bounds = [bound for bound in light_bounds(self.question) if bound.rule != "air"]
        most_mm = min([WIDEST_MM, *(_value(b) for b in bounds if b.kind == "at_most")])
        try:
            self.costs.at(most_mm)
        except InputError as problem:  # of prices: no other command stops at them
            self.why_not = self.trouble = f"what castings cost cannot be reckoned: {problem}"
            return None
        found = self._between(bounds, most_mm)
        if found is not None and not stays_cool(self.question, float(found.choices.gap_mm[-1])):
            # Only now: how far heat lets a gap go takes longer than all else.
            limit = heat(self.question)
            found = self._between([*bounds, limit], min(most_mm, _value(limit)))
        return found

    def seen_elsewhere_mm(self, learned: Learned) -> float | None:
        """The gap that castings stand for, where the job's, with what is learned, is another."""
        gap_mm = answer_job(self.answer.job, learned=learned).gap.gap_mm
        if gap_mm is None:
            return None
        return seen_elsewhere_mm(self.castings, job=self.facts, gap_mm=gap_mm)

    def air_shift(self, tuned: Tuned) -> float:
        """As far as castings move the job.

        At the narrowest gap that other rules leave, they say only that air asks for no more.
        """
        if not (tuned.trust and tuned.least.at_least):
            return tuned.air_shift
        open_mm = self.least_mm - self.take_up_mm
        return min(0.0, tuned.trust * (math.log(open_mm / self.air_mm) - _APART))

    def _between(self, bounds: Sequence[Bound], most_mm: float) -> Tuned | None:
        impossible = next((b for b in bounds if b.value_mm is None), None)
        if impossible is not None:
            self.why_not = impossible.why
            return None
        asks = [_value(bound) for bound in bounds if bound.kind == "at_least"]
        least_mm = max(asks, default=0.0)
        if least_mm <= self.take_up_mm:  # a closed gap is none
            least_mm = self.take_up_mm + min(0.05, 0.5 * self.air_mm)
        self.least_mm = least_mm
        # Gaps are given to a hundredth, to the side that meets the rules.
        least_mm, most_mm = round_up(least_mm), math.floor(100.0 * most_mm + 1e-6) / 100.0
        if least_mm > most_mm:
            self.why_not = _no_room(bounds, least_mm=least_mm, most_mm=most_mm)
            return None
        reach = _REACH
        while True:
            wide = max(reach * self.air_mm + self.take_up_mm, 1.5 * least_mm)
            found = self._tuned(least_mm, min(wide, most_mm))
            if wide >= most_mm or found.least.high_mm < wide - _END_MM:
                return found
            reach *= 2.0

    def _tuned(self, least_mm: float, most_mm: float) -> Tuned:
        now_mm = self.given_mm
        if now_mm is not None and now_mm <= self.take_up_mm:
            now_mm = None  # a gap that is closed has no castings to compare with
        if now_mm is None:  # as every command tells it
            now_mm = max(round_up(self.air_mm + self.take_up_mm), least_mm)
        return tune(
            self.castings,
            job=self.facts,
            cost_at=self._cost_at,
            least_mm=least_mm,
            most_mm=most_mm,
            now_mm=now_mm,
        )

    def _cost_at(self, gap_mm: float) -> GapCost:
        cost = self.costs.at(gap_mm)
        return GapCost(
            per_casting=cost.money,
            resin_ml=cost.resin_ml,
            rework_per_void=cost.repair,
            minutes_per_void=cost.repair_s / 60.0,
        )


def _no_room(bounds: Sequence[Bound], *, least_mm: float, most_mm: float) -> str:
    """Why the rules other than air leave no gap, a clause."""
    lower = max((b for b in bounds if b.kind == "at_least"), key=_value)
    uppers = [b for b in bounds if b.kind == "at_most" and _value(b) < WIDEST_MM]
    allowed = (
        f"{min(uppers, key=_value).rule} allows at most {gap_mm(most_mm)}"
        if uppers
        else f"above {gap_mm(most_mm)} a mould is no mould with a gap"
    )
    return (
        f"{lower.rule} asks for at least {gap_mm(least_mm)} and {allowed}, so there is none to"
        " choose"
    )


def _value(bound: Bound) -> float:
    return math.inf if bound.value_mm is None else bound.value_mm
