"""The wood that an insert is cut from: as sawn, with what the saw turns to dust."""

from __future__ import annotations

from typing import TYPE_CHECKING

from mouldgen.job.shapes import kind_of_bundle
from mouldgen.physics.wood import CELL_WALL_GRAVITY

if TYPE_CHECKING:
    from mouldgen.insert.facts import InsertFacts
    from mouldgen.job.model import Insert

_ROUND = ("rod", "tube", "flute", "taper", "outline")
_FLAT = ("bar", "twist")


def rough_mm(
    insert: Insert, facts: InsertFacts, *, kerf_mm: float
) -> tuple[float, float, float] | None:
    """Width, thickness and length that one insert takes of a board, a kerf each [mm].

    None for what is not sawn: what was found and weighed, a scan, a coil, a bundle, and what is
    denser than wood can be.

    insert : the table of the job file.
    facts : of the same insert.
    kerf_mm : that one cut turns to dust [mm].
    """
    found = insert.displaced is not None or insert.weight is not None
    if found or facts.density_g_ml > CELL_WALL_GRAVITY:
        return None
    if insert.shape in _ROUND:
        across = max(2.0 * facts.envelope_mm, *facts.measured_mm, 0.0)
        sides = (across, across)
    elif insert.shape in _FLAT and insert.width and insert.thickness:
        sides = (insert.width, insert.thickness)
    else:
        return None
    return sides[0] + kerf_mm, sides[1] + kerf_mm, facts.length_mm + kerf_mm


def sticks(insert: Insert) -> int:
    """How many sticks one insert is made of: the members of a bundle, else 1.

    insert : the table of the job file.
    """
    if insert.shape == "bundle" and kind_of_bundle(insert) == "members":
        return len(insert.member)
    return 1
