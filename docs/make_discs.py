"""Find the shipped positions of equal discs in a circle anew: ``python -m docs.make_discs``.

    python -m docs.make_discs           # all of them
    python -m docs.make_discs 27 28     # these, the others as they are in the file
    python -m docs.make_discs --thin    # only the last step, on what the file holds

For each number the smallest circle is sought that holds so many discs of radius 1.  Points are
dropped into a circle and let go under an energy that pushes apart what is nearer than a distance
a little larger than the best so far; from where that ends, single points are moved into holes, as
long as it helps.  What comes near is polished: linear programmes, in which the smallest distance
of all grows as far as it can, bring it to about 1e-12 of the best that its pattern allows.

Last, every disc in turn is taken out of the pattern of the next number, which is why the largest
number goes first.  Each number has a seed of its own and a count of descents instead of a time, so
that the same libraries find the same patterns.  All of them took 27 minutes on
a core shared by four programs.
"""

from __future__ import annotations

import json
import math
import random
import sys
import time
from collections.abc import Iterator, Sequence
from pathlib import Path

import numpy as np
import numpy.typing as npt
from scipy.optimize import linprog
from scipy.sparse import coo_array

from mouldgen.packing.descent import lowest

FILE = Path(__file__).parent.parent / "mouldgen" / "packing" / "discs_in_circle.json"
MOST = 61
PLACES = 12  # decimals of the positions, in radii of a disc
TIGHTER = (1.001, 1.003, 1.01)  # distances that are asked for, over the best so far
THIN = "--thin"
HOPS = 30  # without a gain, before points are dropped anew
NEAR = 1.4  # energies up to so many times the least seen are polished

_Floats = npt.NDArray[np.float64]


def descents(count: int) -> int:
    """How many descents a number of discs gets; some patterns are harder to meet."""
    return HARD.get(count, 20 + 10 * count if count <= 40 else 200)


HARD = {42: 600, 53: 600, 54: 450}


