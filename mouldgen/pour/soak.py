"""The open pores of an insert, which take resin once the pot is under pressure."""

from __future__ import annotations

from mouldgen.physics.wood import SHOP_MOISTURE, density, void_fraction
from mouldgen.pour.riser import open_pores_ml


def pores_ml(insert_ml: float, *, density_g_ml: float) -> float:
    """Pores of an insert that resin reaches [ml], taken for wood.

    Pores are what the density leaves of cell wall and water; see `open_pores_ml` for the share
    of them that is reached.

    insert_ml : volume of the insert [ml].
    density_g_ml : of the insert with its moisture [g/ml]; as heavy as cell wall means no pores.
    """
    gravity = density_g_ml * 1000.0 / density(1.0, moisture=SHOP_MOISTURE)
    full = 1.0 / (1.0 - void_fraction(1.0, moisture=SHOP_MOISTURE))  # where no pore is left
    if gravity >= full:
        return 0.0
    return open_pores_ml(insert_ml, void_share=void_fraction(gravity, moisture=SHOP_MOISTURE))
