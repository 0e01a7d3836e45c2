"""The pressure asked for against the rating on the pot's plate, told the same wherever it is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from mouldgen.units import bar, psi

if TYPE_CHECKING:
    from mouldgen.job.model import Pour
    from mouldgen.job.shop_tables import Pot


def above_rating(pour: Pour, pot: Pot | None) -> tuple[str, str] | None:
    """What is wrong and what is allowed where the pressure is above the rating, else None.

    pour : its pressure, gauge.
    pot : its rating, gauge, as the maker read it off the plate; None without a pot.

    Neither clause repeats that pressure, so that nobody ever reads it off a sheet.
    """
    rating = None if pot is None else pot.rating
    if rating is None or pour.pressure is None or pour.pressure <= rating:
        return None
    what = "the pressure asked for is above the rating on the pot's plate"
    return what, f"at most {pressure_words(rating)}"


def pressure_words(kpa: float) -> str:
    """A gauge pressure [kPa]: ``60 psi (4.1 bar) gauge``."""
    return f"{psi(kpa):.3g} psi ({bar(kpa):.1f} bar) gauge"
