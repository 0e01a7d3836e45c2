"""A turned insert: radii along its axis, straight between them."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING

from mouldgen.errors import JobError
from mouldgen.insert.facts import End, InsertFacts, Slice, frustum_mm3
from mouldgen.job.model import Insert

if TYPE_CHECKING:
    from mouldgen.solid.kernel import Solid


def facts(insert: Insert, *, density_g_ml: float) -> InsertFacts:
    """A turned insert: a frustum between every two points, from the lower end up.

    Two points at one height are a shoulder.  The readings are of its thickest place.

    density_g_ml : of the insert [g/ml].

    Raises JobError where there is no profile.
    """
    points = _profile(insert)
    slices = tuple(
        Slice(high - low, r0, r1, *(frustum_mm3(r0, r1, high - low) / (high - low),) * 2)
        for (low, r0), (high, r1) in pairwise(points)
        if high > low
    )
    volume = math.fsum(piece.section_mm2 * piece.length_mm for piece in slices)
    radii = [radius for _, radius in points]
    return InsertFacts(
        shape=insert.shape,
        length_mm=insert.length,
        envelope_mm=max(radii),
        core_mm=min(radii),
        section_mm2=volume / insert.length,
        opening_mm=0.0,
        density_g_ml=density_g_ml,
        measured_mm=insert.measured,
        bow_mm=insert.bow,
        slices=slices,
        ends=(
            End(radii[0], 0.0, math.pi * radii[0] ** 2),
            End(radii[-1], 0.0, math.pi * radii[-1] ** 2),
        ),
    )


def solid(insert: Insert, *, chord_mm: float) -> Solid:
    """The turned insert standing on z = 0, its corners on its surface.

    chord_mm : how far a side may leave the surface [mm].
    """
    from mouldgen.solid.circle import segments
    from mouldgen.solid.kernel import revolve

    points = _profile(insert)
    sides = segments(max(radius for _, radius in points), chord_mm=chord_mm)
    inward = math.cos(math.pi / sides)  # `revolve` draws around the surface
    wall = [(radius * inward, height) for height, radius in points]
    return revolve([(0.0, points[0][0]), *wall, (0.0, points[-1][0])], sides=sides)


def _profile(insert: Insert) -> tuple[tuple[float, float], ...]:
    if insert.profile is None:
        raise JobError('an insert of shape "outline" needs its profile', where="[insert] profile")
    return insert.profile
