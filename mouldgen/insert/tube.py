"""A tube, open so that resin fills its bore too, or plugged so that nothing does."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from mouldgen.insert.facts import End, InsertFacts, Slice
from mouldgen.insert.needs import need
from mouldgen.job.model import Insert

if TYPE_CHECKING:
    from mouldgen.solid.kernel import Solid


def facts(insert: Insert, *, density_g_ml: float) -> InsertFacts:
    """A tube: ``A = pi (R^2 - b^2)`` where it is open, ``pi R^2`` where it is plugged.

    A plugged one weighs its wall only: plugs are left out.

    density_g_ml : of the wall [g/ml].
    """
    radius, inside = need(insert, "diameter") / 2.0, need(insert, "inside") / 2.0
    full, hollow = math.pi * radius**2, math.pi * inside**2
    section = full if insert.plugged else full - hollow
    end = End(radius, 0.0 if insert.plugged else inside, section)
    return InsertFacts(
        shape=insert.shape,
        length_mm=insert.length,
        envelope_mm=radius,
        core_mm=radius,
        section_mm2=section,
        opening_mm=0.0,
        density_g_ml=density_g_ml,
        measured_mm=insert.measured,
        bow_mm=insert.bow,
        holes=0 if insert.plugged else 1,
        hole_mm=0.0 if insert.plugged else inside,
        sealed_ml=hollow * insert.length / 1000.0 if insert.plugged else 0.0,
        slices=(Slice(insert.length, radius, radius, section, full),),
        ends=(end, end),
    )


def solid(insert: Insert, *, chord_mm: float) -> Solid:
    """The tube standing on z = 0, its corners on its surfaces; a plugged one is a rod.

    chord_mm : how far a side may leave a surface [mm].
    """
    from mouldgen.solid.circle import polygon, segments
    from mouldgen.solid.kernel import prism

    radii = [need(insert, "diameter") / 2.0]
    if not insert.plugged:
        radii.append(need(insert, "inside") / 2.0)
    outer, *hole = (polygon(r, sides=segments(r, chord_mm=chord_mm)) for r in radii)
    rings = [outer, *(ring[::-1] for ring in hole)]
    return prism(rings, bottom_mm=0.0, top_mm=insert.length)
