"""Discs of any sizes in a rectangle or a circle, spread out until none overlap.

Discs are dropped at random and let go: an energy that is the sum of the squares of all overlaps,
among the discs and over the edge, is brought down from there.  Where that ends above zero the
discs that are pressed hardest are taken out and put where there is most room, two of unequal
size are exchanged now and then, and what is left of an overlap at the end is taken out by linear
programmes, in which the smallest gap of all is made as large as it gets.  What is found is a
proof that the discs fit; that nothing is found proves nothing.

The method is that of an elastic energy with basin hopping, as in the literature on equal and
unequal circles in a circle (quasi-physical methods; iterated tabu search).  The linear programme
holds for pairs: a distance is convex, so it is never less than its tangent says.

Needs scipy, which takes its time to load: nothing on the road of a plain build calls this.
"""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from mouldgen.errors import InputError
from mouldgen.packing.area import TOLERANCE_MM
from mouldgen.packing.descent import lowest
from mouldgen.packing.shapes import Bed, RectBed

Positions = tuple[tuple[float, float], ...]
_Floats = npt.NDArray[np.float64]

_NEAR_MISS = 0.02  # of the mean reach: overlaps below this are worth the linear programmes
_HOPS = 25  # hops without a gain before the discs are dropped anew
_ROUNDS = 12  # linear programmes at most; each about squares the error
_PLACES = 60  # random places looked at for a disc that is taken out


@dataclass(frozen=True, eq=False)
class _Problem:
    """Discs and container in lengths of the mean reach, the container's middle at 0, 0.

    reach : radius of each disc and half the spacing, shape (n,).
    across : half the width and half the depth within which a rectangle's centres lie for a disc
        without size; the radius, twice, for a circle.
    first, second : indices of the two discs of each pair.
    apart : least distance of each pair.
    """

    reach: _Floats
    across: tuple[float, float]
    round_: bool
    first: npt.NDArray[np.intp]
    second: npt.NDArray[np.intp]
    apart: _Floats

    def over_edge(self, at: _Floats) -> _Floats:
        """How far each disc reaches over the edge; negative within.  Shape (n, 2) or (n, 1)."""
        if self.round_:
            far = np.hypot(at[:, 0], at[:, 1]) + self.reach - self.across[0]
            return np.asarray(far[:, None])
        return np.asarray(np.abs(at) + self.reach[:, None] - np.array(self.across))

    def overlaps(self, at: _Floats) -> _Floats:
        """How far each pair of discs overlaps; negative when they are apart."""
        step = at[self.first] - at[self.second]
        return np.asarray(self.apart - np.hypot(step[:, 0], step[:, 1]))

    def worst(self, at: _Floats) -> float:
        """The largest overlap of all, of pairs and over the edge."""
        pairs = self.overlaps(at)
        return float(max(self.over_edge(at).max(), pairs.max() if len(pairs) else -math.inf))


def spread(
    radii_mm: Sequence[float],
    container: Bed,
    *,
    spacing_mm: float,
    seed: int = 0,
    tries: int = 200,
) -> Positions | None:
    """Centres at which discs lie in a container, apart from one another; None if none were found.

    radii_mm : of the discs, in any order, equal or not [mm].
    container : the rectangle or circle that holds them whole, any margin already taken off it.
    spacing_mm : between any two discs; not between a disc and the edge [mm].
    seed : of the random numbers; the same call gives the same answer.
    tries : how often the discs are let go before it is given up; each takes about 3 ms for 10
        discs, 15 ms for 30 and 40 ms for 60.

    Gives x and y of each disc in the order of `radii_mm`, from the container's origin (see
    `RectBed` and `RoundBed`) [mm].  Distances hold to within `area.TOLERANCE_MM`, so that exact
    fits fit.  Gives None at once where a disc is too large or the area proves that they do not
    fit together.

    Raises InputError for a radius, spacing or number of tries that makes no sense.
    """
    _require(radii_mm, spacing_mm, tries)
    if not len(radii_mm):
        return ()
    unit = sum(radii_mm) / len(radii_mm) + spacing_mm / 2
    problem = _problem(radii_mm, container, spacing=spacing_mm, unit=unit)
    if not _may_fit(problem, TOLERANCE_MM / unit):
        return None
    found = _Search(problem, random.Random(seed), TOLERANCE_MM / unit).run(tries)
    if found is None:
        return None
    if isinstance(container, RectBed):
        middle = np.array([container.width_mm / 2, container.depth_mm / 2])
    else:
        middle = np.array([container.diameter_mm / 2, container.diameter_mm / 2])
    return tuple((float(x), float(y)) for x, y in found * unit + middle)


def _require(radii: Sequence[float], spacing: float, tries: int) -> None:
    for radius in radii:
        if not (math.isfinite(radius) and radius > 0):
            raise InputError(
                f"a disc's radius cannot be {radius!r} mm", allowed="a length over 0 mm"
            )
    if not (math.isfinite(spacing) and spacing >= 0):
        raise InputError(
            f"the spacing between discs cannot be {spacing!r} mm", allowed="0 mm or more"
        )
    if tries < 1:
        raise InputError(f"discs cannot be let go {tries} times", allowed="1 or more tries")


