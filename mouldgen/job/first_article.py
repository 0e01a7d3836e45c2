"""Whether one piece of an order is cast by itself, finished and shown before the rest is cast."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from mouldgen.job.model import Job


def first_alone(job: Job, fillings: int) -> bool:
    """Whether the first filling of a job's moulds is a load of its own.

    Wood that the customer brings is tried in other wood instead, which is not one of the order's
    castings; and where all is cast in one mould, or one piece is all that is asked for, there is
    nothing left to cast after it.  That the first is shown before the rest is cast is common
    practice, no source.

    job : what the maker said.
    fillings : how often a whole mould is filled for the order.
    """
    order = job.order
    several = fillings > 1 and order.pieces > 1
    return order.first_article and several and not order.customers_wood
