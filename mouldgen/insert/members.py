"""Inserts that stand side by side, all as long as each other and held together.

They are taken as tied or glued into one: one axis, one fit, one float.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING

from mouldgen.errors import JobError
from mouldgen.insert import bar, rod, taper, tube
from mouldgen.insert.facts import End, InsertFacts, Slice, Spot
from mouldgen.insert.hull import area_mm2, hull, inside_mm, opening_mm
from mouldgen.insert.overlap import Place, overlap_mm
from mouldgen.job.model import Insert, Member

if TYPE_CHECKING:
    from mouldgen.solid.kernel import Solid

_SHAPES = {"rod": rod, "tube": tube, "bar": bar, "taper": taper}
_ROUND_POINTS = 24  # of a round member, on its circle
_LEVELS = 24  # slices where a member is not the same all along
_TOUCH_MM = 0.01  # members that touch may overlap by so much
_APART_MM = 0.001  # surfaces that meet in a line only would be no solid


@dataclass(frozen=True, eq=False)
class _Standing:
    """A member as an insert of its own, with its facts and its place."""

    insert: Insert
    facts: InsertFacts
    place: Place


def facts(insert: Insert, *, density_g_ml: float) -> InsertFacts:
    """Members together: their volumes and sealed hollows add up.

    To the resin they are their convex outline, the cautious side: what passes between them is
    left out.  A taper counts with its thick end there.

    density_g_ml : of all of them [g/ml].

    Raises JobError where two of them overlap.
    """
    standing = _standing(insert, density_g_ml)
    _apart(standing)
    points = [point for one in standing for point in _points(one.place)]
    corners = hull(points)
    envelope = max(one.place.reach_mm for one in standing)
    inside = inside_mm(corners)
    outline = area_mm2(corners)
    if inside <= 0.0:  # the axis is beside the bundle: all that is known of it is its round
        corners, outline = (), math.pi * envelope**2
    opening = opening_mm(points, envelope_mm=envelope)
    section = math.fsum(one.facts.section_mm2 for one in standing)
    return InsertFacts(
        shape=insert.shape,
        length_mm=insert.length,
        envelope_mm=envelope,
        core_mm=max(inside, 0.0),
        section_mm2=section,
        opening_mm=opening,
        density_g_ml=density_g_ml,
        bow_mm=insert.bow,
        corners_mm=corners,
        sealed_ml=math.fsum(one.facts.sealed_ml for one in standing),
        slices=tuple(
            _slices(insert, standing, Slice(1.0, envelope, envelope, 0.0, outline, corners))
        ),
        ends=(
            _end(standing, [one.facts.lower for one in standing], opening),
            _end(standing, [one.facts.upper for one in standing], opening),
        ),
    )


def solid(insert: Insert, *, chord_mm: float) -> Solid:
    """All members standing on z = 0, their corners on their surfaces.

    Those that touch are drawn a micrometre thin, and by as much more as they overlap.

    chord_mm : how far a side may leave a surface [mm].
    """
    from mouldgen.solid.kernel import union

    standing = _standing(insert, 1.0)
    made = []
    for one, off in zip(standing, _thinned(standing), strict=True):
        sizes = {
            key: getattr(one.insert, key) for key in ("diameter", "small", "width", "thickness")
        }
        thin = {key: size - 2.0 * off for key, size in sizes.items() if size is not None}
        drawn = one.insert.model_copy(update=thin) if off else one.insert
        member = _SHAPES[drawn.shape].solid(drawn, chord_mm=chord_mm)
        made.append(member.turned(one.place.turn_deg).moved(one.place.x, one.place.y))
    return union(made)


def _thinned(standing: list[_Standing]) -> list[float]:
    """By how much each is drawn thin a side, so that members that touch stay apart [mm]."""
    off = [0.0] * len(standing)
    for (i, one), (k, other) in combinations(enumerate(standing), 2):
        shared = overlap_mm(one.place, other.place)
        if shared > -2.0 * _APART_MM:
            for index in (i, k):
                off[index] = max(off[index], shared + _APART_MM)
    return off


def _standing(insert: Insert, density: float) -> list[_Standing]:
    found = []
    for member in insert.member:
        own = _as_insert(member, insert)
        facts = _SHAPES[own.shape].facts(own, density_g_ml=density)
        found.append(_Standing(own, facts, _place(member, facts)))
    return found


def _as_insert(member: Member, insert: Insert) -> Insert:
    sizes = {key: getattr(member, key) for key in Member.model_fields if key not in ("at", "turn")}
    return Insert.model_construct(**sizes, length=insert.length)


def _place(member: Member, facts: InsertFacts) -> Place:
    ends = [(piece.lower_mm, piece.upper_mm) for piece in facts.pieces]
    half = (0.0, 0.0)
    if member.shape == "bar":
        half = ((member.width or 0.0) / 2.0, (member.thickness or 0.0) / 2.0)
    return Place(
        x=member.at[0],
        y=member.at[1],
        turn_deg=member.turn,
        lower_mm=ends[0][0],
        upper_mm=ends[-1][1],
        inside_mm=facts.hole_mm,
        half_mm=half,
    )


def _apart(standing: list[_Standing]) -> None:
    for (i, one), (k, other) in combinations(enumerate(standing, start=1), 2):
        shared = overlap_mm(one.place, other.place)
        if shared > _TOUCH_MM:
            raise JobError(
                f"members {i} and {k} overlap by {shared:.2f} mm",
                where="[[insert.member]] at",
                allowed="members that stand apart or touch",
                try_="Move one of them, or make it thinner.",
            )


def _points(place: Place) -> Iterator[tuple[float, float]]:
    if place.is_bar:
        yield from place.corners
        return
    away = math.atan2(place.y, place.x)  # the point that is farthest from the axis is one of them
    for k in range(_ROUND_POINTS):
        angle = away + 2.0 * math.pi * k / _ROUND_POINTS
        yield (
            place.x + place.radius_mm * math.cos(angle),
            place.y + place.radius_mm * math.sin(angle),
        )


def _slices(insert: Insert, standing: list[_Standing], like: Slice) -> Iterator[Slice]:
    straight = all(p.lower_mm == p.upper_mm for one in standing for p in one.facts.pieces)
    count = 1 if straight else _LEVELS
    height = insert.length / count
    for k in range(count):
        volume = math.fsum(
            one.facts.below_mm3(min((k + 1) * height, insert.length))
            - one.facts.below_mm3(k * height)
            for one in standing
        )
        yield Slice(
            height, like.lower_mm, like.upper_mm, volume / height, like.outline_mm2, like.corners_mm
        )


def _end(standing: list[_Standing], ends: list[End], opening: float) -> End:
    """Up to three members that stand far apart carry a leg or a pip each."""
    spots = [_spot(one.place, end) for one, end in zip(standing, ends, strict=True)]
    chosen = [max(spots, key=lambda spot: math.hypot(spot[0], spot[1]))]
    while len(chosen) < min(3, len(spots)):
        chosen.append(
            max(spots, key=lambda spot: min(math.dist(spot[:2], known[:2]) for known in chosen))
        )
    area = math.fsum(end.area_mm2 for end in ends)
    return End(max(end.outer_mm for end in ends), 0.0, area, opening, spots_mm=tuple(chosen))


def _spot(place: Place, end: End) -> Spot:
    """Where a member is solid: its middle, or the wall of a tube on the side of the axis."""
    if end.inner_mm == 0.0:
        return place.x, place.y, end.outer_mm
    wall = (end.inner_mm + end.outer_mm) / 2.0
    inward = math.atan2(-place.y, -place.x)
    x, y = place.x + wall * math.cos(inward), place.y + wall * math.sin(inward)
    return x, y, (end.outer_mm - end.inner_mm) / 2.0
