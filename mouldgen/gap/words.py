"""How the rules write numbers in their sentences."""

from __future__ import annotations

import math

NOTHING_MM = 0.005  # a part of a gap below this would read 0.00
_ROUNDING_MM = 1e-9  # what sums and halves of lengths leave of nothing


def mm(length_mm: float) -> str:
    """A length of the job: `70 mm`, `29.9 mm`.

    length_mm : any length [mm].
    """
    return f"{round(length_mm, 2):g} mm"


def gap_mm(length_mm: float) -> str:
    """A gap or a part of one to a hundredth: `0.46 mm`, `under 0.01 mm`, `0 mm`.

    length_mm : any length [mm].
    """
    if abs(length_mm) < NOTHING_MM:
        return "under 0.01 mm" if abs(length_mm) > _ROUNDING_MM else "0 mm"
    return f"{length_mm:.2f} mm"


def least_mm(length_mm: float) -> str:
    """What a rule asks for at least, rounded up as the gap is: what is told meets the rule.

    length_mm : of a gap [mm].
    """
    return gap_mm(math.ceil(100.0 * length_mm - 1e-6) / 100.0)


def most_mm(length_mm: float) -> str:
    """What a rule allows at most, rounded down: what is told meets the rule.

    length_mm : of a gap [mm].
    """
    return gap_mm(math.floor(100.0 * length_mm + 1e-6) / 100.0)


def hours(time_s: float) -> str:
    """A long time: `2 h`, `1.5 h`.

    time_s : a span [s].
    """
    return f"{round(time_s / 3600.0, 1):g} h"


def minutes(time_s: float) -> str:
    """A time on the clock: `52 min`, `5.8 min`.

    time_s : from the start of mixing, or a span [s].
    """
    value = time_s / 60.0
    return f"{value:.0f} min" if value >= 9.95 else f"{round(value, 1):g} min"


def at_most_ml(volume_ml: float) -> str:
    """A volume that is an upper estimate: `up to 8.1 ml`, `under 0.1 ml`.

    volume_ml : 0 and more [ml].
    """
    return f"up to {volume_ml:.1f} ml" if volume_ml >= 0.1 else "under 0.1 ml"
