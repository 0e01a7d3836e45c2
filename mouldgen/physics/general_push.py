"""Pushing an insert of any section into a closed bore full of resin.

The displaced resin comes back up through the gap.  For creeping flow along a straight gap the
force is, with no approximation,

    F = mu U integral C dz,    C = (A + M)^2/K + D,

where A is the insert's section and three numbers belong to the open section round it: K, what
passes under a pressure gradient between walls at rest (``integral w`` with ``laplacian w = -1``);
M, what the moving wall drags along, and D, its drag (``integral m`` and ``integral |grad m|^2``
with m harmonic, 1 on the insert and 0 on the bore).  The leading order in a thin gap is
``A^2/K`` with ``K = closed integral of h^3 ds/12`` plus any grooves.  Derived here; for a round
insert it is `push.drag_factor`.

Choice of h and ds.  h is measured straight across the gap and ds along the line midway between
the walls; in a round bore with the insert on its axis that is radially, see `radial_gap`.  Each
ds is then treated as a strip of the ring whose mean perimeter is the whole midway line, so that
round sections come out exact, and where h changes along the perimeter each strip is corrected to
second order in ``h' = dh/ds`` (the insert's wall leaning against the bore's): K by
``1/(1 + h'^2)``, M and D by ``sqrt(1 + 2 h'^2/3)``, which stay finite at a step.

Bias against finite elements of our own (the tests hold it): regular polygons in a round bore,
C low by up to 3 percent for a square, 9 for a triangle; right within 2 percent from six sides on
and for a round insert that stands off the axis.  Steep walls are worse: half-round flutes cut
into the insert, C low by up to 20 percent, whatever h and ds are.  Treat those as the enclosing
round instead, which each flute changes in all three numbers: K by `flute_conductance`, M by
`groove_carried` (resin in a flute is left behind a little at its mouth), D by `groove_shear` (at
the mouth no wall rubs).  C is then right within 2 percent low and 7 high up to flutes that cut
away 30 percent of the section; with K alone it is a third and more high, M being squared.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from mouldgen.errors import InternalError
from mouldgen.physics.annulus import EXCESS_SERIES, EXCESS_SERIES_BELOW

if TYPE_CHECKING:
    from collections.abc import Callable

    import numpy as np
    from numpy.typing import ArrayLike, NDArray

    Floats = NDArray[np.float64]
    Section = Callable[[float], tuple[ArrayLike, ArrayLike]]

# K of a half-round groove over r^4, in powers of h/r: the half disc alone is exact.
_HALF_DISC = math.pi / 8.0 - 1.0 / math.pi
_GROOVE = (_HALF_DISC, 0.237, 0.141)
_LENS = 0.0235  # fitted; 0.0204 to first order where the mouth is shut
# What one takes from M over r^2 and from D: both are exact as h/r goes to 0.
_CARRIED = (2.0 / math.pi, 0.32, 1.17)
_SHEAR = (2.0, 2.8, 0.1)

_SMALLEST_SHARE = 1e-7  # of the widest gap: below any that can be made


def radial_gap(insert_radii: ArrayLike, bore_radii: ArrayLike) -> tuple[Floats, Floats]:
    """The gap and the midway line's pieces, at equal steps of angle once round [m], [m].

    insert_radii : distance of the insert's surface from the axis of the bore, (..., n) [m].
    bore_radii : the same of the bore, or one radius [m].
    """
    import numpy as np

    inner, outer = np.broadcast_arrays(
        np.asarray(insert_radii, dtype=np.float64), np.asarray(bore_radii, dtype=np.float64)
    )
    step = 2.0 * math.pi / inner.shape[-1]
    return outer - inner, 0.5 * (inner + outer) * step


def conductance(gap: ArrayLike, arc: ArrayLike) -> Floats:
    """K, what the open section lets past [m4]: a number, or (m,) for m stations.

    gap : h, across the gap, in order round the whole perimeter, (n,) or (m, n) [m].
    arc : ds, the pieces of the midway line that they stand for, of the same shape [m].

    Raises InternalError where a gap is closed, or wider than the ring that it is a part of.
    """
    ring = _Ring(gap, arc)
    return ring.conductance()


def drag_factor(
    gap: ArrayLike, arc: ArrayLike, *, area: ArrayLike, grooves: ArrayLike = 0.0
) -> Floats:
    """C of the formula above, dimensionless: a number, or (m,) for m stations along the axis.

    gap : h, across the gap, in order round the whole perimeter, (n,) or (m, n) [m].
    arc : ds, the pieces of the midway line that they stand for, of the same shape [m].
    area : A, of the insert's section, one or (m,) [m2].
    grooves : conductance of all vent grooves together, one or (m,) [m4].

    Raises InternalError where a gap is closed, or wider than the ring that it is a part of.
    """
    import numpy as np

    ring = _Ring(gap, arc)
    moved = np.asarray(area, dtype=np.float64) + ring.carried()
    passed = ring.conductance() + np.asarray(grooves, dtype=np.float64)
    return np.asarray(moved**2 / passed + ring.shear())


def groove_conductance(radius: float, gap: float) -> float:
    """What a half-round groove in either wall adds to the gap's conductance [m4].

    ``r^4 [pi/8 - 1/pi + 0.237 h/r + 0.141 (h/r)^2]``.  The first term is exact (the torsion of a
    half disc); the other two are fitted to our own finite elements for h up to 5 r, where they
    are within 1 percent.  Grooves at least 2(r + h) apart, in a wall that is flat on that scale.

    radius : r, of the groove [m].
    gap : h, beside the groove [m].
    """
    ratio = gap / radius
    return radius**4 * (_GROOVE[0] + ratio * (_GROOVE[1] + ratio * _GROOVE[2]))


def flute_conductance(radius: float, gap: float, *, envelope: float) -> float:
    """What a flute in a round insert adds to the gap's conductance [m4].

    A flute is what a circle centred on the insert's rim cuts away: a half-round groove less the
    lens between its mouth and the rim, ``0.0235 r^5/a``.

    radius : r, of the flute [m].
    gap : h, beside the flute [m].
    envelope : a, radius of the insert [m].
    """
    return groove_conductance(radius, gap) - _LENS * radius**5 / envelope


def groove_carried(radius: float, gap: float) -> float:
    """What a half-round groove in the bore adds to M [m2]; one in the insert takes it off A + M.

    ``r^2 (2/pi + 0.32 h/r)/(1 + 1.17 h/r)``, where A counts a flute as full.  Exact for h = 0;
    fitted to our own finite elements for h up to 5 r, where it is within 1 percent.

    radius : r, of the groove [m].
    gap : h, beside the groove [m].
    """
    ratio = gap / radius
    return radius**2 * (_CARRIED[0] + _CARRIED[1] * ratio) / (1.0 + _CARRIED[2] * ratio)


def groove_shear(radius: float, gap: float) -> float:
    """What a half-round groove in either wall takes off D, a pure number [1].

    ``2 r/h / (1 + 2.8 h/r + 0.1 (h/r)^2)``: the width of its mouth over the gap, where that is
    narrow.  Fitted to our own finite elements for h up to 5 r, where it is within 2 percent.

    radius : r, of the groove [m].
    gap : h, beside the groove, above 0 [m].
    """
    ratio = gap / radius
    return _SHEAR[0] / (ratio * (1.0 + ratio * (_SHEAR[1] + ratio * _SHEAR[2])))


def push_force(drag: ArrayLike, *, length: float, speed: float, viscosity: float) -> float:
    """Force that drives the insert at a speed [N]: ``mu U`` times C integrated along it.

    drag : C, one or (m,) for m stations at the middles of m equal parts of the length.
    length : of the insert that is in the bore [m].
    speed : of the insert [m/s].
    viscosity : of the resin [Pa s].
    """
    import numpy as np

    return viscosity * speed * length * float(np.mean(np.asarray(drag, dtype=np.float64)))


def push_time(drag: ArrayLike, *, length: float, force: float, viscosity: float) -> float:
    """Time to push the insert home from its first touch [s].

    ``mu/F integral C (L - z) dz``, z from the end that goes in first; the bore the same all the
    way down.  ``C mu L^2/(2 F)`` for a straight insert.

    drag : C, one or (m,) for m stations at the middles of m equal parts, leading end first.
    length : of the insert [m].
    force : constant [N].
    viscosity : of the resin [Pa s].
    """
    import numpy as np

    stations = np.atleast_1d(np.asarray(drag, dtype=np.float64))
    still_to_go = 1.0 - (np.arange(len(stations)) + 0.5) / len(stations)
    return viscosity * length**2 / force * float(np.mean(stations * still_to_go))


def least_gap(
    section: Section,
    *,
    area: ArrayLike,
    length: float,
    force: float,
    time: float,
    viscosity: float,
    largest: float,
    grooves: Callable[[float], float] | None = None,
) -> float:
    """Narrowest gap through which an insert goes home in the time there is [m].

    By bisection; inf where the largest gap would not do or the resin is solid, 0 where the insert
    goes home however narrow the gap: past the flats of a bar there is room without it.

    section : gives the arrays gap and arc of `drag_factor` [m] for a narrowest gap [m]; a wider
        one must never push harder.
    area : of the insert's section, one or (m,) [m2].
    length : of the insert [m].
    force : constant [N].
    time : there is [s].
    viscosity : of the resin [Pa s].
    largest : gap to look up to [m].
    grooves : gives the conductance of all vent grooves [m4] for a narrowest gap [m].
    """

    def goes_home(gap: float) -> bool:
        across, arc = section(gap)
        passed = grooves(gap) if grooves is not None else 0.0
        drag = drag_factor(across, arc, area=area, grooves=passed)
        return push_time(drag, length=length, force=force, viscosity=viscosity) <= time

    if math.isinf(viscosity) or not goes_home(largest):
        return math.inf
    low, high = _SMALLEST_SHARE * largest, largest
    if goes_home(low):
        return 0.0
    while high > low * (1.0 + 1e-12):
        middle = math.sqrt(low * high)
        if not low < middle < high:
            break
        low, high = (low, middle) if goes_home(middle) else (middle, high)
    return high


class _Ring:
    """Every ds as a strip of one ring, in ``w = ln(R/a)`` of its own walls."""

    def __init__(self, gap: ArrayLike, arc: ArrayLike) -> None:
        import numpy as np

        h, ds = np.asarray(gap, dtype=np.float64), np.asarray(arc, dtype=np.float64)
        mean_radius = ds.sum(axis=-1, keepdims=True) / (2.0 * math.pi)
        if h.shape != ds.shape or not np.all((h > 0.0) & (h < 2.0 * mean_radius)):
            raise InternalError(
                "a gap is closed or too wide for its perimeter, or the arrays do not match",
                allowed="above 0, below the midway line's length over pi, one arc for each gap",
            )
        self._w = 2.0 * np.arctanh(h / (2.0 * mean_radius))
        self._square = (mean_radius / np.cosh(0.5 * self._w)) ** 2  # a R of each strip
        self._angle = ds / mean_radius
        lean = (np.roll(h, -1, axis=-1) - np.roll(h, 1, axis=-1)) / (
            ds + 0.5 * (np.roll(ds, -1, axis=-1) + np.roll(ds, 1, axis=-1))
        )
        self._lean = lean**2
        self._excess = _excess(self._w)

    def conductance(self) -> Floats:
        """K [m4], see `annulus.conductance`."""
        import numpy as np

        strip = 0.25 * self._square**2 * np.sinh(self._w) * self._excess
        return self._around(strip / (1.0 + self._lean))

    def carried(self) -> Floats:
        """M [m2]: ``integral r ln(R/r)/w dr`` over each strip."""
        import numpy as np

        strip = 0.5 * self._square * (np.sinh(self._w) - self._excess)
        return self._around(strip * np.sqrt(1.0 + 2.0 / 3.0 * self._lean))

    def shear(self) -> Floats:
        """D [1]: ``1/w`` for each radian."""
        import numpy as np

        return self._around(np.sqrt(1.0 + 2.0 / 3.0 * self._lean) / self._w)

    def _around(self, strip: Floats) -> Floats:
        import numpy as np

        return np.asarray((strip * self._angle).sum(axis=-1))


def _excess(w: Floats) -> Floats:
    """``cosh w - sinh w/w``, by the series of `annulus` where the difference cancels."""
    import numpy as np

    small = np.minimum(w, EXCESS_SERIES_BELOW)
    square = small * small
    series = np.zeros_like(w)
    for coefficient in reversed(EXCESS_SERIES):
        series = coefficient + square * series
    return np.where(w < EXCESS_SERIES_BELOW, series * square, np.cosh(w) - np.sinh(w) / w)
