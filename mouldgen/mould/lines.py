"""The lines inside a mould that the maker pours to, one a pour.

The last pour's is a single groove; those before it are double, so that they tell apart, and are
poured to the upper of the two.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from mouldgen.size import Size, SizeQuestion
from mouldgen.size.profile import Profile
from mouldgen.size.question import FILL_LINE_MM

if TYPE_CHECKING:
    from mouldgen.size.mould_size import MouldSize

SECOND_MM = 1.6  # from a double line's upper groove down to its lower; our own choice
APART_MM = 2.0 * FILL_LINE_MM  # least between two grooves' middles: they do not run together


@dataclass(frozen=True, eq=False)
class FillLine:
    """A line round the bore.

    height_mm : of the groove, over the inside floor [mm].
    last : whether it is the last pour's.
    """

    height_mm: float
    last: bool = True

    @property
    def grooves_mm(self) -> tuple[float, ...]:
        """Heights of its grooves, the lower first [mm]."""
        return (self.height_mm,) if self.last else (self.height_mm - SECOND_MM, self.height_mm)


def fill_lines(
    question: SizeQuestion, size: Size, *, layers: int, lifted: bool = False
) -> tuple[FillLine, ...]:
    """The lines of a mould that is filled up by equal heights of its insert, the lowest first.

    question, size : the closed form.
    layers : how many pours; the last goes up to the level that is poured to.
    lifted : whether the blank is pushed out upward: the groove then begins at that level, or the
        resin in it would keep the blank in.
    """
    step = question.insert.length_mm / layers
    heights = [question.pip_mm + step * k for k in range(1, layers)]
    earlier = [FillLine(z, last=False) for z in heights if z < size.level_mm - APART_MM]
    return (*earlier, FillLine(size.level_mm + FILL_LINE_MM * lifted))


def topped_up(lines: tuple[FillLine, ...], size: MouldSize) -> tuple[FillLine, ...]:
    """The same for a mould that has to be filled up once more to the blank's height.

    A line that stands there already serves both pours.

    lines : with one pour less.
    size : of the mould.
    """
    if any(abs(line.height_mm - size.fill_mm) < APART_MM for line in lines):
        return lines
    earlier = [replace(line, last=False) for line in lines]
    return tuple(sorted([*earlier, FillLine(size.fill_mm)], key=lambda line: line.height_mm))


def grooved(
    bore: Profile, lines: tuple[FillLine, ...], *, top_mm: float
) -> list[tuple[float, float]]:
    """Heights and radii of a bore from the floor up, with the grooves of its lines [mm].

    bore : bare.
    lines : to cut into it.
    top_mm : where it ends [mm].

    Each groove is a V as deep as it is high to either side, and no deeper anywhere where the
    bore itself has a corner.
    """
    middles = sorted({z for line in lines for z in line.grooves_mm if FILL_LINE_MM < z < top_mm})
    kept = list(_apart(middles))
    corners = {z for z, _ in bore.between(0.0, top_mm)}
    for middle in kept:
        corners |= {middle - FILL_LINE_MM, middle, middle + FILL_LINE_MM}
    return [(z, bore.radius_mm(z) + _deep_mm(z, kept)) for z in sorted(corners)]


def _apart(middles: list[float]) -> Iterator[float]:
    """Without those that would run into the one above them, which is the one poured to."""
    for middle, above in zip(middles, [*middles[1:], float("inf")], strict=True):
        if above - middle >= APART_MM - 1e-9:
            yield middle


def _deep_mm(height: float, middles: list[float]) -> float:
    return max([0.0, *(FILL_LINE_MM - abs(height - z) for z in middles)])
