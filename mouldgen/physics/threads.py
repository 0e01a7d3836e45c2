"""Screw threads of 60 degrees: limits, tap drills, areas and how deep a thread must hold.

Inch threads after ASME B1.1, metric ones after ISO 261 and ISO 965-1.  The formulas for the
tolerances are from memory; they reproduce the published tables, and tests say so.  Lengths are
in metres here as everywhere in this room, so the inch formulas are turned into them.
"""

from __future__ import annotations

import math

from mouldgen.errors import InputError

INCH = 0.0254  # [m], exact
# Of a sharp thread's height H = sqrt(3)/2 P: five eighths are cut on both sides of the hole ...
MINOR_DEPTH = 5.0 * math.sqrt(3.0) / 8.0
# ... and a full external thread is three quarters of it deep; percentages count in that.
FULL_DEPTH = 3.0 * math.sqrt(3.0) / 4.0
PITCH_DEPTH = 3.0 * math.sqrt(3.0) / 8.0
_QUARTER_INCH = 0.25
# ISO 965-1, grade 6 [m].  Hard-coded: at 1 mm the formula gives 230 um, midway between the
# preferred numbers 224 and 236, and the standard has 236.
_METRIC_TOLERANCE = {
    0.7e-3: 180e-6, 0.8e-3: 200e-6, 1.0e-3: 236e-6, 1.25e-3: 265e-6, 1.5e-3: 300e-6,
}  # fmt: skip


def minor_diameter(major: float, pitch: float) -> float:
    """Least minor diameter of an internal thread, ``D - 5 sqrt(3)/8 P`` [m].

    major, pitch : [m].
    """
    return major - MINOR_DEPTH * pitch


def pitch_diameter(major: float, pitch: float) -> float:
    """Basic pitch diameter, ``D - 3 sqrt(3)/8 P`` [m].

    major, pitch : [m].
    """
    return major - PITCH_DEPTH * pitch


def inch_minor_limits(major: float, pitch: float) -> tuple[float, float]:
    """Least and greatest minor diameter of an internal thread of class 2B [m], ASME B1.1.

    The tolerance in inches is ``0.25 p - 0.4 p^2`` from 1/4 in; below it is
    ``0.05 p^(2/3) + 0.03 p/D - 0.002``, no less than that and no more than ``0.394 p``.
    Formulas from memory; they reproduce the table to 0.0005 in.

    major, pitch : [m].
    """
    p, size = pitch / INCH, major / INCH
    coarse = 0.25 * p - 0.4 * p * p
    if size >= _QUARTER_INCH - 1e-9:
        tolerance = coarse
    else:
        small = 0.05 * p ** (2.0 / 3.0) + 0.03 * p / size - 0.002
        tolerance = min(max(small, coarse), 0.394 * p)
    least = minor_diameter(major, pitch)
    return least, least + tolerance * INCH


def metric_minor_limits(major: float, pitch: float) -> tuple[float, float]:
    """Least and greatest minor diameter of an internal thread of class 6H [m], ISO 965-1.

    major, pitch : [m]; the pitch one of 0.7, 0.8, 1, 1.25 and 1.5 mm.

    Raises InputError for any other: the standard's rounding follows no formula.
    """
    for known, tolerance in _METRIC_TOLERANCE.items():
        if math.isclose(pitch, known, rel_tol=1e-6):
            least = minor_diameter(major, pitch)
            return least, least + tolerance
    raise InputError(
        f"no 6H tolerance is known for a pitch of {1e3 * pitch:g} mm",
        allowed=", ".join(f"{1e3 * known:g} mm" for known in _METRIC_TOLERANCE),
    )


def percent_of_thread(major: float, pitch: float, *, drill: float) -> float:
    """How much of a full thread is left beside a drilled hole, ``100 (D - d)/(1.299 P)`` [percent].

    A full thread is three quarters of the sharp height deep.  Counting in the five eighths of
    the internal thread instead makes 83.3 into 100, and ``D - P x percent`` is no formula at all.

    major, pitch, drill : [m].
    """
    return 100.0 * (major - drill) / (FULL_DEPTH * pitch)


def tap_drill(major: float, pitch: float, *, percent: float) -> float:
    """Diameter that leaves so much of a full thread, the inverse of `percent_of_thread` [m].

    major, pitch : [m].
    percent : of a full thread.
    """
    return major - percent / 100.0 * FULL_DEPTH * pitch


def inch_stress_area(major: float, pitch: float) -> float:
    """Area that a bolt of an inch thread breaks with, ``pi/4 (D - 0.9743 p)^2`` [m2], ASME B1.1.

    major, pitch : [m].
    """
    return math.pi / 4.0 * (major - 0.9743 * pitch) ** 2


def metric_stress_area(major: float, pitch: float) -> float:
    """Area that a bolt of a metric thread breaks with, ``pi/4 (d - 0.9382 P)^2`` [m2], ISO 898-1.

    major, pitch : [m].
    """
    return math.pi / 4.0 * (major - 0.9382 * pitch) ** 2


def strip_length(area: float, pitch: float, *, minor_most: float, pitch_least: float) -> float:
    """Depth of thread at which bolt and thread of one material give way together [m].

    ``Le = 2 At / (pi Kn [1/2 + 0.57735 (Es - Kn)/P])``, FED-STD-H28 and ASME B1.1 appendix, from
    memory.  In wood or resin the thread of the hole gives way long before the bolt: there this
    is only a least depth, and the rule of thumb counts in diameters.

    area : the bolt's stress area [m2].
    pitch : [m].
    minor_most : greatest minor diameter of the internal thread, Kn [m].
    pitch_least : least pitch diameter of the external thread, Es [m].
    """
    shear = 0.5 + (pitch_least - minor_most) / (math.sqrt(3.0) * pitch)
    return 2.0 * area / (math.pi * minor_most * shear)
