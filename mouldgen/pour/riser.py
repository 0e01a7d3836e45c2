"""How much resin has to stand above the fill line, and whether a second pour is needed."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.errors import InputError
from mouldgen.pour.pressure import share_left

if TYPE_CHECKING:
    from mouldgen.pour.pour import Pour

# Belief, no source: resin that has not been drawn in by vacuum wets a skin of about half a
# millimetre, which is a tenth of a stick of 20 mm.
REACHED_SHARE = 0.1
DROP_ML = 0.05  # a drop: nobody opens the pot again for less


@dataclass(frozen=True, eq=False)
class Riser:
    """What sinks below the fill line after the pour, and what makes up for it.

    pockets_ml : what the pressure takes from shut-in air [ml].
    pores_ml : what it presses into open pores [ml].
    shrinkage_ml : what the resin shrinks while it is still liquid [ml].
    room_ml : resin that the mould holds above the fill line [ml].
    """

    pockets_ml: float
    pores_ml: float
    shrinkage_ml: float
    room_ml: float

    @property
    def needed_ml(self) -> float:
        """Resin that must stand above the fill line [ml]."""
        return self.pockets_ml + self.pores_ml + self.shrinkage_ml

    @property
    def fits(self) -> bool:
        """Whether one pour is enough."""
        return self.second_ml == 0.0

    @property
    def second_ml(self) -> float:
        """What a second pour takes to come back to the fill line [ml]; 0 where one is enough."""
        missing = self.needed_ml - self.room_ml
        return missing if missing > DROP_ML else 0.0


def riser(
    *,
    pockets_ml: float,
    pores_ml: float,
    shrinkage: float,
    net_ml: float,
    pressure_kpa: float,
    room_ml: float,
) -> Riser:
    """The riser: ``(1 - p_a/p)(pockets + open pores) + shrinkage before gel * net volume``.

    pockets_ml, pores_ml : shut-in air and open pores before the pressure [ml].
    shrinkage : of the resin's volume before it gels, as a share.
    net_ml : resin below the fill line [ml].
    pressure_kpa : gauge, 0 without a pot [kPa].
    room_ml : resin that the mould holds above the fill line [ml].

    Raises InputError where an amount is below 0 or the shrinkage is no share.
    """
    amounts = {"pockets": pockets_ml, "pores": pores_ml, "net": net_ml, "room": room_ml}
    for name, amount in amounts.items():
        if not amount >= 0.0:
            raise InputError(f"{name}: {amount:g} ml is no amount", allowed="0 ml and more")
    if not 0.0 <= shrinkage < 1.0:
        raise InputError(f"a shrinkage of {shrinkage:g} is no share", allowed="0 up to 1")
    gone = 1.0 - share_left(pressure_kpa)
    return Riser(
        pockets_ml=gone * pockets_ml,
        pores_ml=gone * pores_ml,
        shrinkage_ml=shrinkage * net_ml,
        room_ml=room_ml,
    )


def pockets_ml(pour: Pour, *, bridged_ml: float, insert_top_mm: float) -> float:
    """All air that stays shut in: the virtual pour's pockets and what resin on top bridges [ml].

    The virtual pour lets resin rise from below and knows no bridge.  A pocket beside or under the
    insert lies in the bridged air, so that the larger of the two counts there.

    pour : upright.
    bridged_ml : air below resin that was poured on top of the insert, 0 with none [ml].
    insert_top_mm : height over the mould's floor [mm].
    """
    beside = math.fsum(
        pocket.volume_ml for pocket in pour.pockets if pocket.place_mm[2] < insert_top_mm
    )
    return pour.shut_in_ml + max(0.0, bridged_ml - beside)


def open_pores_ml(insert_ml: float, *, void_share: float, reached: float = REACHED_SHARE) -> float:
    """Pores that the resin reaches and the pressure closes or fills [ml].

    insert_ml : volume of the insert [ml].
    void_share : of it that is air, such as wood's ``1 - G (0.667 + 0.01 x)``.
    reached : of those pores, the share that resin gets to; a belief.

    Raises InputError where a share is none.
    """
    for name, share in (("void_share", void_share), ("reached", reached)):
        if not 0.0 <= share <= 1.0:
            raise InputError(f"{name}: {share:g} is no share", allowed="0 to 1")
    return insert_ml * void_share * reached
