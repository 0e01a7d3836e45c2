"""A maker's words for numbers and severities, the same in every command."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from mouldgen.units import in_inches, us_fl_oz

if TYPE_CHECKING:
    from mouldgen.finding import Severity

SEVERITY: dict[Severity, str] = {
    "stop": "must fix",
    "warn": "look at",
    "note": "worth knowing",
}
_THOUSANDTHS_BELOW = 6.0  # a ruler in sixty-fourths says too little about a gap [mm]


def length(mm: float, *, inches: bool) -> str:
    """A length [mm], with inches beside it where the job is in inches."""
    text = f"{round(mm, 2):g} mm"
    return f"{text} ({in_inch_words(mm)})" if inches else text


def in_inch_words(mm: float) -> str:
    """A length [mm] in inches: a small one in thousandths, others to 1/64."""
    return f"{mm / 25.4:.3f} in" if mm < _THOUSANDTHS_BELOW else in_inches(mm).text


def gap(mm: float, *, inches: bool) -> str:
    """A gap [mm] to a hundredth, with inches beside it where the job is in inches."""
    text = f"{mm:.2f} mm"
    return f"{text} ({mm / 25.4:.3f} in)" if inches else text


def count(number: int, one: str, more: str = "") -> str:
    """How many of a thing: ``1 bed``, ``3 beds``."""
    return f"{number} {one if number == 1 else more or one + 's'}"


def volume(ml: float) -> str:
    """A volume [ml] with US fluid ounces beside it."""
    return f"{ml:.1f} ml ({us_fl_oz(ml):.2f} US fl oz)"


def grams(mass_g: float, *, digit_g: float) -> str:
    """A mass [g] as a scale with this smallest digit [g] shows it."""
    places = max(0, math.ceil(-math.log10(digit_g) - 1e-9))
    return f"{mass_g:.{places}f}"


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
