"""How people write quantities, and how the shop reads them back.

In: ``22 mm``, ``1-1/8"``, ``1 3/16 in``, ``8 US fl oz``, ``50 psi``, ``77 F``, ``25 min``.
Out: one float in the unit that the function names.  Only a length may come without a unit, and
only where the file has named one.
"""

from mouldgen.units.reading import (
    LENGTH_UNITS,
    angle,
    density,
    flow,
    force,
    length,
    mass,
    pressure,
    temperature,
    time,
    viscosity,
    volume,
)
from mouldgen.units.writing import (
    Inches,
    bar,
    fahrenheit,
    fahrenheit_degrees,
    format_length,
    imperial_fl_oz,
    in_inches,
    psi,
    us_fl_oz,
)

__all__ = [
    "LENGTH_UNITS",
    "Inches",
    "angle",
    "bar",
    "density",
    "fahrenheit",
    "fahrenheit_degrees",
    "flow",
    "force",
    "format_length",
    "imperial_fl_oz",
    "in_inches",
    "length",
    "mass",
    "pressure",
    "psi",
    "temperature",
    "time",
    "us_fl_oz",
    "viscosity",
    "volume",
]
