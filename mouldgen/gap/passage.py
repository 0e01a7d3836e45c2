"""The open section between insert and bore, as the flow of resin sees it.

A round insert is exact; its flutes and the bore's vent grooves are added as half-round grooves,
which leaves the push up to 15 percent high for flutes a quarter of the insert's radius and up to
a third for flutes a third of it: the cautious side.  Any other section goes strip by strip round
its own outline (`mouldgen.physics.general_push`), up to 6 percent low for a bar.
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
from mouldgen.physics.general_push import drag_factor, groove_conductance, radial_gap
from mouldgen.physics.push import grooved_drag_factor

if TYPE_CHECKING:
    from mouldgen.gap.question import GapQuestion
    from mouldgen.solid.mesh import Floats

_STEPS = 240  # of angle round a section that is no round: its conductance is then within 0.1 %
_LEAST_M = 1e-8
_ROUNDS = 60
_CLOSE = 1e-13  # of the gap


@dataclass(frozen=True, eq=False)
class Passage:
    """What resin passes through, in SI.

    envelope : radius of the round that encloses the insert [m].
    section : area of the insert [m2].
    grooves : radius of each half-round groove, in the insert or in the bore [m].
    vents_area : area of those in the bore [m2].
    corners_mm : of an insert that is no round [mm]; empty for a round one.
    """

    envelope: float
    section: float
    grooves: tuple[float, ...]
    vents_area: float
    corners_mm: tuple[tuple[float, float], ...] = ()

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

        gap : between the bore and the round that encloses the insert [m].
        """
        grooves = self._in_grooves(gap)
        if not self.corners_mm:
            return grooved_drag_factor(self.envelope, gap, grooves=grooves)
        return float(drag_factor(*self._strips(gap), area=self.section, grooves=grooves))

    def _in_grooves(self, gap: float) -> float:
        return math.fsum(groove_conductance(radius, gap) for radius in self.grooves)

    def _strips(self, gap: float) -> tuple[Floats, Floats]:
        return radial_gap(self._radii, self.envelope + gap)

    @cached_property
    def _radii(self) -> Floats:
        from mouldgen.insert.section import radii

        return radii(self.corners_mm, steps=_STEPS) / 1000.0


def passage_of(question: GapQuestion) -> Passage:
    """The passage of a job."""
    insert, vents = question.insert, question.vent_grooves
    vent = question.sizes.groove_mm / 1000.0
    return Passage(
        envelope=insert.envelope_mm / 1000.0,
        section=insert.section_mm2 / 1e6,
        grooves=(insert.flute_mm / 1000.0,) * insert.flutes + (vent,) * vents,
        vents_area=vents * math.pi * vent**2 / 2.0,
        corners_mm=insert.corners_mm,
    )


def least_gap_mm(demand: Callable[[float], float], supply: float) -> float:
    """Narrowest gap at which a demand is met [mm]; 0 where it is at any, inf where at none.

    In powers of the gap the demand is nearly straight, so that a few chords find it.

    demand : as a function of the gap [m], above 0; a wider gap never asks for more.
    supply : what there is, in the demand's unit.
    """

    def excess(gap: float) -> float:
        return math.log(demand(gap) / supply)

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
