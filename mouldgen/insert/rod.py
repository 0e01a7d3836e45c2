"""A plain round rod."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from mouldgen.insert.facts import InsertFacts
from mouldgen.insert.needs import need
from mouldgen.job.model import Insert

if TYPE_CHECKING:
    from mouldgen.solid.kernel import Solid
    from mouldgen.solid.mesh import Floats


def facts(insert: Insert, *, density_g_ml: float) -> InsertFacts:
    """A rod: ``A = pi R^2``.

    density_g_ml : of the insert [g/ml].
    """
    radius = need(insert, "diameter") / 2.0
    return InsertFacts(
        shape=insert.shape,
        length_mm=insert.length,
        envelope_mm=radius,
        core_mm=radius,
        section_mm2=math.pi * radius**2,
        opening_mm=0.0,
        density_g_ml=density_g_ml,
        measured_mm=insert.measured,
        bow_mm=insert.bow,
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
    from mouldgen.solid.circle import polygon, segments

    radius = need(insert, "diameter") / 2.0
    return polygon(radius, sides=segments(radius, chord_mm=chord_mm))
