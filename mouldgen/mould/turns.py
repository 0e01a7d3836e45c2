"""How vent grooves and what centres the insert take turns round a bore.

Angles are counted from the x axis in degrees.
"""

from __future__ import annotations


def take_turns(grooves: int, *, aside: bool) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Angles of grooves and ribs; ribs stand midway between grooves, three with none [degrees].

    grooves : how many.
    aside : keep both as far as they can off the x axis, where a runner or a parting plane is;
        the first rib is the one nearest to the y axis.
    """
    ribs = grooves or 3
    pitch = 360.0 / ribs
    if aside:
        ribs_at = [(k - 0.25) * pitch % 360.0 for k in range(ribs)]
        ribs_at.sort(key=lambda angle: abs(angle - 90.0))
        return tuple((k + 0.25) * pitch for k in range(grooves)), tuple(ribs_at)
    rib_angles = tuple(90.0 + k * pitch for k in range(ribs))
    groove_angles = tuple(90.0 + (k + 0.5) * pitch for k in range(grooves))
    return groove_angles, rib_angles
