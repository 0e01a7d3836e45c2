"""Parallel lines through a closed surface: where each enters the material and where it leaves.

Which lines meet a triangle is decided on integers that belong to a corner and to a point of an
edge, not to a triangle, so that on a closed surface every line that enters also leaves.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from mouldgen.solid.mesh import Floats, Integers, Mesh

if TYPE_CHECKING:
    from numpy.typing import NDArray


@dataclass(frozen=True, eq=False)
class Runs:
    """Runs of material along lines of one direction.

    axis : 0, 1 or 2, the direction of the lines.
    enters, leaves : the triangle at either end of each run (n,).
    start : where each run begins (n, 3) [mm].
    length : of each run (n,) [mm].
    """

    axis: int
    enters: Integers
    leaves: Integers
    start: Floats
    length: Floats


def runs_along(mesh: Mesh, axis: int, *, pitch_mm: float) -> Runs:
    """Every run of material on a square lattice of lines.

    mesh : closed, wound outward.
    axis : 0, 1 or 2, the direction of the lines.
    pitch_mm : from line to line both ways [mm].
    """
    corners = mesh.vertices.T.astype(np.float64)
    across_axis, up_axis = (axis + 1) % 3, (axis + 2) % 3
    one, other, _ = mesh.vertices.take(mesh.triangles.T, axis=0)
    climb = np.abs(one - other).sum(axis=0)
    mirrored = bool(climb[up_axis] > climb[across_axis])
    if mirrored:  # rows cost more than columns: few of them are better
        across_axis, up_axis = up_axis, across_axis
    corners = corners[[axis, across_axis, up_axis]]
    row_of, column_of = _middle_from(corners[2], pitch_mm), _middle_from(corners[1], pitch_mm)
    triangles, rows = _crossed(mesh.triangles.T, row_of, column_of)
    order = np.argsort(rows, axis=0)
    a, b, c = np.take_along_axis(mesh.triangles.T[:, triangles], order, axis=0)
    # With an even order of corners the surface faces along the lines where q lies beyond p.
    even = ((order[1] - order[0]) % 3 == 1) != mirrored
    low, middle, high = np.take_along_axis(rows, order, axis=0)
    at, row = _spread(low, high - low)
    height = np.asarray((row + 0.5) * pitch_mm, np.float64)
    a, b, c = a[at], b[at], c[at]
    upper = row >= middle[at]
    p = _on_edge(corners, a, c, height)
    q = _on_edge(corners, np.where(upper, b, a), np.where(upper, c, b), height)
    p_column, q_column = _middle_from(p[1], pitch_mm), _middle_from(q[1], pitch_mm)
    first = np.minimum(p_column, q_column)
    piece, column = _spread(first, np.maximum(p_column, q_column) - first)
    share = ((column + 0.5) * pitch_mm - p[1][piece]) / (q[1] - p[1])[piece]
    place = p[0][piece] + share * (q[0] - p[0])[piece]
    enters = ((q_column > p_column) != even[at])[piece]
    return _paired(
        (axis, across_axis, up_axis),
        row=row[piece],
        column=column,
        place=place,
        enters=enters,
        triangle=triangles[at[piece]],
        pitch_mm=pitch_mm,
    )


def _paired(
    axes: tuple[int, int, int],
    *,
    row: Integers,
    column: Integers,
    place: Floats,
    enters: NDArray[np.bool_],
    triangle: Integers,
    pitch_mm: float,
) -> Runs:
    """Each crossing inward with the next one outward on its line."""
    if not len(row):
        none = np.zeros(0, np.int64)
        return Runs(axes[0], none, none, np.zeros((0, 3)), np.zeros(0))
    wide = int(np.ptp(column)) + 1
    line = (row - row.min()) * wide + column - column.min()
    # One number a crossing sorts four times faster than two; lines never come close.
    span = float(np.ptp(place)) + 1.0
    order = np.argsort(line * span + (place - place.min()))
    inward, line = enters[order], line[order]
    first = np.flatnonzero(inward[:-1] & ~inward[1:] & (line[:-1] == line[1:]))
    begins, ends = order[first], order[first + 1]
    start = np.empty((len(first), 3))
    for axis, where in zip(
        axes,
        (place[begins], (column[begins] + 0.5) * pitch_mm, (row[begins] + 0.5) * pitch_mm),
        strict=True,
    ):
        start[:, axis] = where
    return Runs(axes[0], triangle[begins], triangle[ends], start, place[ends] - place[begins])


def _crossed(
    triangles: NDArray[np.int32], row_of: Integers, column_of: Integers
) -> tuple[Integers, Integers]:
    """The triangles that some line may cross, and the rows of their corners (3, m)."""
    rows, columns = row_of.take(triangles), column_of.take(triangles)
    # A point on an edge is rounded, so a column's width is spared at either side.
    some = (_least(rows) < _most(rows)) & (_least(columns) - 1 < _most(columns) + 1)
    kept = np.flatnonzero(some)
    return kept, rows[:, kept]


def _least(three: Integers) -> Integers:
    # Several times faster than a minimum along so short an axis.
    least: Integers = np.minimum(np.minimum(three[0], three[1]), three[2])
    return least


def _most(three: Integers) -> Integers:
    most: Integers = np.maximum(np.maximum(three[0], three[1]), three[2])
    return most


def _on_edge(
    corners: Floats, low: Integers, high: Integers, height: Floats
) -> tuple[Floats, Floats]:
    """Where edges stand at heights, along the lines and across them [mm].

    Edges run from the lower end to the higher: both triangles find the same point.
    """
    along, across, up = corners
    share = (height - up[low]) / (up[high] - up[low])
    return (
        along[low] + share * (along[high] - along[low]),
        across[low] + share * (across[high] - across[low]),
    )


def _middle_from(place: Floats, pitch: float) -> Integers:
    """The first line that does not lie before a place."""
    return np.ceil(place / pitch - 0.5).astype(np.int64)


def _spread(first: Integers, count: Integers) -> tuple[Integers, Integers]:
    """Each index as often as its count says, and with it ``first, first + 1, ...``."""
    at = np.repeat(np.arange(len(count)), count)
    begins = np.cumsum(count) - count
    return at, np.arange(len(at)) + np.repeat(first - begins, count)
