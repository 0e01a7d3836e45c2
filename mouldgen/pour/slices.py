"""From closed surfaces to runs of air, without voxels and without cutting solids.

Each triangle is cut at the middle of every layer it crosses, and each piece of outline that
results at the middle of every row it crosses.  Which layers and rows those are is decided on
integers that belong to a corner and to a point of an edge, not to a triangle, so that an
outline of a closed surface closes without any tolerance.
"""

from __future__ import annotations

import numpy as np

from mouldgen.errors import InputError
from mouldgen.pour.air_space import LEAST_STEPS, AirSpace
from mouldgen.pour.space import UPRIGHT, Attitude, Space
from mouldgen.solid.mesh import GRID_MM, Floats, Integers, Mesh

# Entering and leaving the hollow, entering and leaving a solid.  In air means in the hollow
# and in no solid; a solid outweighs any number of hollows.
_WEIGHT = np.array([1, -1, -1000, 1000])
_HOLLOW, _SOLID = 0, 2
_MARGIN_MM = 1e-6
_ROUNDED_MM = 4.0 * GRID_MM  # a run that ends at a lid's underside is rounded to either side of it
_FINEST_MM = 1.0 / 16.0  # our own choice: nothing enters a narrower gap, and finer takes gigabytes


def pitch_mm(gap_mm: float) -> float:
    """Layers and rows that a gap is not stepped over by: half a millimetre, halved as needed.

    Never finer than a sixteenth of a millimetre, where a gap is no longer seen across rows.

    gap_mm : the narrowest passage that counts [mm].

    Raises InputError where that is none.
    """
    if not gap_mm > 0.0:
        raise InputError(f"{gap_mm:g} mm is no passage", allowed="more than 0 mm")
    pitch = 0.5
    while pitch > max(gap_mm, _FINEST_MM):
        pitch /= 2.0
    return pitch


def slice_air(
    space: Space, *, layer_mm: float = 0.5, row_mm: float = 0.5, attitude: Attitude = UPRIGHT
) -> AirSpace:
    """The air of a space as runs, level in an attitude.

    space : hollow, solids and where it is open.
    layer_mm, row_mm : height of a layer and width of a row [mm].  Walls and passages
        thinner than that, across a row or a layer, may be stepped over; along x none is.
    attitude : how the mould leans.

    Raises InputError where a layer is thicker than the open top of the hollow.
    """
    thick = space.hollow.bounds[1][2] - space.open_above_mm
    if not 0.0 < layer_mm <= thick + GRID_MM:
        raise InputError(
            f"layers of {layer_mm:g} mm may step over the {thick:g} mm of the hollow that are open",
            allowed=f"more than 0 mm, up to {thick:g} mm",
        )
    turn = attitude.turn
    hollow = space.hollow.vertices.astype(np.float64) @ turn.T
    raster = _Raster(hollow, layer_mm=layer_mm, row_mm=row_mm)
    keys = [raster.crossings(hollow, space.hollow, _HOLLOW)]
    keys += [
        raster.crossings(mesh.vertices.astype(np.float64) @ turn.T, mesh, _SOLID)
        for mesh in space.solids
    ]
    line, start, end = raster.runs(np.concatenate(keys))
    layer = line // raster.rows + raster.layers_from
    row = line % raster.rows + raster.rows_from
    air = AirSpace(
        layer=layer,
        row=row,
        start=start,
        end=end,
        opens=np.zeros(len(layer), bool),
        layer_mm=layer_mm,
        row_mm=row_mm,
        step_mm=GRID_MM,
        origin_mm=raster.origin,
        attitude=attitude,
    )
    air.opens[:] = _highest(air, turn[:, 2]) > space.open_above_mm + _ROUNDED_MM
    return air


def _highest(air: AirSpace, up: Floats) -> Floats:
    """Height over the mould's floor of each run's higher end [mm]."""
    end = np.maximum(up[0] * air.start, up[0] * air.end) * air.step_mm + up[0] * air.origin_mm
    middle = up[1] * (air.row + 0.5) * air.row_mm + up[2] * (air.layer + 0.5) * air.layer_mm
    height: Floats = end + middle
    return height


