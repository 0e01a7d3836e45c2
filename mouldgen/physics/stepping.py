"""Heat and cure stepped through time together, implicitly, with steps of its own choosing.

Temperatures of all cells and conversions of the curing ones::

    dT/dt = M (T - T_air) + (heat/stored) w(a, T),     da/dt = w(a, T)

The method is a Rosenbrock one of order 3 with an embedded order 2, L-stable and stiffly accurate
(Rodas3: Sandu et al., Atmos. Environ. 31 (1997) 3459; coefficients from memory, their order is
tested): one matrix of the size of the temperatures a step and no iteration.  The conversions,
which see no neighbour, are eliminated by hand.

Not scipy.integrate: importing it takes longer than the whole history of a mould does here; the
tests hold this against its stiff solver.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from mouldgen.errors import InternalError
from mouldgen.physics.radial import Radial
from mouldgen.physics.reaction import Reaction

Array = NDArray[np.float64]

_GAMMA = 0.5
_A = ((), (0.0,), (2.0, 0.0), (2.0, 0.0, 1.0))
_C = ((), (4.0,), (1.0, -1.0), (1.0, -1.0, -8.0 / 3.0))
_M = (2.0, 0.0, 1.0, 1.0)  # the fourth stage is the error
_NEW = (False, False, True, True)  # stages 1 and 2 are at the start
_MOST_STEPS = 20_000
_MOST_GROWTH = 4.0  # of a step over the one before
_LEAST_GROWTH = 0.2


@dataclass(frozen=True, eq=False)
class Tolerance:
    """How large the error of one step may be.

    temperature : [K].
    conversion : as a number.
    """

    temperature: float = 0.05
    conversion: float = 3e-4


@dataclass(frozen=True, eq=False)
class Course:
    """What was passed through, a row a step.

    times : from the start [s].
    temperatures : of the cells [K].
    conversions : of the curing cells.
    rates : of the conversions [1/s].
    """

    times: Array
    temperatures: Array
    conversions: Array
    rates: Array


@dataclass(frozen=True, eq=False)
class Problem:
    """What is stepped through time.

    grid : the cells.
    reaction : of the curing cells; None where nothing cures.
    heat : of a cubic metre that cures wholly [J/m3].
    air : outside the film [K].
    """

    grid: Radial
    reaction: Reaction | None
    heat: float
    air: float


Stop = Callable[[Array, Array], bool]


def run(
    problem: Problem,
    *,
    end: float,
    temperature: Array | float,
    conversion: Array | float = 0.0,
    tolerance: Tolerance = Tolerance(),
    stop: Stop | None = None,
) -> Course:
    """The course of temperatures and conversions from a start to an end.

    problem : what is stepped.
    end : [s].
    temperature : at the start, of all cells or of each [K].
    conversion : at the start, of all curing cells or of each.
    tolerance : of a step.
    stop : told temperatures and conversions after each step; ends the run where true.

    Raises InternalError where the steps become too many.
    """
    stepper = _Stepper(problem)
    T = np.zeros(stepper.cells) + temperature
    a = np.zeros(stepper.curing_cells) + conversion
    time, step = 0.0, 1e-4 * end
    rate = stepper.rate(a, T)
    rows = [(time, T, a, rate)]
    # A step that is far too long may leave the range of floats; it is then refused as well.
    with np.errstate(over="ignore", invalid="ignore"):
        for _ in range(_MOST_STEPS):
            step = min(step, end - time)
            new_T, new_a, error_T, error_a = stepper.step(T, a, rate, step)
            worst = _worst(error_T / tolerance.temperature, error_a / tolerance.conversion)
            if worst <= 1.0:
                time, T, a = time + step, new_T, new_a
                rate = stepper.rate(a, T)
                rows.append((time, T, a, rate))
                if time >= end * (1.0 - 1e-12) or (stop is not None and stop(T, a)):
                    return Course(*(np.array(column) for column in zip(*rows, strict=True)))
            step *= min(_MOST_GROWTH, max(_LEAST_GROWTH, 0.9 * worst ** (-1.0 / 3.0)))
    raise InternalError(f"the heat of the cure took more than {_MOST_STEPS} steps")


def _worst(*errors: Array) -> float:
    """The largest of some errors; inf where one is not a number."""
    largest = max((float(np.abs(error).max()) for error in errors if error.size), default=0.0)
    largest = max(largest, 1e-9)
    return largest if all(np.isfinite(error).all() for error in errors) else np.inf


class _Stepper:
    """One Rosenbrock step of a problem."""

    def __init__(self, problem: Problem) -> None:
        grid = problem.grid
        self._reaction = problem.reaction
        self._curing = grid.curing
        self._matrix = grid.exchange
        self._air = problem.air
        self._gain = problem.heat / grid.stored[grid.curing]
        self.cells = len(grid.stored)
        self.curing_cells = len(self._gain)
        self._all = np.arange(self.cells)

    def rate(self, a: Array, T: Array) -> Array:
        if self._reaction is None:
            return np.zeros_like(a)
        return self._reaction.rate(a, T[self._curing])

    def step(self, T: Array, a: Array, rate: Array, h: float) -> tuple[Array, Array, Array, Array]:
        """New temperatures and conversions, and the errors of both; `rate` is that at the start.

        A stage asks for kT and ka of ``(pivot - w_a) ka - w_T kT = right_a`` and
        ``(pivot - M) kT - gain (w_a ka + w_T kT) = right_T``; the first gives ka in terms of kT.
        """
        pivot = 1.0 / (_GAMMA * h)
        by_a, by_T = self._slopes(a, T)
        left = pivot - by_a
        if left.size and left.min() <= 0.0:  # the step is longer than the cure takes to speed up
            return T, a, np.full_like(T, np.inf), a
        inverse = self._inverse(pivot, by_T / left)
        k_T: list[Array] = []
        k_a: list[Array] = []
        flow_T, flow_a = self._warming(T, rate), rate
        for i in range(4):
            if _NEW[i]:
                at_T, at_a = _plus(T, _A[i], k_T), _plus(a, _A[i], k_a)
                flow_a = self.rate(at_a, at_T)
                flow_T = self._warming(at_T, flow_a)
            right_a = _plus(flow_a, _C[i], k_a, over=h)
            right_T = _plus(flow_T, _C[i], k_T, over=h)
            right_T[self._curing] += self._gain * right_a * by_a / left
            k_T.append(inverse @ right_T)
            k_a.append((right_a + by_T * k_T[-1][self._curing]) / left)
        return _plus(T, _M, k_T), _plus(a, _M, k_a), k_T[3], k_a[3]

    def _warming(self, T: Array, rate: Array) -> Array:
        """How fast the temperatures change."""
        warming = self._matrix @ (T - self._air)
        warming[self._curing] += self._gain * rate
        return np.asarray(warming)

    def _slopes(self, a: Array, T: Array) -> tuple[Array, Array]:
        if self._reaction is None:
            return np.zeros_like(a), np.zeros_like(a)
        return self._reaction.slopes(a, T[self._curing])

    def _inverse(self, pivot: float, warmth: Array) -> Array:
        """Of ``pivot - M - gain pivot w_T/left`` on the curing cells' diagonal."""
        matrix = -self._matrix
        matrix[self._all, self._all] += pivot
        curing = self._all[self._curing]
        matrix[curing, curing] -= self._gain * pivot * warmth
        return np.asarray(np.linalg.inv(matrix))


def _plus(
    start: Array, weights: tuple[float, ...], stages: list[Array], over: float = 1.0
) -> Array:
    """The start and a weighted sum of stages, as a new array."""
    total = start.copy()
    for weight, stage in zip(weights, stages, strict=True):
        if weight:
            total += (weight / over) * stage
    return total
