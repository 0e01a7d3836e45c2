"""Scans as they come: a shape of known volume, then everything that goes wrong with it.

Seeded: the same number gives the same scan.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from mouldgen.solid.mesh import Mesh

Floats = NDArray[np.float64]
Faces = NDArray[np.int64]

# How near the mended volume has to come: holes of up to 5 % of the surface, closed flat over a
# round shape, cost up to 0.2 % of the volume (measured on the first thousand seeds).
WITHIN = 0.005


@dataclass(frozen=True, eq=False)
class RandomScan:
    """A damaged scan and what it was made from.

    mesh : as a scanner would hand it over.
    volume_mm3 : of the whole and closed shape, noise and all [mm3].
    shape : which one.
    damage : what was done to it, in order.
    holes : faces that were taken out, in how many places.
    hopeless : it cannot be mended without guessing, so that a refusal is the right answer.
    within : how near the mended volume has to come, as a share of it.
    """

    mesh: Mesh
    volume_mm3: float
    shape: str
    damage: tuple[str, ...]
    holes: int
    hopeless: bool
    within: float


# ------------------------------------------------------------------------ shapes


def sphere(steps: int) -> tuple[Floats, Faces]:
    """An octahedron, each face cut into steps^2: radius 1, 8 steps^2 faces."""
    corners, faces = [], []
    for signs in np.array(np.meshgrid([1, -1], [1, -1], [1, -1])).T.reshape(-1, 3):
        start = sum(map(len, corners))
        rows = [(i, j) for i in range(steps + 1) for j in range(steps + 1 - i)]
        at = {key: n + start for n, key in enumerate(rows)}
        points = np.array([(i, j, steps - i - j) for i, j in rows], float) * signs
        corners.append(points)
        turn = 1 if signs.prod() > 0 else -1
        for i in range(steps):
            for j in range(steps - i):
                faces.append([at[i, j], at[i + 1, j], at[i, j + 1]][::turn])
                if i + j < steps - 1:
                    faces.append([at[i + 1, j], at[i + 1, j + 1], at[i, j + 1]][::turn])
    every, name = np.unique(np.concatenate(corners), axis=0, return_inverse=True)
    return every / np.linalg.norm(every, axis=1, keepdims=True), name.ravel()[np.array(faces)]


def wrapped(around: int, along: int, *, ring: bool) -> tuple[Floats, Faces]:
    """Parameters (u, v) in [0, 1) of a torus, or of a tube with two caps, and its faces."""
    rows = along if ring else along + 1
    u, v = np.meshgrid(np.arange(around) / around, np.arange(rows) / along, indexing="xy")
    corners = np.column_stack([u.ravel(), v.ravel()])
    i, j = np.meshgrid(np.arange(around), np.arange(along), indexing="xy")
    i, j = i.ravel(), j.ravel()
    right, up = (i + 1) % around, (j + 1) % rows
    a, b = j * around + i, j * around + right
    c, d = up * around + right, up * around + i
    faces = np.concatenate([np.column_stack([a, b, c]), np.column_stack([a, c, d])])
    if not ring:
        low, high = len(corners), len(corners) + 1
        corners = np.concatenate([corners, [[-1.0, 0.0], [-1.0, 1.0]]])
        here = np.arange(around)
        there = (here + 1) % around
        top = along * around
        faces = np.concatenate([
            faces,
            np.column_stack([there, here, np.full(around, low)]),
            np.column_stack([top + here, top + there, np.full(around, high)]),
        ])  # fmt: skip
    return corners, faces


def ellipsoid(rng: np.random.Generator, steps: int) -> tuple[Floats, Faces]:
    corners, faces = sphere(steps)
    return corners * rng.uniform([8, 8, 15], [16, 16, 40]), faces


def pebble(rng: np.random.Generator, steps: int) -> tuple[Floats, Faces]:
    """A bumpy ball: knobs and dents, no overhang that would close on itself."""
    corners, faces = sphere(steps)
    radius = np.ones(len(corners))
    for _ in range(6):
        way = rng.normal(size=3)
        way /= np.linalg.norm(way)
        radius += rng.uniform(-0.12, 0.2) * np.exp((corners @ way - 1.0) / rng.uniform(0.05, 0.3))
    return corners * radius[:, None] * rng.uniform([9, 9, 12], [15, 15, 36]), faces


def tube_shape(
    rng: np.random.Generator, steps: int, *, square: bool, bend: bool
) -> tuple[Floats, Faces]:
    """A stick along z: round or square, twisted, perhaps bent."""
    around = max(12, 4 * (steps // 2))
    parameters, faces = wrapped(around, max(8, steps), ring=False)
    u, v = parameters.T
    radius, length = rng.uniform(5, 12), rng.uniform(30, 90)
    angle = 2.0 * math.pi * np.where(u < 0, 0.0, u)
    side = np.ones(len(u))
    if square:
        side = 1.0 / np.maximum(abs(np.cos(angle)), abs(np.sin(angle))) ** 0.9
    side = np.where(u < 0, 0.0, side) * radius
    turned = angle + (rng.uniform(0, 3) * v if square else 0.0)
    x, y, z = side * np.cos(turned), side * np.sin(turned), length * v
    if bend:
        x = x + rng.uniform(2, 8) * np.sin(math.pi * v)
    return np.column_stack([x, y, z]), faces


def torus(rng: np.random.Generator, steps: int) -> tuple[Floats, Faces]:
    parameters, faces = wrapped(max(12, steps), max(20, 2 * steps), ring=True)
    u, v = 2.0 * math.pi * parameters.T
    large, small = rng.uniform(14, 20), rng.uniform(4, 8)
    reach = large + small * np.cos(u)
    corners = np.column_stack([reach * np.cos(v), reach * np.sin(v), small * np.sin(u)])
    return corners, faces[:, ::-1]


SHAPES = ("ellipsoid", "pebble", "rod", "bar", "stick", "torus")


def shape(name: str, rng: np.random.Generator, steps: int) -> tuple[Floats, Faces]:
    """Corners [mm] and faces of a closed shape, wound outward."""
    if name == "ellipsoid":
        made = ellipsoid(rng, steps)
    elif name == "pebble":
        made = pebble(rng, steps)
    elif name == "torus":
        made = torus(rng, steps)
    else:
        made = tube_shape(rng, steps, square=name == "bar", bend=name == "stick")
    corners, faces = made
    return (corners, faces) if volume(corners, faces) > 0 else (corners, faces[:, ::-1])


def volume(corners: Floats, faces: Faces) -> float:
    """Signed volume [mm3], by the divergence theorem."""
    a, b, c = (corners[faces[:, i]] - corners[0] for i in range(3))
    return float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6.0)


# ------------------------------------------------------------------------ damage


def punched(
    corners: Floats, faces: Faces, rng: np.random.Generator, *, holes: int, share: float = 0.004
) -> Faces:
    """Faces without those round some places: each hole about a share of all faces."""
    middle = corners[faces].mean(axis=1)
    keep = np.ones(len(faces), bool)
    wide = max(2, int(share * len(faces)))
    for at in rng.choice(len(faces), holes, replace=False):
        near = ((middle - middle[at]) ** 2).sum(axis=1)
        keep[np.argpartition(near, wide)[: rng.integers(1, wide + 1)]] = False
    return faces[keep]


def swarf(corners: Floats, rng: np.random.Generator, count: int) -> tuple[Floats, Faces]:
    """Small stray bits: closed tetrahedra and lone triangles, in and about the body."""
    low, high = corners.min(axis=0) - 5.0, corners.max(axis=0) + 5.0
    points = rng.uniform(low, high, (count, 1, 3)) + rng.normal(0.0, 0.3, (count, 4, 3))
    first = 4 * np.arange(count)[:, None]
    whole = np.array([[0, 2, 1], [0, 1, 3], [1, 2, 3], [0, 3, 2]])
    faces = (first[:, None] + whole).reshape(-1, 4, 3)
    lone = rng.random(count) < 0.3
    kept = np.concatenate([faces[~lone].reshape(-1, 3), faces[lone, 0]])
    return points.reshape(-1, 3), kept


@dataclass(eq=False)
class _Bench:
    """A scan while it is being damaged."""

    rng: np.random.Generator
    shape: str
    steps: int
    body: Floats
    corners: Floats
    faces: Faces
    volume: float = 0.0
    holes: int = 0
    hopeless: bool = False
    within: float = WITHIN

    def some(self, count: int) -> Faces:
        return self.faces[self.rng.choice(len(self.faces), count)]

    def add(self, corners: Floats, faces: Faces) -> None:
        self.faces = np.concatenate([self.faces, faces + len(self.corners)])
        self.corners = np.concatenate([self.corners, corners])


def _noise(bench: _Bench) -> None:
    size = np.linalg.norm(np.ptp(bench.corners, axis=0)) / bench.steps
    spread = bench.rng.uniform(0.001, 0.02) * size
    bench.corners = bench.body = bench.corners + bench.rng.normal(0, spread, bench.corners.shape)
    bench.volume = volume(bench.corners, bench.faces)


def _punch(bench: _Bench) -> None:
    bench.holes = int(bench.rng.integers(1, 13))
    bench.faces = punched(bench.corners, bench.faces, bench.rng, holes=bench.holes)


def _pepper(bench: _Bench) -> None:
    bench.faces = bench.faces[bench.rng.random(len(bench.faces)) > bench.rng.uniform(0.005, 0.04)]


def _open_end(bench: _Bench) -> None:
    height = bench.corners[bench.faces].mean(axis=1)[:, 2]
    bench.faces = bench.faces[height > np.quantile(bench.corners[:, 2], 0.04)]
    bench.within = 0.15
    bench.hopeless |= bench.shape == "torus"  # its end is a large part of it


def _one_view(bench: _Bench) -> None:
    a, b, c = bench.corners[bench.faces].swapaxes(0, 1)
    bench.faces = bench.faces[np.cross(b - a, c - a)[:, 0] > 0.0]
    bench.hopeless = True


def _two_passes(bench: _Bench) -> None:
    """The same piece twice, neither on nor beside itself."""
    bench.add(bench.body * 0.97 + [1.5, 0.0, 0.0], bench.faces.copy())
    bench.hopeless = True


def _flips(bench: _Bench) -> None:
    turned = bench.rng.random(len(bench.faces)) < bench.rng.uniform(0.001, 0.3)
    bench.faces = np.where(turned[:, None], bench.faces[:, ::-1], bench.faces)


def _duplicates(bench: _Bench) -> None:
    again = bench.some(max(1, len(bench.faces) // 50))
    back = bench.rng.random(len(again)) < 0.5
    again = np.where(back[:, None], again[:, ::-1], again)
    bench.faces = np.concatenate([bench.faces, again])


def _fins(bench: _Bench) -> None:
    on = bench.some(5)
    tips = bench.corners[on].mean(axis=1) + bench.rng.normal(0.0, 1.0, (5, 3))
    fins = np.column_stack([on[:, 0], on[:, 1], len(bench.corners) + np.arange(5)])
    bench.corners = np.concatenate([bench.corners, tips])
    bench.faces = np.concatenate([bench.faces, fins])


def _flat_faces(bench: _Bench) -> None:
    bench.faces = np.concatenate([bench.faces, bench.some(5)[:, [0, 1, 1]]])


def _shells_inside(bench: _Bench) -> None:
    centre = bench.body.mean(axis=0)
    if bench.shape == "torus":
        centre = bench.body[bench.rng.integers(len(bench.body))] * 0.85
    inner, faces = sphere(6)
    way = 1 if bench.rng.random() < 0.5 else -1
    for scale in (1.5, 0.7):
        bench.add(centre + inner * scale, faces[:, ::way])


def _swarf(bench: _Bench) -> None:
    bench.add(*swarf(bench.corners, bench.rng, int(bench.rng.integers(1, 60))))


def _second_body(bench: _Bench) -> None:
    other, faces = shape(bench.shape, bench.rng, bench.steps)
    bench.add(other + (bench.body.max(axis=0) - other.min(axis=0) + 3.0), faces)
    bench.hopeless = True


def _inside_out(bench: _Bench) -> None:
    bench.faces = bench.faces[:, ::-1]


def _unwelded(bench: _Bench) -> None:
    bench.corners = bench.corners[bench.faces].reshape(-1, 3)
    bench.faces = np.arange(len(bench.corners)).reshape(-1, 3)
    if bench.rng.random() < 0.5:
        bench.corners = bench.corners + bench.rng.normal(0.0, 2e-5, bench.corners.shape)


# What can happen, in the order in which it does, and how often.
DAMAGE: tuple[tuple[str, float, Callable[[_Bench], None]], ...] = (
    ("noise", 0.6, _noise),
    ("holes", 0.7, _punch),
    ("pepper", 0.15, _pepper),
    ("an open end", 0.06, _open_end),
    ("one view", 0.05, _one_view),
    ("two passes", 0.05, _two_passes),
    ("flips", 0.5, _flips),
    ("duplicates", 0.4, _duplicates),
    ("fins", 0.3, _fins),
    ("flat faces", 0.2, _flat_faces),
    ("shells inside", 0.35, _shells_inside),
    ("swarf", 0.4, _swarf),
    ("a second body", 0.08, _second_body),
    ("inside out", 0.2, _inside_out),
    ("unwelded", 0.4, _unwelded),
)


def random_scan(seed: int, *, most_steps: int = 40) -> RandomScan:
    """One scan; `most_steps` bounds its size at about 8 most_steps^2 faces."""
    rng = np.random.default_rng(seed)
    name = SHAPES[seed % len(SHAPES)]
    steps = int(rng.integers(10, most_steps + 1))
    corners, faces = shape(name, rng, steps)
    bench = _Bench(rng, name, steps, corners, corners, faces, volume(corners, faces))
    done = []
    for what, odds, happens in DAMAGE:
        if rng.random() < odds:
            happens(bench)
            done.append(what)
    bench.corners = bench.corners + rng.uniform(-200.0, 200.0, 3)
    order = rng.permutation(len(bench.faces))
    return RandomScan(
        mesh=Mesh(
            bench.corners.astype(np.float32),
            np.ascontiguousarray(bench.faces[order], np.int32),
        ),
        volume_mm3=bench.volume,
        shape=name,
        damage=tuple(done),
        holes=bench.holes,
        hopeless=bench.hopeless,
        within=bench.within,
    )
