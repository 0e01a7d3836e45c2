"""The units that a shop writes, and what each is worth.

Factors: NIST SP 811 (2008), Appendix B.  The inch, the pound, the US gallon, the imperial gallon
and standard gravity are exact by definition; all others follow from them by exact arithmetic.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

INCH = Fraction("25.4")  # mm, exact
POUND = Fraction("453.59237")  # g, exact
GRAVITY = Fraction("9.80665")  # m/s2, exact
US_GALLON = 231 * (INCH / 10) ** 3  # ml, exact: 231 cubic inches
US_FL_OZ = US_GALLON / 128
IMPERIAL_FL_OZ = Fraction("28.4130625")  # ml, exact: 1/160 of 4.54609 l
POUND_FORCE = POUND / 1000 * GRAVITY  # N
PSI = POUND_FORCE / (INCH / 1000) ** 2 / 1000  # kPa
ABSOLUTE_ZERO = Fraction("-273.15")  # degC, exact


@dataclass(frozen=True, eq=False)
class Kind:
    """One kind of quantity.

    name : with its article, for messages.
    allowed : the units and an example, for messages.
    factors : unit to the factor that gives the unit inside; keys with a capital are matched as
        written, all others in any case.
    most : the largest value that is not a slip of the pen, in the unit inside.
    """

    name: str
    allowed: str
    factors: Mapping[str, Fraction]
    most: float


def _units(**groups: tuple[str, Fraction]) -> dict[str, Fraction]:
    return {word.strip(): factor for words, factor in groups.values() for word in words.split(",")}


LENGTH = Kind(
    "a length",
    'mm, cm, m, in (or "), ft, such as 22 mm, 7/8 in, 1 3/16 in',
    _units(
        mm=("mm, millimetre, millimetres, millimeter, millimeters", Fraction(1)),
        cm=("cm, centimetre, centimetres, centimeter, centimeters", Fraction(10)),
        m=("m, metre, metres, meter, meters", Fraction(1000)),
        inch=('in, inch, inches, "', INCH),
        ft=("ft, foot, feet", 12 * INCH),
    ),
    1e6,
)
TIME = Kind(
    "a time",
    "s, min, h, d, such as 90 s, 25 min, 2 h, 3 d",
    _units(
        s=("s, sec, second, seconds", Fraction(1)),
        min=("min, minute, minutes", Fraction(60)),
        h=("h, hr, hour, hours", Fraction(3600)),
        d=("d, day, days", Fraction(86400)),
    ),
    1e8,
)
TEMPERATURE = Kind(
    "a temperature",
    "C or F, such as 25 C, 77 F",
    _units(
        c=("c, °c, deg c, degc, celsius", Fraction(1)),
        f=("f, °f, deg f, degf, fahrenheit", Fraction(5, 9)),
    ),
    2000.0,
)
FORCE = Kind(
    "a force",
    "N, kgf, gf, lbf, such as 20 N, 4.5 lbf",
    _units(
        n=("n, newton, newtons", Fraction(1)),
        kgf=("kgf", GRAVITY),
        gf=("gf", GRAVITY / 1000),
        lbf=("lbf", POUND_FORCE),
    ),
    1e6,
)
PRESSURE = Kind(
    "a pressure",
    "psi, bar, kPa, MPa, all read as gauge pressure, such as 50 psi, 3.4 bar",
    _units(
        psi=("psi, psig", PSI),
        bar=("bar, barg", Fraction(100)),
        kpa=("kpa", Fraction(1)),
        mpa=("MPa", Fraction(1000)),
    ),
    1e5,
)
MASS = Kind(
    "a mass",
    "g, kg, lb, weight oz, such as 100 g, 2 lb",
    _units(
        g=("g, gram, grams, gramme, grammes", Fraction(1)),
        kg=("kg, kilogram, kilograms", Fraction(1000)),
        lb=("lb, lbs, pound, pounds", POUND),
        oz=("weight oz, oz wt, weight ounce, weight ounces, weight-oz", POUND / 16),
    ),
    1e9,
)
DENSITY = Kind(
    "a density",
    "g/ml, g/cm3, kg/m3, lb/ft3, such as 0.68 g/ml, 680 kg/m3",
    _units(
        g=("g/ml, g/cm3, g/cc", Fraction(1)),
        kg=("kg/m3", Fraction(1, 1000)),
        lb=("lb/ft3", POUND / (12 * INCH / 10) ** 3),
    ),
    25.0,  # heavier than any metal: 680 g/ml is meant in kg/m3
)
VISCOSITY = Kind(
    "a viscosity",
    "Pa s, mPa s, cP, such as 0.5 Pa s, 500 cP",
    _units(
        pas=("pa s, pas", Fraction(1)),
        mpas=("mPa s, mPas", Fraction(1, 1000)),
        cp=("cp, cps, centipoise", Fraction(1, 1000)),
    ),
    1e6,
)
ANGLE = Kind(
    "an angle",
    "deg or °, such as 1.5 deg",
    _units(deg=("deg, °, degree, degrees", Fraction(1))),
    360.0,
)
VOLUME = Kind(
    "a volume",
    "ml, cm3, cc, l, in3, US fl oz, imp fl oz, US cup, US gal, such as 240 ml, 8 US fl oz",
    _units(
        ml=("ml, cm3, cc, cubic centimetre, millilitre, millilitres", Fraction(1)),
        l=("l, litre, litres, liter, liters", Fraction(1000)),
        in3=("in3, cu in, cubic inch, cubic inches", (INCH / 10) ** 3),
        us=("us fl oz, us floz, us fluid ounce, us fluid ounces", US_FL_OZ),
        imp=("imp fl oz, imperial fl oz, imp floz, imperial fluid ounces", IMPERIAL_FL_OZ),
        cup=("us cup, us cups", US_GALLON / 16),
        gal=("us gal, us gallon, us gallons", US_GALLON),
    ),
    1e9,
)
FLOW = Kind(
    "a flow",
    "mm3/s, ml/min, such as 5 mm3/s",
    _units(
        mm3=("mm3/s", Fraction(1)),
        ml=("ml/min, cm3/min", Fraction(1000, 60)),
    ),
    1e6,
)
KINDS = (
    LENGTH, TIME, TEMPERATURE, FORCE, PRESSURE, MASS, DENSITY, VISCOSITY, ANGLE, VOLUME, FLOW,
)  # fmt: skip