class _Finder:
    """The points of one number: in the unit circle, the smallest distance as large as it gets."""

    def __init__(self, count: int) -> None:
        self._count = count
        self._dice = random.Random(count)
        self._first, self._second = np.triu_indices(count, k=1)
        self._seen: set[tuple[float, str]] = set()
        self.best: _Floats = np.zeros((0, 2))
        self.apart = 0.0

    def run(self, tries: int) -> None:
        for start in _patterns(self._count):
            self._keep(self._polished(start))
        if not self.apart:
            self._keep(self._polished(self._settled(self._dropped(), self._guess())[0]))
        at: _Floats | None = None
        energy, least, idle, asked = math.inf, math.inf, 0, 0.0
        for _ in range(tries):
            if at is None:
                asked = self.apart * self._dice.choice(TIGHTER)
                energy, least, idle = math.inf, math.inf, 0
            new, reached = self._settled(self._dropped() if at is None else self._hopped(at), asked)
            if reached < least * NEAR and self._is_new(asked, reached):
                self._keep(self._polished(new))
            least = min(least, reached)
            if reached < energy * (1.0 - 1e-6):
                at, energy, idle = new, reached, 0
            else:
                idle += 1
            if idle >= HOPS:
                at = None

    def keep(self, centres: Sequence[tuple[float, float]]) -> None:
        """Take a pattern as the best so far if it is."""
        self._keep(np.array(centres))

    def thin_out(self, more: Sequence[tuple[float, float]]) -> None:
        """Polish what the pattern of one disc more leaves when one is taken out."""
        for out in range(len(more)):
            points = np.array([at for index, at in enumerate(more) if index != out])
            self._keep(self._polished(points))

    def _is_new(self, asked: float, energy: float) -> bool:
        """Whether no pattern of this energy was polished; most descents end in known ones."""
        key = asked, f"{energy:.3e}"
        if key in self._seen:
            return False
        self._seen.add(key)
        return True

    def _guess(self) -> float:
        """A distance that is about right: discs cover three quarters of their circle."""
        return 2.0 / (math.sqrt(self._count / 0.75) - 1.0)

    def _keep(self, points: _Floats) -> None:
        apart = self._nearest(points) / float(np.hypot(*points.T).max())
        if apart > self.apart * (1.0 + 1e-13):
            self.best, self.apart = points / np.hypot(*points.T).max(), apart

    def _nearest(self, points: _Floats) -> float:
        return float(np.hypot(*(points[self._first] - points[self._second]).T).min())

    def _dropped(self) -> _Floats:
        return np.array([self._place() for _ in range(self._count)])

    def _place(self) -> tuple[float, float]:
        far, turn = math.sqrt(self._dice.random()), math.tau * self._dice.random()
        return far * math.cos(turn), far * math.sin(turn)

    def _hopped(self, at: _Floats) -> _Floats:
        """One to three points moved to where there is most room."""
        at = at.copy()
        step = np.hypot(*(at[:, None] - at[None, :]).transpose(2, 0, 1)) + 9.0 * np.eye(len(at))
        for _ in range(min(self._dice.choice((1, 1, 2, 3)), self._count)):
            if self._dice.random() < 0.6:
                some = self._dice.sample(range(self._count), min(4, self._count))
                point = min(some, key=lambda i: float(np.sort(step[i])[:3].sum()))
            else:
                point = self._dice.randrange(self._count)
            others = np.delete(at, point, axis=0)
            places = np.array([self._place() for _ in range(60)])
            room = np.hypot(*(places[:, None] - others[None, :]).transpose(2, 0, 1)).min(axis=1)
            at[point] = places[int(room.argmax())]
        return at

    def _settled(self, start: _Floats, apart: float) -> tuple[_Floats, float]:
        count, first, second = self._count, self._first, self._second

        def energy(flat: _Floats) -> tuple[float, _Floats]:
            at = flat.reshape(count, 2)
            step = at[first] - at[second]
            square = (step**2).sum(axis=1)
            near = np.flatnonzero(square < apart**2)
            far = np.maximum(np.sqrt(square[near]), 1e-12)
            deep = apart - far
            push = (-2.0 * deep / far)[:, None] * step[near]
            away = np.hypot(at[:, 0], at[:, 1])
            over = np.maximum(away - 1.0, 0.0)
            slope = (2.0 * over / np.maximum(away, 1e-12))[:, None] * at
            for axis in (0, 1):
                slope[:, axis] += np.bincount(first[near], push[:, axis], count)
                slope[:, axis] -= np.bincount(second[near], push[:, axis], count)
            return float((deep**2).sum() + (over**2).sum()), slope.reshape(-1)

        at, reached = lowest(energy, start.reshape(-1), steps=300, gain=1e-12, slope=1e-7)
        return at.reshape(count, 2), reached

    def _polished(self, at: _Floats) -> _Floats:
        """The nearest pattern that no small move makes better."""
        at = at / np.hypot(*at.T).max()
        trust, apart = 0.3 * self._nearest(at), self._nearest(at)
        for _ in range(60):
            moved = self._opened(at, trust)
            moved /= np.hypot(*moved.T).max()
            gained = self._nearest(moved) - apart
            if gained <= 0.0:
                trust /= 4.0
            else:
                at, apart = moved, apart + gained
            if trust < 1e-13 or 0.0 < gained < 1e-15:
                break
            # A pattern that is still far from the best after some rounds will not reach it.
            if gained > 0.0 and apart < 0.97 * self.apart and trust < 0.05:
                break
        return at

    def _opened(self, at: _Floats, trust: float) -> _Floats:
        """All points moved by up to `trust` each way so that the smallest distance grows most."""
        count = self._count
        step = at[self._first] - at[self._second]
        far = np.hypot(*step.T)
        near = np.flatnonzero(far < far.min() + 3.0 * trust)
        one, other, unit = self._first[near], self._second[near], step[near] / far[near, None]
        away = np.hypot(*at.T)
        edge = np.flatnonzero(away > 1.0 - 2.0 * trust)
        out, row = at[edge] / away[edge, None], np.arange(len(near))
        wall = len(near) + np.arange(len(edge))
        rows = [row, row, row, row, row, wall, wall]
        columns = [
            2 * one, 2 * one + 1, 2 * other, 2 * other + 1,
            np.full(len(near), 2 * count), 2 * edge, 2 * edge + 1,
        ]  # fmt: skip
        values = [
            -unit[:, 0], -unit[:, 1], unit[:, 0], unit[:, 1],
            np.ones(len(near)), out[:, 0], out[:, 1],
        ]  # fmt: skip
        shape = (len(near) + len(edge), 2 * count + 1)
        matrix = coo_array(
            (np.concatenate(values), (np.concatenate(rows), np.concatenate(columns))), shape=shape
        )
        # In lengths of the trust region and over the smallest distance, so that the solver's own
        # tolerance does not end the polishing early.
        limits = np.concatenate([far[near] - far.min(), 1.0 - away[edge]]) / trust
        goal = np.zeros(2 * count + 1)
        goal[-1] = -1.0
        bounds = [(-1.0, 1.0)] * (2 * count) + [(0.0, 4.0)]
        found = linprog(goal, A_ub=matrix.tocsr(), b_ub=limits, bounds=bounds, method="highs")
        if found.x is None:
            return at.copy()
        return np.asarray(at + trust * found.x[:-1].reshape(count, 2))


