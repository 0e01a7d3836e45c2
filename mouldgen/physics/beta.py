"""The beta distribution in plain Python: its share below a value, and the value below a share.

scipy has both, but importing scipy.special takes twice as long as importing numpy; the tests hold
these against it.

Source: Abramowitz & Stegun 26.5.8, whose continued fraction is evaluated by Lentz's method
(DLMF 3.10).
"""

from __future__ import annotations

import math

from mouldgen.errors import InternalError

_TINY = 1e-300
_MOST_TERMS = 20_000
_HALVINGS = 200


def beta_share(x: float, *, a: float, b: float) -> float:
    """``I_x(a, b)``, the chance that a beta variable stays below x.

    x : from 0 to 1.
    a, b : the two parameters, above 0.

    Raises InternalError outside these ranges.
    """
    if not (0.0 <= x <= 1.0 and 0.0 < a < math.inf and 0.0 < b < math.inf):
        raise InternalError(
            f"no share of a beta distribution below {x:g} with {a:g} and {b:g}",
            allowed="a value from 0 to 1 and parameters above 0",
        )
    if x in {0.0, 1.0}:
        return x
    log_front = math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b)
    front = math.exp(log_front + a * math.log(x) + b * math.log1p(-x))
    if x < (a + 1.0) / (a + b + 2.0):
        return front / (a * beta_fraction(a, b, x))
    return 1.0 - front / (b * beta_fraction(b, a, 1.0 - x))


def beta_quantile(share: float, *, a: float, b: float) -> float:
    """The value that a beta variable stays below with a chance; by halving, so it cannot fail.

    share : the chance, from 0 to 1.
    a, b : the two parameters, above 0.

    Raises InternalError outside these ranges.
    """
    if not 0.0 <= share <= 1.0:
        raise InternalError(f"{share:g} is no chance", allowed="0 to 1")
    low, high = 0.0, 1.0
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        if not low < middle < high:
            break
        low, high = (middle, high) if beta_share(middle, a=a, b=b) < share else (low, middle)
    return 0.5 * (low + high) if 0.0 < share < 1.0 else share


def beta_fraction(a: float, b: float, x: float) -> float:
    """``1 + d1/(1 + d2/(1 + ...))`` of A & S 26.5.8, by the modified Lentz method.

    a, b : the two parameters.
    x : below ``(a + 1)/(a + b + 2)``, where it converges fast.
    """
    c, d = 1.0, 0.0
    value = 1.0
    for term in range(1, _MOST_TERMS):
        m = term // 2
        if term % 2:
            step = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        else:
            step = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        d = 1.0 / ((1.0 + step * d) or _TINY)
        c = (1.0 + step / c) or _TINY
        value *= c * d
        if abs(c * d - 1.0) < 1e-16:
            break
    return value
