"""What a check found, what a rule asks for, and what castings have taught.

Plain frozen values that every floor may make and every face may show.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

Severity = Literal["stop", "warn", "note"]
Kind = Literal["at_least", "at_most", "advice"]

_WORST_FIRST = {"stop": 0, "warn": 1, "note": 2}


@dataclass(frozen=True, eq=False)
class Finding:
    """One thing a check found.

    id : short, stable, unique in a report, such as ``sound.open.body``.
    rule : the check that found it, such as ``sound``.
    severity : ``stop`` must be fixed, ``warn`` should be looked at, ``note`` is worth knowing.
    measured, limit : the two numbers that were compared, in the unit that `message` names;
        None where the check compares nothing.
    place : where, in a maker's words: a part, a height, a table and key.
    message : one or two plain sentences.
    """

    id: str
    rule: str
    severity: Severity
    message: str
    measured: float | None = None
    limit: float | None = None
    place: str = ""


def worst_first(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """The same findings, what must be fixed first; alike ones keep their order."""
    return tuple(sorted(findings, key=lambda finding: _WORST_FIRST[finding.severity]))


@dataclass(frozen=True, eq=False)
class Bound:
    """What one rule asks of the gap.

    value_mm : the gap [mm]; None where no gap satisfies the rule.  An ``at_most`` rule that
        does not bind has ``value_mm = inf``.
    why : the sentence that explains it, with its numbers.
    source : published, common practice, or belief; with the name where there is one.
    relax : what would make the rule ask for less, most useful first.
    """

    rule: str
    kind: Kind
    value_mm: float | None
    why: str
    source: str
    relax: tuple[str, ...] = ()


@dataclass(frozen=True, eq=False)
class Learned:
    """What the castings file has taught, handed to `build` by its caller.

    air_shift : natural logarithm by which castings move the air rule's value; 0 with none, with
        too few, and where the maker wrote the gap.
    castings : with a result, that say something of the gap.
    voids, loads : how many of those had voids, and in how many loads they were poured.
    yield_ : share of castings that comes good, which the job has as its own; None where the maker
        wrote one or nothing is known.
    yield_castings : that it rests on, besides what is believed.
    yield_seen : castings that it counts for, what is believed among them; 0 where there is none.
    fills : share of castings with a void that is filled, as for the yield; it rests on as many.
    fills_seen : castings that it counts for.
    loss : resin that stays in cups and on sticks, over what is poured; None as for the yield.
    loss_loads : weighed loads that it rests on, besides what is believed.
    unread : why castings could not be reckoned with; empty where they could.
    of_the_way : how much of the way to the gap of least cost `air_shift` goes, 0 to 1.
    seen_gap_mm : the job's gap that castings with a result stand for, where its own gap is further
        from it than they differ among themselves: yield and fills were seen there; None else [mm].
    """

    air_shift: float = 0.0
    castings: int = 0
    voids: int = 0
    loads: int = 0
    yield_: float | None = None
    yield_castings: int = 0
    yield_seen: float = 0.0
    fills: float | None = None
    fills_seen: float = 0.0
    loss: float | None = None
    loss_loads: int = 0
    unread: str = ""
    of_the_way: float = 1.0
    seen_gap_mm: float | None = None


NOTHING_LEARNED = Learned()
