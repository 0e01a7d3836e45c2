"""A drip tray for the floor of the pot: what one mould spills stays off the pot."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.finding import Finding
from mouldgen.mould.extras.in_pot import InPot, in_pot
from mouldgen.solid.circle import segments
from mouldgen.solid.kernel import OVERSHOOT, Solid, revolve

if TYPE_CHECKING:
    from mouldgen.mould.extras.question import ExtrasQuestion

LEAST_RIM_MM = 6.0  # our own choices, no source: to lift it by, and above what is spilled
FREEBOARD_MM = 3.0


@dataclass(frozen=True, eq=False)
class DripTray:
    """A round tray with a low rim.

    room : where moulds stand in it.
    spill_ml : resin that one mould holds [ml].
    wall_mm, floor_mm : printed thickness [mm].
    rim_mm : height of the rim over the inside floor [mm].
    chord_mm : how far a facet may leave its circle [mm].
    pot_mm : height that the pot leaves [mm].
    mould_mm : height of a mould with its lid [mm].
    """

    room: InPot
    spill_ml: float
    wall_mm: float
    floor_mm: float
    rim_mm: float
    chord_mm: float
    pot_mm: float
    mould_mm: float

    name = "drip-tray"
    count = 1
    genus = 0
    turn_over = False

    @property
    def holds_ml(self) -> float:
        """What the empty tray holds to its brim [ml]."""
        return math.pi * self.room.inside_mm**2 * self.rim_mm / 1000.0

    @property
    def spare_ml(self) -> float:
        """What it holds to its brim with a mould in every seat and the rack's guides [ml]."""
        return _free_mm2(self.room) * self.rim_mm / 1000.0

    @property
    def spilled_mm(self) -> float:
        """How deep one spilled mould stands in the full tray [mm]."""
        return 1000.0 * self.spill_ml / _free_mm2(self.room)

    @property
    def sentence(self) -> str:
        """What it is for, with its figures."""
        return (
            f"The drip tray is {2.0 * self.room.tray_mm:.0f} mm across for the floor of the pot;"
            f" with {len(self.room.seats)} moulds in it, it holds {self.spare_ml:.0f} ml, and one"
            f" that leaks spills {self.spill_ml:.0f} ml."
        )

    @property
    def remarks(self) -> tuple[Finding, ...]:
        """A tray that the print bed keeps small, and moulds that it lifts too high."""
        return (*self._small(), *self._high())

    def _small(self) -> tuple[Finding, ...]:
        if not self.room.bed_limits:
            return ()
        message = (
            f"The print bed takes a tray of {2.0 * self.room.tray_mm:.4g} mm, the pot one of"
            f" {self.room.across_mm:.4g} mm: what drips beside it reaches the pot."
        )
        return (Finding("extras.tray-small", "extras", "note", message, place=self.name),)

    def _high(self) -> tuple[Finding, ...]:
        high = self.mould_mm + self.floor_mm
        if high <= self.pot_mm:
            return ()
        message = (
            f"On the tray the closed mould reaches {high:.1f} mm, and the pot takes"
            f" {self.pot_mm:.4g} mm. Fill lower, use a taller pot, or print no tray."
        )
        return (
            Finding("extras.tray-high", "extras", "stop", message, high, self.pot_mm, self.name),
        )

    def figures(self) -> dict[str, float]:
        """Its figures for other programs; keys carry their unit."""
        return {
            "across_mm": round(2.0 * self.room.tray_mm, 3),
            "rim_mm": round(self.rim_mm, 3),
            "holds_ml": round(self.holds_ml, 2),
            "spare_ml": round(self.spare_ml, 2),
            "spill_ml": round(self.spill_ml, 2),
        }

    def solid(self) -> Solid:
        """The tray, standing on z = 0."""
        outside, inside = self.room.tray_mm, self.room.inside_mm
        floor, rim = self.floor_mm, self.floor_mm + self.rim_mm
        sides = segments(outside, chord_mm=self.chord_mm)
        whole = revolve([(0.0, 0.0), (outside, 0.0), (outside, rim), (0.0, rim)], sides=sides)
        top = rim + OVERSHOOT
        hollow = revolve([(0.0, floor), (inside, floor), (inside, top), (0.0, top)], sides=sides)
        return whole - hollow


def _free_mm2(room: InPot) -> float:
    """The tray's floor less guides and feet, where a mould stands in every seat [mm2].

    Feet count as wide as their groove backs all round, so that there is rather more.
    """
    ring = room.collar_mm**2 - room.seat_mm**2
    return math.pi * (room.inside_mm**2 - len(room.seats) * (ring + room.foot_mm**2))


def drip_tray(question: ExtrasQuestion) -> DripTray:
    """The tray for a job's pot, its rim over what one mould spills.

    Raises NoAnswerError where no mould stands in the pot.
    """
    room, pot = in_pot(question), question.pot
    deep = 1000.0 * question.mould_ml / _free_mm2(room)
    return DripTray(
        room=room,
        spill_ml=question.mould_ml,
        wall_mm=question.sizes.wall_mm,
        floor_mm=question.sizes.floor_mm,
        rim_mm=question.layers(max(LEAST_RIM_MM, deep + FREEBOARD_MM)),
        chord_mm=question.chord_mm,
        pot_mm=math.inf if pot is None else pot.usable_mm,
        mould_mm=question.size.stack_height_mm,
    )
