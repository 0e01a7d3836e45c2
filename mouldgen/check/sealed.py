"""A hollow in the insert that nothing fills: the pot's pressure stands on its walls."""

from __future__ import annotations

from mouldgen.finding import Finding
from mouldgen.insert.facts import InsertFacts
from mouldgen.job.model import Insert
from mouldgen.size.hole import Hole
from mouldgen.units import psi

_LEAST_ML = 0.01  # less is a pinhole


def sealed_hollow(insert: InsertFacts, *, pressure_kpa: float) -> tuple[Finding, ...]:
    """What a plugged tube or hole must stand, and that it floats.

    Common practice, no source: the trade plugs tubes, and sees them float and hollows crushed.

    pressure_kpa : gauge, 0 without a pot [kPa].
    """
    sealed = insert.sealed_ml
    if sealed < _LEAST_ML:
        return ()
    floats = f"It displaces {insert.volume_ml:.3g} ml and weighs {insert.mass_g:.3g} g."
    if pressure_kpa > 0.0:
        stands = (
            f"The insert's plugged hollow of {sealed:.3g} ml stays at the shop's pressure, so that"
            f" all of the pot's {psi(pressure_kpa):.3g} psi gauge stand on its wall and its plugs:"
            " try one alone first, or leave it open."
        )
    else:
        stands = f"The insert's plugged hollow of {sealed:.3g} ml must stay dry: seal its plugs."
    return (
        Finding(
            id="insert.sealed-hollow",
            rule="sealed",
            severity="warn" if pressure_kpa > 0.0 else "note",
            message=f"{stands} {floats}",
            measured=sealed,
            place="insert",
        ),
    )


def hole_in_hollow(insert: Insert, hole: Hole | None) -> tuple[Finding, ...]:
    """A piece's hole that is drilled into the plugged hollow of its insert.

    Where the hollow is no wider than the drill, nothing of it is left.

    insert : the table of the job file.
    hole : of the finished piece, or None.
    """
    tube = insert.inside if insert.shape == "tube" and insert.plugged else None
    wide = tube or (insert.hole if insert.hole_plugged else None)
    if hole is None or wide is None or wide <= hole.drill_mm:
        return ()
    holds = "the thread holds in nothing" if hole.thread else "the hole opens into it"
    message = (
        f"The insert's plugged hollow is {wide:g} mm wide, wider than the drill of"
        f" {hole.drill_mm:g} mm: {holds}. Leave the hollow open, so that resin fills it."
    )
    return (
        Finding("piece.hole-in-hollow", "piece", "stop", message, wide, hole.drill_mm, "[piece]"),
    )
