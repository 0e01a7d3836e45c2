"""Whether a plane parts the successes from the failures, so that no finite fit is the likeliest.

A row of successes asks ``x.b >= 0`` of a direction b in the coefficients, a row of failures
``x.b <= 0``; a row with both asks for both.  Write ``a.b >= 0`` for each, a being x or -x.

- complete: some b has ``a.b > 0`` for all of them;
- quasi: no such b, but one with ``a.b >= 0`` for all and more than that for some;
- none: otherwise, and then the likelihood has a summit (A. Albert and J. A. Anderson, Biometrika
  71 (1984) 1-10).

Both questions have an alternative that is a sum with weights of 0 or more.  By Stiemke, there is
no direction of either kind where the a's sum to 0 with weights all above 0, that is where -sum a
lies in the cone of the a's; by Gordan, none is complete where they do with weights not all 0,
that is where 0 lies in the hull of the a's.  Each time the nearest point of a cone is sought
(non-negative least squares; C. L. Lawson and R. J. Hanson, Solving Least Squares Problems, 1974,
chapter 23), which ends after finitely many steps with as many a's as there are columns at the
most.  What is left over is then 0, or it is the direction itself.

The columns are first turned into an orthonormal basis and the a's to length 1, which changes
neither question, so that units do not matter.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

from mouldgen.castings.rows import Rows, grouped
from mouldgen.errors import InternalError

Floats = npt.NDArray[np.float64]

DEPENDENT = 1e-12  # of the largest singular value, columns scaled to length 1
# Of vectors of length 1: what a sum leaves over, and how far two stand off a right angle, that
# counts as rounding.  A gap or an overlap of 1e-10 of the columns' range is thus told apart.
NOTHING_LEFT = 1e-12
UPRIGHT = 1e-11
ROUNDING = 1e-14
MOST_STEPS = 1000


@dataclass(frozen=True, eq=False, kw_only=True)
class Separation:
    """How successes and failures lie to one another.

    kind : "complete", "quasi" or "none".
    direction : along which the likelihood never falls, of length 1; zeros if none (columns,).
    """

    kind: Literal["complete", "quasi", "none"]
    direction: Floats


def separated(x: npt.ArrayLike, y: npt.ArrayLike, trials: npt.ArrayLike | None = None) -> bool:
    """Whether a plane parts successes from failures, some of them allowed to lie in it.

    x : columns, a constant among them if the regression has one (rows, columns).
    y : successes (rows,).
    trials : of how many (rows,); one each if None.

    Raises InternalError where shapes do not fit or numbers are not finite or out of range.
    """
    return separation(x, y, trials).kind != "none"


def separation(
    x: npt.ArrayLike, y: npt.ArrayLike, trials: npt.ArrayLike | None = None
) -> Separation:
    """How a plane parts successes from failures, and which way it looks.

    x : columns, a constant among them if the regression has one (rows, columns).
    y : successes (rows,).
    trials : of how many (rows,); one each if None.

    Raises InternalError where shapes do not fit or numbers are not finite or out of range.
    """
    rows = grouped(x, y, trials)
    asked, back, all_ask = _asked(rows)
    if not len(asked):
        return Separation(kind="none", direction=np.zeros(rows.x.shape[1]))
    if all_ask:
        hull = np.column_stack([asked, np.ones(len(asked))])
        apart = _left_over(hull, np.eye(hull.shape[1])[-1])
        if apart is not None:
            return Separation(kind="complete", direction=_unit(back @ -apart[:-1]))
    total = -asked.sum(axis=0)
    length = float(np.linalg.norm(total))
    # Already a sum to 0 with weights above 0.
    aside = None if length <= NOTHING_LEFT else _left_over(asked, total / length)
    if aside is None:
        return Separation(kind="none", direction=np.zeros(rows.x.shape[1]))
    return Separation(kind="quasi", direction=_unit(back @ -aside))


def _asked(rows: Rows) -> tuple[Floats, Floats, bool]:
    """The a's of length 1 in an orthonormal basis, from there back, and whether none was 0.

    A row of zeros has the chance one half whatever the coefficients: it asks for nothing, and
    nothing is complete beside it.
    """
    lengths = np.linalg.norm(rows.x, axis=0)
    columns = np.flatnonzero(lengths)
    if not len(columns):
        return np.empty((0, 0)), np.empty((0, 0)), False
    _, sizes, turn = np.linalg.svd(rows.x[:, columns] / lengths[columns], full_matrices=False)
    kept = sizes > DEPENDENT * sizes[0]
    back = np.zeros((len(lengths), int(kept.sum())))
    back[columns] = (turn[kept] / sizes[kept, np.newaxis]).T / lengths[columns, np.newaxis]
    turned = rows.x @ back
    asked = np.vstack([turned[rows.successes > 0.0], -turned[rows.successes < rows.trials]])
    long = np.linalg.norm(asked, axis=1)
    full = long > DEPENDENT * long.max()
    return asked[full] / long[full, np.newaxis], back, bool(full.all())


def _left_over(sides: Floats, target: Floats) -> Floats | None:
    """Target less the nearest point of the cone of the sides; None where the cone holds it.

    sides : the cone's (sides, dimensions).
    target : of length 1 (dimensions,).
    """
    used: list[int] = []
    weights = np.empty(0)
    barred: set[int] = set()
    for _ in range(MOST_STEPS):
        left = target - weights @ sides[used]
        length, terms = float(np.linalg.norm(left)), 1.0 + float(weights.sum())
        if length <= NOTHING_LEFT * terms:
            return None
        gain = sides @ left
        gain[[*used, *barred]] = -np.inf
        best = int(np.argmax(gain))
        if gain[best] <= max(UPRIGHT * length, ROUNDING * terms):
            return np.asarray(left)
        now, weights_now = _solved(sides, target, [*used, best], np.append(weights, 0.0))
        if best in now:
            used, weights = now, weights_now
            barred.clear()
        else:
            barred.add(best)  # its gain was rounding
    raise InternalError(f"a plane between the rows is not found in {MOST_STEPS} steps")


def _solved(
    sides: Floats, target: Floats, used: list[int], weights: Floats
) -> tuple[list[int], Floats]:
    """Least squares on the used sides, dropping those whose weight would fall below 0."""
    while used:
        wanted = np.asarray(np.linalg.lstsq(sides[used].T, target, rcond=None)[0], np.float64)
        short = wanted <= 0.0
        if not short.any():
            return used, wanted
        # As far as the first weight that reaches 0, which leaves.
        span = np.where(short & (weights > wanted), weights - wanted, 1.0)
        way = np.where(short, weights / span, np.inf)
        first = int(np.argmin(way))
        weights = weights + way[first] * (wanted - weights)
        stays = weights > 0.0
        stays[first] = False
        used = [side for side, stay in zip(used, stays, strict=True) if stay]
        weights = weights[stays]
    return used, weights


def _unit(direction: Floats) -> Floats:
    return np.asarray(direction / np.linalg.norm(direction))
