"""The outline of the finished piece: its radius along the axis.

A piece without an outline is a cylinder.  Along the axis is counted from the end that lies at
the bottom of the blank as it is cast; between two points the outline is straight.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from mouldgen.job.model import Piece

Outline = tuple[tuple[float, float], ...]

# People write 13/16 in beside 20.6 mm; a tenth of a millimetre is no contradiction.
AGREES_MM = 0.1


def outline_of(piece: Piece) -> Outline:
    """Pairs along the axis and radius, upward [mm].

    piece : the table of the job file.
    """
    if piece.outline is not None:
        return piece.outline
    radius = piece.diameter / 2.0
    return (0.0, radius), (piece.length, radius)


def widest_mm(outline: Outline) -> float:
    """The largest radius [mm].

    outline : pairs along the axis and radius [mm].
    """
    return max(radius for _, radius in outline)


def least_mm(outline: Outline, *, start_mm: float = -math.inf, end_mm: float = math.inf) -> float:
    """The least radius between two places along the axis, both included [mm].

    outline : pairs along the axis and radius [mm].
    start_mm, end_mm : along the axis; what of them lies beyond the piece does not count [mm].
    """
    start = min(max(start_mm, outline[0][0]), outline[-1][0])
    end = max(min(end_mm, outline[-1][0]), outline[0][0])
    inside = [radius for along, radius in outline if start <= along <= end]
    return min([*inside, *_at(outline, start), *_at(outline, end)])


def most_mm(outline: Outline, *, start_mm: float = -math.inf, end_mm: float = math.inf) -> float:
    """The largest radius between two places along the axis, both included [mm].

    outline : pairs along the axis and radius [mm].
    start_mm, end_mm : along the axis; what of them lies beyond the piece does not count [mm].
    """
    start = min(max(start_mm, outline[0][0]), outline[-1][0])
    end = max(min(end_mm, outline[-1][0]), outline[0][0])
    inside = [radius for along, radius in outline if start <= along <= end]
    return max([*inside, *_at(outline, start), *_at(outline, end)])


def free_ends_mm(outline: Outline, *, radius_mm: float) -> float:
    """How far from its nearer end the piece first gets wider than a radius [mm].

    outline : pairs along the axis and radius [mm].
    radius_mm : to stay below; inf is returned where the piece never gets wider [mm].
    """
    length = outline[-1][0]
    wider = [
        at
        for (a, r), (b, s) in pairwise(outline)
        if max(r, s) > radius_mm
        for at in (
            a if r > radius_mm else a + (b - a) * (radius_mm - r) / (s - r),
            b if s > radius_mm else a + (b - a) * (radius_mm - r) / (s - r),
        )
    ]
    return min((min(at, length - at) for at in wider), default=math.inf)


def volume_mm3(outline: Outline) -> float:
    """Volume of the round piece, frustum by frustum [mm3].

    outline : pairs along the axis and radius [mm].
    """
    return math.fsum(
        math.pi * (b - a) * (r * r + r * s + s * s) / 3.0 for (a, r), (b, s) in pairwise(outline)
    )


def objections(piece: Piece) -> Iterator[tuple[str, str]]:
    """What is wrong with an outline, and what is allowed.

    piece : the table of the job file.
    """
    if piece.outline is None:
        return
    alongs = [along for along, _ in piece.outline]
    radii = [radius for _, radius in piece.outline]
    if alongs[0] != 0.0 or any(b < a for a, b in pairwise(alongs)):
        yield (
            "the outline does not run along the axis from 0",
            "pairs along the axis and radius, the first at 0, none before the one above it",
        )
    elif abs(alongs[-1] - piece.length) > AGREES_MM:
        yield (
            f"the outline ends at {alongs[-1]:g} mm and the piece is {piece.length:g} mm long",
            f"a last pair at {piece.length:g} mm",
        )
    elif min(radii[1:-1], default=1.0) <= 0.0 or max(radii) <= 0.0:
        yield "the outline closes to a point inside the piece", "a radius above 0 but at the ends"
    elif abs(2.0 * max(radii) - piece.diameter) > AGREES_MM:
        widest = f"{2.0 * max(radii):g} mm across at its widest"
        yield (
            f"the outline is {widest}, and the diameter is given as {piece.diameter:g} mm",
            f"a largest radius of {piece.diameter / 2.0:g} mm, half the diameter",
        )


def _at(outline: Outline, along_mm: float) -> list[float]:
    """The radius or, at a step, the radii at a place along the axis."""
    return [
        r if b == a else r + (s - r) * (along_mm - a) / (b - a)
        for (a, r), (b, s) in pairwise(outline)
        if a <= along_mm <= b
    ]
