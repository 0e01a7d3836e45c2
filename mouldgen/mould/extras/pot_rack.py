"""A rack for the pot: a plate with round seats that keep the moulds upright on the tray.

The plate stands on the guides of its seats.  They have slots at the foot and the plate's edge is
open all round, so that pressure and a leak go everywhere; printed with the plate on the bed it
needs no support.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.finding import Finding
from mouldgen.mould.extras.in_pot import InPot, in_pot
from mouldgen.solid.kernel import OVERSHOOT, Solid, cylinder, prism, union

if TYPE_CHECKING:
    from mouldgen.mould.extras.question import ExtrasQuestion
    from mouldgen.solid.mesh import Floats

PLATE_MM = 2.4  # our own choices, no source: stiff enough to carry by its edge
SLOTS = 3
SLOT_MM = 4.0  # wide: resin does not bridge it


@dataclass(frozen=True, eq=False)
class PotRack:
    """A plate with a seat for each mould that stands in the pot.

    room : where the seats are.
    plate_mm, slot_mm : thickness of the plate, height of the slots in the guides [mm].
    chord_mm : how far a facet may leave its circle [mm].
    """

    room: InPot
    plate_mm: float
    slot_mm: float
    chord_mm: float

    name = "pot-rack"
    count = 1
    turn_over = True

    @property
    def genus(self) -> int:
        """One hole a seat; a slot is open at its foot and adds none."""
        return len(self.room.seats)

    @property
    def sentence(self) -> str:
        """What it is for, with its figures."""
        seats, loads = len(self.room.seats), self.room.loads
        all_in = "all moulds at once" if loads == 1 else f"all moulds in {loads} loads"
        many = "seat" if seats == 1 else "seats"
        return (
            f"The pot rack has {seats} {many} and takes {all_in}; it stands on the floor of the pot"
            " or in the drip tray."
        )

    @property
    def remarks(self) -> tuple[Finding, ...]:
        """Nothing: where it does not fit there is none."""
        return ()

    def figures(self) -> dict[str, float]:
        """Its figures for other programs; keys carry their unit."""
        return {
            "across_mm": round(2.0 * self.room.rack_mm, 3),
            "height_mm": round(self.room.guide_mm, 3),
            "seats": len(self.room.seats),
            "seat_mm": round(2.0 * self.room.seat_mm, 3),
            "loads": self.room.loads,
        }

    def solid(self) -> Solid:
        """The rack as it stands in the pot, its guides on z = 0."""
        top = self.room.guide_mm
        plate = self._round(self.room.rack_mm, (0.0, 0.0), top - self.plate_mm, top)
        guides = [self._round(self.room.collar_mm, at, 0.0, top) for at in self.room.seats]
        holes = [
            self._round(self.room.seat_mm, at, -OVERSHOOT, top + OVERSHOOT)
            for at in self.room.seats
        ]
        slots = [
            prism([ring], bottom_mm=-OVERSHOOT, top_mm=self.slot_mm)
            for at in self.room.seats
            for ring in self._slots(at)
        ]
        return union([plate, *guides]) - union([*holes, *slots])

    def _round(
        self, radius: float, centre: tuple[float, float], bottom: float, top: float
    ) -> Solid:
        return cylinder(radius, bottom_mm=bottom, top_mm=top, chord_mm=self.chord_mm, centre=centre)

    def _slots(self, centre: tuple[float, float]) -> list[Floats]:
        """Outlines of the slots of one seat, each through the guide's wall and no further."""
        import numpy as np

        half, inner, outer = SLOT_MM / 2.0, 0.5 * self.room.seat_mm, self.room.collar_mm + OVERSHOOT
        flat = np.array([(inner, -half), (outer, -half), (outer, half), (inner, half)])
        rings = []
        for k in range(SLOTS):
            angle = math.radians(90.0 + 360.0 * k / SLOTS)
            turn = np.array(
                [(math.cos(angle), math.sin(angle)), (-math.sin(angle), math.cos(angle))]
            )
            rings.append(flat @ turn + np.array(centre))
        return rings


def pot_rack(question: ExtrasQuestion) -> PotRack:
    """The rack for a job's pot and moulds.

    Raises NoAnswerError where no mould stands in the pot.
    """
    room, plate = in_pot(question), question.layers(PLATE_MM)
    return PotRack(
        room=room,
        plate_mm=plate,
        slot_mm=(room.guide_mm - plate) / 2.0,
        chord_mm=question.chord_mm,
    )
