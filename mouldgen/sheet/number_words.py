"""How numbers are written for the shop, on a card and on the terminal alike.

Nothing heavy is loaded: every command comes through here.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from mouldgen.units import imperial_fl_oz, in_inches, us_fl_oz

_THOUSANDTHS_BELOW = 6.0  # a ruler in sixty-fourths says too little about less [mm]


def grams(mass_g: float, *, digit_g: float) -> str:
    """A mass as a scale with this smallest digit shows it.

    mass_g, digit_g : mass and digit [g].
    """
    return f"{mass_g:.{max(0, math.ceil(-math.log10(digit_g) - 1e-9))}f}"


def volumes(ml: float) -> str:
    """A volume with both fluid ounces beside it, told apart.

    ml : any volume [ml].
    """
    return f"{ml:.1f} ml ({us_fl_oz(ml):.2f} US fl oz, {imperial_fl_oz(ml):.2f} imperial fl oz)"


def in_inch_words(mm: float) -> str:
    """A length in inches: a small one in thousandths, others to 1/64.

    mm : any length [mm].
    """
    return f"{mm / 25.4:.3f} in" if mm < _THOUSANDTHS_BELOW else in_inches(mm).text


def runs(numbers: Sequence[int]) -> str:
    """Numbers that follow one another as ``1-4``, others with commas.

    numbers : rising.
    """
    found: list[list[int]] = []
    for number in numbers:
        if found and number == found[-1][1] + 1:
            found[-1][1] = number
        else:
            found.append([number, number])
    return ", ".join(f"{a}" if a == b else f"{a}-{b}" for a, b in found)