def _patterns(count: int) -> Iterator[_Floats]:
    """Rings about the centre, of which those with 6 points more in each are curved hexagons.

    Lubachevsky and Graham (1997) show those to be the best known for 37 and 61.
    """
    if count == 1:
        yield np.zeros((1, 2))
        return
    rings = round((math.sqrt(12 * count - 3) - 3) / 6)
    if 3 * rings * (rings + 1) + 1 == count:
        for curl in range(2 ** max(rings - 1, 0)):
            yield _curved(rings, curl)


def _curved(rings: int, curl: int) -> _Floats:
    """A hexagon of points, each ring after the first turned by half a step one way or the other."""
    points, turn = [(0.0, 0.0)], 0.0
    for ring in range(1, rings + 1):
        if ring > 1:
            turn += (1 if curl >> (ring - 2) & 1 else -1) * math.pi / (6 * ring)
        points += [
            (ring * math.cos(a + turn), ring * math.sin(a + turn))
            for a in (math.tau * i / (6 * ring) for i in range(6 * ring))
        ]
    return np.array(points)


def found(
    count: int,
    *,
    more: Sequence[tuple[float, float]] = (),
    before: Sequence[tuple[float, float]] = (),
) -> list[tuple[float, float]]:
    """Centres of so many discs of radius 1 about the middle of the circle that holds them.

    count : of discs, 1 or more.
    more : the pattern of one disc more, or nothing.
    before : a pattern of as many that is kept where no better one is found, or nothing.
    """
    if count == 1:
        return [(0.0, 0.0)]
    finder = _Finder(count)
    if before:
        finder.keep(before)
    else:
        finder.run(descents(count))
    finder.thin_out(more)
    centres = finder.best * (2.0 / finder.apart)
    rounded = ((round(x, PLACES) + 0.0, round(y, PLACES) + 0.0) for x, y in centres.tolist())
    return sorted(rounded, key=lambda at: (round(math.hypot(*at), 6), math.atan2(at[1], at[0])))


def ratio_of(centres: list[tuple[float, float]]) -> float:
    """Radius of the circle over that of the largest discs at these centres."""
    if len(centres) == 1:
        return 1.0
    nearest = min(
        math.dist(one, other) for i, one in enumerate(centres) for other in centres[i + 1 :]
    )
    return 1.0 + max(math.hypot(*at) for at in centres) * 2.0 / nearest


def text_of(patterns: dict[int, list[tuple[float, float]]]) -> str:
    """The file, a line a number."""
    lines = [
        f' "{count}": '
        + json.dumps({"ratio": round(ratio_of(centres), PLACES), "at": [list(c) for c in centres]})
        for count, centres in sorted(patterns.items())
    ]
    return "{\n" + ",\n".join(lines) + "\n}\n"


def read() -> dict[int, list[tuple[float, float]]]:
    """What the file holds."""
    if not FILE.is_file():
        return {}
    data = json.loads(FILE.read_text("utf-8"))
    return {int(n): [(x, y) for x, y in entry["at"]] for n, entry in data.items()}


if __name__ == "__main__":
    asked = [int(word) for word in sys.argv[1:] if word != THIN]
    patterns = read() if sys.argv[1:] else {}
    for number in sorted(asked or range(1, MOST + 1), reverse=True):
        began = time.perf_counter()
        kept = patterns[number] if THIN in sys.argv else ()
        patterns[number] = found(number, more=patterns.get(number + 1, ()), before=kept)
        took = time.perf_counter() - began
        print(f"{number:3d}  {ratio_of(patterns[number]):.10f}  {took:6.1f} s", flush=True)
        FILE.write_text(text_of(patterns), encoding="utf-8", newline="\n")
