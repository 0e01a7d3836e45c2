"""The bore of a contour mould: it follows the finished outline, and the insert still goes in.

At each height it is as wide as the outline with its turning allowance, and never narrower than the
insert with the gap, from the floor to the rim: the insert comes from above.  Going up it closes
by no more than 45 degrees, so that the roof over a bulge prints without support and lets air go.
"""

from __future__ import annotations

from itertools import pairwise

from mouldgen.size.profile import LEAST_MM, ROOF, Profile, roofed
from mouldgen.size.round import SizeQuestion

_STEP_MM = 0.01  # a shoulder square to the axis is drawn this high


def bore(question: SizeQuestion, gap_mm: float) -> Profile:
    """The bare bore at a gap [mm]; with no outline a cylinder."""
    q = question
    least = q.insert.envelope_mm + gap_mm
    wanted = _rising([(q.pip_mm + along, radius) for along, radius in q.outline_mm])
    wanted = [(z, max(r, least)) for z, r in _crossed(wanted, least) if z > LEAST_MM]
    start = wanted[0][1] if wanted else least
    # The outline goes on to the floor as it starts; above its end only the insert has a say.
    # Roofed first: a bulge near the outline's end is still closing there.
    points = roofed([(0.0, start), *wanted])
    end, last = points[-1]
    if last > least:
        end += (last - least) / ROOF
        points.append((end, least))
    # Upright at the end: a wall goes on as it ends.
    points.append((max(end, q.insert_top_mm) + 1.0, least))
    return Profile(tuple(points))


def _crossed(points: list[tuple[float, float]], radius_mm: float) -> list[tuple[float, float]]:
    """The points, with one more wherever the line between two crosses a radius."""
    out = points[:1]
    for (z0, r0), (z1, r1) in pairwise(points):
        if (r0 - radius_mm) * (r1 - radius_mm) < 0.0:
            out.append((z0 + (z1 - z0) * (radius_mm - r0) / (r1 - r0), radius_mm))
        out.append((z1, r1))
    return out


def _rising(points: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """The points, each a little above the one before it, and nothing of the outline cut off.

    The narrower end of a shoulder gives way to the wider one.
    """
    out: list[tuple[float, float]] = []
    for z, r in points:
        near = bool(out) and z < out[-1][0] + _STEP_MM
        low = z - _STEP_MM
        if near and r > out[-1][1] and (len(out) < 2 or out[-2][0] < low):
            out[-1] = (low, out[-1][1])
            near = False
        out.append((out[-1][0] + _STEP_MM if near else z, r))
    return out
