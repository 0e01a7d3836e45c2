"""The insert: as facts that rules are computed from, and as a solid that is measured.

A shape is one file with two functions: `facts` in closed form, and `outline`, its section.
Adding a shape means adding that file and its name here and in `job.model.Insert.shape`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from mouldgen.insert import bar, flute, rod
from mouldgen.insert.facts import InsertFacts
from mouldgen.job.model import Insert

if TYPE_CHECKING:
    from mouldgen.solid.kernel import Solid
    from mouldgen.solid.mesh import Floats


class Shape(Protocol):
    """What the file of a shape offers."""

    def facts(self, insert: Insert, *, density_g_ml: float) -> InsertFacts:
        """The closed-form facts."""

    def outline(self, insert: Insert, *, chord_mm: float) -> Floats:
        """The section as a polygon (n, 2) with its corners on the surface [mm]."""


SHAPES: dict[str, Shape] = {"rod": rod, "flute": flute, "bar": bar}

__all__ = ["SHAPES", "InsertFacts", "Shape", "envelope_solid", "facts_of", "solid_of"]


def facts_of(insert: Insert, *, density_g_ml: float) -> InsertFacts:
    """The closed-form facts of an insert.

    density_g_ml : of the insert [g/ml].

    Raises JobError naming the key where the shape needs one that is not given.
    """
    return SHAPES[insert.shape].facts(insert, density_g_ml=density_g_ml)


def solid_of(insert: Insert, *, chord_mm: float) -> Solid:
    """The insert standing on z = 0, its corners on its surface.

    chord_mm : how far a facet may leave the surface [mm].
    """
    from mouldgen.solid.kernel import prism

    section = SHAPES[insert.shape].outline(insert, chord_mm=chord_mm)
    return prism([section], bottom_mm=0.0, top_mm=insert.length)


def envelope_solid(facts: InsertFacts, *, sides: int) -> Solid:
    """The round that encloses the insert, standing on z = 0, its corners on the circle.

    sides : those of the bore, so that its corners face the bore's corners and the measured
        gap is never wider than the true one by more than the bore's own excess.
    """
    from mouldgen.solid.circle import polygon
    from mouldgen.solid.kernel import prism

    ring = polygon(facts.envelope_mm, sides=sides)
    return prism([ring], bottom_mm=0.0, top_mm=facts.length_mm)
