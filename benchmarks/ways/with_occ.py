"""Body and lid as a script with build123d makes them: exact solids of OCC, then facets.

The solids are those that the tests compare the moulds with; lettering is added here.  The facets
keep the job's chord, absolute: the library's own export takes the chord as relative to each edge.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from types import SimpleNamespace
from typing import Any

from build123d import Face, Plane, Solid, Vector, Wire
from OCP.BRepMesh import BRepMesh_IncrementalMesh
from OCP.StlAPI import StlAPI_Writer

from benchmarks.ways.facets import Facts, facts_of

Numbers = SimpleNamespace
ANGLE_RAD = 0.5  # the kernel's usual one: wide enough that the chord alone decides

exact: Any = import_module("tests.second_kernel")  # late: of an environment of its own


@dataclass(frozen=True, eq=False)
class Meshed:
    """Exact solids by their names, with facets on them."""

    solids: dict[str, Any]


def prepare(numbers: Numbers) -> Numbers:
    """Nothing: the numbers are all that is needed."""
    return numbers


def make(n: Numbers, *, lettered: bool = True) -> Meshed:
    """Body and lid, faceted.

    lettered : or without lettering, which is most of the work.
    """
    solids = {"body": exact.exact_body(n), "lid": exact.exact_lid(n)}
    if lettered:
        solids["body"] = solids["body"].fuse(*_raised(n))
        solids["lid"] = solids["lid"].cut(*_engraved(n))
    for solid in solids.values():
        BRepMesh_IncrementalMesh(solid.wrapped, n.chord_mm, False, ANGLE_RAD, True)
    return Meshed(solids)


def plain(n: Numbers) -> Meshed:
    """Body and lid without lettering."""
    return make(n, lettered=False)


def facts(made: Meshed) -> dict[str, Facts]:
    """Triangles, their volume, and the exact one, of each part."""
    return {
        name: {**facts_of(_corners(solid)), "exact_mm3": float(solid.volume)}
        for name, solid in made.solids.items()
    }


def write(made: Meshed, folder: Path) -> None:
    """Each part as a binary STL."""
    for name, solid in made.solids.items():
        writer = StlAPI_Writer()
        writer.ASCIIMode = False
        if not writer.Write(solid.wrapped, str(folder / f"{name}.stl")):
            raise RuntimeError(f"{name} was not written")


def _raised(n: Numbers) -> list[Any]:
    """Letters up the wall, each cut off level over it."""
    outer = n.size.bore_mm + n.question.wall_mm
    start = n.size.bore_mm + 0.5 * n.question.wall_mm
    angle = math.radians(n.sockets.angles[0])
    radial = Vector(math.cos(angle), math.sin(angle), 0.0)
    # The letters' own right runs up the wall.
    plane = Plane(origin=radial * start, x_dir=(0, 0, 1), z_dir=radial)
    reach = radial * (outer + 2.0 * n.relief_mm - start)
    skin = Solid.make_cylinder(outer + n.relief_mm, n.size.rim_mm)
    letters = [Solid.extrude(face, reach) for face in _faces(n.body_rings, plane)]
    return [solid for letter in letters for solid in letter.intersect(skin).solids()]


def _engraved(n: Numbers) -> list[Any]:
    top = n.size.rim_mm + n.question.lid_mm
    plane = Plane((0.0, 0.0, top - n.engraving_mm))
    up = Vector(0.0, 0.0, n.engraving_mm + n.over_mm)
    return [Solid.extrude(face, up) for rings in n.lid_rings for face in _faces(rings, plane)]


def _faces(rings: Any, plane: Any) -> list[Any]:
    """A face for each outline, with the counters that lie in it."""
    outer = [ring for ring in rings if _area(ring) > 0.0]
    counters = [ring for ring in rings if _area(ring) < 0.0]
    return [
        Face(
            _wire(ring, plane),
            [_wire(counter, plane) for counter in counters if _holds(ring, counter)],
        )
        for ring in outer
    ]


def _wire(ring: Any, plane: Any) -> Any:
    return Wire.make_polygon([plane.from_local_coords((x, y, 0.0)) for x, y in ring], close=True)


def _area(ring: Any) -> float:
    following = [*ring[1:], ring[0]]
    return 0.5 * math.fsum(a[0] * b[1] - b[0] * a[1] for a, b in zip(ring, following, strict=True))


def _holds(ring: Any, counter: Any) -> bool:
    """Whether a counter lies in an outline, by their boxes: letters stand beside one another."""
    return all(
        min(p[k] for p in ring) <= min(p[k] for p in counter)
        and max(p[k] for p in counter) <= max(p[k] for p in ring)
        for k in (0, 1)
    )


def _corners(solid: Any) -> Any:
    return exact.facets_of(solid).corners
