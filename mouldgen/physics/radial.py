"""Heat through layers round a middle: finite volumes in a slab, a cylinder or a sphere.

``rho c dT/dt = r^-p d/dr (k r^p dT/dr) + q`` with p = 0, 1, 2.  Each cell's temperature stands at
its middle; the flow through a face is that through two half cells and the contact between them in
series.  Of second order in the cells' width, graded grids included.  The middle, or the inner end
of a slab, passes no heat; the outside passes it to the air through a film, ``h (T - T_air)``.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from mouldgen.physics.material import Material

Array = NDArray[np.float64]

SLAB, CYLINDER, SPHERE = 0, 1, 2


@dataclass(frozen=True, eq=False)
class Layer:
    """One material between two radii.

    thickness : [m].
    material : of the layer.
    cells : how many it is cut into.
    growth : width of its outermost cell over that of its innermost.
    cures : whether it gives heat.
    contact : conductance to the layer inside it [W/(m2 K)].
    """

    thickness: float
    material: Material
    cells: int
    growth: float = 1.0
    cures: bool = False
    contact: float = math.inf


@dataclass(frozen=True, eq=False)
class Radial:
    """Layers cut into cells, and how heat passes between them.

    shape : SLAB, CYLINDER or SPHERE.
    faces : radii of the cells' ends, one more than cells [m].
    stored : heat capacity of a cubic metre of each cell [J/(m3 K)].
    inward, outward : resistance of each cell's two halves, contacts counted inward [K m2/W].
    film : conductance to the air; inf holds the outside at the air's temperature [W/(m2 K)].
    curing : the cells that give heat.
    ends : index of each layer's first cell, and the number of cells.
    """

    shape: int
    faces: Array
    stored: Array
    inward: Array
    outward: Array
    film: float
    curing: slice
    ends: tuple[int, ...]

    @cached_property
    def nodes(self) -> Array:
        """Radii at which the temperatures stand [m]."""
        return 0.5 * (self.faces[1:] + self.faces[:-1])

    @cached_property
    def volumes(self) -> Array:
        """Of the cells, over the area of the unit face [m^(p+1)]."""
        power = self.shape + 1
        return np.diff(self.faces**power) / power

    @cached_property
    def outside(self) -> float:
        """Conductance of the outermost half cell and the film [W/(m2 K)]."""
        return float(1.0 / (self.outward[-1] + 1.0 / self.film))

    @cached_property
    def exchange(self) -> Array:
        """Square matrix M of ``dT/dt = M (T - T_air) + source`` [1/s]."""
        area = self.faces**self.shape
        between = area[1:-1] / (self.outward[:-1] + self.inward[1:])
        out = np.concatenate([between, [area[-1] * self.outside]])
        matrix = np.diag(between, 1) + np.diag(between, -1) - np.diag(out)
        matrix[range(1, len(out)), range(1, len(out))] -= between
        return np.asarray(matrix / (self.stored * self.volumes)[:, None])

    def face(self, temperatures: Array, index: int) -> Array:
        """Temperature of the inner side of an inner face [K].

        temperatures : of the cells, the last axis theirs [K].
        index : of the face, from 1 to one less than the number of cells.
        """
        before, behind = self.outward[index - 1], self.inward[index]
        left, right = temperatures[..., index - 1], temperatures[..., index]
        return np.asarray((left * behind + right * before) / (before + behind))

    def surface(self, temperatures: Array, air: float) -> Array:
        """Temperature of the outside [K].

        temperatures : of the cells, the last axis theirs [K].
        air : [K].
        """
        share = self.outside * self.outward[-1]
        return np.asarray(temperatures[..., -1] * (1.0 - share) + air * share)

    def centre(self, temperatures: Array) -> Array:
        """Temperature of the middle, on the parabola through the two innermost cells [K].

        temperatures : of the cells, the last axis theirs [K].
        """
        first, second = self.nodes[0] ** 2, self.nodes[1] ** 2
        slope = (temperatures[..., 1] - temperatures[..., 0]) / (second - first)
        return np.asarray(temperatures[..., 0] - slope * first)

    def loss(self, temperatures: Array, air: float) -> Array:
        """Heat that goes to the air: of a slab for each m2, of a cylinder for each m [W].

        temperatures : of the cells, the last axis theirs [K].
        air : [K].
        """
        around = (1.0, 2.0 * math.pi, 4.0 * math.pi)[self.shape]
        area = around * self.faces[-1] ** self.shape
        return np.asarray(area * self.outside * (temperatures[..., -1] - air))


def radial(layers: Sequence[Layer], *, shape: int, film: float, inner: float = 0.0) -> Radial:
    """Cut layers into cells.

    layers : from the inside outward; those that cure lie side by side.
    shape : SLAB, CYLINDER or SPHERE.
    film : conductance to the air; inf holds the outside at the air's temperature [W/(m2 K)].
    inner : radius of the first layer's inside, which passes no heat [m].
    """
    widths = [_widths(layer) for layer in layers]
    halves = [
        0.5 * width / layer.material.conductivity
        for width, layer in zip(widths, layers, strict=True)
    ]
    inward = np.concatenate(halves)
    counts = [0, *(layer.cells for layer in layers)]
    ends = tuple(int(end) for end in np.cumsum(counts))
    for layer, start in zip(layers, ends[:-1], strict=True):
        inward[start] += 1.0 / layer.contact
    cures = [i for i, layer in enumerate(layers) if layer.cures]
    return Radial(
        shape=shape,
        faces=inner + np.concatenate([[0.0], np.cumsum(np.concatenate(widths))]),
        stored=np.concatenate([np.full(x.cells, x.material.stored) for x in layers]),
        inward=inward,
        outward=np.concatenate(halves),
        film=film,
        curing=slice(ends[cures[0]], ends[cures[-1] + 1]) if cures else slice(0, 0),
        ends=ends,
    )


def _widths(layer: Layer) -> Array:
    """Widths of a layer's cells, in a geometric row."""
    steps = np.linspace(0.0, 1.0, layer.cells) if layer.cells > 1 else np.zeros(1)
    row = layer.growth**steps
    return np.asarray(layer.thickness * row / row.sum())