class _Raster:
    """The lines that cross the box round a hollow; each crossing is packed into one integer."""

    def __init__(self, hollow: Floats, *, layer_mm: float, row_mm: float) -> None:
        low, high = hollow.min(axis=0), hollow.max(axis=0)
        self.layer_mm, self.row_mm = layer_mm, row_mm
        self.origin = float(low[0])
        self.reach = round((high[0] - low[0]) / GRID_MM) + 1
        self.layers_from, self.layers_to = _first_middle(np.array([low[2], high[2]]), layer_mm)
        self.rows_from, self.rows_to = _first_middle(np.array([low[1], high[1]]), row_mm)
        self.rows = int(self.rows_to - self.rows_from) + 1

    def crossings(self, corners: Floats, mesh: Mesh, kind: int) -> Integers:
        """Where the lines cross a closed surface, ``line, x, kind`` packed in that order."""
        triangles = self._crossed(corners, np.asarray(mesh.triangles, np.int64))
        level = _first_middle(corners[:, 2], self.layer_mm)
        order = np.argsort(level[triangles], axis=1, kind="stable")
        a, b, c = np.take_along_axis(triangles, order, axis=1).T
        first = np.maximum(level[a], self.layers_from)
        at, layer = _spread(first, np.minimum(level[c], self.layers_to) - first)
        height = np.asarray((layer + 0.5) * self.layer_mm, np.float64)
        # Edges run from the lower end to the higher: both triangles find the same point.
        edges = _Edges(corners, np.concatenate([a, a, b]), np.concatenate([c, b, c]))
        p = at
        q = at + len(a) * np.where(layer >= level[b][at], 2, 1)
        p_y, q_y = edges.at(1, p, height), edges.at(1, q, height)
        p_row, q_row = _first_middle(p_y, self.row_mm), _first_middle(q_y, self.row_mm)
        first = np.maximum(np.minimum(p_row, q_row), self.rows_from)
        piece, row = _spread(first, np.minimum(np.maximum(p_row, q_row), self.rows_to) - first)
        p_y, q_y, height = p_y[piece], q_y[piece], height[piece]
        p_x, q_x = edges.at(0, p[piece], height), edges.at(0, q[piece], height)
        x = p_x + ((row + 0.5) * self.row_mm - p_y) / (q_y - p_y) * (q_x - p_x)
        # Solids beyond the hollow keep their order before or behind it, which is all they need.
        steps = np.clip(np.round((x - self.origin) / GRID_MM), 0, self.reach).astype(np.int64)
        # With an even order of corners the solid lies left of the way from p to q.
        even = ((order[:, 1] - order[:, 0]) % 3 == 1)[at[piece]]
        leaving = (q_row > p_row)[piece] == even
        line = (layer[piece] - self.layers_from) * self.rows + row - self.rows_from
        packed: Integers = ((line * (self.reach + 1) + steps) << 2) + kind + leaving
        return packed

    def _crossed(self, corners: Floats, triangles: Integers) -> Integers:
        """The triangles that some line may cross, with a margin for rounding."""
        y = corners[:, 1].take(triangles.T)
        first = _first_middle(y.min(axis=0) - _MARGIN_MM, self.row_mm)
        behind = _first_middle(y.max(axis=0) + _MARGIN_MM, self.row_mm)
        return triangles[first < behind]

    def runs(self, keys: Integers) -> tuple[Integers, Integers, Integers]:
        """Line, start and end of every run of air."""
        keys = np.sort(keys, kind="stable")  # they come in rising pieces, which it merges
        in_air = np.cumsum(_WEIGHT[keys & 3]) > 0
        change = np.diff(in_air.astype(np.int8), prepend=np.int8(0))
        place = keys >> 2
        start, end = place[change == 1], place[change == -1]
        long = end - start >= LEAST_STEPS
        line, start = np.divmod(start[long], self.reach + 1)
        return line, start, end[long] - line * (self.reach + 1)


class _Edges:
    """Edges from `low` to `high`, indices of corners (n, 3)."""

    def __init__(self, corners: Floats, low: Integers, high: Integers) -> None:
        self.low, self.high = corners.T.take(low, axis=1), corners.T.take(high, axis=1)
        rise = self.high[2] - self.low[2]
        # A level edge is never asked for.
        self.slope = (self.high[:2] - self.low[:2]) / np.where(rise > 0.0, rise, 1.0)

    def at(self, axis: int, edge: Integers, height: Floats) -> Floats:
        """x (axis 0) or y (axis 1) of edges at heights [mm]."""
        rise = height - self.low[2][edge]
        place: Floats = self.low[axis][edge] + self.slope[axis][edge] * rise
        return place


def _first_middle(place: Floats, pitch: float) -> Integers:
    """The first layer, or row, whose middle does not lie below a place."""
    return np.ceil(place / pitch - 0.5).astype(np.int64)


def _spread(first: Integers, count: Integers) -> tuple[Integers, Integers]:
    """Each index as often as its count says, and with it ``first, first + 1, ...``."""
    some = np.flatnonzero(count > 0)
    many = count[some]
    at = np.repeat(some, many)
    begins = np.cumsum(many) - many
    return at, np.arange(len(at)) + np.repeat(first[some] - begins, many)
