"""The facts of an insert that the rules, the sizes and the moulds are computed from."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, eq=False)
class InsertFacts:
    """An insert, standing on its end, as closed-form numbers.

    shape : its name in the job file.
    length_mm : along the axis [mm].
    envelope_mm : radius of the circle round the axis that encloses the section [mm].
    core_mm : radius of the largest circle round the axis inside the section [mm].
    section_mm2 : area of the section [mm2].
    opening_mm : widest chord of the envelope circle that the section leaves open [mm];
        0 for a rod.  A rib must be wider to bear on the insert at every rotation.
    density_g_ml : of the insert [g/ml].
    volume_ml : displaced volume [ml].
    measured_mm : the calliper readings of the envelope diameter [mm].
    bow_mm : how far a long insert leaves a straight line [mm].
    flutes : grooves along a round insert.
    flute_mm : radius of each, centred on the rim [mm].
    corners_mm : of a section that is no round, in order [mm]; empty for a round one.
    reading_scale : diameter of the envelope over what a calliper reads.
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
    corners_mm: tuple[tuple[float, float], ...] = ()
    reading_scale: float = 1.0

    @property
    def volume_ml(self) -> float:
        """Displaced volume [ml]: the section swept along the axis."""
        return self.section_mm2 * self.length_mm / 1000.0

    @property
    def mass_g(self) -> float:
        """Mass [g]."""
        return self.volume_ml * self.density_g_ml
