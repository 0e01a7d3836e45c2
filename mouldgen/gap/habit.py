"""habit: what the trade leaves for the resin to flow, as advice."""

from __future__ import annotations

from typing import TYPE_CHECKING

from mouldgen.finding import Bound
from mouldgen.gap.words import mm

if TYPE_CHECKING:
    from mouldgen.gap.question import GapQuestion


def habit(question: GapQuestion) -> Bound:
    """The trade's flow gap for this kind of resin and size of piece."""
    allowances, kind = question.allowances, question.resin.kind
    value = allowances.flow_gap_epoxy_mm if kind == "epoxy" else allowances.flow_gap_urethane_mm
    return Bound(
        rule="habit",
        kind="advice",
        value_mm=value,
        why=f"the trade leaves about {mm(value)} for {kind} round a {allowances.size} piece",
        source="common practice, no source",
        relax=("log your castings: they replace the habit",),
    )
