"""sequence: what goes into the mould first, and how much air the resin can shut in below it.

Resin first, the insert drives the air out ahead of it; fed from the bottom, the resin does.  Resin
poured on top of an insert may bridge the gap all round, and what lies below the bridge may stay
(`mouldgen.gap.shut_in`).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.finding import Bound
from mouldgen.gap.choice import round_up
from mouldgen.gap.feed import feed
from mouldgen.gap.push import push
from mouldgen.gap.run_down import run_down
from mouldgen.gap.shut_in import INSERT_FIRST, OnTop, bridging_mm, poured_over, shut_in
from mouldgen.gap.words import at_most_ml, gap_mm

if TYPE_CHECKING:
    from mouldgen.gap.question import GapQuestion

RESIN_FIRST, BOTTOM_FEED = "resin-first", "bottom-feed"
WORTH_MM = 0.25  # of gap that another sequence must save to be picked by itself; belief

_FLOWS: dict[str, Callable[[GapQuestion], Bound]] = {
    RESIN_FIRST: push,
    BOTTOM_FEED: feed,
    INSERT_FIRST: run_down,
}
_SAYS = {
    RESIN_FIRST: "resin first: the insert drives the air out ahead of it",
    BOTTOM_FEED: "fed from the bottom, the resin drives the air out ahead of it",
    INSERT_FIRST: "insert first, resin on top",
}


@dataclass(frozen=True, eq=False)
class Flow:
    """How the resin gets past the insert.

    sequence : ``resin-first``, ``bottom-feed`` or ``insert-first``.
    bounds : what its rules ask for.
    advice : which sequence suits; its value is the gap under which resin on top may bridge.
    """

    sequence: str
    bounds: tuple[Bound, ...]
    advice: Bound


def flow(question: GapQuestion, others: tuple[Bound, ...]) -> Flow:
    """The job's own sequence; with ``auto`` the one that asks for the least gap.

    Resin first where nothing else saves `WORTH_MM`: it needs no runner.  Resin on top is picked
    only where it cannot bridge.

    others : what the rules that no sequence touches ask for.
    """
    told, floor = question.pour.sequence, _most(others)
    if told != "auto":
        return _flow(question, told, _FLOWS[told](question), _SAYS[told], floor)
    found = {name: rule(question) for name, rule in _FLOWS.items()}
    gaps = {name: max(floor, _asks(bound)) for name, bound in found.items()}
    if gaps[INSERT_FIRST] < bridging_mm(question):
        gaps[INSERT_FIRST] = math.inf
    best = min(gaps, key=gaps.__getitem__)  # the earlier one on a tie
    if gaps[RESIN_FIRST] - gaps[best] < WORTH_MM or math.isinf(gaps[best]):
        best = RESIN_FIRST
    return _flow(question, best, found[best], _chosen(best, gaps), floor)


def _flow(question: GapQuestion, name: str, bound: Bound, says: str, floor: float) -> Flow:
    bounds: tuple[Bound, ...] = (bound,)
    layered = question.pour.layers > 1
    if layered and name != INSERT_FIRST:
        bounds = (*bounds, run_down(question))
        more = question.pour.layers - 1
        others = "layer is" if more == 1 else f"{more} layers are"
        says += f"; its other {others} poured on top of it"
    limit = bridging_mm(question)
    gap = _gap(question, max(floor, _most(bounds)))
    compares = "" if gap is None or gap >= limit else _compares(question, gap, name)
    if not layered and name != INSERT_FIRST:
        return Flow(name, bounds, _advice(math.inf, says + compares))
    if limit == 0.0:
        why = f"{says}: its hollows are too wide for the resin to bridge all round"
        return Flow(name, bounds, _advice(math.inf, why))
    why = (
        f"{says}: under {gap_mm(limit)} it can bridge all round and shut in the air below"
        f"{compares}; resin first, or feeding from the bottom, drives it out"
    )
    return Flow(name, bounds, _advice(limit, why))


def _gap(question: GapQuestion, least: float) -> float | None:
    """The maker's gap, or the rules' own where they have one [mm]."""
    if question.given_mm is not None:
        return question.given_mm
    return None if math.isinf(least) else round_up(least)


def _compares(question: GapQuestion, gap: float, name: str) -> str:
    """What stays shut in, poured on top and pushed in."""
    both = shut_in(question, gap)
    over = poured_over(question, gap, sequence=name) or both.on_top
    pushed = f"with the insert pushed into resin, {at_most_ml(both.pushed_ml)}"
    return f"; at {gap_mm(gap)}, with resin poured on top, {_shut_in(over)}, {pushed}"


def _shut_in(over: OnTop) -> str:
    most, least = at_most_ml(over.most_ml), at_most_ml(over.least_ml)
    says = f"{most} of air can stay shut in below"
    return says if most == least else f"{says} ({least} should the bridge break up)"


def _chosen(best: str, gaps: dict[str, float]) -> str:
    if best == RESIN_FIRST:
        return _SAYS[best]
    than = f"{gap_mm(gaps[RESIN_FIRST])} with the resin first"
    if math.isinf(gaps[RESIN_FIRST]):
        than = "none that suffices with the resin first"
    return f"{_SAYS[best]}; chosen because it asks for {gap_mm(gaps[best])} against {than}"


def _most(bounds: tuple[Bound, ...]) -> float:
    return max((_asks(bound) for bound in bounds if bound.kind == "at_least"), default=0.0)


def _asks(bound: Bound) -> float:
    return math.inf if bound.value_mm is None else bound.value_mm


def _advice(value_mm: float, why: str) -> Bound:
    return Bound(
        rule="sequence",
        kind="advice",
        value_mm=value_mm,
        why=why,
        source="our own derivation, not found in print: a bubble that spans a thin slot is arrested"
        " below 1.69 capillary lengths, and what air that shuts in; belief: resin poured in a thin"
        " stream leaves a wide flute or groove open",
        relax=("pour the resin in first, or feed it from the bottom",),
    )
