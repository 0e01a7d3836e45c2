"""The clock of a session in words: what is done from when to when."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING

from mouldgen.cli.tables import table
from mouldgen.cli.words import count
from mouldgen.mix.clock import clock_text
from mouldgen.sheet.number_words import runs

if TYPE_CHECKING:
    from mouldgen.mix.batches import Session
    from mouldgen.mix.clock import Step
    from mouldgen.mix.mixing import Mixing

_SAYS = {
    "weigh": "weigh",
    "mix": "mix A and B",
    "press": "carry in, shut the pot, press",
    "close": "all shut",
}


def clock_table(made: Mixing, session: Session, *, indent: str) -> str:
    """The steps of a session, those of one kind that follow one another in one row.

    made : for the colours' names.
    session : whose clock it is.
    indent : in front of every line.
    """
    rows = [("from", "to", "what")]
    for _, group in groupby(session.clock.steps, key=_kind):
        steps = list(group)
        start, end = steps[0].start_s, steps[-1].end_s
        rows.append((clock_text(start), clock_text(end), _words(made, session, steps)))
    return table(rows, right=(0, 1), indent=indent)


def _kind(step: Step) -> tuple[str, int | None, int | None]:
    what = "enclose" if step.what in ("place", "lid") else step.what
    return what, step.mix, step.cup


def _words(made: Mixing, session: Session, steps: list[Step]) -> str:
    first = steps[0]
    moulds = sorted({step.mould for step in steps if step.mould is not None})
    where = f"mould{'s' * (len(moulds) > 1)} {runs(moulds)}"
    if first.what in ("place", "lid"):
        placed = sum(step.what == "place" for step in steps)
        lids = sum(step.what == "lid" for step in steps)
        parts = [count(n, one) for n, one in ((placed, "insert"), (lids, "lid")) if n]
        return f"{' and '.join(parts)}: {where}"
    which = f" of mix {first.mix}" if len(session.portions) > 1 and first.mix else ""
    if first.cup is None or first.mix is None:
        return _SAYS[first.what] + which
    cup = session.portions[first.mix - 1].cups[first.cup - 1]
    colour = made.question.tints[cup.colour].name or "resin"
    if first.what == "pour":
        return f"pour {colour}: {where}"
    return f"split off {colour}" if first.what == "split" else f"stir in {colour}"
