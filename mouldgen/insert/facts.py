"""The facts of an insert that the rules, the sizes and the moulds are computed from."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import accumulate, pairwise

Corners = tuple[tuple[float, float], ...]
Spot = tuple[float, float, float]
_LOOSE = ("coil", "bundle")
_PLACES = 32  # along an insert that is not the same all along


@dataclass(frozen=True, eq=False)
class Slice:
    """A piece of an insert along its axis, whose enclosing round grows or shrinks evenly.

    length_mm : along the axis [mm].
    lower_mm, upper_mm : radius of the round that encloses it, at its lower and upper end [mm].
    section_mm2 : area that it displaces, on average [mm2].
    outline_mm2 : area inside its outline, on average; holes that resin fills count in [mm2].
    corners_mm : of an outline that is no round, in order [mm]; only where both ends are alike.
    """

    length_mm: float
    lower_mm: float
    upper_mm: float
    section_mm2: float
    outline_mm2: float
    corners_mm: Corners = ()

    def below_mm3(self, height_mm: float, *, open_mm2: float) -> float:
        """What it displaces up to a height over its lower end [mm3].

        height_mm : up to its length [mm].
        open_mm2 : area of the holes that resin fills [mm2].
        """
        if self.lower_mm == self.upper_mm:
            return self.section_mm2 * height_mm
        grown = self.upper_mm - self.lower_mm

        def drilled(height: float) -> float:
            radius = self.lower_mm + grown * height / self.length_mm
            return frustum_mm3(self.lower_mm, radius, height) - open_mm2 * height

        return self.section_mm2 * self.length_mm * drilled(height_mm) / drilled(self.length_mm)


@dataclass(frozen=True, eq=False)
class End:
    """Where something may stand on, or press on, one end of an insert.

    outer_mm : radius of the largest circle round the axis that is solid, but for a hollow in
        its middle, at every turn of the insert [mm].
    inner_mm : radius of that hollow, 0 with none [mm].
    area_mm2 : of the end's face [mm2].
    opening_mm : widest chord of the enclosing round that this end leaves open [mm].
    at_deg : the angle at which an end that touches in one place only does so [degrees], or None.
    spots_mm : where an end that is solid in places only is so, as drawn: x, y and radius [mm].
    """

    outer_mm: float
    inner_mm: float
    area_mm2: float
    opening_mm: float = 0.0
    at_deg: float | None = None
    spots_mm: tuple[Spot, ...] = ()


@dataclass(frozen=True, eq=False)
class InsertFacts:
    """An insert, standing on its end, as closed-form numbers.

    shape : its name in the job file.
    length_mm : along the axis [mm].
    envelope_mm : radius of the circle round the axis that encloses every section [mm].
    core_mm : radius of the largest circle round the axis inside the outline of every section;
        holes along the axis do not count [mm].
    section_mm2 : displaced volume over length: the area of the section, or its mean [mm2].
    opening_mm : widest chord of the envelope circle that the section leaves open [mm];
        0 for a rod.  A rib must be wider to bear on the insert at every rotation.
    density_g_ml : of the insert [g/ml].
    volume_ml : displaced volume [ml].
    measured_mm : the calliper readings of the envelope diameter [mm].
    bow_mm : how far a long insert leaves a straight line [mm].
    flutes : grooves along a round insert.
    flute_mm : radius of each, centred on the rim [mm].
    corners_mm : of a section that is no round, in order [mm]; empty for a round one, and for
        one that is not the same all along.
    reading_scale : diameter of the envelope over what a calliper reads.
    holes : open along the axis from end to end, so that resin fills them.
    hole_mm : radius of the largest circle in each [mm].
    sealed_ml : hollow that nothing fills: it displaces resin and weighs nothing [ml].
    porosity : share of the volume that is open to resin, or None where the density tells.
    slices : from the lower end up; empty for a section that is the same all along and solid.
    ends : the lower and the upper one; None where both are the section.
    """

    shape: str
    length_mm: float
    envelope_mm: float
    core_mm: float
    section_mm2: float
    opening_mm: float
    density_g_ml: float
    measured_mm: tuple[float, ...] = ()
    bow_mm: float = 0.0
    flutes: int = 0
    flute_mm: float = 0.0
    corners_mm: Corners = ()
    reading_scale: float = 1.0
    holes: int = 0
    hole_mm: float = 0.0
    sealed_ml: float = 0.0
    porosity: float | None = None
    slices: tuple[Slice, ...] = ()
    ends: tuple[End, End] | None = None

    @property
    def volume_ml(self) -> float:
        """Displaced volume [ml]."""
        return self.section_mm2 * self.length_mm / 1000.0

    @property
    def material_ml(self) -> float:
        """Volume of what it is made of [ml]: the displaced volume less sealed hollows."""
        return self.volume_ml - self.sealed_ml

    @property
    def room_ml(self) -> float:
        """Volume of the round that encloses it [ml]."""
        return (
            math.fsum(frustum_mm3(p.lower_mm, p.upper_mm, p.length_mm) for p in self.pieces) / 1e3
        )

    @property
    def drawn_ml(self) -> float | None:
        """Volume of its shape as drawn, whatever a maker knows of it [ml].

        None for what does not fill its outline: a coil, and what a bundle is made of.
        """
        if self.shape in _LOOSE:
            return None
        areas = (piece.length_mm * (piece.outline_mm2 - self.open_mm2) for piece in self.pieces)
        return math.fsum(areas) / 1000.0

    @property
    def mass_g(self) -> float:
        """Mass [g]."""
        return self.material_ml * self.density_g_ml

    @property
    def pieces(self) -> tuple[Slice, ...]:
        """The slices; one alone for a section that is the same all along."""
        if self.slices:
            return self.slices
        envelope, section = self.envelope_mm, self.section_mm2
        return (Slice(self.length_mm, envelope, envelope, section, section, self.corners_mm),)

    @property
    def lower(self) -> End:
        """The end that it stands on."""
        return self.ends[0] if self.ends else self._section_as_end

    @property
    def upper(self) -> End:
        """The end that is held down."""
        return self.ends[1] if self.ends else self._section_as_end

    @property
    def _section_as_end(self) -> End:
        return End(self.core_mm, 0.0, self.section_mm2, self.opening_mm)

    @property
    def open_mm2(self) -> float:
        """Area of the holes that resin fills, where they are round [mm2]."""
        return self.holes * math.pi * self.hole_mm**2

    @property
    def least_mm2(self) -> float:
        """The section where the resin is thickest [mm2].

        The least mean over any piece as long as the insert is wide: along about so much heat
        evens out (belief, no source).
        """
        piece = 2.0 * self.envelope_mm
        if not self.slices or piece >= self.length_mm:
            return self.section_mm2
        starts = [(self.length_mm - piece) * k / _PLACES for k in range(_PLACES + 1)]
        return min((self.below_mm3(z + piece) - self.below_mm3(z)) / piece for z in starts)

    def below_mm3(self, height_mm: float) -> float:
        """What it displaces up to a height over its lower end [mm3].

        height_mm : 0 up to the length [mm].
        """
        if not self.slices:
            return self.section_mm2 * height_mm
        total, left = 0.0, height_mm
        for piece in self.slices:
            total += piece.below_mm3(min(left, piece.length_mm), open_mm2=self.open_mm2)
            left -= piece.length_mm
            if left <= 0.0:
                break
        return total

    def below_ml(self, height_mm: float) -> float:
        """What it displaces up to a height over its lower end [ml].

        height_mm : 0 up to the length [mm].
        """
        return self.below_mm3(height_mm) / 1000.0

    def top_ml(self, depth_mm: float) -> float:
        """What it displaces from its upper end down to a depth [ml].

        depth_mm : 0 up to the length [mm].
        """
        if not self.slices:
            return self.section_mm2 * depth_mm / 1000.0
        return self.volume_ml - self.below_ml(self.length_mm - depth_mm)

    def between_ml(self, low_mm: float, high_mm: float, *, foot_mm: float) -> float:
        """What it displaces between two heights of the mould [ml].

        low_mm, high_mm : over the inside floor, both beside the insert [mm].
        foot_mm : height of its lower end over the floor [mm].
        """
        if not self.slices:
            return self.section_mm2 * (high_mm - low_mm) / 1000.0
        return self.below_ml(high_mm - foot_mm) - self.below_ml(low_mm - foot_mm)

    def round_mm(self, low_mm: float, high_mm: float) -> float:
        """Radius of the round that encloses it between two heights over its lower end [mm].

        low_mm, high_mm : both beside the insert [mm].
        """
        if not self.slices:
            return self.envelope_mm
        edges = list(accumulate((piece.length_mm for piece in self.slices), initial=0.0))
        widest = 0.0
        for (start, end), piece in zip(pairwise(edges), self.slices, strict=True):
            inside = max(low_mm, start), min(high_mm, end)
            if inside[0] > inside[1]:
                continue
            grown = (piece.upper_mm - piece.lower_mm) / piece.length_mm
            widest = max(widest, *(piece.lower_mm + grown * (z - start) for z in inside))
        return widest


def frustum_mm3(lower_mm: float, upper_mm: float, height_mm: float) -> float:
    """Volume of a frustum, ``pi h (r0^2 + r0 r1 + r1^2)/3`` [mm3].

    lower_mm, upper_mm : radii of its ends [mm].
    height_mm : between them [mm].
    """
    return math.pi * height_mm * (lower_mm**2 + lower_mm * upper_mm + upper_mm**2) / 3.0
