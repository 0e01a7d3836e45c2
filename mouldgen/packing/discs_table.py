"""Equal discs in a circle, from a table of the densest patterns found for 1 to 61 of them.

The patterns were sought by `docs/make_discs.py`, which says how; `ratio` is the radius of the
circle over that of a disc.  A test holds the ratios to those published as the best known (Graham,
Lubachevsky, Nurmela and Ostergard 1998; Specht's tables).  The ratios are closed forms for some:
2, 1 + 2/sqrt(3), 1 + sqrt(2) for 2, 3 and 4 discs, 3 for 6 and 7, 1 + sqrt(2) + sqrt(6) for 18
and 19.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

from mouldgen.errors import InputError, InternalError
from mouldgen.packing.area import TOLERANCE_MM

MOST = 61
Point = tuple[float, float]


@dataclass(frozen=True, eq=False)
class Pattern:
    """The densest pattern found for one number of discs.

    ratio : radius of the circle over that of the discs.
    centres : x and y of each disc from the middle of the circle, in radii of a disc.
    """

    ratio: float
    centres: tuple[Point, ...]


def pattern_of(count: int) -> Pattern:
    """The pattern for so many discs, 1 to `MOST`.

    Raises InputError for a number that the table does not have.
    """
    patterns = _table()
    if not 1 <= count <= len(patterns):
        raise InputError(
            f"there is no pattern of {count} discs in a circle", allowed=f"1 to {len(patterns)}"
        )
    return patterns[count - 1]


def most_discs_in_circle(diameter_mm: float, across_mm: float, *, spacing_mm: float) -> int:
    """The most equal discs of the table that a circle holds; 0 where not one fits.

    With the spacing, n discs fit where ``ratio(n) <= (D + s) / (d + s)``: half of it is added to
    the disc and to the circle.  Exact fits fit, to `area.TOLERANCE_MM`.

    diameter_mm : of a disc [mm].
    across_mm : diameter of the circle, any margin already taken off it [mm].
    spacing_mm : between two discs; not between a disc and the circle [mm].
    """
    disc, circle = (diameter_mm + spacing_mm) / 2.0, (across_mm + spacing_mm) / 2.0
    if diameter_mm > across_mm + 2.0 * TOLERANCE_MM:
        return 0
    fitting = (
        count
        for count, pattern in enumerate(_table(), start=1)
        if pattern.ratio * disc <= circle + TOLERANCE_MM
    )
    return max(fitting, default=1)


def places_in_circle(
    count: int, *, diameter_mm: float, across_mm: float, spacing_mm: float
) -> tuple[Point, ...]:
    """Centres of so many discs from the middle of the circle, as far apart as the circle lets them.

    The outermost discs touch the circle, so that every gap is the spacing or more [mm].

    count : of discs, as many as `most_discs_in_circle` allows or fewer.
    diameter_mm, across_mm, spacing_mm : as there [mm].

    Raises InputError where they do not fit.
    """
    if count > most_discs_in_circle(diameter_mm, across_mm, spacing_mm=spacing_mm):
        raise InputError(f"{count} discs of {diameter_mm:.6g} mm do not fit in {across_mm:.6g} mm")
    centres = pattern_of(count).centres
    reach = max(math.hypot(x, y) for x, y in centres)
    scale = max(across_mm - diameter_mm, 0.0) / 2.0 / reach if reach > 0.0 else 0.0
    return tuple((scale * x, scale * y) for x, y in centres)


@cache
def _table() -> tuple[Pattern, ...]:
    import json
    from importlib.resources import files

    text = files("mouldgen.packing").joinpath("discs_in_circle.json").read_text("utf-8")
    entries = {int(count): entry for count, entry in json.loads(text).items()}
    if sorted(entries) != list(range(1, MOST + 1)):
        raise InternalError("the table of discs in a circle is not whole")
    return tuple(
        Pattern(float(entry["ratio"]), tuple((float(x), float(y)) for x, y in entry["at"]))
        for _, entry in sorted(entries.items())
    )