def _problem(radii: Sequence[float], container: Bed, *, spacing: float, unit: float) -> _Problem:
    half = spacing / 2
    if isinstance(container, RectBed):
        sides = container.width_mm, container.depth_mm
    else:
        sides = container.diameter_mm, container.diameter_mm
    first, second = np.triu_indices(len(radii), k=1)
    reach = (np.array(radii, dtype=np.float64) + half) / unit
    return _Problem(
        reach,
        ((sides[0] / 2 + half) / unit, (sides[1] / 2 + half) / unit),
        not isinstance(container, RectBed),
        first,
        second,
        reach[first] + reach[second],
    )


def _may_fit(problem: _Problem, tolerance: float) -> bool:
    """Whether neither a disc alone nor the area of all rules the discs out."""
    if problem.reach.max() > min(problem.across) + tolerance:
        return False
    width, depth = problem.across
    room = math.pi * width**2 if problem.round_ else 4 * width * depth
    return bool(math.pi * (problem.reach**2).sum() <= room * (1 + tolerance))


class _Search:
    """Drops, hops and programmes for one problem."""

    def __init__(self, problem: _Problem, dice: random.Random, tolerance: float) -> None:
        self._problem = problem
        self._dice = dice
        self._tolerance = tolerance
        self._unequal = float(np.ptp(problem.reach)) > tolerance

    def run(self, tries: int) -> _Floats | None:
        """Positions without overlaps, shape (n, 2); None after `tries` local searches."""
        best: _Floats | None = None
        energy, idle = math.inf, 0
        for _ in range(tries):
            start = self._dropped() if best is None else self._hopped(best)
            at, reached = _settled(self._problem, start)
            done = self._finished(at)
            if done is not None:
                return done
            if best is None or reached < energy * (1 - 1e-6):
                best, energy, idle = at, reached, 0
            else:
                idle += 1
            if idle >= _HOPS:
                best, energy, idle = None, math.inf, 0
        return None

    def _finished(self, at: _Floats) -> _Floats | None:
        worst = self._problem.worst(at)
        if worst <= self._tolerance:
            return at
        if worst > _NEAR_MISS:
            return None
        return _eased(self._problem, at, self._tolerance)

    def _dropped(self) -> _Floats:
        return np.array([self._place(reach) for reach in self._problem.reach])

    def _place(self, reach: float) -> tuple[float, float]:
        """Anywhere in the container for a disc of this reach."""
        width, depth = (max(side - reach, 0.0) for side in self._problem.across)
        if self._problem.round_:
            far, turn = width * math.sqrt(self._dice.random()), self._dice.random()
            return far * math.cos(math.tau * turn), far * math.sin(math.tau * turn)
        return self._dice.uniform(-width, width), self._dice.uniform(-depth, depth)

    def _hopped(self, at: _Floats) -> _Floats:
        """One to three discs elsewhere, or two of unequal size exchanged."""
        at = at.copy()
        count = len(at)
        if self._unequal and count > 1 and self._dice.random() < 0.4:
            one, other = self._dice.sample(range(count), 2)
            at[[one, other]] = at[[other, one]]
            return at
        pressed = self._pressed(at)
        for _ in range(min(self._dice.choice((1, 1, 2, 3)), count)):
            if self._dice.random() < 0.7:
                disc = max(self._dice.sample(range(count), min(4, count)), key=lambda i: pressed[i])
            else:
                disc = self._dice.randrange(count)
            at[disc] = self._roomiest(at, disc)
            pressed[disc] = -1.0
        return at

    def _pressed(self, at: _Floats) -> list[float]:
        """Sum of the squares of each disc's overlaps."""
        squares = np.maximum(self._problem.overlaps(at), 0.0) ** 2
        sums = (np.maximum(self._problem.over_edge(at), 0.0) ** 2).sum(axis=1)
        np.add.at(sums, self._problem.first, squares)
        np.add.at(sums, self._problem.second, squares)
        return [float(value) for value in sums]

    def _roomiest(self, at: _Floats, disc: int) -> tuple[float, float]:
        """Of some random places the one at which a disc overlaps the others least."""
        reach = self._problem.reach
        places = np.array([self._place(float(reach[disc])) for _ in range(_PLACES)])
        step = places[:, None, :] - at[None, :, :]
        deep = np.maximum(reach[disc] + reach - np.hypot(step[..., 0], step[..., 1]), 0.0)
        deep[:, disc] = 0.0
        x, y = places[int((deep**2).sum(axis=1).argmin())]
        return float(x), float(y)


