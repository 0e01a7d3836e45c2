"""An insert that lies: what it is across, how high it stands, and where it can be touched.

Of the section as it is drawn standing, the first coordinate lies level and the second points up:
a bar lies on its width.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from mouldgen.errors import JobError
from mouldgen.insert.facts import InsertFacts
from mouldgen.job.model import Insert, Member

Range = tuple[float, float]
_LEVEL_MM = 1e-6  # corners so near to the highest lie level with it


@dataclass(frozen=True, eq=False)
class Lying:
    """A lying insert, its middle at the middle of what it is across and of its height.

    width_mm : level, across the insert [mm].
    tall_mm : its height as it lies [mm].
    length_mm : along the insert [mm].
    middle_mm : that middle in the coordinates of the section as drawn [mm].
    top_mm, bottom_mm : from where to where across its highest and its lowest places reach; both
        ends of a range are touched [mm].
    """

    width_mm: float
    tall_mm: float
    length_mm: float
    middle_mm: tuple[float, float]
    top_mm: Range
    bottom_mm: Range


def lying(insert: Insert, facts: InsertFacts) -> Lying:
    """How an insert lies.

    insert : the table of the job file.
    facts : of the same insert, as it stands.

    Raises JobError for a bundle with a taper in it.
    """
    across, upward, top, bottom = _bounds(insert, facts)
    middle = (across[0] + across[1]) / 2.0, (upward[0] + upward[1]) / 2.0
    return Lying(
        width_mm=across[1] - across[0],
        tall_mm=upward[1] - upward[0],
        length_mm=facts.length_mm,
        middle_mm=middle,
        top_mm=(top[0] - middle[0], top[1] - middle[0]),
        bottom_mm=(bottom[0] - middle[0], bottom[1] - middle[0]),
    )


def facts_across(facts: InsertFacts, laid: Lying) -> InsertFacts:
    """The facts with half the width in the place of the enclosing round, readings too.

    facts : of the insert as it stands.
    laid : how it lies.
    """
    half = laid.width_mm / 2.0
    scale = half / facts.envelope_mm
    return replace(
        facts,
        envelope_mm=half,
        measured_mm=tuple(reading * scale for reading in facts.measured_mm),
        reading_scale=facts.reading_scale * scale,
    )


def _bounds(insert: Insert, facts: InsertFacts) -> tuple[Range, Range, Range, Range]:
    """Across, upward, and where across the highest and the lowest places are."""
    if insert.member:
        return _joined([_of_member(member) for member in insert.member])
    if facts.corners_mm:
        return _of_corners(facts.corners_mm)
    return _of_round(0.0, 0.0, facts.envelope_mm)


def _of_member(member: Member) -> tuple[Range, Range, Range, Range]:
    x, y = member.at
    if member.shape == "taper":
        raise JobError(
            "a bundle with a taper in it does not lie level in a tray",
            where="[insert] member",
            allowed="members of shape rod, tube or bar in a tray",
            try_="Stand it in a cup or a block.",
        )
    if member.shape != "bar":
        return _of_round(x, y, (member.diameter or 0.0) / 2.0)
    a, b = (member.width or 0.0) / 2.0, (member.thickness or 0.0) / 2.0
    cos, sin = math.cos(math.radians(member.turn)), math.sin(math.radians(member.turn))
    return _of_corners(
        tuple(
            (x + u * a * cos - v * b * sin, y + u * a * sin + v * b * cos)
            for u, v in ((1, 1), (-1, 1), (-1, -1), (1, -1))
        )
    )


def _of_round(x: float, y: float, radius: float) -> tuple[Range, Range, Range, Range]:
    return (x - radius, x + radius), (y - radius, y + radius), (x, x), (x, x)


def _of_corners(corners: tuple[tuple[float, float], ...]) -> tuple[Range, Range, Range, Range]:
    across = [x for x, _ in corners]
    upward = [y for _, y in corners]
    low, high = min(upward), max(upward)
    top = [x for x, y in corners if y > high - _LEVEL_MM]
    bottom = [x for x, y in corners if y < low + _LEVEL_MM]
    return (min(across), max(across)), (low, high), _ends(top), _ends(bottom)


def _joined(found: list[tuple[Range, Range, Range, Range]]) -> tuple[Range, Range, Range, Range]:
    across = min(a[0] for a, _, _, _ in found), max(a[1] for a, _, _, _ in found)
    low, high = min(u[0] for _, u, _, _ in found), max(u[1] for _, u, _, _ in found)
    top = [x for _, u, t, _ in found if u[1] > high - _LEVEL_MM for x in t]
    bottom = [x for _, u, _, b in found if u[0] < low + _LEVEL_MM for x in b]
    return across, (low, high), _ends(top), _ends(bottom)


def _ends(values: list[float]) -> Range:
    return min(values), max(values)
