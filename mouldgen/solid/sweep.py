"""Solids swept along a path, each quad of their skin split through its centre.

The kernel's own twist splits every quad along the same diagonal, so that its volume is off to
first order in the step and by the hand of the twist.  Split through the centre, the error is of
second order and the same either way.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from mouldgen.errors import KernelError
from mouldgen.solid.kernel import Solid

if TYPE_CHECKING:
    from numpy.typing import ArrayLike


def sweep(rings: ArrayLike) -> Solid:
    """A solid through closed outlines, each end closed by a fan about its outline's middle.

    rings : (m, n, 3) corners of m outlines one after the other; each turns counter-clockwise
        seen against the way of the sweep, and its ends can be seen whole from their middle [mm].

    Raises KernelError where the shape is none or the surface comes out inside out.
    """
    corners = np.asarray(rings, np.float64)
    if corners.ndim != 3 or corners.shape[0] < 2 or corners.shape[1] < 3 or corners.shape[2] != 3:
        raise KernelError(f"a sweep needs (m, n, 3) corners, m >= 2, n >= 3, not {corners.shape}")
    levels, count = corners.shape[:2]
    here = np.arange(levels * count).reshape(levels, count)
    there = np.roll(here, -1, axis=1)
    low, high = here[:-1].ravel(), here[1:].ravel()
    low_next, high_next = there[:-1].ravel(), there[1:].ravel()
    flat = corners.reshape(-1, 3)
    middle = (flat[low] + flat[low_next] + flat[high] + flat[high_next]) / 4.0
    centre = levels * count + np.arange(len(middle))
    first, last = levels * count + len(middle), levels * count + len(middle) + 1
    triangles = [
        np.column_stack([a, b, centre])
        for a, b in ((low, low_next), (low_next, high_next), (high_next, high), (high, low))
    ]
    triangles.append(np.column_stack([there[0], here[0], np.full(count, first)]))
    triangles.append(np.column_stack([here[-1], there[-1], np.full(count, last)]))
    ends = np.stack([corners[0].mean(axis=0), corners[-1].mean(axis=0)])
    return Solid.of_surface(np.concatenate([flat, middle, ends]), np.concatenate(triangles))


def twist_share(step: float) -> float:
    """Volume of a twisted prism that is swept in steps, over the true one: ``1 - (1 - cos d)/3``.

    Exact for any polygon about the axis: the outline midway between two is the polygon shrunk by
    cos(d/2), and Simpson's rule is exact for the ruled skin between them.

    step : d, the turn from one outline to the next [rad].
    """
    return 1.0 - (1.0 - math.cos(step)) / 3.0
