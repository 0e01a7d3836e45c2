"""The rules of the gap, in the order in which they are shown.  A new rule is one line here."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from mouldgen.finding import Bound
from mouldgen.gap.air import air
from mouldgen.gap.fits import fits
from mouldgen.gap.habit import habit
from mouldgen.gap.push import push
from mouldgen.gap.slide import slide
from mouldgen.gap.turn import turn

if TYPE_CHECKING:
    from mouldgen.gap.question import GapQuestion

RULES: tuple[Callable[[GapQuestion], Bound], ...] = (slide, air, push, turn, fits, habit)


def bounds_of(question: GapQuestion) -> tuple[Bound, ...]:
    """What every rule asks for."""
    return tuple(rule(question) for rule in RULES)
