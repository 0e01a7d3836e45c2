"""A round stick with flutes: grooves of circular section along its length.

Each flute is the part of a circle centred on the rim that lies inside the round.  Its radius
follows from the share of the section that all flutes together cut away.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from mouldgen.errors import JobError
from mouldgen.insert.facts import InsertFacts
from mouldgen.insert.needs import need
from mouldgen.job.model import Insert

if TYPE_CHECKING:
    from mouldgen.solid.kernel import Solid
    from mouldgen.solid.mesh import Floats


def facts(insert: Insert, *, density_g_ml: float) -> InsertFacts:
    """A fluted stick: ``A = pi R^2 (1 - flute_area)``.

    density_g_ml : of the insert [g/ml].

    Raises JobError where so many or so deep flutes leave no land between them.
    """
    radius = need(insert, "diameter") / 2.0
    share = need(insert, "flute_area")
    flute = flute_radius(radius, flutes=_flutes(insert), share=share)
    return InsertFacts(
        shape=insert.shape,
        length_mm=insert.length,
        envelope_mm=radius,
        core_mm=radius - flute,
        section_mm2=math.pi * radius**2 * (1.0 - share),
        opening_mm=2.0 * radius * math.sin(_half_opening(radius, flute)),
        density_g_ml=density_g_ml,
        measured_mm=insert.measured,
        bow_mm=insert.bow,
        flutes=_flutes(insert),
        flute_mm=flute,
    )


def flute_radius(radius_mm: float, *, flutes: int, share: float) -> float:
    """Radius of each flute [mm], by bisection on the area of the lens it cuts away.

    radius_mm : of the stick [mm].
    flutes : how many.
    share : of the round section that all of them cut away.

    Raises JobError where flutes of that size would run into each other.
    """
    wanted = share * math.pi * radius_mm**2 / flutes
    low, high = 0.0, radius_mm
    for _ in range(80):
        middle = (low + high) / 2.0
        if lens_mm2(radius_mm, middle) < wanted:
            low = middle
        else:
            high = middle
    if 2.0 * _half_opening(radius_mm, high) >= 0.98 * 2.0 * math.pi / flutes:
        raise JobError(
            f"{flutes} flutes that cut away {share:.0%} of the section run into each other",
            where="[insert] flute_area",
            try_="Take a smaller share, or fewer or more flutes.",
        )
    return high


def lens_mm2(radius_mm: float, flute_mm: float) -> float:
    """Area shared by a circle of radius R and one of radius r centred on its rim [mm2].

    ``r^2 acos(r/2R) + R^2 acos(1 - r^2/2R^2) - r sqrt(4R^2 - r^2)/2``, the two-circle lens at
    distance R (any geometry text).
    """
    r, big = flute_mm, radius_mm
    return (
        r * r * math.acos(r / (2.0 * big))
        + big * big * math.acos(1.0 - r * r / (2.0 * big * big))
        - 0.5 * r * math.sqrt(4.0 * big * big - r * r)
    )


def solid(insert: Insert, *, chord_mm: float) -> Solid:
    """The insert standing on z = 0, its corners on its surface.

    chord_mm : how far a side may leave the surface [mm].
    """
    from mouldgen.solid.kernel import prism

    return prism([outline(insert, chord_mm=chord_mm)], bottom_mm=0.0, top_mm=insert.length)


def outline(insert: Insert, *, chord_mm: float) -> Floats:
    """The section as a polygon (n, 2) with its corners on the surface [mm].

    chord_mm : how far a side may leave the surface [mm].
    """
    import numpy as np

    from mouldgen.solid.circle import segments

    radius = need(insert, "diameter") / 2.0
    flutes = _flutes(insert)
    flute = flute_radius(radius, flutes=flutes, share=need(insert, "flute_area"))
    half = _half_opening(radius, flute)
    pitch = 2.0 * math.pi / flutes
    # The flute's own circle, from one lip to the other, bulging toward the axis.
    lip = math.acos(-flute / (2.0 * radius))
    steps = max(4, math.ceil(segments(flute, chord_mm=chord_mm) * (math.pi - lip) / math.pi))
    turn = np.linspace(lip, 2.0 * math.pi - lip, steps + 1)
    hollow = np.column_stack([radius + flute * np.cos(turn), flute * np.sin(turn)])[::-1]
    land_steps = max(
        2, math.ceil(segments(radius, chord_mm=chord_mm) * (pitch - 2 * half) / (2 * math.pi))
    )
    land = half + (pitch - 2.0 * half) * np.arange(1, land_steps) / land_steps
    unit = np.concatenate([hollow, radius * np.column_stack([np.cos(land), np.sin(land)])])
    corners = []
    for k in range(flutes):
        c, s = math.cos(k * pitch), math.sin(k * pitch)
        corners.append(unit @ np.array([[c, s], [-s, c]]))
    return np.concatenate(corners)


def _half_opening(radius_mm: float, flute_mm: float) -> float:
    """Half the angle at the axis that a flute opens on the rim [rad]."""
    return 2.0 * math.asin(flute_mm / (2.0 * radius_mm))


def _flutes(insert: Insert) -> int:
    return int(need(insert, "flutes"))
