"""Solids with one known fault of printing each, and solids with none."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from mouldgen.check.prints import PrintCheck, prints
from mouldgen.solid.circle import polygon
from mouldgen.solid.kernel import Solid, box, cylinder, loft, prism, revolve, union
from mouldgen.solid.mesh import Mesh

LINE, LAYER = 0.42, 0.2


def looked_at(part: Solid | Mesh, **named: Any) -> PrintCheck:
    """A part as a printer of 0.42 mm lines and 0.2 mm layers sees it."""
    mesh = part if isinstance(part, Mesh) else part.any_mesh()
    return prints(mesh, **{"name": "part", "line_mm": LINE, "layer_mm": LAYER, **named})


def turned(part: Solid, *, about: tuple[float, float, float], degrees: float) -> Solid:
    """A solid turned about any axis, by Rodrigues' formula."""
    axis = np.array(about) / np.linalg.norm(about)
    cross = np.cross(axis, np.eye(3)).T
    angle = math.radians(degrees)
    turn = np.eye(3) + math.sin(angle) * cross + (1.0 - math.cos(angle)) * cross @ cross
    return part.placed(np.column_stack([turn, np.zeros(3)]))


def wedge(angle_deg: float, *, length: float = 30.0, height: float = 20.0) -> Solid:
    """A wedge whose edge stands on the z axis, one face along x."""
    tip = length * math.tan(math.radians(angle_deg))
    return prism([[(0, 0), (length, 0), (length, tip)]], bottom_mm=0, top_mm=height)


def tube(inner: float, outer: float, *, height: float = 40.0, sides: int = 90) -> Solid:
    return revolve([(inner, 0), (outer, 0), (outer, height), (inner, height)], sides=sides)


def tee(*, reach: float = 10.0, deep: float = 20.0) -> Solid:
    """A wall with a slab on top that reaches out on one side."""
    wall = box((-5, 0, 0), (5, deep, 20))
    return wall + box((-5, 0, 20), (5 + reach, deep, 24))


def gate(span: float, *, deep: float = 20.0) -> Solid:
    """Two posts under a flat roof."""
    posts = box((0, 0, 0), (5, deep, 10)) + box((5 + span, 0, 0), (10 + span, deep, 10))
    return posts + box((0, 0, 10), (10 + span, deep, 13))


def leaning(off: float) -> Solid:
    """A round post whose top stands off its foot."""
    ring = polygon(5.0, sides=24)
    return loft([(ring, 0.0), (ring + np.array([off, 0.0]), 40.0)])


def pierced() -> Solid:
    """A block with a round hole that lies flat: its roof is narrow enough to bridge."""
    hole = cylinder(4, bottom_mm=-30, top_mm=30, chord_mm=0.01)
    return box((-10, 0, 0), (10, 20, 20)) - turned(hole, about=(1, 0, 0), degrees=90).moved(z=10)


def ramp() -> Solid:
    """An underside of just 45 degrees."""
    side = prism([[(0, 0), (20, 0), (20, 20), (-10, 20), (-10, 10)]], bottom_mm=0, top_mm=15)
    return turned(side, about=(1, 0, 0), degrees=90)


def grooved() -> Solid:
    """A tube with a V all round inside, both its sides at 45 degrees."""
    return tube(10, 12) - revolve([(9, 19), (10, 19), (10.5, 19.5), (10, 20), (9, 20)], sides=90)


def torus(radius: float, thick: float) -> Solid:
    turn = np.linspace(0, 2 * math.pi, 32, endpoint=False)
    ring = np.column_stack([radius + thick * np.cos(turn), thick * np.sin(turn)])
    return revolve(ring, sides=90)


CLEAN = {
    "box": lambda: box((0, 0, 0), (20, 20, 20)),
    "tube": lambda: tube(10, 11.3),
    "ledge": lambda: box((0, 0, 0), (10, 10, 10)) + box((0, 0, 10), (10.9, 10, 12)),
    "ramp of 45 degrees": ramp,
    "hole that lies flat": pierced,
    "V groove": grooved,
    "cone of 45 degrees": lambda: revolve([(0, 0), (15, 0), (3, 12), (0, 12)], sides=60),
    "rounded rim": lambda: union([tube(10, 12), torus(11.0, 1.0).moved(z=40)]),
}
