"""What a maker can change where no gap meets every rule, each tried by asking the rules again."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.gap.changes import Change, changed
from mouldgen.gap.choice import Choice
from mouldgen.gap.habit import habit
from mouldgen.gap.rules import gap_of
from mouldgen.gap.shut_in import INSERT_FIRST, bridging_mm
from mouldgen.gap.trials import Trial, kinds, pairs

if TYPE_CHECKING:
    from mouldgen.gap.question import GapQuestion

ENOUGH = 3  # remedies; with fewer, two changes at once are tried
_SHORTER = "take shorter inserts, and more of them"
_BY_LENGTH = ("air", "push", "feed", "run-down")


@dataclass(frozen=True, eq=False)
class Remedy:
    """One change, or two together, and what would follow.

    text : what to do.
    gap_mm : the gap that this would allow; None where it was not reckoned [mm].
    changes : keys of the job and their new values, each pair as for ``--set``; a job changed by
        all of them has that gap.  Empty where the change cannot be written so.
    """

    text: str
    gap_mm: float | None
    changes: tuple[Change, ...] = ()


def remedies_of(question: GapQuestion, choice: Choice) -> tuple[Remedy, ...]:
    """The changes that would each resolve the conflict; else what would relax the rules in it."""
    found = [remedy for trials in kinds(question) for remedy in _worth_trying(question, trials)]
    if len(found) < ENOUGH:
        tried = (tuple(_worth_trying(question, trials)) for trials in pairs(question))
        found += [remedies[0] for remedies in tried if remedies]
    if found:
        if any(bound.rule in _BY_LENGTH for bound in choice.contested):
            found.append(Remedy(_SHORTER, None))
        return tuple(found)
    texts = dict.fromkeys(text for bound in choice.contested for text in bound.relax)
    return tuple(Remedy(text, None) for text in texts)


def _worth_trying(question: GapQuestion, trials: Iterable[Trial]) -> Iterator[Remedy]:
    """The smallest change that works and, if its gap is wide, the smallest to a usual one."""
    found = False
    for trial in trials:
        asked = changed(question, trial.changes)
        gap = _gap_of(asked)
        if gap is None:
            continue
        usual = gap <= (habit(asked).value_mm or gap)
        if usual or not found:
            yield Remedy(trial.text, gap, trial.changes)
        if usual:
            return
        found = True


def _gap_of(question: GapQuestion) -> float | None:
    """The gap; None also where resin on top would bridge it: that is no remedy."""
    gap = gap_of(question)
    if gap is None or question.pour.sequence != INSERT_FIRST:
        return gap
    return gap if gap >= bridging_mm(question) else None
