"""The insert: as facts that rules are computed from, and as a solid that is measured.

A shape is one file with two functions: `facts` in closed form, and `solid`, its corners on its
surface.  Where that mesh lacks more than a little of the volume, a third, `displacing`, gives one
of the same volume.  Adding a shape means adding that file and its name here, in
`job.model.Insert.shape` and in `job.shapes`.
"""

from __future__ import annotations

from dataclasses import replace
from importlib import import_module
from typing import TYPE_CHECKING, Protocol

from mouldgen.insert.facts import InsertFacts
from mouldgen.insert.given import with_given_volume
from mouldgen.insert.hole import bored, drilled
from mouldgen.job.model import Insert

if TYPE_CHECKING:
    from mouldgen.solid.kernel import Solid


class Displacing(Protocol):
    """Makes an insert whose mesh has the volume of its closed form."""

    def __call__(self, insert: Insert, facts: InsertFacts, *, chord_mm: float) -> Solid:
        """The insert standing on z = 0."""


class Shape(Protocol):
    """What the file of a shape offers."""

    def facts(self, insert: Insert, *, density_g_ml: float) -> InsertFacts:
        """The closed-form facts."""

    def solid(self, insert: Insert, *, chord_mm: float) -> Solid:
        """The insert standing on z = 0, its corners on its surface."""


SHAPES = ("rod", "tube", "bar", "twist", "flute", "coil", "taper", "outline", "scan", "bundle")

__all__ = [
    "SHAPES",
    "InsertFacts",
    "Shape",
    "displacing_of",
    "envelope_solid",
    "facts_of",
    "shape_of",
    "solid_of",
]


def shape_of(name: str) -> Shape:
    """The file of a shape; only that one is loaded.

    name : in the job file.
    """
    shape: Shape = import_module(f"{__name__}.{name}")
    return shape


def facts_of(insert: Insert, *, density_g_ml: float) -> InsertFacts:
    """The closed-form facts of an insert, its hole and its given volume reckoned in.

    density_g_ml : of the insert [g/ml].

    Raises JobError naming the key where the shape needs one that is not given.
    """
    drawn = shape_of(insert.shape).facts(insert, density_g_ml=density_g_ml)
    facts = with_given_volume(drilled(drawn, insert), insert)
    return facts if insert.porosity is None else replace(facts, porosity=insert.porosity)


def solid_of(insert: Insert, *, chord_mm: float) -> Solid:
    """The insert standing on z = 0, its corners on its surface: what clearances are measured on.

    chord_mm : how far a facet may leave the surface [mm].
    """
    return bored(shape_of(insert.shape).solid(insert, chord_mm=chord_mm), insert, chord_mm=chord_mm)


def displacing_of(insert: Insert, facts: InsertFacts, *, chord_mm: float) -> Solid | None:
    """The insert as the resin finds it, or None where `solid_of` has that volume already.

    facts : of the same insert.
    chord_mm : how far a facet may leave the surface [mm].
    """
    make: Displacing | None = getattr(shape_of(insert.shape), "displacing", None)
    if make is None:
        return None
    return bored(make(insert, facts, chord_mm=chord_mm), insert, chord_mm=chord_mm)


def envelope_solid(facts: InsertFacts, *, sides: int) -> Solid:
    """The round that encloses the insert, standing on z = 0, its corners on the circle.

    sides : those of the bore, so that its corners face the bore's corners and the measured
        gap is never wider than the true one by more than the bore's own excess.
    """
    from mouldgen.solid.circle import polygon
    from mouldgen.solid.kernel import prism

    ring = polygon(facts.envelope_mm, sides=sides)
    return prism([ring], bottom_mm=0.0, top_mm=facts.length_mm)
