"""What would waste less resin where mixes are topped up: each remedy reckoned, not guessed.

The sessions are cut again with a finer scale, without the least batch, without a load for the
first article alone, and at wider gaps.  A wider gap lets air out for longer, so that more moulds
are filled from one mix, and takes more resin in each: only the sum tells whether it is worth it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from mouldgen.errors import JobError
from mouldgen.mix.batches import batches
from mouldgen.mix.mixing import air_limit_s, closed_amounts, need_for
from mouldgen.mix.mixing_findings import too_stiff
from mouldgen.size import mould_size_of

if TYPE_CHECKING:
    from mouldgen.mix.amounts import Amounts
    from mouldgen.mix.answered import Answered
    from mouldgen.mix.batches import Batches
    from mouldgen.mix.mixing import Mixing

WIDER_MM = (0.1, 0.2, 0.3, 0.4, 0.5, 0.7, 1.0)  # gaps that are tried, to the next tenth of a mm
WORTH = 0.1  # of what is topped up: who saves less changes nothing; our own choice
MOST_TOLD = 3


@dataclass(frozen=True, eq=False)
class Remedy:
    """One change, and what is mixed with it.

    change : what to write or to buy.
    mixed_ml : of all mixes [ml].
    mixes : how often resin is mixed.
    """

    change: str
    mixed_ml: float
    mixes: int


def remedies_of(made: Mixing, answer: Answered) -> tuple[Remedy, ...]:
    """What would waste less, the least resin first; none where nothing is topped up.

    Each counts alone, but for the least batch and the scale, which may only help together.

    made : how the resin is mixed.
    answer : the closed forms that it was mixed for, with a size.
    """
    if made.batches is None or made.batches.topped_ml <= 0.0:
        return ()
    worth = made.mixed_ml - WORTH * made.batches.topped_ml
    found = [*_of_stock(made), *_of_first(made), *_of_gap(made, answer)]
    useful = sorted(
        (one for one in found if one.mixed_ml <= worth), key=lambda one: (one.mixed_ml, one.mixes)
    )
    return tuple(useful[:MOST_TOLD])


def with_remedies(made: Mixing, answer: Answered) -> Mixing:
    """The same, and the finding on topped up mixes says what would waste less.

    made : how the resin is mixed.
    answer : the closed forms that it was mixed for, with a size.
    """
    if not any(found.id == "mix.least" for found in made.findings):
        return made
    told = remedy_words(remedies_of(made, answer), mixed_ml=made.mixed_ml)
    return replace(
        made,
        findings=tuple(
            replace(found, message=f"{found.message} {told}") if found.id == "mix.least" else found
            for found in made.findings
        ),
    )


def remedy_words(remedies: tuple[Remedy, ...], *, mixed_ml: float) -> str:
    """What would waste less, in a maker's words.

    remedies : the least resin first.
    mixed_ml : of all mixes as it is [ml].
    """
    if not remedies:
        return (
            "Neither a finer scale nor a wider gap would waste less: make the catch moulds of"
            " something that sells, or add pieces to the order."
        )
    told = "; ".join(
        f"{one.change}: about {one.mixed_ml:.0f} ml in {one.mixes} mix{'es' * (one.mixes != 1)}"
        for one in remedies
    )
    return f"Instead of {mixed_ml:.0f} ml, the least resin first: {told}."


def _of_stock(made: Mixing) -> Iterator[Remedy]:
    """With a smaller least batch, a finer scale, or both."""
    stock = made.question.stock
    finer = replace(stock, digit_g=stock.digit_g / 10.0)
    free = replace(stock, resin=stock.resin.model_copy(update={"least_batch": None}))
    scale = f"a scale that shows {finer.digit_g:g} g ([shop] scale)"
    label = "a smaller [resin] least_batch, if the label allows it"
    both = replace(finer, resin=free.resin)
    ways = [(scale, finer)]
    if stock.resin.least_batch is not None:
        ways += [(label, free), (f"{label}, with {scale}", both)]
    known: list[float] = []
    for change, other in ways:
        found = batches(replace(made.question, stock=other))
        # Both together are told only where they do more than either alone.
        if found and all(_mixed_ml(found[0]) < ml - 1.0 for ml in known):
            known.append(_mixed_ml(found[0]))
            yield Remedy(change, known[-1], found[0].mixes)


def _of_first(made: Mixing) -> Iterator[Remedy]:
    """With the first article cast among the rest."""
    if made.question.first_alone:
        found = batches(replace(made.question, first_alone=False))
        if found:
            change = "nobody shown the first piece before the rest is cast ([order] first_article)"
            yield Remedy(change, _mixed_ml(found[0]), found[0].mixes)


def _of_gap(made: Mixing, answer: Answered) -> Iterator[Remedy]:
    """With the wider gap that takes the least resin."""
    if answer.size is None:
        return
    now = answer.size.gap_mm
    most = min(
        (b.value_mm for b in answer.gap.bounds if b.kind == "at_most" and b.value_mm is not None),
        default=math.inf,
    )
    tenth = math.floor(10.0 * now + 1e-6) / 10.0
    gaps = [round(tenth + more, 1) for more in WIDER_MM]
    closed = closed_amounts(answer, answer.size)
    found = [
        (_mixed_ml(cut), cut.mixes, gap)
        for gap in gaps
        if now < gap <= most and (cut := _at_gap(made, answer, gap, now=closed)) is not None
    ]
    if found:
        mixed_ml, mixes, gap = min(found)
        yield Remedy(f"[mould] gap = {gap:.1f} mm", mixed_ml, mixes)


def _at_gap(made: Mixing, answer: Answered, gap_mm: float, *, now: Amounts) -> Batches | None:
    """The sessions at another gap; None where there are none, or inserts come too late for it."""
    try:
        size = mould_size_of(answer.sizes, gap_mm)
    except JobError:
        return None
    # Legs, pips and grooves as a build has measured them stay what they are.
    more_ml = closed_amounts(answer, size).per_mould_ml - now.per_mould_ml
    need = need_for(answer, size, per_mould_ml=made.need.per_mould_ml + more_ml)
    air_s = air_limit_s(answer.question, gap_mm)
    found = batches(replace(made.question, need=need, air_s=air_s))
    if not found or too_stiff(found[0].sessions, answer, gap_mm=gap_mm, order=made.question.order):
        return None
    return found[0]


def _mixed_ml(cut: Batches) -> float:
    return math.fsum(mix.mixed_ml for s in cut.sessions for mix in s.portions)
