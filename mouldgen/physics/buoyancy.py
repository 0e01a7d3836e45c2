"""Lift of an insert under resin."""

from __future__ import annotations

from mouldgen.physics.constants import STANDARD_GRAVITY


def lift(resin_density: float, *, immersed_volume: float, mass: float) -> float:
    """Upward force on an immersed insert [N]: ``(rho V - m) g``; negative where it sinks.

    Archimedes.  Swelling, the push of the resin and gas that expands come on top; resin that
    soaks in lowers it.

    resin_density : of the mixed resin [kg/m3].
    immersed_volume : of the insert below the level [m3].
    mass : of the insert and what is fixed to it [kg].
    """
    return (resin_density * immersed_volume - mass) * STANDARD_GRAVITY