def _settled(problem: _Problem, start: _Floats) -> tuple[_Floats, float]:
    """The nearest state of least energy, and its energy."""
    count = len(start)
    first, second, apart = problem.first, problem.second, problem.apart
    reach, across = problem.reach, np.array(problem.across)

    def energy(flat: _Floats) -> tuple[float, _Floats]:
        at = flat.reshape(count, 2)
        slope = np.zeros((count, 2))
        step = at[first] - at[second]
        square = (step**2).sum(axis=1)
        near = np.flatnonzero(square < apart**2)
        far = np.maximum(np.sqrt(square[near]), 1e-12)
        deep = apart[near] - far
        total = float((deep**2).sum())
        push = (-2.0 * deep / far)[:, None] * step[near]
        for axis in (0, 1):
            slope[:, axis] += np.bincount(first[near], push[:, axis], count)
            slope[:, axis] -= np.bincount(second[near], push[:, axis], count)
        if problem.round_:
            away = np.hypot(at[:, 0], at[:, 1])
            over = np.maximum(away + reach - across[0], 0.0)
            total += float((over**2).sum())
            slope += (2.0 * over / np.maximum(away, 1e-12))[:, None] * at
        else:
            beyond = np.maximum(np.abs(at) + reach[:, None] - across, 0.0)
            total += float((beyond**2).sum())
            slope += 2.0 * beyond * np.sign(at)
        return total, slope.reshape(-1)

    at, reached = lowest(energy, start.reshape(-1), steps=400, gain=1e-13, slope=1e-8)
    return at.reshape(count, 2), reached


def _eased(problem: _Problem, at: _Floats, tolerance: float) -> _Floats | None:
    """Positions near by at which nothing overlaps; None where the least gap cannot be brought up.

    Each round moves all discs by a little so that the smallest gap grows most, with distances
    replaced by their tangents.
    """
    worst = problem.worst(at)
    for _ in range(_ROUNDS):
        # In proportion to what is left: a round edge bends away from its tangent by the square.
        # Discs that hardly bear on one another have farther to go, by the root.
        for trust in (min(8.0 * worst, 0.2), min(math.sqrt(worst), 0.2)):
            moved = _opened(problem, at, trust)
            if moved is None:
                return None
            reached = problem.worst(moved)
            if reached <= tolerance:
                return moved
            # A gain that slows down will not reach zero in the rounds that are left.
            if worst - reached >= reached / _ROUNDS:
                break
        else:
            return None
        at, worst = moved, reached
    return None


def _opened(problem: _Problem, at: _Floats, trust: float) -> _Floats | None:
    """One linear programme: the discs moved by up to `trust` each way."""
    from scipy.optimize import linprog
    from scipy.sparse import coo_array

    count = len(at)
    over = problem.overlaps(at)
    near = np.flatnonzero(over > -3.0 * trust)
    step = at[problem.first[near]] - at[problem.second[near]]
    step /= np.maximum(np.hypot(step[:, 0], step[:, 1]), 1e-12)[:, None]
    # Columns: x and y of each disc's move, then the gap that all pairs and edges keep.
    rows = np.arange(len(near))
    one, other = 2 * problem.first[near], 2 * problem.second[near]
    entries = [
        (rows, one, -step[:, 0]), (rows, one + 1, -step[:, 1]),
        (rows, other, step[:, 0]), (rows, other + 1, step[:, 1]),
        (rows, np.full(len(near), 2 * count), np.ones(len(near))),
    ]  # fmt: skip
    limits = [-over[near]]
    for row, column, value, limit in _edges(problem, at, len(near)):
        entries.append((row, column, value))
        limits.append(limit)
    matrix = coo_array(
        (
            np.concatenate([entry[2] for entry in entries]),
            (
                np.concatenate([entry[0] for entry in entries]),
                np.concatenate([entry[1] for entry in entries]),
            ),
        ),
        shape=(sum(map(len, limits)), 2 * count + 1),
    )
    goal = np.zeros(2 * count + 1)
    goal[-1] = -1.0
    # In lengths of the trust, as the solver's tolerance is a fixed number.
    limit = np.concatenate(limits) / trust
    bounds = [(-1.0, 1.0)] * (2 * count) + [(None, 1.0)]
    found = linprog(goal, A_ub=matrix.tocsr(), b_ub=limit, bounds=bounds, method="highs")
    return None if found.x is None else at + trust * found.x[:-1].reshape(count, 2)


def _edges(
    problem: _Problem, at: _Floats, after: int
) -> list[tuple[npt.NDArray[np.intp], npt.NDArray[np.intp], _Floats, _Floats]]:
    """Rows, columns and values that keep the discs off the edge; limits with the first of each.

    after : the first free row.
    """
    count = len(at)
    none = np.zeros(0)
    disc = np.arange(count)
    gap = np.full(count, 2 * count)
    pieces = []
    if problem.round_:
        far = np.hypot(at[:, 0], at[:, 1])
        out = at / np.maximum(far, 1e-12)[:, None]
        row = after + disc
        limit = problem.across[0] - problem.reach - far
        pieces += [
            (row, 2 * disc, out[:, 0], limit),
            (row, 2 * disc + 1, out[:, 1], none),
            (row, gap, np.ones(count), none),
        ]
        return pieces
    for axis in (0, 1):
        for sign in (1.0, -1.0):
            row = after + disc
            limit = problem.across[axis] - problem.reach - sign * at[:, axis]
            pieces += [
                (row, 2 * disc + axis, np.full(count, sign), limit),
                (row, gap, np.ones(count), none),
            ]
            after += count
    return pieces
