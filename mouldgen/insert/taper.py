"""A round stick that is thicker at one end."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from mouldgen.insert.facts import End, InsertFacts, Slice, frustum_mm3
from mouldgen.insert.needs import need
from mouldgen.job.model import Insert

if TYPE_CHECKING:
    from mouldgen.solid.kernel import Solid


def facts(insert: Insert, *, density_g_ml: float) -> InsertFacts:
    """A taper: ``V = pi L (R^2 + R r + r^2)/3``; the readings are of its thick end.

    density_g_ml : of the insert [g/ml].
    """
    lower, upper = _radii(insert)
    section = frustum_mm3(lower, upper, insert.length) / insert.length
    return InsertFacts(
        shape=insert.shape,
        length_mm=insert.length,
        envelope_mm=max(lower, upper),
        core_mm=min(lower, upper),
        section_mm2=section,
        opening_mm=0.0,
        density_g_ml=density_g_ml,
        measured_mm=insert.measured,
        bow_mm=insert.bow,
        slices=(Slice(insert.length, lower, upper, section, section),),
        ends=(End(lower, 0.0, math.pi * lower**2), End(upper, 0.0, math.pi * upper**2)),
    )


def solid(insert: Insert, *, chord_mm: float) -> Solid:
    """The taper standing on z = 0, its corners on its surface.

    chord_mm : how far a side may leave the surface [mm].
    """
    from mouldgen.solid.circle import polygon, segments
    from mouldgen.solid.kernel import loft

    lower, upper = _radii(insert)
    sides = segments(max(lower, upper), chord_mm=chord_mm)
    rings = [polygon(radius, sides=sides) for radius in (lower, upper)]
    return loft([(rings[0], 0.0), (rings[1], insert.length)])


def _radii(insert: Insert) -> tuple[float, float]:
    """Radius of the lower and of the upper end [mm]."""
    large, small = need(insert, "diameter") / 2.0, need(insert, "small") / 2.0
    return (large, small) if insert.point == "up" else (small, large)
