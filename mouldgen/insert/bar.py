"""A bar of rectangular section."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from mouldgen.insert.facts import InsertFacts
from mouldgen.insert.needs import need
from mouldgen.job.model import Insert

if TYPE_CHECKING:
    from mouldgen.solid.kernel import Solid
    from mouldgen.solid.mesh import Floats

_CORNERS = ((1, 1), (-1, 1), (-1, -1), (1, -1))


def facts(insert: Insert, *, density_g_ml: float) -> InsertFacts:
    """A bar: ``A = w t``, enclosed by the circle through its four edges.

    The readings are of the width; the envelope they speak for scales with it.

    density_g_ml : of the insert [g/ml].
    """
    width, thickness = need(insert, "width"), need(insert, "thickness")
    envelope = math.hypot(width, thickness) / 2.0
    scale = 2.0 * envelope / width
    return InsertFacts(
        shape=insert.shape,
        length_mm=insert.length,
        envelope_mm=envelope,
        core_mm=min(width, thickness) / 2.0,
        section_mm2=width * thickness,
        opening_mm=max(width, thickness),
        density_g_ml=density_g_ml,
        measured_mm=tuple(m * scale for m in insert.measured),
        bow_mm=insert.bow,
        corners_mm=tuple((x * width / 2.0, y * thickness / 2.0) for x, y in _CORNERS),
        reading_scale=scale,
    )


def solid(insert: Insert, *, chord_mm: float) -> Solid:
    """The insert standing on z = 0, its corners on its surface.

    chord_mm : how far a side may leave the surface [mm].
    """
    from mouldgen.solid.kernel import prism

    return prism([outline(insert, chord_mm=chord_mm)], bottom_mm=0.0, top_mm=insert.length)


def outline(insert: Insert, *, chord_mm: float) -> Floats:
    """The section as a polygon (4, 2) [mm]; `chord_mm` has nothing to approximate."""
    import numpy as np

    del chord_mm
    half = np.array([need(insert, "width"), need(insert, "thickness")]) / 2.0
    return np.array(_CORNERS) * half
