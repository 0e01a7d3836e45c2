"""Does the pressure asked for suit the pot?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from mouldgen.finding import Finding
from mouldgen.units import bar, psi

if TYPE_CHECKING:
    from mouldgen.job.model import Pot, Pour


def pressure_findings(pour: Pour, pot: Pot | None) -> tuple[Finding, ...]:
    """A pressure above the plate's rating must be fixed; one without a rating is looked at.

    pour : its pressure, gauge.
    pot : its rating, gauge, as the maker read it off the plate; None without a pot.

    No message about a pressure above the rating repeats that pressure, so that no sheet ever
    prints it.
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
                    " pot's plate and write it as [pot] rating. Until then no pressure is printed."
                ),
                place="[pot] rating",
            ),
        )
    if pour.pressure <= rating:
        return ()
    return (
        Finding(
            id="pot.rating",
            rule="pot",
            severity="stop",
            message=(
                "The pressure asked for is above the rating on the pot's plate,"
                f" {pressure_words(rating)}. Ask for no more than that."
            ),
            measured=pour.pressure,
            limit=rating,
            place="[pour] pressure",
        ),
    )


def pressure_words(kpa: float) -> str:
    """A gauge pressure [kPa]: ``60 psi (4.1 bar) gauge``."""
    return f"{psi(kpa):.3g} psi ({bar(kpa):.1f} bar) gauge"
