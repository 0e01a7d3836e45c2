"""Small sound solids, and what can be wrong with a surface."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from random import Random

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Faces = NDArray[np.int64]


@dataclass(eq=False)
class Bench:
    """A surface while it is being damaged.

    corners, faces : as they are (n, 3) [mm], (m, 3).
    done : what was done to it, in order.
    """

    rng: Random
    corners: Floats
    faces: Faces
    done: list[str] = field(default_factory=list)

    def some(self, most: int) -> list[int]:
        """The numbers of a few faces."""
        return self.rng.sample(
            range(len(self.faces)), min(self.rng.randint(1, most), len(self.faces))
        )

    def add(self, corners: Floats, faces: Faces) -> None:
        """Another surface beside it."""
        self.faces = np.concatenate([self.faces, faces + len(self.corners)])
        self.corners = np.concatenate([self.corners, corners])


# ------------------------------------------------------------------------ shapes


def lathe(rows: list[tuple[float, float]], sides: int, turn: float) -> tuple[Floats, Faces]:
    """What a profile of (radius, height) turns into, its two ends closed flat.

    turn : from one row to the next [rad].
    """
    angle = 2.0 * math.pi * np.arange(sides) / sides
    rings = [
        np.column_stack([r * np.cos(angle + k * turn), r * np.sin(angle + k * turn), 0 * angle + z])
        for k, (r, z) in enumerate(rows)
    ]
    here = np.arange(sides)
    there = (here + 1) % sides
    faces = []
    for k in range(len(rows) - 1):
        low, high = k * sides, (k + 1) * sides
        faces += [
            np.column_stack([low + here, low + there, high + there]),
            np.column_stack([low + here, high + there, high + here]),
        ]
    top = (len(rows) - 1) * sides
    fan = np.arange(1, sides - 1)
    faces += [
        np.column_stack([0 * fan, fan + 1, fan]),
        np.column_stack([top + 0 * fan, top + fan, top + fan + 1]),
    ]
    return np.concatenate(rings), np.concatenate(faces)


def ring(sides: int, across: int) -> tuple[Floats, Faces]:
    """A ring of radius 1 with a round section of radius 0.4."""
    u, v = np.meshgrid(np.arange(across), np.arange(sides))
    a, b = (2.0 * math.pi * (t.ravel()) / n for t, n in ((u, across), (v, sides)))
    reach = 1.0 + 0.4 * np.cos(a)
    corners = np.column_stack([reach * np.cos(b), reach * np.sin(b), 0.4 * np.sin(a)])
    i, j = u.ravel(), v.ravel()
    right, up = (i + 1) % across, (j + 1) % sides
    names = [row * across + column for row, column in ((j, i), (up, i), (up, right), (j, right))]
    one, two, three, four = names
    return corners, np.concatenate([
        np.column_stack([one, two, three]), np.column_stack([one, three, four])
    ])  # fmt: skip


def solid(rng: Random) -> tuple[Floats, Faces]:
    """Corners [mm] and faces of one closed solid of 5 to 25 mm, wound outward, lying anyhow."""
    name = rng.choice(["box", "prism", "cone", "vase", "star", "ball", "ring"])
    sides = rng.randint(3, 12)
    if name == "box":
        made = lathe([(1.0, 0.0), (1.0, rng.uniform(0.5, 3))], 4, 0.0)
    elif name == "prism":
        made = lathe([(1.0, 0.0), (1.0, rng.uniform(0.5, 3))], sides, rng.uniform(0.0, 0.3))
    elif name == "cone":
        made = lathe([(1.0, 0.0), (rng.uniform(0.1, 0.9), rng.uniform(0.5, 3))], sides, 0.0)
    elif name == "vase":
        heights = range(rng.randint(3, 6))
        made = lathe([(rng.uniform(0.5, 1.0), 0.5 * z) for z in heights], sides, 0.0)
    elif name == "star":
        corners, faces = lathe([(1.0, 0.0), (1.0, 1.2)], 2 * max(4, sides), 0.0)
        # Its ends would fold over where their fan has corners pulled in: they get middles.
        rim = 2 * max(4, sides)
        corners[::2, :2] *= 0.7
        here = np.arange(rim)
        there = (here + 1) % rim
        sides_only = faces[: 2 * rim]
        made = (
            np.vstack([corners, [[0, 0, 0.0], [0, 0, 1.2]]]),
            np.concatenate([
                sides_only, np.column_stack([there, here, 0 * here + 2 * rim]),
                np.column_stack([rim + here, rim + there, 0 * here + 2 * rim + 1]),
            ]),
        )  # fmt: skip
    elif name == "ball":
        turns = [math.pi * k / 6 for k in range(1, 6)]
        made = lathe([(math.sin(t), -math.cos(t)) for t in turns], max(5, sides), 0.0)
    else:
        made = ring(max(5, sides), rng.randint(3, 6))
    corners, faces = made
    # Both ways round of a flat quadrilateral's diagonal, and any place of the first corner.
    faces = np.array([np.roll(face, rng.randrange(3)) for face in faces.tolist()])
    return placed(corners, rng) * rng.uniform(2.5, 8.0) + rng.choice([0.0, 50.0]), faces


def placed(corners: Floats, rng: Random) -> Floats:
    """Standing, or turned about some axis."""
    if rng.random() < 0.5:
        return corners
    numbers = np.array([[rng.gauss(0, 1) for _ in range(3)] for _ in range(3)])
    turn, _ = np.linalg.qr(numbers)
    turned: Floats = corners @ (turn * np.sign(np.linalg.det(turn))).T
    return turned


# ------------------------------------------------------------------------ damage


def _hole(bench: Bench) -> None:
    bench.faces = np.delete(bench.faces, bench.some(6), axis=0)


def _turned(bench: Bench) -> None:
    some = bench.some(6)
    bench.faces[some] = bench.faces[some][:, ::-1]


def _doubled(bench: Bench) -> None:
    again = bench.faces[bench.some(6)]
    bench.faces = np.concatenate(
        [bench.faces, again[:, ::-1] if bench.rng.random() < 0.5 else again]
    )


def _flat(bench: Bench) -> None:
    bench.faces = np.concatenate([bench.faces, bench.faces[bench.some(4)][:, [0, 1, 1]]])


def _line(bench: Bench) -> None:
    """Faces without area between three corners in one line."""
    a, b = bench.corners[bench.faces[bench.some(1)[0]][:2]]
    bench.add(np.array([a, b, (a + b) / 2.0]), np.array([[0, 1, 2]]))


def _inside_out(bench: Bench) -> None:
    bench.faces = bench.faces[:, ::-1]


def _through_itself(bench: Bench) -> None:
    """A corner pulled through the far side, or another body half way in."""
    if bench.rng.random() < 0.5:
        middle = bench.corners.mean(axis=0)
        at = bench.rng.randrange(len(bench.corners))
        bench.corners[at] = middle - bench.rng.uniform(1.5, 3.0) * (bench.corners[at] - middle)
        return
    corners, faces = solid(bench.rng)
    place = bench.corners[bench.rng.randrange(len(bench.corners))]
    bench.add(corners - corners.mean(axis=0) + place, faces)


def _second_body(bench: Bench) -> None:
    corners, faces = solid(bench.rng)
    gap = bench.rng.choice([0.0, 1e-3, 3.0])
    bench.add(corners + bench.corners.max(axis=0) - corners.min(axis=0) + gap, faces)


def _shell_inside(bench: Bench) -> None:
    middle = bench.corners[bench.faces[0]].mean(axis=0)
    scale = bench.rng.choice([0.5, 0.9, 1.0 - 1e-6])
    faces = bench.faces if bench.rng.random() < 0.5 else bench.faces[:, ::-1]
    bench.add(middle + scale * (bench.corners - middle), faces.copy())


def _touching(bench: Bench) -> None:
    """The same mirrored in the plane of one corner: it touches itself in a corner or an edge."""
    mirrored = bench.corners.copy()
    mirrored[:, 2] = 2.0 * bench.corners[:, 2].max() - mirrored[:, 2]
    bench.add(mirrored, bench.faces[:, ::-1])


def _unwelded(bench: Bench) -> None:
    bench.corners = bench.corners[bench.faces].reshape(-1, 3)
    bench.faces = np.arange(len(bench.corners)).reshape(-1, 3)
    spread = bench.rng.choice([0.0, 1e-6, 1e-3])
    noise = [[bench.rng.uniform(-spread, spread) for _ in "xyz"] for _ in bench.corners]
    bench.corners = bench.corners + np.array(noise)


def _fin(bench: Bench) -> None:
    on = bench.faces[bench.some(3)]
    tips = bench.corners[on].mean(axis=1) + 2.0
    names = np.column_stack([on[:, 0], on[:, 1], len(bench.corners) + np.arange(len(on))])
    bench.corners = np.concatenate([bench.corners, tips])
    bench.faces = np.concatenate([bench.faces, names])


def _strip(bench: Bench) -> None:
    """A strip with one side, half a twist in it."""
    count = bench.rng.randint(5, 11)
    angle = 2.0 * math.pi * np.arange(count) / count
    lean = angle / 2.0
    edges = [
        np.column_stack([
            (8.0 + way * np.cos(lean)) * np.cos(angle), (8.0 + way * np.cos(lean)) * np.sin(angle),
            way * np.sin(lean),
        ])
        for way in (-2.0, 2.0)
    ]  # fmt: skip
    here = np.arange(count)
    low, high = here, count + here
    after = np.r_[low[1:], count], np.r_[high[1:], 0]
    faces = np.concatenate([
        np.column_stack([low, after[0], high]), np.column_stack([after[0], after[1], high])
    ])  # fmt: skip
    bench.add(np.concatenate(edges) + bench.corners.max(axis=0) + 12.0, faces)


def _odd_number(bench: Bench) -> None:
    """One number that is far off, tiny or none at all."""
    odd = [
        float("nan"), float("inf"), float("-inf"), 1e3, 1e6, -1e12, 1e20, 1e30, 3.4e38, 1e-12,
        1e-38, 1e-42, 1e-45, -0.0, 16777217.0,
    ]  # fmt: skip
    at = bench.rng.randrange(bench.corners.size)
    bench.corners.flat[at] = bench.rng.choice(odd)


def _odd_size(bench: Bench) -> None:
    """The whole of it far too large, too small, flat or far away."""
    how = bench.rng.randrange(4)
    if how == 0:
        bench.corners *= 10.0 ** bench.rng.uniform(-44, 37)
    elif how == 1:
        bench.corners[:, bench.rng.randrange(3)] *= bench.rng.choice([0.0, 1e-6, 1e-20, 1e6, 1e30])
    elif how == 2:
        bench.corners[:] = bench.corners[0]
    else:
        bench.corners += 10.0 ** bench.rng.uniform(2, 38)


def _no_such_corner(bench: Bench) -> None:
    odd = [len(bench.corners), len(bench.corners) + 7, -1, -(10**6), 2**31 - 1]
    bench.faces[bench.rng.randrange(len(bench.faces)), bench.rng.randrange(3)] = bench.rng.choice(
        odd
    )


def _any_faces(bench: Bench) -> None:
    """Triangles over any three corners."""
    count, many = len(bench.corners), bench.rng.randint(1, 60)
    names = [[bench.rng.randrange(count) for _ in range(3)] for _ in range(many)]
    bench.faces = (
        np.concatenate([bench.faces, np.array(names)])
        if bench.rng.random() < 0.5
        else np.array(names)
    )


def _nothing(bench: Bench) -> None:
    bench.faces = bench.faces[: bench.rng.choice([0, 0, 1, 2])]


DAMAGE: tuple[tuple[str, Callable[[Bench], None]], ...] = (
    ("hole", _hole), ("turned", _turned), ("doubled", _doubled), ("flat", _flat),
    ("line", _line), ("inside out", _inside_out), ("through itself", _through_itself),
    ("second body", _second_body), ("shell inside", _shell_inside), ("touching", _touching),
    ("unwelded", _unwelded), ("fin", _fin), ("strip", _strip), ("odd number", _odd_number),
    ("odd size", _odd_size), ("no such corner", _no_such_corner), ("any faces", _any_faces),
    ("nothing", _nothing),
)  # fmt: skip


def damaged(bench: Bench) -> None:
    """One thing that goes wrong with a surface, now and then a second and a third."""
    while True:
        name, happens = bench.rng.choice(DAMAGE)
        if len(bench.faces):
            happens(bench)
            bench.done.append(name)
        if bench.rng.random() < 0.7 or name in {"nothing", "no such corner"}:
            return


# ------------------------------------------------------------------------ plain counts


@dataclass(frozen=True, eq=False)
class Counts:
    """What plain counting says of triangles whose corners are one where they agree to the bit.

    collapsed : triangles that lost a corner; they have no edges.
    finite, inside : every corner is a number, and is there.
    """

    triangles: int
    collapsed: int
    doubled: int
    open: int
    crowded: int
    turned: int
    pieces: int
    volume_mm3: float

    @property
    def closed(self) -> bool:
        return not (self.open or self.crowded or self.turned)

    @property
    def sound(self) -> bool:
        return self.closed and not (self.collapsed or self.doubled) and self.pieces == 1 and (
            self.volume_mm3 > 0.0
        )  # fmt: skip


def counted(corners: NDArray[np.float32], faces: Faces) -> Counts:
    """Count edge by edge.

    corners : (n, 3) [mm], all of them numbers.
    faces : (m, 3), all of them there.
    """
    places: dict[tuple[float, ...], int] = {}
    name = [places.setdefault(tuple(p), len(places)) for p in (corners + np.float32(0.0)).tolist()]
    triangles = [tuple(name[i] for i in face) for face in faces.tolist()]
    lone = [t for t in triangles if len(set(t)) == 3]
    uses: Counter[tuple[int, int]] = Counter()
    ahead: Counter[tuple[int, int]] = Counter()
    above = list(range(len(lone)))

    def root(i: int) -> int:
        while above[i] != i:
            above[i] = above[above[i]]
            i = above[i]
        return i

    first: dict[tuple[int, int], int] = {}
    for number, t in enumerate(lone):
        for k in range(3):
            a, b = t[k], t[(k + 1) % 3]
            edge = (min(a, b), max(a, b))
            uses[edge] += 1
            ahead[edge] += a < b
            above[root(number)] = root(first.setdefault(edge, number))
    wide = corners.astype(np.float64)
    a, b, c = (wide[faces[:, k]] - wide[faces[0, 0]] for k in range(3))
    return Counts(
        triangles=len(triangles),
        collapsed=len(triangles) - len(lone),
        doubled=len(lone) - len({tuple(sorted(t)) for t in lone}),
        open=sum(n == 1 for n in uses.values()),
        crowded=sum(n > 2 for n in uses.values()),
        turned=sum(n == 2 and ahead[edge] != 1 for edge, n in uses.items()),
        pieces=len({root(i) for i in range(len(lone))}),
        volume_mm3=float((a * np.cross(b, c)).sum() / 6.0),
    )
