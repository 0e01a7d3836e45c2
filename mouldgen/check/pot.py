"""Does the pressure asked for suit the pot, and does the pot's lid close over the mould?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from mouldgen.finding import Finding
from mouldgen.job.rating import above_rating

if TYPE_CHECKING:
    from mouldgen.job.model import Pour
    from mouldgen.job.shop_tables import Pot
    from mouldgen.size.mould_size import MouldSize


HEADROOM_MM = 10.0  # our own choice: less is within what a tape measure and a lid's seal hide


def headroom_findings(size: MouldSize, pot: Pot | None) -> tuple[Finding, ...]:
    """A mould that goes into the pot with next to nothing over it is looked at.

    size : of the mould put together; one that is higher than the pot is the `fits` rule's.
    pot : None where none is used.
    """
    if pot is None:
        return ()
    high = size.stack_height_mm
    left = pot.usable_mm - high
    if not 0.0 <= left < HEADROOM_MM:
        return ()
    funnel = " with its funnel" if size.runner else ""
    return (
        Finding(
            id="pot.headroom",
            rule="pot",
            severity="warn",
            message=(
                f"The closed mould{funnel} stands {high:.6g} mm high and the pot takes"
                f" {pot.usable_mm:.6g} mm: {left:.3g} mm are left. Measure the pot from its floor"
                " plate to the lowest part of its lid, and close it over the empty mould once."
            ),
            measured=left,
            limit=HEADROOM_MM,
            place="[pot] height",
        ),
    )


def _where(pot: Pot | None) -> str:
    """Where the rating goes: a job without a pot has no table for it yet."""
    if pot is not None:
        return "[pot] rating"
    return "rating in a table [pot], with a card or with diameter and height of the pot"


def pressure_findings(pour: Pour, pot: Pot | None) -> tuple[Finding, ...]:
    """A pressure above the plate's rating must be fixed; one without a rating is looked at.

    pour : its pressure, gauge.
    pot : its rating, gauge, as the maker read it off the plate; None without a pot.

    A job file with a pressure above the rating is refused when it is read; this is for jobs that
    were made otherwise.
    """
    if pour.pressure is None:
        return ()
    rating = None if pot is None else pot.rating
    if rating is None:
        return (
            Finding(
                id="pot.no-rating",
                rule="pot",
                severity="warn",
                message=(
                    "A pressure is asked for and the pot's rating is not known: read it off the"
                    f" pot's plate and write it as {_where(pot)}. Until then no pressure is"
                    " printed."
                ),
                place="[pot] rating",
            ),
        )
    above = above_rating(pour, pot)
    if above is None:
        return ()
    what, allowed = above
    return (
        Finding(
            id="pot.rating",
            rule="pot",
            severity="stop",
            message=f"{what[0].upper()}{what[1:]}. Allowed: {allowed}.",
            measured=pour.pressure,
            limit=rating,
            place="[pour] pressure",
        ),
    )
