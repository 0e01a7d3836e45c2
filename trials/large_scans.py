"""Scans of a million triangles: one that is sound, and every way in which one can be broken."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from mouldgen.solid.mesh import Mesh
from mouldgen.solid.stl import stl_bytes
from tests.random_scans import sphere

Floats = NDArray[np.float64]
Faces = NDArray[np.int64]

STEPS = 354  # of a ball's octants: a million triangles
MOST_STEPS = 249  # 496 000: about as many as a job takes
RADIUS_MM = 20.0


def large(kind: str, *, steps: int = STEPS) -> tuple[Floats, Faces]:
    """Corners [mm] and faces of a scan.

    kind : one of `SCANS`.
    steps : of a ball's octants; it has 8 steps^2 triangles, the others about as many.
    """
    corners, faces = sphere(steps)
    return _MADE[kind](RADIUS_MM * corners, faces, np.random.default_rng(1))


def laid(kind: str, path: Path, *, steps: int = STEPS) -> None:
    """Write a scan as a binary STL."""
    corners, faces = large(kind, steps=steps)
    mesh = Mesh(corners.astype(np.float32), np.ascontiguousarray(faces, np.int32))
    path.write_bytes(stl_bytes([mesh]))


# ------------------------------------------------------------------------ one ball, broken


def _sound(corners: Floats, faces: Faces, _: Generator) -> tuple[Floats, Faces]:
    return corners, faces


def _inside_out(corners: Floats, faces: Faces, _: Generator) -> tuple[Floats, Faces]:
    return corners, faces[:, ::-1]


def _turned(corners: Floats, faces: Faces, rng: Generator) -> tuple[Floats, Faces]:
    return corners, np.where(rng.random(len(faces))[:, None] < 0.5, faces[:, ::-1], faces)


def _holed(corners: Floats, faces: Faces, rng: Generator) -> tuple[Floats, Faces]:
    middle = corners[faces].mean(axis=1)
    return corners, faces[~(middle @ rng.normal(size=(3, 9)) > 50.0).any(axis=1)]


def _peppered(corners: Floats, faces: Faces, rng: Generator) -> tuple[Floats, Faces]:
    return corners, faces[rng.random(len(faces)) < 0.9]


def _half_gone(corners: Floats, faces: Faces, rng: Generator) -> tuple[Floats, Faces]:
    return corners, faces[rng.random(len(faces)) < 0.5]


def _crumpled(corners: Floats, faces: Faces, rng: Generator) -> tuple[Floats, Faces]:
    """Every face passes through its neighbours."""
    return corners + rng.normal(0.0, 0.2, corners.shape), faces


# ------------------------------------------------------------------------ several surfaces


def _crossing(_: Floats, faces: Faces, __: Generator) -> tuple[Floats, Faces]:
    """Two balls, one half way in the other."""
    ball, some = sphere(int((len(faces) / 16.0) ** 0.5))
    two = RADIUS_MM * np.concatenate([ball, ball + np.array([0.35, 0.15, 0.05])])
    return two, np.concatenate([some, some + len(ball)])


def _nested(_: Floats, faces: Faces, __: Generator) -> tuple[Floats, Faces]:
    """A thousand skins, one in the other."""
    ball, some = sphere(max(2, int((len(faces) / 8000.0) ** 0.5)))
    scales = [RADIUS_MM * (1.0 - n / 1100.0) for n in range(1000)]
    return np.concatenate([ball * scale for scale in scales]), np.concatenate(
        [some + n * len(ball) for n in range(1000)]
    )


def _stray(_: Floats, faces: Faces, rng: Generator) -> tuple[Floats, Faces]:
    """Small tetrahedra all over."""
    count = len(faces) // 4
    at = RADIUS_MM * rng.uniform(-1.0, 1.0, (count, 1, 3))
    corners = at + rng.normal(0.0, 0.1, (count, 4, 3))
    whole = np.array([[0, 2, 1], [0, 1, 3], [1, 2, 3], [0, 3, 2]])
    return corners.reshape(-1, 3), (4 * np.arange(count)[:, None, None] + whole).reshape(-1, 3)


# ------------------------------------------------------------------------ no surface


def _loose(_: Floats, faces: Faces, rng: Generator) -> tuple[Floats, Faces]:
    return _all_apart(_places(len(faces), rng) + rng.normal(0.0, 0.05, (len(faces), 3, 3)))


def _overlapping(_: Floats, faces: Faces, rng: Generator) -> tuple[Floats, Faces]:
    return _all_apart(_places(len(faces), rng) + rng.normal(0.0, 5.0, (len(faces), 3, 3)))


def _shrunk(corners: Floats, faces: Faces, _: Generator) -> tuple[Floats, Faces]:
    """Each face by itself, a little smaller than it was."""
    middle = corners[faces].mean(axis=1, keepdims=True)
    return _all_apart(middle + 0.9 * (corners[faces] - middle))


def _needles(_: Floats, faces: Faces, rng: Generator) -> tuple[Floats, Faces]:
    """Each as long as all of it."""
    ends = RADIUS_MM * rng.normal(size=(len(faces), 2, 3))
    return _all_apart(np.concatenate([ends, ends[:, :1] + 1e-3], axis=1))


def _tangled(_: Floats, faces: Faces, rng: Generator) -> tuple[Floats, Faces]:
    """Any three of a few thousand corners."""
    return RADIUS_MM * rng.normal(size=(5000, 3)), rng.integers(0, 5000, faces.shape)


def _fan(_: Floats, faces: Faces, __: Generator) -> tuple[Floats, Faces]:
    """All of them at one corner."""
    count = len(faces)
    angle = np.linspace(0.0, 2.0 * np.pi, count, endpoint=False)
    rim = RADIUS_MM * np.column_stack([np.cos(angle), np.sin(angle), 0.0 * angle])
    here = np.arange(count)
    return np.vstack([[[0.0, 0.0, RADIUS_MM]], rim]), np.column_stack(
        [0 * here, 1 + here, 1 + (here + 1) % count]
    )


def _places(count: int, rng: Generator) -> Floats:
    return np.asarray(RADIUS_MM * rng.uniform(-1.0, 1.0, (count, 1, 3)))


def _all_apart(soup: Floats) -> tuple[Floats, Faces]:
    return soup.reshape(-1, 3), np.arange(3 * len(soup)).reshape(-1, 3)


_MADE: dict[str, Callable[[Floats, Faces, Generator], tuple[Floats, Faces]]] = {
    "sound": _sound, "inside out": _inside_out, "turned": _turned, "holed": _holed,
    "peppered": _peppered, "half gone": _half_gone, "crumpled": _crumpled, "crossing": _crossing,
    "nested": _nested, "stray": _stray, "loose": _loose, "overlapping": _overlapping,
    "shrunk": _shrunk, "needles": _needles, "tangled": _tangled, "fan": _fan,
}  # fmt: skip
SCANS = tuple(_MADE)
