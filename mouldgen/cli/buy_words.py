"""The purchase list as a maker takes it along."""

from __future__ import annotations

from typing import TYPE_CHECKING

from mouldgen.cli.say import say, say_wrapped
from mouldgen.cli.tables import table
from mouldgen.job.words import printable
from mouldgen.sheet.purchase_words import (
    buy_rows,
    expected_words,
    purchase_notes,
    total_words,
)

if TYPE_CHECKING:
    from mouldgen.answer import Answer
    from mouldgen.shop.outcome import Outcome
    from mouldgen.shop.purchase import Purchase


def say_purchase(found: Purchase, outcome: Outcome, answer: Answer, *, quiet: bool) -> None:
    """The list with its total, and how surely it is enough.

    found : what to buy.
    outcome : what is to be expected of the castings.
    answer : the job, for its words and the scale.
    """
    rows = [("what", "how much", "costs", "which")]
    rows += [
        (row.what, row.how_much, row.costs, printable(row.which)) for row in buy_rows(found, answer)
    ]
    say(table(rows, right=(2,)))
    say()
    say_wrapped(total_words(found))
    if quiet:
        return
    for note in purchase_notes(found, answer):
        say_wrapped(note)
    say_wrapped(expected_words(outcome, answer))
