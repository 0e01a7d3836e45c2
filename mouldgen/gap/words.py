"""How the rules write numbers in their sentences."""

from __future__ import annotations


def mm(length_mm: float) -> str:
    """A length of the job: `70 mm`, `29.9 mm`.

    length_mm : any length [mm].
    """
    return f"{round(length_mm, 2):g} mm"


def gap_mm(length_mm: float) -> str:
    """A gap or a part of one, always to a hundredth: `0.46 mm`.

    length_mm : any length [mm].
    """
    return f"{length_mm:.2f} mm"


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
