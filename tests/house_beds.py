"""Beds and pots to fill, each with what an independent prototype reached or the best known.

The prototype was a raster of no-fit positions with an iterated search and a set cover over all
plates built; none of its code is here.  `plates` are its plates after 5 to 20 s a case, 3 mm
between parts.
"""

from dataclasses import dataclass

from mouldgen.packing.pack import Effort
from mouldgen.packing.shapes import (
    Bed,
    Disc,
    Footprint,
    KeepOut,
    Polygon,
    Rectangle,
    RectBed,
    RoundBed,
    RoundedRectangle,
)

SQUARE, ROUND = RectBed(220, 220), RoundBed(250)
BODY, LID = Disc(17), Disc(20)
BAR, BOX, BLOCK = RoundedRectangle(38, 140, 8), Rectangle(60, 90), Rectangle(52, 52)
MIX = [BODY] * 24 + [LID] * 24 + [BAR] * 12 + [BOX] * 8
CLIPS = (
    KeepOut.rectangle(0, 100, 12, 20, clearance_mm=2),
    KeepOut.rectangle(208, 100, 12, 20, clearance_mm=2),
)


def angle(width: float, depth: float, arm: float = 25.0) -> Polygon:
    """An L."""
    return Polygon(((0, 0), (width, 0), (width, arm), (arm, arm), (arm, depth), (0, depth)))


@dataclass(frozen=True)
class Case:
    items: list[Footprint]
    bed: Bed
    plates: int
    margin: float = 0.0
    keep_outs: tuple[KeepOut, ...] = ()
    effort: Effort = "quick"


CASES = {
    "A": Case([BODY] * 24 + [LID] * 24, SQUARE, 2),
    "A3": Case([BODY] * 72 + [LID] * 72, SQUARE, 5),
    "B": Case([BAR] * 60, SQUARE, 10),
    "C": Case(MIX, SQUARE, 5),
    "D": Case([angle(80, 60)] * 24, SQUARE, 2),
    "D2": Case([angle(80, 60)] * 16 + [angle(110, 110)] * 8, SQUARE, 3),
    "E": Case([BODY] * 24 + [LID] * 24, ROUND, 2),
    "E2": Case([BAR] * 30, ROUND, 5),
    "E3": Case(MIX, ROUND, 5),
    "E4": Case([angle(80, 60)] * 24, ROUND, 3),
    "F": Case(MIX, SQUARE, 5, margin=5, keep_outs=CLIPS),
    "G": Case(
        [BODY] * 60 + [LID] * 60
        + [shape for shape in (BAR, BOX, BLOCK, angle(80, 60)) for _ in range(20)],
        SQUARE, 12, effort="usual",
    ),
    "R": Case([BOX] * 40, SQUARE, 5),
}  # fmt: skip
SEARCHED = [name for name, case in CASES.items() if case.effort != "quick"]

# Best known, diameter [mm] and count to a plate: the table of equal circles in a square (Specht;
# Graham et al. 1998), with the bed grown by the spacing.
DISCS = (
    (34, 36), (36.4, 31), (40, 25), (43, 22), (47.5, 18), (52, 16), (60, 11), (67, 9), (80, 6),
    (30, 46),
)  # fmt: skip

POT = RoundBed(250)
# Best known, diameter [mm] and count in a pot, 2 mm to its wall and 3 mm apart: the tables of equal
# circles in a circle (Graham, Lubachevsky, Nurmela and Ostergard 1998; Specht).
IN_POT = ((30, 44), (34, 35), (40, 25), (46, 19), (52, 15), (60, 11), (70, 8), (80, 7), (95, 4))
# Discs of two sizes in that pot, which the prototype reached: large ones, their diameter, that of
# the small ones, how many small ones, and the seed and the number of tries that find them here.
BESIDE = (
    (4, 40, 34, 30, 29, 22),
    (8, 40, 34, 25, 27, 22),
    (4, 60, 40, 17, 0, 60),
    (8, 60, 40, 8, 0, 60),
    (4, 60, 34, 24, 0, 60),
    (8, 60, 34, 12, 0, 60),
    (4, 80, 50, 7, 2, 60),
)
