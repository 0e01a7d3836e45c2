"""The fewest loads of a round pot for pieces of several heights, on tiers one over the other.

A tier is one plate; it is as high as its tallest piece, and a shelf lies between two tiers.  Every
plate that a way of filling builds, of all pieces up to a height, is a column of a set cover: an
integer programme says which tiers make up the loads, and loads are added until it has an answer.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from mouldgen.errors import NoAnswerError
from mouldgen.packing.area import Area
from mouldgen.packing.outline import all_ways_up
from mouldgen.packing.plates import fill_all
from mouldgen.packing.portfolio import Portfolio
from mouldgen.packing.round_bin import most_of_one
from mouldgen.packing.shapes import Footprint, Placed, RoundBed

_NODES = 2000  # of the integer programme; a count, so that the clock decides nothing
_SLACK_MM = 1e-6
_TIE = 1e-3  # mm for each place in the list: of tiers as high, the earlier are taken


@dataclass(frozen=True, eq=False)
class Piece:
    """What stands in a pot.

    shape : what it covers.
    height_mm : how high it stands [mm].
    count : how many there are.
    """

    shape: Footprint
    height_mm: float
    count: int


@dataclass(frozen=True, eq=False)
class Tier:
    """One tier of a load.

    height_mm : of the tallest piece on it [mm].
    placed : what stands on it; `Placed.item` is the index among the kinds of pieces.
    """

    height_mm: float
    placed: tuple[Placed, ...]


Load = tuple[Tier, ...]


def fewest_loads(
    pieces: Sequence[Piece],
    bed: RoundBed,
    *,
    margin_mm: float,
    spacing_mm: float,
    usable_mm: float,
    shelf_mm: float,
    most_tiers: int,
    most_loads: int | None = None,
) -> tuple[Load, ...] | None:
    """The fewest loads found that hold all pieces; the tallest tier of each stands lowest.

    pieces : the kinds of pieces, each with its count.
    bed : the pot's inside; coordinates are from the corner of its bounding square.
    margin_mm, spacing_mm : kept free along the wall, and between two pieces [mm].
    usable_mm : height over the floor that tiers and shelves may take [mm].
    shelf_mm : thickness of what a tier stands on; the lowest stands on the floor [mm].
    most_tiers : in one load.
    most_loads : where more than so many are needed None is given; None for any number.

    Raises NoAnswerError for a piece that does not stand in the empty pot, LayoutError where a tier
    does not pass its check.
    """
    wanted = [piece for piece in pieces if piece.count]
    if not wanted:
        return ()
    columns = _columns(pieces, bed, margin_mm, spacing_mm)
    for index, piece in enumerate(pieces):
        stands = any(place.item == index for tier in columns for place in tier.placed)
        if piece.count and (piece.height_mm > usable_mm + _SLACK_MM or not stands):
            raise NoAnswerError(
                f"{piece.shape}, {piece.height_mm:.6g} mm high, does not stand in a pot that is"
                f" {bed.diameter_mm - 2 * margin_mm:.6g} mm wide and takes {usable_mm:.6g} mm"
            )
    total = sum(piece.count for piece in wanted)
    for loads in range(1, 1 + (total if most_loads is None else min(total, most_loads))):
        chosen = _chosen(
            pieces, columns, loads, usable=usable_mm, shelf=shelf_mm, most_tiers=most_tiers
        )
        if chosen is not None:
            return _trimmed(pieces, chosen)
    return None


def _columns(pieces: Sequence[Piece], bed: RoundBed, margin: float, spacing: float) -> list[Tier]:
    """Tiers of which none holds less of everything than another that is no higher."""
    tiers: dict[tuple[int, ...], Tier] = {}
    area = Area(bed, margin, spacing, 0.0)
    for plate in _plates(pieces, area, bed):
        tier = Tier(max(pieces[place.item].height_mm for place in plate), plate)
        tiers.setdefault(_counts(tier, len(pieces)), tier)
    return [
        tier
        for counts, tier in tiers.items()
        if not any(
            other is not tier
            and other.height_mm <= tier.height_mm
            and all(a >= b for a, b in zip(more, counts, strict=True))
            for more, other in tiers.items()
        )
    ]


def _counts(tier: Tier, kinds: int) -> tuple[int, ...]:
    counts = [0] * kinds
    for place in tier.placed:
        counts[place.item] += 1
    return tuple(counts)


def _plates(pieces: Sequence[Piece], area: Area, bed: RoundBed) -> Iterator[tuple[Placed, ...]]:
    """Plates of one kind alone, then for each height mixes of all that are no higher."""
    for index, piece in enumerate(pieces):
        if piece.count:
            alone = most_of_one(
                piece.shape, bed, margin_mm=area.margin, spacing_mm=area.spacing,
                wanted=piece.count,
            )  # fmt: skip
            if alone:
                yield tuple(Placed(index, p.x_mm, p.y_mm, p.turned) for p in alone)
    for height in sorted({piece.height_mm for piece in pieces if piece.count}, reverse=True):
        kinds = [i for i, p in enumerate(pieces) if p.count and p.height_mm <= height]
        if len(kinds) > 1:
            yield from _mixes(pieces, kinds, area)


def _mixes(
    pieces: Sequence[Piece], kinds: Sequence[int], area: Area
) -> Iterator[tuple[Placed, ...]]:
    from mouldgen.packing.verify import verify_plates  # late: it brings shapely

    portfolio = Portfolio(all_ways_up([pieces[index].shape for index in kinds]), area)
    counts = [pieces[index].count for index in kinds]
    for fill in portfolio.quick():
        for plate in dict.fromkeys(fill_all(fill, counts) or ()):
            placed = tuple(
                Placed(kinds[s.shape.kind], round(s.x, 7), round(s.y, 7), s.shape.turned)
                for s in plate
            )
            verify_plates(
                [pieces[place.item].shape for place in placed],
                area.bed,
                [[Placed(i, p.x_mm, p.y_mm, p.turned) for i, p in enumerate(placed)]],
                margin_mm=area.margin,
                spacing_mm=area.spacing,
            )
            yield placed


def _chosen(
    pieces: Sequence[Piece],
    columns: Sequence[Tier],
    loads: int,
    *,
    usable: float,
    shelf: float,
    most_tiers: int,
) -> list[list[Tier]] | None:
    """Tiers for each of so many loads that hold at least all pieces; None where none were found."""
    import numpy as np
    from scipy.optimize import Bounds, LinearConstraint, milp

    held = np.array([_counts(tier, len(pieces)) for tier in columns], dtype=np.float64).T
    height = np.array([tier.height_mm + shelf for tier in columns])
    per_load = np.kron(np.eye(loads), height), np.kron(np.eye(loads), np.ones(len(columns)))
    found = milp(
        np.tile(height + _TIE * np.arange(len(columns)), loads),
        constraints=[
            LinearConstraint(np.tile(held, loads), lb=[piece.count for piece in pieces]),
            LinearConstraint(per_load[0], ub=usable + shelf + _SLACK_MM),
            LinearConstraint(per_load[1], ub=float(most_tiers)),
        ],
        integrality=np.ones(loads * len(columns)),
        bounds=Bounds(0.0, np.inf),
        options={"node_limit": _NODES},
    )
    if found.x is None:
        return None
    times = np.round(found.x).astype(int).reshape(loads, len(columns))
    return [
        [tier for tier, often in zip(columns, row, strict=True) for _ in range(often)]
        for row in times.tolist()
    ]


def _trimmed(pieces: Sequence[Piece], chosen: Sequence[Sequence[Tier]]) -> tuple[Load, ...]:
    """Without the pieces that are over, taken off the last loads first."""
    left = [piece.count for piece in pieces]
    loads = []
    for tiers in sorted(chosen, key=lambda load: -math.fsum(t.height_mm for t in load)):
        load = []
        for tier in sorted(tiers, key=lambda tier: -tier.height_mm):
            placed = []
            for place in tier.placed:
                if left[place.item]:
                    left[place.item] -= 1
                    placed.append(place)
            if placed:
                load.append(Tier(max(pieces[p.item].height_mm for p in placed), tuple(placed)))
        if load:
            loads.append(tuple(load))
    return tuple(loads)
