"""Wood that cannot be had again: no spares, so a test is cast first, of other wood."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.finding import Finding

if TYPE_CHECKING:
    from mouldgen.job.shop_tables import Order

TESTS = 1  # of everything as it will be: a leak, a soft cure and bubbles show in the first


@dataclass(frozen=True, eq=False)
class NoSpares:
    """What is cast before the customer's own wood.

    castings : of the customer's wood, without spares.
    tests : cast before them, of other wood in a mould of the same kind.
    all_good : chance that all of the castings come good.
    """

    castings: int
    tests: int
    all_good: float

    @property
    def finding(self) -> Finding:
        """The same in a maker's words."""
        every = (
            "the one casting comes good"
            if self.castings == 1
            else f"all {self.castings} castings come good"
        )
        return Finding(
            id="order.no-spares",
            rule="order",
            severity="note",
            message=(
                f"The wood is the customer's and cannot be had again, so there are no spares:"
                f" {every} with a chance of {100.0 * self.all_good:.0f} %. Cast"
                f" {self.tests} more first, of other wood in the same kind of mould, and turn it,"
                " before any of the customer's is poured."
            ),
            measured=self.all_good,
            place="[order] customers_wood",
        )


def no_spares(order: Order, *, castings: int) -> NoSpares | None:
    """The test before wood that cannot be had again; None where there can be spares.

    ``yield ** castings`` is the chance that all come good.  One test shows what would spoil all
    of them alike, such as a leak or a resin that stays soft; it does not make chance any better.
    Common practice, no source; that one is enough is belief.

    order : whose wood it is, and the yield.
    castings : of that wood.
    """
    if not order.customers_wood:
        return None
    return NoSpares(castings, TESTS, order.yield_**castings)
