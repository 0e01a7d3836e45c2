"""How quantities are shown: inches as a ruler has them, ounces and pressures by their full name."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from mouldgen.errors import UnitError
from mouldgen.units.kinds import IMPERIAL_FL_OZ, INCH, PSI, US_FL_OZ


@dataclass(frozen=True, eq=False)
class Inches:
    """A length as a ruler in sixty-fourths shows it.

    text : such as ``1 3/16 in``.
    residual_mm : the length less what `text` says [mm], at most 0.2 mm either way.
    """

    text: str
    residual_mm: float


def in_inches(mm: float) -> Inches:
    """A length [mm] to the nearest 1/64 in, with what the rounding left out.

    Raises UnitError where the length is not finite.
    """
    if not math.isfinite(mm):
        raise UnitError(f"{mm} is not a length", allowed="a finite number of mm")
    parts = round(Fraction(mm) / INCH * 64)
    whole, rest = divmod(abs(parts), 64)
    fraction = str(Fraction(rest, 64)) if rest else ""
    words = [str(whole)] if whole or not rest else []
    text = " ".join([*words, fraction] if fraction else words)
    sign = "-" if parts < 0 else ""
    return Inches(f"{sign}{text} in", float(Fraction(mm) - parts * INCH / 64))


def format_length(mm: float, *, inches: bool) -> str:
    """A length [mm] as a maker reads it: ``1 3/16 in`` to 1/64, or ``30.16 mm`` to 0.01 mm.

    Raises UnitError where the length is not finite.
    """
    if inches:
        return in_inches(mm).text
    if not math.isfinite(mm):
        raise UnitError(f"{mm} is not a length", allowed="a finite number of mm")
    text = f"{mm:.2f}".rstrip("0").rstrip(".")
    return f"{'0' if text == '-0' else text} mm"


def us_fl_oz(ml: float) -> float:
    """A volume [ml] in US fluid ounces of 29.5735295625 ml."""
    return ml / float(US_FL_OZ)


def imperial_fl_oz(ml: float) -> float:
    """A volume [ml] in imperial fluid ounces of 28.4130625 ml."""
    return ml / float(IMPERIAL_FL_OZ)


def psi(kpa: float) -> float:
    """A gauge pressure [kPa] in pounds-force per square inch, gauge."""
    return kpa / float(PSI)


def bar(kpa: float) -> float:
    """A gauge pressure [kPa] in bar, gauge."""
    return kpa / 100.0


def fahrenheit(celsius: float) -> float:
    """A temperature [degC] in degrees Fahrenheit."""
    return celsius * 1.8 + 32.0


def fahrenheit_degrees(kelvin: float) -> float:
    """A difference of temperatures [K] in degrees Fahrenheit: 20 K are 36."""
    return kelvin * 1.8
