"""How hard the insert pushes the lid up, and what that takes to hold."""

from __future__ import annotations

from mouldgen.finding import Finding
from mouldgen.insert.facts import InsertFacts
from mouldgen.physics.buoyancy import lift
from mouldgen.physics.constants import STANDARD_GRAVITY
from mouldgen.size import Size

MARGIN = 2.0  # twice the lift: swelling and the maker's push come on top (our own choice)


def held_down(insert: InsertFacts, size: Size, *, resin_g_ml: float) -> tuple[Finding, ...]:
    """One note: the weight or tape that keeps the lid down, or that the insert sinks.

    insert : the insert, all of it under resin.
    size : the cup.
    resin_g_ml : density of the mixed resin [g/ml].
    """
    immersed = size.insert_ml if size.level_mm <= size.fill_mm else insert.volume_ml
    force = lift(resin_g_ml * 1000.0, immersed_volume=immersed * 1e-6, mass=insert.mass_g * 1e-3)
    grams = force / STANDARD_GRAVITY * 1000.0
    if force <= 0.0:
        message = f"The insert sinks: it weighs {-grams:.0f} g in the resin and needs no holding."
    else:
        message = (
            f"The insert floats up with {grams:.0f} g. Weigh or tape the lid down for at least"
            f" {MARGIN * grams:.0f} g, twice that."
        )
    return (
        Finding(
            id="held.lift",
            rule="held",
            severity="note",
            message=message,
            measured=force,
            limit=MARGIN * max(force, 0.0),
            place="lid",
        ),
    )
