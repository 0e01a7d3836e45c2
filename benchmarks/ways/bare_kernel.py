"""Body and lid by calls of the geometry kernel and nothing else: the limit.

Written by hand from the numbers; nothing is checked, snapped or put in order, and of several
orders of the same cuts the quickest that was found is used: each groove is cut by itself, and what
stands in the cup is joined last.
"""

from __future__ import annotations

import math
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import manifold3d as m3
import numpy as np

from benchmarks.ways.facets import Facts, facts_of, write_stl

Numbers = SimpleNamespace
Arrays = dict[str, tuple[Any, Any]]


def prepare(numbers: Numbers) -> Numbers:
    """Nothing: the numbers are all that is needed."""
    return numbers


def make(n: Numbers) -> Arrays:
    """Corners and triangles of body and lid."""
    return {"body": _arrays(body(n)), "lid": _arrays(lid(n))}


def facts(made: Arrays) -> dict[str, Facts]:
    """Triangles and volume of each part."""
    return {name: facts_of(corners[faces]) for name, (corners, faces) in made.items()}


def write(made: Arrays, folder: Path) -> None:
    """Each part as a binary STL."""
    for name, (corners, faces) in made.items():
        write_stl(folder / f"{name}.stl", corners[faces])


def body(n: Numbers) -> Any:
    """The body, the inside floor at z = 0."""
    q, size = n.question, n.size
    groove_sides = _sides(q.groove_mm + q.wall_mm, n.chord_mm)
    top, bore = size.rim_mm + n.over_mm, size.bore_mm
    places = [_at(bore, angle) for angle in n.groove_angles]
    outside = _turned(
        [
            (0, -q.floor_mm),
            (bore + q.wall_mm, -q.floor_mm),
            (bore + q.wall_mm, size.rim_mm),
            (0, size.rim_mm),
        ],
        n.sides,
    )
    backs = [
        _round(q.groove_mm + q.wall_mm, -q.floor_mm, size.rim_mm, at, groove_sides) for at in places
    ]
    line, v = n.line_mm, n.fill_line_mm
    wall = [(bore, 0), (bore, line - v), (bore + v, line), (bore, line + v), (bore, top)]
    hollow = _turned([(0, n.centre_pip[1]), (n.centre_pip[0], 0), *wall, (0, top)], n.sides)
    solid = _joined([outside, *backs]) - hollow
    for at in places:
        solid -= _round(q.groove_mm, q.pip_mm, top, at, groove_sides)
    pips = [_round(r, -n.over_mm, q.pip_mm, (x, y), _sides(r, n.chord_mm)) for x, y, r in n.pips]
    return _joined([solid, _letters(n), *pips, *_ribs(n)])


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
    letters = [_pulled(rings, top - n.engraving_mm, top + n.over_mm) for rings in n.lid_rings]
    return _joined([cap, *legs]) - _joined([*holes, *letters])


def _letters(n: Numbers) -> Any:
    """Letters up the wall, cut off level over it."""
    outer = n.size.bore_mm + n.question.wall_mm
    start = n.size.bore_mm + 0.5 * n.question.wall_mm
    flat = _pulled(n.body_rings, start, outer + 2.0 * n.relief_mm)
    angle = math.radians(n.sockets.angles[0])
    radial = np.array([math.cos(angle), math.sin(angle), 0.0])
    tangent = np.array([-math.sin(angle), math.cos(angle), 0.0])
    placed = np.column_stack([[0.0, 0.0, 1.0], -tangent, radial, np.zeros(3)])
    over = outer + n.relief_mm
    skin = [(0, 0), (over, 0), (over, n.size.rim_mm), (0, n.size.rim_mm)]
    return flat.transform(placed) ^ _turned(skin, n.sides)


def _ribs(n: Numbers) -> list[Any]:
    """Sectors of rings at either end of the insert."""
    s, lead = n.sockets, n.lead_mm
    back = n.size.bore_mm + 0.5 * n.question.wall_mm
    end, low = n.insert_foot_mm + s.foot_depth_mm, s.foot_inner_mm
    lower = [(-n.over_mm, low), (end - lead, low), (end, low + lead)]
    top, start, inner = n.insert_top_mm, n.insert_top_mm - s.depth_mm, s.inner_mm
    deep = n.size.bore_mm - inner
    upper = [(start - deep, inner + deep), (start, inner), (top - lead, inner)]
    upper.append((top, inner + lead))
    found = []
    for levels, width in ((lower, s.foot_width_mm / low), (upper, s.width_mm / inner)):
        # Backs follow a face that stands further out than the wall does.
        rows = [(z, r, max(n.size.bore_mm, r) + back - n.size.bore_mm) for z, r in levels]
        found += [_sector(rows, math.radians(angle), width / 2.0, n.sides) for angle in s.angles]
    return found


def _sector(levels: list[tuple[float, float, float]], angle: float, half: float, sides: int) -> Any:
    steps = max(2, math.ceil(sides * half / math.pi))
    turn = angle + np.linspace(-half, half, steps + 1)
    rays = np.column_stack([np.cos(turn), np.sin(turn)])
    off = 1.0 / math.cos(half / steps)
    return _through([(np.concatenate([r * rays, off * i * rays[::-1]]), z) for z, i, r in levels])


def _through(levels: list[tuple[Any, float]]) -> Any:
    """A solid through outlines of equally many corners."""
    count = len(levels[0][0])
    corners = np.concatenate([np.column_stack([o, np.full(count, z)]) for o, z in levels])
    here = np.arange(count)
    there = np.roll(here, -1)
    faces = [np.asarray(m3.triangulate([levels[0][0]]))[:, ::-1]]
    for low in range(0, count * (len(levels) - 1), count):
        high = low + count
        faces.append(np.column_stack([low + here, low + there, high + there]))
        faces.append(np.column_stack([low + here, high + there, high + here]))
    faces.append(np.asarray(m3.triangulate([levels[-1][0]])) + count * (len(levels) - 1))
    mesh = m3.Mesh64(vert_properties=corners, tri_verts=np.concatenate(faces).astype(np.uint64))
    return m3.Manifold(mesh)


def _turned(profile: list[tuple[float, float]], sides: int) -> Any:
    corners = np.array(profile, float) / [math.cos(math.pi / sides), 1.0]
    return m3.CrossSection([corners]).revolve(sides)


def _round(radius: float, bottom: float, top: float, at: tuple[float, float], sides: int) -> Any:
    angle = np.arange(sides) * (2.0 * math.pi / sides)
    corner = radius / math.cos(math.pi / sides)
    ring = np.column_stack([at[0] + corner * np.cos(angle), at[1] + corner * np.sin(angle)])
    return _pulled([ring], bottom, top)


def _pulled(rings: Any, bottom: float, top: float) -> Any:
    section = m3.CrossSection([np.asarray(ring) for ring in rings], m3.FillRule.NonZero)
    return section.extrude(top - bottom).translate((0.0, 0.0, bottom))


def _joined(solids: list[Any]) -> Any:
    return m3.Manifold.batch_boolean(solids, m3.OpType.Add)


def _sides(radius: float, chord: float) -> int:
    return max(12, math.ceil(math.pi / math.acos(radius / (radius + chord))))


def _at(distance: float, angle: float) -> tuple[float, float]:
    turn = math.radians(angle)
    return distance * math.cos(turn), distance * math.sin(turn)


def _arrays(solid: Any) -> tuple[Any, Any]:
    mesh = solid.to_mesh64()
    return np.asarray(mesh.vert_properties), np.asarray(mesh.tri_verts)
