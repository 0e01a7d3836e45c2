"""A bar of rectangular section, twisted evenly about its axis."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from mouldgen.insert import bar
from mouldgen.insert.facts import InsertFacts
from mouldgen.insert.needs import need
from mouldgen.job.model import Insert

if TYPE_CHECKING:
    from mouldgen.solid.kernel import Solid

STEP_DEG = 4.0  # the mesh then lacks 0.08 % of the volume: 1 - (1 - cos d)/3 of it is there


def facts(insert: Insert, *, density_g_ml: float) -> InsertFacts:
    """A twisted bar: every section is the bar's, so that ``V = w t L`` (Cavalieri).

    To the resin it is the straight bar: its gap is as wide at every height, and that the
    widest places wind round the axis is left out.  An air bubble that follows them climbs the
    same height.

    density_g_ml : of the insert [g/ml].
    """
    return bar.facts(insert, density_g_ml=density_g_ml)


def solid(insert: Insert, *, chord_mm: float) -> Solid:
    """The twisted bar standing on z = 0, the edges' corners on the edges.

    chord_mm : how far a straight piece of an edge may leave it [mm].
    """
    return _swept(insert, chord_mm=chord_mm, equal=False)


def displacing(insert: Insert, facts: InsertFacts, *, chord_mm: float) -> Solid:
    """The same with its section enlarged until the mesh has the closed form's volume.

    facts : not needed.
    chord_mm : how far a straight piece of an edge may leave it [mm].
    """
    del facts
    return _swept(insert, chord_mm=chord_mm, equal=True)


def _swept(insert: Insert, *, chord_mm: float, equal: bool) -> Solid:
    import numpy as np

    from mouldgen.solid.circle import segments
    from mouldgen.solid.sweep import sweep, twist_share

    section = bar.outline(insert, chord_mm=chord_mm)
    whole = 2.0 * math.pi * insert.length / need(insert, "turn_length")
    round_steps = segments(float(np.hypot(*section.T).max()), chord_mm=chord_mm)
    step = min(math.radians(STEP_DEG), 2.0 * math.pi / round_steps)
    count = max(1, math.ceil(whole / step))
    if equal:
        section = section / math.sqrt(twist_share(whole / count))
    turn = np.linspace(0.0, whole if insert.hand == "right" else -whole, count + 1)
    cos, sin = np.cos(turn)[:, None], np.sin(turn)[:, None]
    x, y = section.T
    height = np.broadcast_to(np.linspace(0.0, insert.length, count + 1)[:, None], cos.shape)
    rings = np.stack(
        [cos * x - sin * y, sin * x + cos * y, np.broadcast_to(height, (count + 1, len(x)))],
        axis=-1,
    )
    return sweep(rings)
