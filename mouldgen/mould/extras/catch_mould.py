"""A catch mould: a small open cup for what is left over in the mixing cup.

Its inside is a frustum of 2 degrees, so that the cured disc falls out, and ends in a step: up to
there it holds the amount that stands on its wall.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from mouldgen.finding import Finding
from mouldgen.mould.label import LOWEST_LETTERS, Label, letter_heights, letter_rings, stroke_of
from mouldgen.mould.lettering import text_width
from mouldgen.mould.plan import RELIEF
from mouldgen.size.profile import frustum_ml
from mouldgen.solid.circle import excess, segments
from mouldgen.solid.kernel import OVERSHOOT, Solid, prism, revolve, union

if TYPE_CHECKING:
    from mouldgen.mould.extras.question import ExtrasQuestion

# Our own choices, no source: a disc lower than wide runs cooler than a cup of the same amount.
DRAFT_DEG = 2.0
DEPTH_OVER_RADIUS = 0.75
STEP_MM = 0.8
FREEBOARD_MM = 3.0
_FLAT = 0.66  # of the radius: a flat letter that reaches further round the wall would smear


@dataclass(frozen=True, eq=False)
class CatchMould:
    """A cup for left-over resin.

    count : how many are printed.
    volume_ml : that it holds up to its step, exactly [ml].
    resin_g_ml : density of the mixed resin [g/ml].
    wall_mm, floor_mm : printed thickness [mm].
    chord_mm : how far a facet may leave its circle [mm].
    stroke_mm : width of the lettering's strokes [mm].
    """

    count: int
    volume_ml: float
    resin_g_ml: float
    wall_mm: float
    floor_mm: float
    chord_mm: float
    stroke_mm: float

    name = "catch-mould"
    genus = 0
    turn_over = False

    @cached_property
    def foot_mm(self) -> float:
        """Radius of the inside at the floor [mm], from the frustum's volume in closed form."""
        k, s = DEPTH_OVER_RADIUS, self.slope
        return math.cbrt(
            3000.0 * self.volume_ml / (math.pi * k * (3.0 + 3.0 * s * k + (s * k) ** 2))
        )

    @property
    def slope(self) -> float:
        """Growth of the radius for each mm of height."""
        return math.tan(math.radians(DRAFT_DEG))

    @property
    def depth_mm(self) -> float:
        """From the inside floor to the step [mm]."""
        return DEPTH_OVER_RADIUS * self.foot_mm

    @property
    def rim_mm(self) -> float:
        """Height of the rim over the inside floor [mm]."""
        return self.depth_mm + FREEBOARD_MM

    @property
    def reach_mm(self) -> float:
        """Radius of the round that holds it, its letters with it [mm]."""
        return self._outside(self.rim_mm) + RELIEF

    @property
    def held_ml(self) -> float:
        """What stands below the step [ml]: the frustum's closed form."""
        return frustum_ml(self.foot_mm, self.slope, self.depth_mm)

    @property
    def grams(self) -> float:
        """Resin that fills all of them to the step [g]."""
        return self.count * self.volume_ml * self.resin_g_ml

    @property
    def amount(self) -> str:
        """The amount as it stands on the wall."""
        return f"{round(self.volume_ml, 1):g}"

    @property
    def sentence(self) -> str:
        """What it is for, with its figures."""
        many = "catch mould takes" if self.count == 1 else "catch moulds take"
        each = "" if self.count == 1 else f", {self.grams / self.count:.0f} g each"
        return (
            f"{self.count} {many} {self.grams:.0f} g of left-over resin{each}: {self.amount} ml up"
            " to the step inside."
        )

    @property
    def remarks(self) -> tuple[Finding, ...]:
        """A note where the amount finds no room on the wall."""
        if self.label is not None:
            return ()
        message = f"The catch mould is too small for letters {LOWEST_LETTERS:g} mm high: mark it."
        return (Finding("extras.no-lettering", "extras", "note", message, place=self.name),)

    def figures(self) -> dict[str, float]:
        """Its figures for other programs; keys carry their unit."""
        return {
            "holds_ml": round(self.held_ml, 3),
            "resin_g": round(self.grams, 1),
            "foot_mm": round(self.foot_mm, 3),
            "depth_mm": round(self.depth_mm, 3),
        }

    @cached_property
    def label(self) -> Label | None:
        """The tallest line that fits on the wall, the unit with it where there is room; or None."""
        middle = (self.rim_mm - self.floor_mm) / 2.0
        room = _FLAT * self._outside(-self.floor_mm)
        for text in (f"{self.amount} ML", self.amount):
            for height in letter_heights(self.stroke_mm):
                width = text_width(text, height)
                high = height + self.stroke_mm + 2.0 * RELIEF
                if high <= self.rim_mm + self.floor_mm and width + self.stroke_mm <= room:
                    return Label(text, height, self.stroke_mm, -width / 2.0, middle - height / 2.0)
        return None

    def solid(self) -> Solid:
        """The cup, standing on z = 0."""
        shell = [self._whole(0.0)]
        if self.label is not None:
            shell.append(self._letters(self.label))
        return (union(shell) - self._inside()).moved(z=self.floor_mm)

    @property
    def _sides(self) -> int:
        return segments(self._outside(self.rim_mm), chord_mm=self.chord_mm)

    def _bore(self, height: float) -> float:
        return self.foot_mm + self.slope * height

    def _outside(self, height: float) -> float:
        return self._bore(height) + STEP_MM + self.wall_mm

    def _whole(self, more: float) -> Solid:
        floor, rim = -self.floor_mm, self.rim_mm
        low, high = self._outside(floor) + more, self._outside(rim) + more
        return revolve([(0.0, floor), (low, floor), (high, rim), (0.0, rim)], sides=self._sides)

    def _inside(self) -> Solid:
        """Drawn with the area of its circles, so that the amount is the closed form's."""
        shrink = 1.0 / math.sqrt(excess(self._sides))
        step, top = self.depth_mm, self.rim_mm + OVERSHOOT
        corners = [
            (0.0, 0.0),
            (self._bore(0.0), 0.0),
            (self._bore(step), step),
            (self._bore(step) + STEP_MM, step),
            (self._bore(top) + STEP_MM, top),
            (0.0, top),
        ]
        return revolve([(shrink * radius, z) for radius, z in corners], sides=self._sides)

    def _letters(self, label: Label) -> Solid:
        """Letters round the wall on the side of y < 0, their faces at an even height over it."""
        letters = prism(
            letter_rings(label),
            bottom_mm=0.5 * self.foot_mm,  # deep: the wall falls away from a flat letter's ends
            top_mm=self._outside(self.rim_mm) + 2.0 * RELIEF,
        )
        right, up, out = (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, -1.0, 0.0)
        placed = letters.placed(np.column_stack([right, up, out, np.zeros(3)]))
        return placed ^ self._whole(RELIEF)


def catch_mould(question: ExtrasQuestion) -> CatchMould:
    """The catch moulds that a job asks for."""
    return CatchMould(
        count=question.extras.catch_moulds,
        volume_ml=question.extras.catch_volume,
        resin_g_ml=question.resin_g_ml,
        wall_mm=question.sizes.wall_mm,
        floor_mm=question.sizes.floor_mm,
        chord_mm=question.chord_mm,
        stroke_mm=stroke_of(question.printer.line),
    )
