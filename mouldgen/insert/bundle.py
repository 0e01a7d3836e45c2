"""Several inserts in one mould: members at places, a honeycomb, or a heap known by its volume."""

from __future__ import annotations

from typing import TYPE_CHECKING

from mouldgen.insert import heap, honeycomb, members
from mouldgen.insert.facts import InsertFacts
from mouldgen.job.model import Insert
from mouldgen.job.shapes import kind_of_bundle

if TYPE_CHECKING:
    from mouldgen.solid.kernel import Solid


def facts(insert: Insert, *, density_g_ml: float) -> InsertFacts:
    """The closed form of whichever of the three it is.

    density_g_ml : of what it is made of [g/ml].

    Raises JobError where members overlap, where no cell fits, or without a heap's volume.
    """
    kind = kind_of_bundle(insert)
    if kind == "members":
        return members.facts(insert, density_g_ml=density_g_ml)
    if kind == "a honeycomb":
        return honeycomb.facts(insert, density_g_ml=density_g_ml)
    return heap.facts(insert, density_g_ml=density_g_ml)


def solid(insert: Insert, *, chord_mm: float) -> Solid:
    """The bundle standing on z = 0, its corners on its surfaces; of a heap its round.

    chord_mm : how far a side may leave a surface [mm].
    """
    kind = kind_of_bundle(insert)
    if kind == "members":
        return members.solid(insert, chord_mm=chord_mm)
    if kind == "a honeycomb":
        return honeycomb.solid(insert)
    return heap.solid(insert, chord_mm=chord_mm)


def displacing(insert: Insert, facts: InsertFacts, *, chord_mm: float) -> Solid:
    """The bundle as the resin finds it: a heap as a round of its volume, all else as drawn.

    facts : of the same insert.
    chord_mm : how far a side may leave a surface [mm].
    """
    if kind_of_bundle(insert) == "a heap":
        return heap.displacing(facts, chord_mm=chord_mm)
    return solid(insert, chord_mm=chord_mm)
