"""A heap of which only the volume is known, and the round or the box that it fits in."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from mouldgen.errors import JobError
from mouldgen.insert.facts import Corners, End, InsertFacts, Slice
from mouldgen.insert.given import given_volume_ml
from mouldgen.insert.needs import need
from mouldgen.job.model import Insert

if TYPE_CHECKING:
    from mouldgen.solid.kernel import Solid


def facts(insert: Insert, *, density_g_ml: float) -> InsertFacts:
    """A heap: the volume that was weighed or displaced, spread evenly over its length.

    To the resin it is its round or its box, the cautious side: what passes between the lumps is
    left out.

    density_g_ml : of what it is made of [g/ml].

    Raises JobError without a volume, or where it does not go into the box.
    """
    corners, full, radius = _outline(insert)
    volume = given_volume_ml(insert, density_g_ml=density_g_ml, sealed_ml=0.0)
    if volume is None:
        raise JobError(
            "a heap needs a volume",
            where="[insert] weight",
            allowed='weight = "16 g" with a density, or displaced = "32 ml"',
        )
    section = 1000.0 * volume / insert.length
    if corners and section > full * (1.0 + 1e-9):
        raise JobError(
            f"a volume of {volume:.4g} ml does not go into the heap's box",
            where="[insert] weight" if insert.displaced is None else "[insert] displaced",
            allowed=f"at most {full * insert.length / 1000.0:.4g} ml",
            try_="Look at its sizes, its density and the unit.",
        )
    # Where its lumps lie is not known: in its middle rather than at its rim.
    core = min((abs(y) for _, y in corners), default=radius)
    core = min((core, *(abs(x) for x, _ in corners)))
    end = End(min(core, math.sqrt(section / math.pi)), 0.0, section, 2.0 * radius)
    return InsertFacts(
        shape=insert.shape,
        length_mm=insert.length,
        envelope_mm=radius,
        core_mm=core,
        section_mm2=section,
        opening_mm=2.0 * radius,
        density_g_ml=density_g_ml,
        measured_mm=insert.measured,
        bow_mm=insert.bow,
        corners_mm=corners,
        slices=(Slice(insert.length, radius, radius, section, full, corners),),
        ends=(end, end),
    )


def solid(insert: Insert, *, chord_mm: float) -> Solid:
    """The round or the box that it fits in, standing on z = 0.

    chord_mm : how far a side may leave the surface [mm].
    """
    if insert.width is not None:
        return _boxed(_outline(insert)[0], insert.length)
    return _round(need(insert, "diameter") / 2.0, insert.length, chord_mm=chord_mm)


def displacing(facts: InsertFacts, *, chord_mm: float) -> Solid:
    """A round or a box of the heap's volume, standing on z = 0.

    chord_mm : how far a side may leave the surface [mm].
    """
    if facts.corners_mm:
        share = math.sqrt(facts.section_mm2 / facts.slices[0].outline_mm2)
        return _boxed(tuple((x * share, y * share) for x, y in facts.corners_mm), facts.length_mm)
    radius = math.sqrt(facts.section_mm2 / math.pi)
    return _round(radius, facts.length_mm, chord_mm=chord_mm)


def _outline(insert: Insert) -> tuple[Corners, float, float]:
    """Corners of its box, none for a round; area and enclosing radius of either [mm]."""
    if insert.width is None and insert.thickness is None:
        radius = need(insert, "diameter") / 2.0
        return (), math.pi * radius**2, radius
    x, y = need(insert, "width") / 2.0, need(insert, "thickness") / 2.0
    return ((x, y), (-x, y), (-x, -y), (x, -y)), 4.0 * x * y, math.hypot(x, y)


def _boxed(corners: Corners, length: float) -> Solid:
    from mouldgen.solid.kernel import prism

    return prism([corners], bottom_mm=0.0, top_mm=length)


def _round(radius: float, length: float, *, chord_mm: float) -> Solid:
    from mouldgen.solid.circle import polygon, segments
    from mouldgen.solid.kernel import prism

    ring = polygon(radius, sides=segments(radius, chord_mm=chord_mm))
    return prism([ring], bottom_mm=0.0, top_mm=length)
