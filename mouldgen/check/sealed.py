"""A hollow in the insert that nothing fills: the pot's pressure stands on its walls."""

from __future__ import annotations

from mouldgen.finding import Finding
from mouldgen.insert.facts import InsertFacts
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
