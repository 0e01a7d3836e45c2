"""Evenly spread points of a multivariate t distribution, the same every time.

Points of Sobol's sequence fill the unit cube more evenly than random ones do, so that means over
them err less: I. M. Sobol', USSR Comput. Math. Math. Phys. 7 (1967) 86-112, with the direction
numbers of S. Joe and F. Y. Kuo, SIAM J. Sci. Comput. 30 (2008) 2635-2654.  A fixed shift of their
binary digits keeps the corner of the cube free and does not make them less even.

A t variable is a normal one over the root of a chi-square over its degrees of freedom; six of
them, because tails must be heavier than those of what is sampled and the chi-square is then
twice a gamma variable whose distribution has a closed form.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from statistics import NormalDist

import numpy as np
import numpy.typing as npt

from mouldgen.errors import InternalError

Floats = npt.NDArray[np.float64]

FREEDOM = 6
MOST_COLUMNS = 8
LEAST_POINTS, MOST_POINTS = 2**8, 2**20
BITS = 30
# Of each dimension after the first: the inner coefficients of its primitive polynomial as one
# binary number, and its first direction numbers, as many as the polynomial's degree.
DIRECTIONS = (
    (0, (1,)),
    (1, (1, 3)),
    (1, (1, 3, 1)),
    (2, (1, 1, 1)),
    (1, (1, 1, 3, 3)),
    (4, (1, 3, 5, 13)),
    (2, (1, 1, 5, 5, 17)),
    (4, (1, 1, 5, 5, 5)),
)
# Any numbers without a pattern do.
SHIFT = (0.5545, 0.1432, 0.8123, 0.3377, 0.6621, 0.9213, 0.2219, 0.7431, 0.4419)


@dataclass(frozen=True, eq=False, kw_only=True)
class StudentPoints:
    """Points of a t distribution about 0 with the unit matrix as its scale.

    points : (points, columns), not to be written to.
    log_density : logarithm of the density at each, up to a constant (points,).
    """

    points: Floats
    log_density: Floats


@lru_cache(maxsize=16)
def student_points(count: int, columns: int) -> StudentPoints:
    """Points of a multivariate t with six degrees of freedom.

    count : how many, a power of two from 256 to 2^20.
    columns : dimensions, 1 to 8.

    Raises InternalError outside these ranges.
    """
    if not LEAST_POINTS <= count <= MOST_POINTS or count & (count - 1):
        raise InternalError(
            f"{count} points of Sobol's sequence", allowed="a power of two from 256 to 1048576"
        )
    if not 1 <= columns <= MOST_COLUMNS:
        raise InternalError(f"points in {columns} dimensions", allowed="1 to 8")
    cube = _shifted(count, columns + 1)
    normal = _normal(cube[:, :columns])
    points = normal / np.sqrt(2.0 * _gamma_three(cube[:, columns]) / FREEDOM)[:, np.newaxis]
    square = np.einsum("ij,ij->i", points, points)
    log_density = -0.5 * (FREEDOM + columns) * np.log1p(square / FREEDOM)
    points.flags.writeable = log_density.flags.writeable = False
    return StudentPoints(points=points, log_density=log_density)


def sobol(count: int, dimensions: int) -> npt.NDArray[np.int64]:
    """The first points of Sobol's sequence times 2^30, in Gray-code order (count, dimensions).

    count : how many, 2^30 at most.
    dimensions : 1 to 9.
    """
    index = np.arange(count)
    gray = index ^ (index >> 1)
    points = np.zeros((count, dimensions), dtype=np.int64)
    for dimension in range(dimensions):
        for bit, direction in enumerate(_directions(dimension)):
            points[:, dimension] ^= ((gray >> bit) & 1) * direction
    return points


def _directions(dimension: int) -> list[int]:
    """Direction numbers of a dimension, shifted to the left end of 30 bits."""
    if not dimension:
        return [1 << (BITS - 1 - bit) for bit in range(BITS)]
    inner, first = DIRECTIONS[dimension - 1]
    degree = len(first)
    found = [number << (BITS - 1 - bit) for bit, number in enumerate(first)]
    for bit in range(degree, BITS):
        value = found[bit - degree] ^ (found[bit - degree] >> degree)
        for k in range(1, degree):
            if (inner >> (degree - 1 - k)) & 1:
                value ^= found[bit - k]
        found.append(value)
    return found


def _shifted(count: int, dimensions: int) -> Floats:
    """Points strictly inside the unit cube (count, dimensions)."""
    shift = (np.array(SHIFT[:dimensions]) * 2.0**BITS).astype(np.int64)
    return np.asarray(((sobol(count, dimensions) ^ shift) + 0.5) / 2.0**BITS)


def _normal(share: Floats) -> Floats:
    """Normal variables that stay below with these shares, any shape."""
    found = map(NormalDist().inv_cdf, share.ravel().tolist())
    return np.fromiter(found, dtype=np.float64, count=share.size).reshape(share.shape)


def _gamma_three(share: Floats) -> Floats:
    """Gamma variables of shape 3 that stay below with these shares (points,), by bisection.

    ``P(X < x) = 1 - exp(-x) (1 + x + x^2/2)``
    """
    low, high = np.zeros_like(share), np.full_like(share, 64.0)
    for _ in range(60):  # 64/2^60 is rounding
        middle = 0.5 * (low + high)
        below = 1.0 - np.exp(-middle) * (1.0 + middle * (1.0 + 0.5 * middle)) < share
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    return 0.5 * (low + high)
