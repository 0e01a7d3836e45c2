"""A maker's words for numbers and severities, the same on the terminal and on paper."""

from __future__ import annotations

from typing import TYPE_CHECKING

from mouldgen.sheet.number_words import in_inch_words
from mouldgen.units import us_fl_oz

if TYPE_CHECKING:
    from mouldgen.finding import Bound, Severity

SEVERITY: dict[Severity, str] = {
    "stop": "must fix",
    "warn": "look at",
    "note": "worth knowing",
}


def length(mm: float, *, inches: bool) -> str:
    """A length [mm], with inches beside it where the job is in inches."""
    text = f"{round(mm, 2):g} mm"
    return f"{text} ({in_inch_words(mm)})" if inches else text


def gap(mm: float, *, inches: bool) -> str:
    """A gap [mm] to a hundredth, with inches beside it where the job is in inches."""
    text = f"{mm:.2f} mm"
    return f"{text} ({mm / 25.4:.3f} in)" if inches else text


def strict_gap(bound: Bound, *, inches: bool) -> str:
    """What a rule asks for, rounded to its strict side as in the table of all rules.

    bound : with a finite value.
    inches : whether the job is in inches.
    """
    from mouldgen.sheet.bounds_picture import shown

    return gap(float(shown(bound)), inches=inches)


def count(number: int, one: str, more: str = "") -> str:
    """How many of a thing: ``1 bed``, ``3 beds``."""
    return f"{number} {one if number == 1 else more or one + 's'}"


def volume(ml: float) -> str:
    """A volume [ml] with US fluid ounces beside it."""
    return f"{ml:.1f} ml ({us_fl_oz(ml):.2f} US fl oz)"


def hours(seconds: float) -> str:
    """A long time [s] to two digits or so: ``50 min``, ``1.6 h``, ``30 h``."""
    if seconds < 3570.0:
        return f"{max(1, round(seconds / 60.0))} min"
    told = seconds / 3600.0
    return f"{told:.1f} h" if told < 9.95 else f"{told:.0f} h"


def percent(share: float, *, places: int = 0) -> str:
    """A share in percent."""
    text = f"{100.0 * share:.{places}f}"
    return f"{text.removeprefix('-') if float(text) == 0.0 else text} %"


def either(texts: tuple[str, ...]) -> str:
    """Texts that may hold commas themselves, as one list: ``a; b; or c``."""
    return texts[0] if len(texts) == 1 else f"{'; '.join(texts[:-1])}; or {texts[-1]}"
