"""Body and lid as a script with trimesh makes them: its primitives, its booleans.

Its booleans are the same kernel's, so that the difference is what goes in and out of it.  A rib is
a turned profile here, cut at its sides; all else has the sides and the phase of the others.
"""

from __future__ import annotations

import math
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import shapely
from trimesh.boolean import difference, intersection, union
from trimesh.creation import cylinder, extrude_polygon, revolve
from trimesh.transformations import rotation_matrix

from benchmarks.ways.facets import Facts, facts_of

Numbers = SimpleNamespace
Meshes = dict[str, Any]
FEWEST = 12


def prepare(numbers: Numbers) -> Numbers:
    """Nothing: the numbers are all that is needed."""
    return numbers


def make(n: Numbers) -> Meshes:
    """Body and lid."""
    return {"body": body(n), "lid": lid(n)}


def facts(made: Meshes) -> dict[str, Facts]:
    """Triangles and volume of each part."""
    return {name: facts_of(mesh.triangles) for name, mesh in made.items()}


def write(made: Meshes, folder: Path) -> None:
    """Each part as a binary STL."""
    for name, mesh in made.items():
        mesh.export(folder / f"{name}.stl")


def body(n: Numbers) -> Any:
    """The body, the inside floor at z = 0."""
    q, size = n.question, n.size
    sides = _sides(q.groove_mm + q.wall_mm, n.chord_mm)
    top, bore = size.rim_mm + n.over_mm, size.bore_mm
    places = [
        (bore * math.cos(math.radians(angle)), bore * math.sin(math.radians(angle)))
        for angle in n.groove_angles
    ]
    outside = _turned(
        [
            (0, -q.floor_mm),
            (bore + q.wall_mm, -q.floor_mm),
            (bore + q.wall_mm, size.rim_mm),
            (0, size.rim_mm),
        ],
        n.sides,
    )
    backs = [_round(q.groove_mm + q.wall_mm, -q.floor_mm, size.rim_mm, at, sides) for at in places]
    line, v = n.line_mm, n.fill_line_mm
    wall = [(bore, 0), (bore, line - v), (bore + v, line), (bore, line + v), (bore, top)]
    hollow = _turned([(0, n.centre_pip[1]), (n.centre_pip[0], 0), *wall, (0, top)], n.sides)
    grooves = [_round(q.groove_mm, q.pip_mm, top, at, sides) for at in places]
    pips = [_round(r, -n.over_mm, q.pip_mm, (x, y), _sides(r, n.chord_mm)) for x, y, r in n.pips]
    cup = difference([union([outside, *backs, _letters(n)]), hollow, *grooves])
    return union([cup, *pips, *_ribs(n)])


def lid(n: Numbers) -> Any:
    """The lid in its place on the body."""
    q, size = n.question, n.size
    inner, seat = size.reach_mm + q.clearance_mm, size.rim_mm
    bottom, top = seat - q.skirt_mm, seat + q.lid_mm
    cap = _turned(
        [
            (0, seat),
            (inner, seat),
            (inner, bottom),
            (size.lid_reach_mm, bottom),
            (size.lid_reach_mm, top),
            (0, top),
        ],
        n.sides,
    )
    legs = [
        _round(r, n.insert_top_mm, seat + n.over_mm, (x, y), _sides(r, n.chord_mm))
        for x, y, r in n.legs
    ]
    holes = [
        _round(r, seat - n.over_mm, top + n.over_mm, (x, y), _sides(r, n.chord_mm))
        for x, y, r in [*n.vents, n.port]
    ]
    letters = [
        letter
        for rings in n.lid_rings
        for letter in _pulled(rings, top - n.engraving_mm, top + n.over_mm)
    ]
    return difference([union([cap, *legs]), *holes, *letters])


def _letters(n: Numbers) -> Any:
    outer = n.size.bore_mm + n.question.wall_mm
    start = n.size.bore_mm + 0.5 * n.question.wall_mm
    flat = union(_pulled(n.body_rings, start, outer + 2.0 * n.relief_mm))
    angle = math.radians(n.sockets.angles[0])
    placed = np.eye(4)
    placed[:3, 0] = [0.0, 0.0, 1.0]
    placed[:3, 1] = [math.sin(angle), -math.cos(angle), 0.0]
    placed[:3, 2] = [math.cos(angle), math.sin(angle), 0.0]
    flat.apply_transform(placed)
    over = outer + n.relief_mm
    skin = [(0, 0), (over, 0), (over, n.size.rim_mm), (0, n.size.rim_mm)]
    return intersection([flat, _turned(skin, n.sides)])


def _ribs(n: Numbers) -> list[Any]:
    s, lead = n.sockets, n.lead_mm
    back = n.size.bore_mm + 0.5 * n.question.wall_mm
    end, low = n.insert_foot_mm + s.foot_depth_mm, s.foot_inner_mm
    lower = [(low, -n.over_mm), (back, -n.over_mm), (back, end), (low + lead, end)]
    lower.append((low, end - lead))
    top, start, inner = n.insert_top_mm, n.insert_top_mm - s.depth_mm, s.inner_mm
    deep = n.size.bore_mm - inner
    upper = [(inner + deep, start - deep), (back, start - deep), (back, top)]
    upper += [(inner + lead, top), (inner, top - lead), (inner, start)]
    return [
        _sector(profile, math.radians(angle), width, n.sides)
        for profile, width in ((lower, s.foot_width_mm / low), (upper, s.width_mm / inner))
        for angle in s.angles
    ]


def _sector(profile: list[tuple[float, float]], angle: float, wide: float, sides: int) -> Any:
    steps = max(2, math.ceil(sides * wide / math.tau))
    closed = np.array([*profile, profile[0]])
    mesh = revolve(closed, angle=wide, cap=True, sections=steps + 1)
    turn: Any = rotation_matrix  # without types
    mesh.apply_transform(turn(angle - wide / 2.0, (0, 0, 1)))
    return _outward(mesh)


def _turned(profile: list[tuple[float, float]], sides: int) -> Any:
    return _outward(revolve(np.array(profile) / [math.cos(math.pi / sides), 1], sections=sides))


def _round(radius: float, bottom: float, top: float, at: tuple[float, float], sides: int) -> Any:
    mesh = cylinder(radius / math.cos(math.pi / sides), height=top - bottom, sections=sides)
    mesh.apply_translation((at[0], at[1], (bottom + top) / 2.0))
    return mesh


def _pulled(rings: Any, bottom: float, top: float) -> list[Any]:
    shapes = [shapely.Polygon(ring) for ring in rings]
    outer = [shape for shape in shapes if shape.exterior.is_ccw]
    counters = [shape for shape in shapes if not shape.exterior.is_ccw]
    found = []
    for shape in outer:
        for counter in counters:
            if shape.contains(counter):
                shape = shape.difference(counter)  # noqa: PLW2901
        mesh = extrude_polygon(shape, top - bottom)
        mesh.apply_translation((0, 0, bottom))
        found.append(mesh)
    return found


def _outward(mesh: Any) -> Any:
    """A turned profile comes out inside in where it runs the other way."""
    if mesh.volume < 0.0:
        mesh.invert()
    return mesh


def _sides(radius: float, chord: float) -> int:
    return max(FEWEST, math.ceil(math.pi / math.acos(radius / (radius + chord))))
