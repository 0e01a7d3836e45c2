"""A pour as a section through the mould's axis, as SVG: resin light, shut-in air dark.

True to scale, plumb up, the lean to the right; black on white, so that it prints well.  Only
the air space is known to a pour, so everything else is drawn as one grey block.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from mouldgen.sheet.chart import SMALL, document, heading, n, rect, stroke, text

if TYPE_CHECKING:
    from mouldgen.pour.pour import Pocket, Pour

_SIDE = 6.0  # white round the picture [mm]
_HEAD = 16.0  # above it, for the title
_FOOT = 12.0  # below it, for what the shades mean
_LABELS = 62.0  # beside it, for the volumes
_BLOCK = 3.0  # grey round the air space
_TEXT = 3.6
_MOST_LABELS = 12  # the largest; what is smaller is told as one sum
_AIR, _RESIN, _SHUT, _REST = "white", "#dfe7ee", "#1a1a1a", "#b9b9b9"
_SHADES = ((_RESIN, "resin"), (_SHUT, "air shut in"), (_AIR, "open air"), (_REST, "all else"))
_STRAIGHT = 0.02  # a point that lies this close to its neighbours' line is left out [mm]


def pocket_svg(pour: Pour, *, title: str) -> str:
    """One pour as a whole SVG document, the same text for the same pour.

    title : above the picture and for screen readers; any text.
    """
    frame = _Frame.round(pour)
    width = frame.width + 2 * _SIDE + _LABELS
    height = _HEAD + max(frame.height, (len(pour.pockets[:_MOST_LABELS]) + 3) * 6.0) + _FOOT
    parts = [
        heading(title, width=width),
        rect(_SIDE, _HEAD, frame.width, frame.height, fill=_REST),
        *_section(pour, frame),
        *_labels(pour, frame),
        *_legend(height - 4.0),
    ]
    return document(
        parts,
        name="pour",
        title=title,
        description=_description(pour),
        width=width,
        height=height,
    )


@dataclass(frozen=True, eq=False)
class _Frame:
    """Where x and plumb height lie on the page [mm]."""

    left: float
    top: float
    width: float
    height: float

    @classmethod
    def round(cls, pour: Pour) -> _Frame:
        air = pour.air
        left = float(air.start.min()) * air.step_mm + air.origin_mm - _BLOCK
        right = float(air.end.max()) * air.step_mm + air.origin_mm + _BLOCK
        low, high = float(pour.heights_mm[0]), float(pour.heights_mm[-1])
        return cls(left, high, right - left, high - low + _BLOCK)

    def x(self, x_mm: float) -> float:
        return x_mm - self.left + _SIDE

    def y(self, height_mm: float) -> float:
        return self.top - height_mm + _HEAD


def _description(pour: Pour) -> str:
    lean = pour.air.attitude
    how = (
        f"leaning by {lean.tilt_deg:g} degrees towards {lean.azimuth_deg % 360:g} degrees"
        if lean.tilt_deg
        else "upright"
    )
    return (
        f"Section through the axis, poured {how}: {len(pour.pockets)} pockets keep"
        f" {n(round(pour.shut_in_ml, 3))} ml of air."
    )


# --------------------------------------------------------------------- the section


@dataclass(eq=False)
class _Column:
    """Runs that stand one above the other: one outline."""

    kind: str
    lefts: list[float] = field(default_factory=list)
    rights: list[float] = field(default_factory=list)
    heights: list[float] = field(default_factory=list)


def _section(pour: Pour, frame: _Frame) -> Iterator[str]:
    paths: dict[str, list[str]] = {_AIR: [], _RESIN: [], _SHUT: []}
    for column in _columns(pour):
        paths[column.kind].append(_outline(column, pour.air.layer_mm, frame))
    for colour, outlines in paths.items():
        if outlines:
            yield f'<path d="{"".join(outlines)}" fill="{colour}"/>'


def _columns(pour: Pour) -> list[_Column]:
    """The runs of the row at the axis, joined upward as long as one follows one."""
    air = pour.air
    at = np.flatnonzero(air.row == 0)
    shut_below = {pocket.number for pocket in pour.pockets}
    done: list[_Column] = []
    growing: list[_Column] = []
    for layer in sorted(set(air.layer[at].tolist())):
        here = []
        for run in at[air.layer[at] == layer].tolist():
            middle = (layer + 0.5) * air.layer_mm
            kind = _RESIN if middle < pour.level_mm else _AIR
            kind = _SHUT if int(pour.pocket[run]) in shut_below else kind
            left = float(air.start[run]) * air.step_mm + air.origin_mm
            right = float(air.end[run]) * air.step_mm + air.origin_mm
            here.append(_Column(kind, [left], [right], [middle]))
        growing = _continued(growing, here, air.layer_mm)
        done += [column for column in growing if len(column.heights) == 1]
    return done


def _continued(below: list[_Column], here: list[_Column], layer_mm: float) -> list[_Column]:
    """The columns that reach this layer: those below that one run follows, and new ones."""
    result = []
    for run in here:
        over = [c for c in below if _meets(c, run) and c.kind == run.kind]
        if len(over) == 1 and sum(_meets(over[0], other) for other in here) == 1:
            column = over[0]
            if run.heights[0] - column.heights[-1] < 1.5 * layer_mm:
                column.lefts += run.lefts
                column.rights += run.rights
                column.heights += run.heights
                result.append(column)
                continue
        result.append(run)
    return result


def _meets(column: _Column, run: _Column) -> bool:
    return column.lefts[-1] < run.rights[0] and run.lefts[0] < column.rights[-1]


def _outline(column: _Column, layer_mm: float, frame: _Frame) -> str:
    """Up the left side and down the right one, level at both ends."""
    low, high = column.heights[0] - layer_mm / 2, column.heights[-1] + layer_mm / 2
    heights = [low, *column.heights, high]
    lefts = [column.lefts[0], *column.lefts, column.lefts[-1]]
    rights = [column.rights[0], *column.rights, column.rights[-1]]
    up = _straightened(list(zip(lefts, heights, strict=True)))
    down = _straightened(list(zip(rights, heights, strict=True)))[::-1]
    points = " ".join(f"{n(frame.x(x))},{n(frame.y(z))}" for x, z in [*up, *down])
    return f"M{points}z"


def _straightened(points: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Without the points that lie on the line from the last one kept to the next."""
    kept = [points[0]]
    for (x, z), (ahead_x, ahead_z) in pairwise(points[1:]):
        last_x, last_z = kept[-1]
        on_line = last_x + (ahead_x - last_x) * (z - last_z) / (ahead_z - last_z)
        if abs(on_line - x) > _STRAIGHT:
            kept.append((x, z))
    return [*kept, points[-1]]


