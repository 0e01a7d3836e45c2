"""What a cure went through, read off its course."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from mouldgen.physics.cure import GEL_CONVERSION
from mouldgen.physics.glass import GLASS
from mouldgen.physics.radial import Radial
from mouldgen.physics.stepping import Course

Array = NDArray[np.float64]

GLASSY_BY = 10.0  # [K] that the glass transition lies above the resin's own; belief
_STEEP = 1e3  # [K]; makes the gel count beside the glass


@dataclass(frozen=True, eq=False)
class CureHistory:
    """How a curing resin fared.  Times run from mixing, resin and air alike at the start.

    times : of the rows below [s].
    hottest : of the resin; in a cup its middle [K].
    wall : at the wall's inner face; in a cup at the resin's outside [K].
    most_cured, least_cured : conversion of the places where it is largest and smallest.
    gel : when the first place gels; inf where none does [s].
    gelled : when the last place has gelled; inf where one does not [s].
    peak, wall_peak : the largest of `hottest` and `wall` [K].
    peak_time : of `peak` [s].
    glassy : when the whole resin is gelled and its glass transition `GLASSY_BY` above its own
        temperature, the earliest that it can be taken from the mould; inf where never [s].
    """

    times: Array
    hottest: Array
    wall: Array
    most_cured: Array
    least_cured: Array
    gel: float
    gelled: float
    peak: float
    wall_peak: float
    peak_time: float
    glassy: float

    def conversion_at(self, time: float) -> tuple[float, float]:
        """Smallest and largest conversion at a time; those of the end beyond it.

        time : from mixing [s].
        """
        return (
            float(np.interp(time, self.times, self.least_cured)),
            float(np.interp(time, self.times, self.most_cured)),
        )


def history_of(course: Course, grid: Radial, *, air: float) -> CureHistory:
    """The history of a course [s, K].

    course : of the cure.
    grid : that it was stepped on.
    air : temperature outside [K].
    """
    curing, T = grid.curing, course.temperatures
    hot, least = T[:, curing], course.conversions.min(axis=1)
    bare = curing.stop == len(grid.stored)
    wall = grid.surface(T, air) if bare else grid.face(T, curing.stop)
    inside = grid.face(T, curing.start) if curing.start else grid.centre(T)
    # A cup's skin can flash over the middle in a shell thinner than any cell: the middle is what
    # a thermometer reads, and what cells resolve.
    hottest = inside if bare else np.maximum(hot.max(axis=1), inside)
    peak_time, peak = _top(course.times, hottest)
    glassy = glassy_by(course.conversions, hot).min(axis=1)
    return CureHistory(
        times=course.times,
        hottest=hottest,
        wall=wall,
        most_cured=course.conversions.max(axis=1),
        least_cured=least,
        gel=gel_of(course, first=True),
        gelled=gel_of(course, first=False),
        peak=peak,
        wall_peak=_top(course.times, wall)[1],
        peak_time=peak_time,
        glassy=_last_rise(course.times, np.minimum(glassy, _STEEP * (least - GEL_CONVERSION))),
    )


def glassy_by(conversion: Array, temperature: Array) -> Array:
    """By how much places are glassier than they need be to leave the mould [K].

    conversion : any shape.
    temperature : the same shape [K].
    """
    share = GLASS.shape * conversion / (1.0 - (1.0 - GLASS.shape) * conversion)
    transition = GLASS.unreacted + (GLASS.reacted - GLASS.unreacted) * share
    return np.asarray(transition - temperature - GLASSY_BY)


def gel_of(course: Course, *, first: bool) -> float:
    """When the first place, or the last, gels [s]; inf where it does not.

    On the cubic of the step that it falls in.

    course : of the cure.
    first : whether the first place is meant.
    """
    rows = course.conversions.max(axis=1) if first else course.conversions.min(axis=1)
    if rows[-1] < GEL_CONVERSION:
        return math.inf
    i = int(np.argmax(rows >= GEL_CONVERSION))
    if i == 0:
        return 0.0
    column = int(course.conversions[i].argmax() if first else course.conversions[i].argmin())
    width = float(course.times[i] - course.times[i - 1])
    a0, a1 = course.conversions[i - 1 : i + 1, column]
    v0, v1 = width * course.rates[i - 1 : i + 1, column]
    low, high = 0.0, 1.0
    for _ in range(40):
        x = 0.5 * (low + high)
        back = 1.0 - x
        value = a0 * back**2 * (1 + 2 * x) + v0 * x * back**2 + a1 * x**2 * (3 - 2 * x)
        value -= v1 * x**2 * back
        low, high = (low, x) if value >= GEL_CONVERSION else (x, high)
    return float(course.times[i - 1]) + width * high


def _top(times: Array, values: Array) -> tuple[float, float]:
    """Time and height of the largest value, on the parabola through it and its neighbours."""
    i = int(values.argmax())
    if not 0 < i < len(values) - 1:
        return float(times[i]), float(values[i])
    (t0, t1, t2), (y0, y1, y2) = times[i - 1 : i + 2], values[i - 1 : i + 2]
    left, right = (y1 - y0) / (t1 - t0), (y2 - y1) / (t2 - t1)
    bend = (right - left) / (t2 - t0)  # slope and bend are those of the parabola at t1
    if bend == 0.0:
        return float(t1), float(y1)
    slope = left + bend * (t1 - t0)
    at = min(max(-slope / (2.0 * bend), t0 - t1), t2 - t1)
    return float(t1 + at), float(y1 + slope * at + bend * at**2)


def _last_rise(times: Array, values: Array) -> float:
    """From when on the values stay above 0; inf where the last does not."""
    below = np.flatnonzero(values <= 0.0)
    if below.size == 0:
        return float(times[0])
    i = int(below[-1])
    if i == len(values) - 1:
        return math.inf
    share = -values[i] / (values[i + 1] - values[i])
    return float(times[i] + share * (times[i + 1] - times[i]))
