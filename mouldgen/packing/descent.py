"""The nearest minimum of a smooth function, by the limited-memory quasi-Newton method.

The two-loop recursion of Nocedal (1980), with a step that is halved until the function falls
enough (Armijo).  For a hundred unknowns or so: a library's version hands its small matrices to
a linear-algebra package that may start threads for them, which costs far more than it saves.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable

import numpy as np
import numpy.typing as npt

_Floats = npt.NDArray[np.float64]
Function = Callable[[_Floats], tuple[float, _Floats]]

_MEMORY = 12  # steps remembered
_ENOUGH = 1e-4  # share of the fall that the slope promises
_HALVINGS = 30


def lowest(
    function: Function, start: _Floats, *, steps: int, gain: float, slope: float
) -> tuple[_Floats, float]:
    """Where the descent from a start ends, and the value there.

    function : gives the value and the gradient at a point.
    steps : at most so many.
    gain : the descent ends when a step gains less.
    slope : and when no entry of the gradient is larger.
    """
    at = start.copy()
    value, grad = function(at)
    memory: deque[tuple[_Floats, _Floats, float]] = deque(maxlen=_MEMORY)
    for _ in range(steps):
        if float(np.abs(grad).max()) <= slope:
            break
        way = _direction(grad, memory)
        falls = float(way @ grad)
        if falls >= 0:
            memory.clear()
            way, falls = -grad, -float(grad @ grad)
        taken = _taken(function, at, value, way, falls, first=not memory)
        if taken is None:
            break
        new, new_value, new_grad = taken
        step, bend = new - at, new_grad - grad
        along = float(step @ bend)
        if along > 1e-14 * float(bend @ bend):
            memory.append((step, bend, 1.0 / along))
        gained = value - new_value
        at, value, grad = new, new_value, new_grad
        if gained <= gain:
            break
    return at, value


def _direction(grad: _Floats, memory: deque[tuple[_Floats, _Floats, float]]) -> _Floats:
    way = -grad
    shares = []
    for step, bend, inverse in reversed(memory):
        share = inverse * float(step @ way)
        shares.append(share)
        way = way - share * bend
    if memory:
        step, bend, inverse = memory[-1]
        way = way / (inverse * float(bend @ bend))
    for (step, bend, inverse), share in zip(memory, reversed(shares), strict=True):
        way = way + (share - inverse * float(bend @ way)) * step
    return way


def _taken(
    function: Function, at: _Floats, value: float, way: _Floats, falls: float, *, first: bool
) -> tuple[_Floats, float, _Floats] | None:
    """The first of ever shorter steps that lets the value fall enough; None where none does."""
    length = min(1.0, 0.5 / max(float(np.abs(way).max()), 1e-300)) if first else 1.0
    for _ in range(_HALVINGS):
        new = at + length * way
        new_value, new_grad = function(new)
        if new_value <= value + _ENOUGH * length * falls:
            return new, new_value, new_grad
        length /= 2
    return None
