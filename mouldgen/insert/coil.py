"""A round wire wound evenly about the axis, both of its ends cut square to the wire.

``length`` is overall: the wire's middle line rises by ``h = L - 2 a cos(alpha)``, with the
wire's radius a and its slope alpha.  The winding is right-handed.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from mouldgen.errors import JobError
from mouldgen.insert.facts import End, InsertFacts, Slice
from mouldgen.insert.needs import need
from mouldgen.job.model import Insert

if TYPE_CHECKING:
    from mouldgen.solid.kernel import Solid

TOP_DEG = 90.0  # of the highest place: under the first leg of a lid
_HELD_MM = 3.0  # of an end that a socket holds: a rib there meets a winding at every turn
_COARSEST_MM = 0.05  # an equal-volume mesh is no better for being finer
_ROUNDS = 4


@dataclass(frozen=True, eq=False)
class _Winding:
    """The wire's middle line: wire radius a, its own radius r, pitch and overall length [mm]."""

    wire: float
    radius: float
    pitch: float
    overall: float

    @cached_property
    def slope(self) -> float:
        """Between the wire and the level, alpha [rad]."""
        return math.atan2(self.pitch, 2.0 * math.pi * self.radius)

    @property
    def half_end(self) -> float:
        """Height of the wire's cut end over its middle [mm]."""
        return self.wire * math.cos(self.slope)

    @property
    def lean(self) -> float:
        """From the highest place of the upper end to the wire's middle there [rad]."""
        return math.atan2(self.wire * math.sin(self.slope), self.radius)

    @property
    def rise(self) -> float:
        """Height from one end of the middle line to the other [mm]."""
        return self.overall - 2.0 * self.half_end

    @property
    def turn(self) -> float:
        """How far it winds [rad]."""
        return 2.0 * math.pi * self.rise / self.pitch

    @property
    def volume(self) -> float:
        """By Pappus: section times the middle line's length [mm3]."""
        return math.pi * self.wire**2 * self.rise / math.sin(self.slope)


def facts(insert: Insert, *, density_g_ml: float) -> InsertFacts:
    """A coil: ``V = pi a^2 s`` with the middle line's length s (Pappus).

    To the resin it is the tube that its windings make: what passes between them is left out,
    which leaves the push too high, the cautious side.

    density_g_ml : of the wire [g/ml].

    Raises JobError where the windings run into each other or the coil is lower than its wire.
    """
    coil = _winding(insert)
    envelope, inside = coil.radius + coil.wire, coil.radius - coil.wire
    section = coil.volume / insert.length
    # With a coarse pitch a rib beside an end may well meet no wire.
    opening = 0.0 if coil.pitch <= _HELD_MM else 2.0 * envelope
    face = math.pi * coil.wire**2
    start = TOP_DEG + 2.0 * math.degrees(coil.lean) - math.degrees(coil.turn)
    return InsertFacts(
        shape=insert.shape,
        length_mm=insert.length,
        envelope_mm=envelope,
        core_mm=envelope,
        section_mm2=section,
        opening_mm=opening,
        density_g_ml=density_g_ml,
        measured_mm=insert.measured,
        bow_mm=insert.bow,
        holes=1,
        hole_mm=inside,
        slices=(Slice(insert.length, envelope, envelope, section, math.pi * envelope**2),),
        ends=(
            End(envelope, inside, face, opening, at_deg=start % 360.0),
            End(envelope, inside, face, opening, at_deg=TOP_DEG),
        ),
    )


def solid(insert: Insert, *, chord_mm: float) -> Solid:
    """The coil standing on z = 0, its corners on its surface.

    chord_mm : how far a facet may leave the surface [mm].
    """
    coil = _winding(insert)
    return _swept(coil, wire=coil.wire, chord_mm=chord_mm)


def displacing(insert: Insert, facts: InsertFacts, *, chord_mm: float) -> Solid:
    """The same with the wire thickened until the mesh has the volume of the closed form.

    facts : not needed.
    chord_mm : how far a facet may leave the surface [mm]; 0.05 at the finest.
    """
    del facts
    coil = _winding(insert)
    wire, chord = coil.wire, max(chord_mm, _COARSEST_MM)
    for _ in range(_ROUNDS):  # the volume goes as the wire's radius squared, all but exactly
        made = _swept(coil, wire=wire, chord_mm=chord).volume_mm3()
        wire *= math.sqrt(coil.volume / made)
    return _swept(coil, wire=wire, chord_mm=chord)


def _winding(insert: Insert) -> _Winding:
    wire = need(insert, "wire") / 2.0
    coil = _Winding(
        wire, need(insert, "diameter") / 2.0 - wire, need(insert, "pitch"), insert.length
    )
    if coil.radius <= wire:
        raise JobError(
            f"a wire of {2 * wire:g} mm leaves no hollow in a coil of {insert.diameter:g} mm",
            where="[insert] wire",
            allowed=f"less than {need(insert, 'diameter') / 2.0:g} mm",
        )
    if coil.pitch * math.cos(coil.slope) <= 2.0 * wire:
        raise JobError(
            f"windings of {2 * wire:g} mm wire at a pitch of {coil.pitch:g} mm run into each other",
            where="[insert] pitch",
            try_="Take a larger pitch, or a tube for a coil that is wound close.",
        )
    if coil.rise <= 0.0:
        raise JobError(
            f"a coil {insert.length:g} mm long is lower than its wire is thick",
            where="[insert] length",
            allowed=f"more than {2.0 * coil.half_end:.3g} mm",
        )
    return coil


def _swept(coil: _Winding, *, wire: float, chord_mm: float) -> Solid:
    import numpy as np

    from mouldgen.solid.circle import segments
    from mouldgen.solid.sweep import sweep

    steps = segments(coil.radius + wire, chord_mm=chord_mm)
    count = max(4, math.ceil(steps * coil.turn / (2.0 * math.pi)))
    along = np.linspace(0.0, coil.turn, count + 1)[:, None]
    angle = along + math.radians(TOP_DEG) + coil.lean - coil.turn
    zero = np.zeros_like(angle)
    outward = np.stack([np.cos(angle), np.sin(angle), zero], axis=-1)
    level, steep = math.cos(coil.slope), math.sin(coil.slope)
    # Outward and downward span the cut across the wire; corners at its highest and lowest place.
    down = np.stack([-steep * np.sin(angle), steep * np.cos(angle), zero - level], axis=-1)
    sides = 4 * math.ceil(segments(wire, chord_mm=chord_mm) / 4)
    turn = 2.0 * math.pi * np.arange(sides) / sides
    ring = np.cos(turn)[None, :, None] * outward + np.sin(turn)[None, :, None] * down
    path = coil.radius * outward
    path[..., 2] = coil.half_end + along * coil.pitch / (2.0 * math.pi)
    return sweep(path + wire * ring)
