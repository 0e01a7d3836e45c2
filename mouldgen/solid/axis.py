"""The pose of a scan: on the axis of a thin cylinder that holds it, standing on an end.

The axis is searched over all directions: the principal axes and a net over half a ball to
start from.  The few with the thinnest cylinder are refined to the least ``r^2 l`` near them,
because a cone may lean in its cylinder without making that any wider; of what comes out the
thinnest is taken, and of those as thin the shortest.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from mouldgen.errors import ScanError
from mouldgen.solid.kernel import Solid
from mouldgen.solid.mesh import Floats, Mesh

NET = 150  # directions on half a ball, about 13 degrees apart
BEST = 3  # of them that are refined
FINEST = 1e-5  # radian at which refining stops: a micrometre on a tenth of a metre
# Of walking from one start: ordinary scans take up to 67.  Along a sharp valley the steps become
# so small before its end is reached that it would take hours, for an axis that is no thinner.
MOST_ROUNDS = 300
AS_THIN = 0.002  # by how much two radii may differ to count as one, as a share of them
MOST_POINTS = 1200  # of the hull that a direction is judged by; the answer uses all


@dataclass(frozen=True, eq=False)
class Pose:
    """How a scan is stood up.

    matrix : the affine map (3, 4) that stands it on z = 0, the cylinder's axis along z [mm].
    radius_mm : of the thinnest cylinder that holds it [mm].
    length_mm : along the axis [mm].
    heavy_end_down : its centre of volume lies in the lower half.
    """

    matrix: Floats
    radius_mm: float
    length_mm: float
    heavy_end_down: bool

    def placed(self, mesh: Mesh) -> Mesh:
        """The mesh in this pose; KernelError where it is not closed."""
        return Solid.of_mesh(mesh).placed(self.matrix).any_mesh()


def poses_of(mesh: Mesh) -> tuple[Pose, Pose]:
    """The two ways to stand a scan on its axis, the heavier end down first.

    mesh : a closed mesh [mm].

    The same mesh gives the same poses.  Raises ScanError where it is flat or inside out.
    """
    points = _hull(mesh)
    centre, second = _moments(mesh)
    axis = _best_axis(_thinned(points), np.asarray(np.linalg.eigh(second)[1].T))
    _, across = _across(axis)
    base = np.concatenate([_widest_first(across, second), axis[None]])
    radius, (u, v) = least_circle(points @ base[:2].T)
    height = points @ axis
    low, high = float(height.min()), float(height.max())
    heavy = float(centre @ axis) <= (low + high) / 2.0
    up = np.column_stack([base, [-u, -v, -low]])
    over = np.diag([1.0, -1.0, -1.0]) @ up
    over[2, 3] += high - low
    first = Pose(up, radius, high - low, heavy_end_down=heavy)
    second_pose = Pose(over, radius, high - low, heavy_end_down=not heavy)
    return (first, second_pose) if heavy else (second_pose, first)


def least_circle(points: Floats) -> tuple[float, tuple[float, float]]:
    """Radius and centre of the least circle round some points (n, 2) [mm].

    Source: Welzl 1991, "Smallest enclosing disks" (from memory), moving the farthest point to
    the front instead of a random order, so that the same points give the same circle.
    """
    _, centre, square = _rests_on(points, [])
    return math.sqrt(square), centre


def _rests_on(points: Floats, near: list[int]) -> tuple[list[int], tuple[float, float], float]:
    """The points that the least circle rests on, its centre, and its radius squared [mm2].

    near : points that it probably rests on, so that it is found sooner.
    """
    x, y = np.ascontiguousarray(points.T)  # in columns: several times faster than along rows
    if len(near) > 1:
        chosen, centre, square = _circle_round(points, near)
    else:
        chosen = [int(((x - x[0]) ** 2 + (y - y[0]) ** 2).argmax())]
        centre, square = (float(x[chosen[0]]), float(y[chosen[0]])), 0.0
    for _ in range(200):
        away = (x - centre[0]) ** 2 + (y - centre[1]) ** 2
        farthest = int(away.argmax())
        if away[farthest] <= square * (1.0 + 1e-12) + 1e-18:
            break
        chosen, centre, square = _circle_round(points, [*chosen, farthest])
    return chosen, centre, square


def _circle_round(points: Floats, names: list[int]) -> tuple[list[int], tuple[float, float], float]:
    """The least circle round at most four points, and those it rests on.

    In plain numbers: of so few, arrays take ten times as long.
    """
    own: list[tuple[float, float]] = [(x, y) for x, y in points[names].tolist()]
    best: tuple[list[int], tuple[float, float], float] | None = None
    for i, (ax, ay) in enumerate(own):
        for j in range(i + 1, len(own)):
            bx, by = own[j]
            best = _better(best, own, [i, j], ((ax + bx) / 2.0, (ay + by) / 2.0))
            x, y = bx - ax, by - ay
            for k in range(j + 1, len(own)):
                u, v = own[k][0] - ax, own[k][1] - ay
                twice = 2.0 * (x * v - y * u)
                one, other = x * x + y * y, u * u + v * v
                if abs(twice) > 1e-14 * (one + other):
                    right = (v * one - y * other) / twice
                    up = (x * other - u * one) / twice
                    best = _better(best, own, [i, j, k], (ax + right, ay + up))
    if best is None:
        raise ScanError("no circle goes round the scan's shadow")
    on, centre, square = best
    return [names[i] for i in on], centre, square


def _better(
    best: tuple[list[int], tuple[float, float], float] | None,
    own: list[tuple[float, float]],
    on: list[int],
    centre: tuple[float, float],
) -> tuple[list[int], tuple[float, float], float] | None:
    squares = [(x - centre[0]) ** 2 + (y - centre[1]) ** 2 for x, y in own]
    square, rests = max(squares), max(squares[i] for i in on)
    if square > rests * (1.0 + 1e-9) + 1e-18 or (best is not None and square >= best[2]):
        return best
    return on, centre, square


def _hull(mesh: Mesh) -> Floats:
    from scipy.spatial import ConvexHull, QhullError

    points = mesh.vertices.astype(np.float64)
    try:
        return np.asarray(points[np.sort(ConvexHull(points).vertices)])
    except QhullError:
        raise ScanError("the scan is flat: it has no axis to stand on") from None


def _thinned(points: Floats) -> Floats:
    """Those of a hull's points that reach farthest in some direction of a net."""
    if len(points) <= MOST_POINTS:
        return points
    columns = np.ascontiguousarray(points.T)  # twenty times faster than along rows
    farthest = []
    for ways in np.array_split(_net(MOST_POINTS // 2), 150):  # or the products are large
        reach = ways @ columns
        farthest += [reach.argmax(axis=1), reach.argmin(axis=1)]
    return np.asarray(points[np.unique(np.concatenate(farthest))])


def _net(count: int) -> Floats:
    """Directions that wind round half a ball by the golden angle (count, 3)."""
    number = np.arange(count) + 0.5
    z = 1.0 - number / count
    turn = number * math.pi * (3.0 - math.sqrt(5.0))
    flat = np.sqrt(1.0 - z**2)
    return np.column_stack([flat * np.cos(turn), flat * np.sin(turn), z])


def _across(axis: Floats) -> tuple[Floats, Floats]:
    """An axis, and two directions across that make a right-handed set with it."""
    x, y, z = axis.tolist()
    # By hand: a search asks this thousands of times, of three numbers each.
    aside = min(range(3), key=lambda k: abs((x, y, z)[k]))
    u = np.array([(0.0, -z, y), (z, 0.0, -x), (-y, x, 0.0)][aside])
    u /= np.linalg.norm(u)
    a, b, c = u.tolist()
    return axis, np.array([(a, b, c), (y * c - z * b, z * a - x * c, x * b - y * a)])


def _cylinder(points: Floats, axis: Floats, near: list[int]) -> tuple[float, float, list[int]]:
    """Radius and length of the thinnest cylinder along an axis [mm], and what it rests on.

    near : what it rests on along an axis near by; empty where none is known.
    """
    on, _, square = _rests_on(points @ _across(axis)[1].T, near)
    return math.sqrt(square), float(np.ptp(points @ axis)), on


def _best_axis(points: Floats, principal: Floats) -> Floats:
    starts = np.concatenate([principal, _net(NET)])
    radii = [_cylinder(points, way, [])[0] for way in starts]
    first = np.argsort(radii, kind="stable")[:BEST].tolist()
    # A principal axis is often right to the last digit, where the net is off by degrees.
    first += [i for i in range(len(principal)) if i not in first]
    found = [_refined(points, starts[i]) for i in first]
    thinnest = min(radius for (radius, _), _ in found)
    thin = [pair for pair in found if pair[0][0] <= (1.0 + AS_THIN) * thinnest]
    axis = min(thin, key=lambda pair: pair[0][1])[1]
    # Either sense is right: the one whose largest part is positive.
    return np.asarray(axis * np.sign(axis[np.abs(axis).argmax()]))


def _refined(points: Floats, axis: Floats) -> tuple[tuple[float, float], Floats]:
    """Walk downhill in eight directions, with ever smaller steps."""
    radius, length, on = _cylinder(points, axis, [])
    best, step = (radius, length), 0.05
    ways = [(math.cos(a), math.sin(a)) for a in np.arange(8) * math.pi / 4.0]
    for _ in range(MOST_ROUNDS):
        if step <= FINEST:
            break
        across = _across(axis)[1]
        tried = []
        for x, y in ways:
            way = axis + step * (x * across[0] + y * across[1])
            way /= np.linalg.norm(way)
            tried.append((_cylinder(points, way, on), way))
        (radius, length, rests), way = min(tried, key=lambda pair: pair[0][0] ** 2 * pair[0][1])
        if radius**2 * length < best[0] ** 2 * best[1]:
            best, axis, on = (radius, length), way, rests
        else:
            step /= 3.0
    return best, axis


def _moments(mesh: Mesh) -> tuple[Floats, Floats]:
    """The centre of a closed mesh, and its second moments about it over its volume."""
    start = mesh.vertices[0].astype(np.float64)
    corners = mesh.corners.astype(np.float64) - start
    six = np.einsum("ij,ij->i", corners[:, 0], np.cross(corners[:, 1], corners[:, 2]))
    volume = float(six.sum()) / 6.0
    if volume <= 0.0:
        raise ScanError("the scan encloses nothing, or is inside out: mend it first")
    total = corners.sum(axis=1)
    first = (six[:, None] * total).sum(axis=0) / 24.0 / volume
    second = np.einsum("i,ij,ik->jk", six, total, total)
    second += np.einsum("i,icj,ick->jk", six, corners, corners)
    return np.asarray(first + start), second / 120.0 / volume - np.outer(first, first)


def _widest_first(across: Floats, second: Floats) -> Floats:
    """Two directions across, turned so that the scan spreads most along the first."""
    spread = across @ second @ across.T
    angle = 0.5 * math.atan2(2.0 * spread[0, 1], spread[0, 0] - spread[1, 1])
    turn = np.array([[math.cos(angle), math.sin(angle)], [-math.sin(angle), math.cos(angle)]])
    return np.asarray(turn @ across)
