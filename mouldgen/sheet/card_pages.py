"""The pot cards of a finished set as pages of text, by the names of their files."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from mouldgen.fingerprint import ON_PAPER, made_by
from mouldgen.sheet.gap_words import first_sentence
from mouldgen.units.beside import in_both

if TYPE_CHECKING:
    from mouldgen.mix.mixing import Mixing
    from mouldgen.mould_set import MouldSet
    from mouldgen.sheet.pot_card import Paper
    from mouldgen.sheet.pot_card_values import PotCard


def cards_of(found: MouldSet, made: Mixing | None) -> list[PotCard]:
    """A card each time the pot is shut; none in a conflict.

    found : the set.
    made : how its resin is mixed.
    """
    size = found.answer.size
    if made is None or size is None:
        return []
    from mouldgen.sheet.pot_card_values import pot_cards

    label = None if found.plan is None else found.plan.body_label
    return list(
        pot_cards(
            found.answer, made, size=size, findings=found.findings,
            lettered=None if label is None else label.text,
        )
    )  # fmt: skip


def stops_of(found: MouldSet, made: Mixing | None) -> tuple[str, ...]:
    """What must be fixed, each once.

    found : the set.
    made : how its resin is mixed.
    """
    inches = found.answer.job.unit == "in"
    conflict = (
        [first_sentence(found.answer.gap, inches=inches)]
        if found.answer.gap.conflict is not None
        else []
    )
    findings = (*found.findings, *(made.findings if made else ()))
    told = [in_both(f.message, inches=inches) for f in findings if f.severity == "stop"]
    return tuple(dict.fromkeys([*conflict, *told]))


def card_pages(
    cards: Sequence[PotCard],
    *,
    job: str,
    stops: Sequence[str],
    paper: Paper,
    fingerprint: str,
    block: str = "█",
) -> dict[str, str]:
    """The text of every card by its file name; one that says why where there is none.

    cards : of one job.
    job : its name.
    stops : what must be fixed.
    paper : that they are printed on.
    fingerprint : of the job.
    block : fills the big digits.
    """
    from mouldgen.sheet.pot_card import card_text, not_ready_text

    told = made_by(fingerprint[:ON_PAPER])
    if not cards:
        return {"load-1.txt": not_ready_text(job, stops, made_by=told)}
    return {_name(card): card_text(card, paper=paper, block=block, made_by=told) for card in cards}


def _name(card: PotCard) -> str:
    return f"load-{card.load}{f'-pour-{card.pour}' if card.pours > 1 else ''}.txt"
