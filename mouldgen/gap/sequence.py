"""sequence: what goes into the mould first, and whether the resin can shut air in below it.

Resin first, the insert drives the air out ahead of it; fed from the bottom, the resin does.  Resin
poured on top of an insert may bridge the gap all round.  A bubble that spans a thin slot all round
does not rise below a certain gap (`mouldgen.physics.arrest.least_slot_gap`: our own derivation),
so that what lies below the bridge stays.  Where a flute or a flat leaves a wider place than that,
the bridge does not close; vent grooves are too small to count.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.finding import Bound
from mouldgen.gap.aging import at_shop
from mouldgen.gap.feed import feed
from mouldgen.gap.push import push
from mouldgen.gap.run_down import SURFACE_TENSION, run_down
from mouldgen.gap.take_up import take_up
from mouldgen.gap.words import gap_mm
from mouldgen.physics.arrest import least_slot_gap

if TYPE_CHECKING:
    from mouldgen.gap.question import GapQuestion

RESIN_FIRST, INSERT_FIRST, BOTTOM_FEED = "resin-first", "insert-first", "bottom-feed"
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
    told = question.pour.sequence
    if told != "auto":
        return _flow(question, told, (_FLOWS[told](question),), _SAYS[told])
    floor = max((_asks(bound) for bound in others if bound.kind == "at_least"), default=0.0)
    found = {name: rule(question) for name, rule in _FLOWS.items()}
    gaps = {name: max(floor, _asks(bound)) for name, bound in found.items()}
    if gaps[INSERT_FIRST] < bridging_mm(question):
        gaps[INSERT_FIRST] = math.inf
    best = min(gaps, key=gaps.__getitem__)  # the earlier one on a tie
    if gaps[RESIN_FIRST] - gaps[best] < WORTH_MM or math.isinf(gaps[best]):
        best = RESIN_FIRST
    return _flow(question, best, (found[best],), _chosen(best, gaps))


def bridging_mm(question: GapQuestion) -> float:
    """Gap, with its take-up, under which resin on top may bridge all round [mm]; 0 where never."""
    density = at_shop(question.resin, question.pour).density_kg_m3
    limit = 1000.0 * least_slot_gap(SURFACE_TENSION, density_difference=density)
    hollow = question.insert.envelope_mm - question.insert.core_mm
    return max(0.0, limit - hollow + take_up(question).total_mm) if hollow < limit else 0.0


def _flow(question: GapQuestion, name: str, bounds: tuple[Bound, ...], says: str) -> Flow:
    layered = question.pour.layers > 1
    if layered and name != INSERT_FIRST:
        bounds = (*bounds, run_down(question))
        says += f"; the other {question.pour.layers - 1} of its layers are poured on top of it"
    if not layered and name != INSERT_FIRST:
        return Flow(name, bounds, _advice(math.inf, says))
    limit = bridging_mm(question)
    if limit == 0.0:
        why = f"{says}: its hollows are too wide for the resin to bridge all round"
        return Flow(name, bounds, _advice(math.inf, why))
    why = (
        f"{says}: under {gap_mm(limit)} it can bridge all round and shut in the air below; resin"
        " first, or feeding from the bottom, drives it out"
    )
    return Flow(name, bounds, _advice(limit, why))


def _chosen(best: str, gaps: dict[str, float]) -> str:
    if best == RESIN_FIRST:
        return _SAYS[best]
    than = f"{gap_mm(gaps[RESIN_FIRST])} with the resin first"
    if math.isinf(gaps[RESIN_FIRST]):
        than = "none that suffices with the resin first"
    return f"{_SAYS[best]}; chosen because it asks for {gap_mm(gaps[best])} against {than}"


def _asks(bound: Bound) -> float:
    return math.inf if bound.value_mm is None else bound.value_mm


def _advice(value_mm: float, why: str) -> Bound:
    return Bound(
        rule="sequence",
        kind="advice",
        value_mm=value_mm,
        why=why,
        source="our own derivation, not found in print: a bubble that spans a thin slot is arrested"
        " below 1.69 capillary lengths",
        relax=("pour the resin in first, or feed it from the bottom",),
    )
