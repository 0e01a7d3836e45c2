"""The open section between insert and bore, as the flow of resin sees it.

A round insert is exact; its flutes and the bore's vent grooves are added to it as grooves, which
leaves the push from 2 percent low to 7 high up to flutes that cut away 30 percent of the section.
Of a vent groove only what it lets past counts; what it drags along would make the push harder by
about a third of the square of its radius over the insert's.  Any other section goes strip by
strip round its own outline (`mouldgen.physics.general_push`), up to 6 percent low for a bar.

What resin runs through on its way down or up is the ring outside the insert: holes in it are a
way of their own, and no slower.  An insert that is not the same all along: `mouldgen.gap.along`.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from mouldgen.gap.reach import LARGEST_GAP_MM
from mouldgen.physics import annulus
from mouldgen.physics.general_push import conductance as conductance_of_strips
from mouldgen.physics.general_push import (
    drag_factor,
    flute_conductance,
    groove_carried,
    groove_conductance,
    groove_shear,
    radial_gap,
)
from mouldgen.physics.push import grooved_drag_factor

if TYPE_CHECKING:
    from mouldgen.gap.question import GapQuestion
    from mouldgen.insert.facts import Slice
    from mouldgen.solid.mesh import Floats

_STEPS = 240  # of angle round a section that is no round: its conductance is then within 0.1 %
_LEAST_M = 1e-8
_ROUNDS = 60
_CLOSE = 1e-13  # of the gap


@dataclass(frozen=True, eq=False)
class Passage:
    """What resin passes through, in SI.

    envelope : radius of the round that encloses the insert [m].
    section : area of the insert, inside its outline [m2].
    flutes : radius of each groove in the insert [m].
    vents : radius of each half-round groove in the bore [m].
    vents_area : area of those in the bore [m2].
    corners_mm : of an insert that is no round [mm]; empty for a round one.
    holes : what holes through the insert let past, ``pi r^4/8`` for each (Poiseuille) [m4].
    holes_area : area of those [m2].
    """

    envelope: float
    section: float
    flutes: tuple[float, ...]
    vents: tuple[float, ...]
    vents_area: float
    corners_mm: tuple[tuple[float, float], ...] = ()
    holes: float = 0.0
    holes_area: float = 0.0

    @property
    def grooves(self) -> tuple[float, ...]:
        """Radius of each groove, in the insert or in the bore [m]."""
        return self.flutes + self.vents

    def open_area(self, gap: float) -> float:
        """Area of the open section [m2].

        gap : between the bore and the round that encloses the insert [m].
        """
        return math.pi * (self.envelope + gap) ** 2 - self.section + self.vents_area

    def conductance(self, gap: float) -> float:
        """What it lets past under a pressure gradient between walls at rest [m4].

        gap : between the bore and the round that encloses the insert [m].
        """
        if self.corners_mm:
            ring = float(conductance_of_strips(*self._strips(gap)))
        else:
            ring = annulus.conductance(self.envelope, gap)
        return ring + self._in_grooves(gap)

    def drag(self, gap: float) -> float:
        """Force over viscosity, speed and length of an insert that is pushed through [-].

        What stands in the insert's holes goes down with them, so that the holes count with the
        section that displaces, and let past what grooves would.

        gap : between the bore and the round that encloses the insert [m].
        """
        grooves = self._in_grooves(gap) + self.holes
        if not self.corners_mm:
            return grooved_drag_factor(
                self.envelope,
                gap,
                grooves=grooves,
                carried=-math.fsum(groove_carried(radius, gap) for radius in self.flutes),
                shear=math.fsum(groove_shear(radius, gap) for radius in self.flutes),
            )
        return float(drag_factor(*self._strips(gap), area=self.section, grooves=grooves))

    def _in_grooves(self, gap: float) -> float:
        vents = math.fsum(groove_conductance(radius, gap) for radius in self.vents)
        return vents + math.fsum(
            flute_conductance(radius, gap, envelope=self.envelope) for radius in self.flutes
        )

    def _strips(self, gap: float) -> tuple[Floats, Floats]:
        return radial_gap(self._radii, self.envelope + gap)

    @cached_property
    def _radii(self) -> Floats:
        from mouldgen.insert.section import radii

        return radii(self.corners_mm, steps=_STEPS) / 1000.0


def passage_of(question: GapQuestion) -> Passage:
    """The passage of a job whose insert is the same all along; else that beside its lower end.

    `mouldgen.gap.along.passages` has them all.
    """
    return beside(question, question.insert.pieces[0])


def beside(question: GapQuestion, piece: Slice) -> Passage:
    """The passage beside one piece of the insert, as wide as its enclosing round all along."""
    insert, vents = question.insert, question.vent_grooves
    vent = question.sizes.groove_mm / 1000.0
    hole = insert.hole_mm / 1000.0
    return Passage(
        envelope=max(piece.lower_mm, piece.upper_mm) / 1000.0,
        section=piece.outline_mm2 / 1e6,
        flutes=(insert.flute_mm / 1000.0,) * insert.flutes,
        vents=(vent,) * vents,
        vents_area=vents * math.pi * vent**2 / 2.0,
        corners_mm=piece.corners_mm,
        holes=insert.holes * math.pi * hole**4 / 8.0,
        holes_area=insert.holes * math.pi * hole**2,
    )


def least_gap_mm(demand: Callable[[float], float], supply: float) -> float:
    """Narrowest gap at which a demand is met [mm]; 0 where it is at any, inf where at none.

    In powers of the gap the demand is nearly straight, so that a few chords find it.

    demand : as a function of the gap [m], above 0; a wider gap never asks for more.
    supply : what there is, in the demand's unit.
    """

    def excess(gap: float) -> float:
        asked = demand(gap) / supply
        return math.log(asked) if asked > 0.0 else -math.inf  # of a length that is next to none

    largest = LARGEST_GAP_MM / 1000.0
    if not supply > 0.0 or math.isinf(supply):
        return math.inf if not supply > 0.0 else 0.0
    low, high = math.log(_LEAST_M), math.log(largest)
    over, under = excess(_LEAST_M), excess(largest)
    if under > 0.0:
        return math.inf
    return 0.0 if over <= 0.0 else 1000.0 * math.exp(_root(excess, low, high, over, under))


def _root(
    excess: Callable[[float], float], low: float, high: float, over: float, under: float
) -> float:
    """Where the excess passes 0, as a logarithm of the gap, from the side where it is met.

    Regula falsi that halves the standing end's weight (Dowell & Jarratt 1971, from memory).
    """
    side = 0
    for _ in range(_ROUNDS):
        if high - low <= _CLOSE:
            break
        middle = (low * under - high * over) / (under - over)
        if not low < middle < high:
            middle = 0.5 * (low + high)
        found = excess(math.exp(middle))
        if found > 0.0:
            under *= 0.5 if side == 1 else 1.0
            low, over, side = middle, found, 1
        else:
            over *= 0.5 if side == -1 else 1.0
            high, under, side = middle, found, -1
    return high
