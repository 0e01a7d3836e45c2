"""What a scan that is lowered in from above sweeps: its sections, for sizes at any gap.

At each height a shell's cavity holds the sections at or below it, grown by the gap, and of those
above what comes as near as the gap.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import TYPE_CHECKING

from mouldgen.errors import ScanError
from mouldgen.insert.scan import standing
from mouldgen.job.model import Insert

if TYPE_CHECKING:
    from collections.abc import Sequence

    import shapely

    from mouldgen.job.scan import Scan
    from mouldgen.solid.mesh import Floats

SECTIONS = 48
COARSE_MM = 0.05  # how far an outline may be simplified: an area then is off by less than 0.1 %
MOST_CORNERS = 13_000  # of all sections: a mould round so many takes 24 s, and ever more beyond
_QUARTER = 12  # sides of a rounded corner, over a quarter of a turn


@dataclass(frozen=True, eq=False)
class Shadow:
    """Sections of a standing scan.

    heights_mm : over its lower end, rising [mm].
    outlines : of each section its outer outlines, each (n, 2) [mm].
    """

    heights_mm: tuple[float, ...]
    outlines: tuple[tuple[Floats, ...], ...]

    def areas_mm2(self, gap_mm: float, *, rounds_mm: Sequence[float]) -> tuple[float, ...]:
        """Area of a shell's cavity at each height [mm2].

        gap_mm : round the scan [mm].
        rounds_mm : radius of a round about the axis that the cavity holds besides, at each height;
            0 for none [mm].
        """
        key = (gap_mm, tuple(rounds_mm))
        if key not in self._kept:
            self._kept[key] = tuple(self._areas(gap_mm, rounds_mm))
        return self._kept[key]

    def _areas(self, gap_mm: float, rounds_mm: Sequence[float]) -> list[float]:
        import shapely

        found = []
        below = shapely.Polygon()
        for k, (height, round_mm) in enumerate(zip(self.heights_mm, rounds_mm, strict=True)):
            below = below.union(_grown(self._sections[k], gap_mm))
            parts = [below]
            for over in range(k + 1, len(self.heights_mm)):
                left = gap_mm**2 - (self.heights_mm[over] - height) ** 2
                if left <= 0.0:
                    break
                parts.append(_grown(self._sections[over], math.sqrt(left)))
            if round_mm > 0.0:
                parts.append(_grown(shapely.Point(0.0, 0.0), round_mm))
            found.append(float(shapely.union_all(parts).area))
        return found

    @cached_property
    def _kept(self) -> dict[tuple[float, tuple[float, ...]], tuple[float, ...]]:
        return {}

    @cached_property
    def _sections(self) -> list[shapely.Geometry]:
        import shapely

        return [
            shapely.union_all([shapely.make_valid(shapely.Polygon(ring)) for ring in rings])
            for rings in self.outlines
        ]


def _grown(section: shapely.Geometry, by_mm: float) -> shapely.Geometry:
    """Grown by a distance; corners are drawn between the circle and what encloses it."""
    mean = 1.0 / math.sqrt(math.cos(math.pi / (4.0 * _QUARTER)))
    return section.buffer(by_mm * mean, quad_segs=_QUARTER)


def shadow_of(insert: Insert) -> Shadow:
    """The sections of a scan.

    insert : of shape ``scan``, its scan read.

    Raises ScanError where a section is too rough to be worked with.
    """
    scan = insert.scan
    if scan is None:
        standing(insert)  # tells what is missing
    found = _cut(scan, insert.end_down)
    if found is None:
        raise ScanError(
            "the scan is crumpled, or passes through itself all over: its sections have too many"
            " corners for a mould that follows them",
            where="[insert] file",
            allowed=f"{MOST_CORNERS} in {SECTIONS + 1} sections, simplified to {COARSE_MM} mm",
            try_="Smooth it in the program that scanned it, or take a cup.",
        )
    return found


@lru_cache(maxsize=4)  # the same scan is asked about at every gap that is tried
def _cut(scan: Scan, end_down: str) -> Shadow | None:
    """None where its sections have too many corners."""
    import numpy as np
    import shapely

    from mouldgen.insert.scanned import section_of
    from mouldgen.solid.kernel import Solid

    mesh = scan.standing(end_down)
    length = mesh.bounds[1][2]
    body = Solid.of_mesh(mesh)
    # Closer together towards both ends, where a round form closes fastest.
    heights = 0.5 * length * (1.0 - np.cos(np.pi * np.arange(SECTIONS + 1) / SECTIONS))
    heights[[0, -1]] = 0.001 * length, 0.999 * length
    outlines, corners = [], 0
    for height in heights.tolist():
        section = section_of(body, height).simplify(COARSE_MM)
        parts = [one for one in shapely.get_parts(section) if one.geom_type == "Polygon"]
        outlines.append(tuple(np.asarray(part.exterior.coords)[:-1] for part in parts))
        corners += sum(map(len, outlines[-1]))
        if corners > MOST_CORNERS:
            return None
    return Shadow(tuple(heights.tolist()), tuple(outlines))
