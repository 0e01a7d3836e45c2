"""How many moulds stand in the pot at once, for the resin that is mixed for them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from mouldgen.errors import NoAnswerError

if TYPE_CHECKING:
    from mouldgen.answer import Answer


def most_per_load(answer: Answer) -> int | None:
    """Moulds that a load of the pot takes; None without a pot.

    None as well where not one fits: the rule `fits` says so.  Of a rubber mould each cavity
    counts, as where it is filled.

    answer : with a size.
    """
    from mouldgen.layout.pot_order import pot_of_order
    from mouldgen.size.rubber import RubberSize

    size = answer.size
    if size is None:
        return None
    try:
        plan = pot_of_order(
            answer.job, size, sizes=answer.sizes, blanks=answer.moulds, printed=answer.printed
        )
    except NoAnswerError:
        return None
    if plan is None:
        return None
    return plan.per_load * (size.up if isinstance(size, RubberSize) else 1)
