"""A block: bores of a cup in rows and columns under one lid, in closed form.

Volumes are those of one bore.  Seen from above the lid is the outline round equal circles about
the outer bores' axes: straight sides, round corners.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, fields, replace

from mouldgen.size.round import Size, SizeQuestion

EAR_WIDE_MM = 12.0  # of a lifting tab; our own choice, as wide as a thumb
EAR_THICK_MM = 3.0
EAR_UNDER_MM = 1.0  # of its top under the lid's skirt
EAR_LOW_MM = 0.5  # over the print bed at least, or its foot would widen the first layer
MOST_EAR_MM = 8.0
LEAST_EAR_MM = 2.0


@dataclass(frozen=True, eq=False)
class BlockQuestion(SizeQuestion):
    """What the sizes of a block depend on besides the gap.

    rows, columns : of bores.
    """

    rows: int = 1
    columns: int = 1

    @property
    def blanks(self) -> int:
        """How many blanks are cast in one mould at once."""
        return self.rows * self.columns

    def whole(self, size: Size) -> Size:
        """The block round bores like this one.

        size : of a cup with the bore.
        """
        return in_block(self, size)


@dataclass(frozen=True, eq=False, kw_only=True)
class BlockSize(Size):
    """A block with its lid; `across_mm` is half of its diagonal, over its round corners.

    rows, columns : of bores.
    pitch_mm : from one axis to the next [mm].
    between_mm : plastic between two bores where they come nearest, vent grooves left out [mm].
    ear_mm : how far a lifting tab stands out, 0 with none [mm].
    beyond_mm : how far hooks or a ledge stand out beyond wall and lid [mm].
    """

    rows: int
    columns: int
    pitch_mm: float
    between_mm: float
    ear_mm: float
    beyond_mm: float = 0.0

    @property
    def blanks(self) -> int:
        """How many blanks are cast at once."""
        return self.rows * self.columns

    @property
    def core_mm(self) -> tuple[float, float]:
        """From the first to the last axis along x and along y [mm]."""
        return (self.columns - 1) * self.pitch_mm, (self.rows - 1) * self.pitch_mm

    @property
    def places(self) -> tuple[tuple[float, float], ...]:
        """The axes about the middle, x and y [mm]: row by row from the back, left to right."""
        wide, deep = self.core_mm
        return tuple(
            (column * self.pitch_mm - wide / 2.0, deep / 2.0 - row * self.pitch_mm)
            for row in range(self.rows)
            for column in range(self.columns)
        )

    @property
    def sides_mm(self) -> tuple[float, float]:
        """Width and depth of what it covers, lifting tabs, hooks or ledge included [mm]."""
        plain = self.lid_reach_mm + self.beyond_mm
        tab = max(plain, self.reach_mm + self.ear_mm)
        reach = (tab, plain) if self.rows > 1 else (plain, tab)
        wide, deep = self.core_mm
        return wide + 2.0 * reach[0], deep + 2.0 * reach[1]

    @property
    def ear_at_mm(self) -> float:
        """Place of a tab along its side, between two bores next to the middle [mm].

        Along y on the right side; with one row along x on the back.
        """
        count = self.rows if self.rows > 1 else self.columns
        return 0.0 if count % 2 == 0 else self.pitch_mm / 2.0


def ear_top_mm(question: SizeQuestion, size: Size) -> float:
    """Height of a tab's top over the inside floor [mm]."""
    return size.rim_mm - question.skirt_mm - EAR_UNDER_MM


def in_block(question: BlockQuestion, one: Size) -> BlockSize:
    """The block of bores like that of a cup.

    question : what the sizes depend on.
    one : of one bore, as a cup would have it.
    """
    from mouldgen.solid.mesh import GRID_MM  # late: it brings numpy

    q = question
    widest = one.bore.widest_mm(0.0, one.rim_mm)
    # Two vent grooves may face each other: then a whole wall stands between them.
    between = math.ceil((2.0 * q.groove_mm + q.wall_mm) / q.line_mm - 1e-9) * q.line_mm
    pitch = math.ceil((2.0 * widest + between) / (2.0 * GRID_MM)) * 2.0 * GRID_MM
    whole = BlockSize(
        **{field.name: getattr(one, field.name) for field in fields(Size)},
        rows=q.rows,
        columns=q.columns,
        pitch_mm=pitch,
        between_mm=pitch - 2.0 * widest,
        ear_mm=0.0,
        beyond_mm=q.beyond_mm,
    )
    wide, deep = whole.core_mm
    across = math.hypot(wide, deep) / 2.0 + one.across_mm
    # A tab stands out between two bores; no pot has to be wider for it.
    side = wide if q.rows > 1 else deep
    room = across**2 - (whole.ear_at_mm + EAR_WIDE_MM / 2.0) ** 2
    ear = math.sqrt(max(0.0, room)) - side / 2.0 - one.reach_mm
    high = ear_top_mm(q, one) - EAR_THICK_MM >= EAR_LOW_MM - q.floor_mm
    ear = min(MOST_EAR_MM, ear) if ear >= LEAST_EAR_MM and whole.blanks > 1 and high else 0.0
    return replace(whole, across_mm=across, ear_mm=ear)
