"""A through hole, drilled along the axis of an insert of any shape."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from mouldgen.errors import JobError
from mouldgen.insert.facts import End, InsertFacts
from mouldgen.job.model import Insert

if TYPE_CHECKING:
    from mouldgen.solid.kernel import Solid

LEAST_WALL_MM = 0.5  # beside a hole: less breaks out while it is drilled (our own choice)


def drilled(facts: InsertFacts, insert: Insert) -> InsertFacts:
    """The facts with the hole: resin fills an open one, a plugged one stays hollow.

    Plugs are taken as flush and weightless.

    Raises JobError where the hole leaves next to no wall.
    """
    if insert.hole is None:
        return facts
    radius = insert.hole / 2.0
    if radius > facts.core_mm - LEAST_WALL_MM:
        raise JobError(
            f"a hole of {round(insert.hole, 2):g} mm leaves less than {LEAST_WALL_MM:g} mm beside"
            " it",
            where="[insert] hole",
            allowed=f"at most {_floor(2.0 * max(0.0, facts.core_mm - LEAST_WALL_MM)):g} mm",
        )
    gone = math.pi * radius**2
    if insert.hole_plugged:
        return replace(facts, sealed_ml=gone * facts.length_mm / 1000.0)
    lower, upper = (_drilled_end(end, radius, gone) for end in (facts.lower, facts.upper))
    return replace(
        facts,
        section_mm2=facts.section_mm2 - gone,
        holes=1,
        hole_mm=radius,
        slices=tuple(
            replace(piece, section_mm2=piece.section_mm2 - gone) for piece in facts.pieces
        ),
        ends=(lower, upper),
    )


def _floor(mm: float) -> float:
    """Down to a tenth, so that what is allowed is allowed [mm]."""
    return math.floor(10.0 * mm + 1e-6) / 10.0


def _drilled_end(end: End, radius: float, gone: float) -> End:
    return replace(end, inner_mm=radius, area_mm2=end.area_mm2 - gone)


def bored(solid: Solid, insert: Insert, *, chord_mm: float) -> Solid:
    """The solid with its open hole, drawn around the hole's circle.

    chord_mm : how far a corner may stand off the circle [mm].
    """
    if insert.hole is None or insert.hole_plugged:
        return solid
    from mouldgen.solid.kernel import OVERSHOOT, cylinder

    return solid - cylinder(
        insert.hole / 2.0,
        bottom_mm=-OVERSHOOT,
        top_mm=insert.length + OVERSHOOT,
        chord_mm=chord_mm,
    )
