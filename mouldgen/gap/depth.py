"""depth: the data sheet's greatest thickness of one pour."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from mouldgen.finding import Bound
from mouldgen.gap.words import mm, most_mm

if TYPE_CHECKING:
    from mouldgen.gap.question import GapQuestion


def depth(question: GapQuestion) -> Bound:
    """``2 V/A_cooled`` no larger than the data sheet's thickness, both ends left out.

    A slab that is cooled on both faces has ``2 V/A`` equal to its thickness.  A ring round wood is
    cooled on its outside only, ``2 V/A = (R^2 - S/pi)/R`` with the insert's section S: about twice
    the gap.
    """
    thickness = question.resin.depth
    if thickness is None:
        return _bound(math.inf, "does not bind: the data sheet's greatest thickness is not given")
    insert = question.insert
    core = insert.least_mm2 / math.pi
    bore = 0.5 * (thickness + math.sqrt(thickness**2 + 4.0 * core))
    widest = bore - insert.envelope_mm
    told = f"the data sheet's {mm(thickness)} for one pour"
    if widest <= 0.0:
        return _bound(None, f"the insert's own hollows hold resin as thick as {told} allow")
    why = (
        f"a ring of {most_mm(widest)} round wood, which is cooled on its outside only, counts as"
        f" thick as {told}"
    )
    return _bound(widest, why)


def _bound(value_mm: float | None, why: str) -> Bound:
    return Bound(
        rule="depth",
        kind="at_most",
        value_mm=value_mm,
        why=why,
        source="the data sheet; belief: thickness counts as twice the volume over the cooled area",
        relax=() if value_mm == math.inf else ("take a resin that may be poured thicker",),
    )
