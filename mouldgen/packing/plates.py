"""Sets of plates while they are sought: filled one after the other, compared, set in order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from mouldgen.packing.area import Area, Spot
from mouldgen.packing.portfolio import Fill

Plate = tuple[Spot, ...]
Plates = tuple[Plate, ...]


def fill_all(fill: Fill, counts: Sequence[int]) -> Plates | None:
    """Plates until nothing is left; None when a way finds no place for what is left.

    A plate on which no kind ran out would come out the same again while the same kinds are
    left, so it is repeated rather than filled anew.
    """
    left = list(counts)
    plates: list[Plate] = []
    while any(left):
        plate = tuple(fill(left))
        if not plate:
            return None
        used = held(plate, len(left))
        ran_out = any(have and have == take for have, take in zip(left, used, strict=True))
        times = 1 if ran_out else min(h // t for h, t in zip(left, used, strict=True) if t)
        plates += [plate] * times
        left = [have - times * take for have, take in zip(left, used, strict=True)]
    return in_order(plates)


def held(plate: Sequence[Spot], kinds: int) -> tuple[int, ...]:
    """How many of each kind a plate holds."""
    used = [0] * kinds
    for spot in plate:
        used[spot.shape.kind] += 1
    return tuple(used)


def in_order(plates: Sequence[Plate]) -> Plates:
    """The fullest plate first."""
    return tuple(sorted(plates, key=covered, reverse=True))


@dataclass(frozen=True, eq=False)
class Score:
    """How good a set of plates is: few plates, little on the last one, little spread."""

    plates: int
    last: float
    spread: float

    @property
    def key(self) -> tuple[float, ...]:
        """Smaller is better; rounded, so that noise in the last digits decides nothing."""
        return self.plates, round(self.last, 3), round(self.spread, 3)


def score(plates: Plates) -> Score:
    """The score of plates in order; at least one of them."""
    spread = 0.0
    for plate in plates:
        left, right, front, back = extent(plate)
        spread += (right - left) * (back - front)
    return Score(len(plates), covered(plates[-1]), spread)


def covered(plate: Sequence[Spot]) -> float:
    """Sum of the boxes around the pieces of a plate [mm2]."""
    return sum(4 * spot.shape.half_x * spot.shape.half_y for spot in plate)


def extent(plate: Sequence[Spot]) -> tuple[float, float, float, float]:
    """Left, right, front and back end of the pieces of a plate [mm]."""
    return (
        min(spot.x - spot.shape.half_x for spot in plate),
        max(spot.x + spot.shape.half_x for spot in plate),
        min(spot.y - spot.shape.half_y for spot in plate),
        max(spot.y + spot.shape.half_y for spot in plate),
    )


def centred(plate: Sequence[Spot], area: Area) -> list[Spot]:
    """The plate moved to the middle of the bed, or as it was where something would hang over."""
    left, right, front, back = extent(plate)
    by_x = area.down((area.width - left - right) / 2)
    by_y = area.down((area.depth - front - back) / 2)
    moved = [Spot(spot.shape, spot.x + by_x, spot.y + by_y) for spot in plate]
    return moved if all(area.holds(s.shape, s.x, s.y) for s in moved) else list(plate)
