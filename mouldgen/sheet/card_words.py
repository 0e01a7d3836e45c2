"""How a card for the shop writes lengths, times, temperatures and pressures."""

from __future__ import annotations

from typing import TYPE_CHECKING

from mouldgen.gap.words import hours, minutes
from mouldgen.job.rating import pressure_words
from mouldgen.sheet.number_words import in_inch_words
from mouldgen.units import fahrenheit

if TYPE_CHECKING:
    from mouldgen.sheet.pot_card_values import PotCard

_HELD = {
    "lid": "held down by the lid's legs",
    "tape": "held down, lid taped",
    "screw": "held down, screw from below",
    "dowel": "held down, dowel through",
    "weight": "held down, weight on the lid",
    "band": "held down, bands over the lid",
    "glue": "held down, glued to the floor",
    "none": "held down? nothing holds it",
}


def length(mm: float) -> str:
    """A length with inches beside it: a small one in thousandths, others to 1/64.

    mm : any length [mm].
    """
    return f"{mm:.1f} mm ({in_inch_words(mm)})"


def temperature(celsius: float) -> str:
    """``21 C, 70 F``.

    celsius : of the air [degC].
    """
    return f"{celsius:.0f} C, {fahrenheit(celsius):.0f} F"


def long_time(seconds: float) -> str:
    """A time of a data sheet: ``20 min``, ``72 h``, ``7 d``.

    seconds : any [s].
    """
    if seconds < 7200.0:
        return minutes(seconds)
    return hours(seconds) if seconds <= 72 * 3600.0 else f"{round(seconds / 86400.0, 1):g} d"


def pencil_time() -> str:
    """A blank for a day and a time of day."""
    return "________ ___:___"


def pressure_line(kpa: float | None) -> str:
    """A pressure to set, or a blank for one.

    kpa : gauge; None where none may be told [kPa].
    """
    return "______ psi (______ bar) gauge" if kpa is None else pressure_words(kpa)


def held(hold: str) -> str:
    """What keeps the insert down.

    hold : in the job's word.
    """
    return _HELD[hold]


def kept_from(card: PotCard) -> str:
    """When a later pour may be poured.

    card : of a second pour or a later one.
    """
    last = f"pour {card.pour - 1}, mixed {pencil_time()}"
    if card.since is None:
        return f"the data sheet's window for a second pour is open since {last}"
    opens, closes = (long_time(time_s) for time_s in card.since)
    return f"NOT BEFORE {opens} and not after {closes} from {last}"