# ----------------------------------------------------------------------- the words


def _labels(pour: Pour, frame: _Frame) -> Iterator[str]:
    """Each pocket's number where it is, and its volume beside the picture."""
    left = frame.x(frame.left + frame.width) + 4.0
    shown = pour.pockets[:_MOST_LABELS]
    cut = set(pour.pocket[pour.air.row == 0].tolist())
    line = _HEAD + _TEXT
    for pocket in shown:
        x, height = _seen(pocket, pour)
        at = frame.x(x), frame.y(height)
        yield stroke(f"M{n(at[0])},{n(at[1])}L{n(left - 1)},{n(line - _TEXT / 3)}", width=0.25)
        yield (
            f'<circle cx="{n(at[0])}" cy="{n(at[1])}" r="1" fill="white" stroke="black" '
            'stroke-width="0.3"/>'
        )
        yield text(left, line, f"{pocket.number}: {_ml(pocket.volume_ml)}", size=_TEXT, bold=True)
        place = ", ".join(f"{round(c)}" for c in pocket.place_mm)
        off = "" if pocket.number in cut else ", off this section"
        told = f"{pocket.height_mm:.1f} mm high, at {place} mm{off}"
        yield text(left, line + 4.0, told, size=2.6)
        line += 10.0
    rest = pour.pockets[_MOST_LABELS:]
    if rest:
        together = _ml(sum(pocket.volume_ml for pocket in rest))
        yield text(left, line, f"{len(rest)} smaller: {together}", size=_TEXT)
        line += 6.0
    total = f"Shut in: {_ml(pour.shut_in_ml)}" if shown else "No air stays shut in"
    yield text(left, line, total, size=_TEXT)


def _seen(pocket: Pocket, pour: Pour) -> tuple[float, float]:
    """Where a pocket's middle is seen from the front: along the lean, and plumb height [mm]."""
    seen = pour.air.attitude.turn @ np.array(pocket.place_mm)
    return float(seen[0]), float(seen[2])


def _legend(line: float) -> Iterator[str]:
    x = _SIDE
    for colour, words in _SHADES:
        yield (
            f'<rect x="{n(x)}" y="{n(line - 3)}" width="4" height="3.4" fill="{colour}" '
            'stroke="black" stroke-width="0.25"/>'
        )
        yield text(x + 5.5, line, words, size=SMALL)
        x += 8.0 + 1.6 * len(words)


def _ml(volume_ml: float) -> str:
    return f"{volume_ml:.2f} ml" if volume_ml >= 0.005 else "under 0.01 ml"
