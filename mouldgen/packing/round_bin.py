"""One round plate, such as the floor of a pot, filled by several ways of which the best counts.

Equal discs come from the table of `discs_table`; discs of several sizes are spread out; one
rectangle or polygon gets rows, rows that lie or stand, and a raster of which parts are thrown out
and filled again; any other mix gets the raster.  What is given back has passed `verify_plates`.
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterator, Sequence

from mouldgen.packing.area import Area, Spot
from mouldgen.packing.bound import lower_bound
from mouldgen.packing.discs_table import MOST, most_discs_in_circle, places_in_circle
from mouldgen.packing.outline import all_ways_up, ways_up
from mouldgen.packing.portfolio import Portfolio
from mouldgen.packing.raster import SWEEPS
from mouldgen.packing.shapes import Disc, Footprint, Placed, Polygon, RoundBed, kinds_of

_PROVEN = 12  # with one more than this the best known numbers of discs are proven
_ANEW = 100  # times that a part of a raster's plate is thrown out and filled again
TRIES = 60  # of `overlap.spread`, for each number of discs
_PLACES = 7  # decimals of positions: they lose less than `area.TOLERANCE_MM`


def most_of_one(
    shape: Footprint, bed: RoundBed, *, margin_mm: float, spacing_mm: float, wanted: int
) -> tuple[Placed, ...]:
    """The most of one footprint that a way finds room for, up to so many.

    shape : the footprint; a rectangle may be turned by 90 degrees.
    bed : the round; coordinates are from the corner of its bounding square.
    margin_mm : kept free along its edge [mm].
    spacing_mm : between two footprints [mm].
    wanted : how many are asked for.

    Fewer than `wanted` discs are spread as far apart as the round lets them.
    """
    most = _most_by_table(shape, bed, margin_mm, spacing_mm)
    if isinstance(shape, Disc) and (most < MOST or wanted <= MOST):
        placed = _from_table(shape, min(most, wanted), bed, margin_mm, spacing_mm)
    else:
        spots = _most_spots(shape, Area(bed, margin_mm, spacing_mm, 0.0), wanted)[:wanted]
        placed = [Placed(item, s.x, s.y, s.shape.turned) for item, s in enumerate(spots)]
        if isinstance(shape, Disc) and len(placed) < most:
            placed = _from_table(shape, most, bed, margin_mm, spacing_mm)
    return _checked([shape] * len(placed), placed, bed, margin_mm, spacing_mm)


def all_of(
    items: Sequence[Footprint],
    bed: RoundBed,
    *,
    margin_mm: float,
    spacing_mm: float,
    seed: int = 0,
    tries: int = TRIES,
) -> tuple[Placed, ...] | None:
    """A place for each of several footprints; None where no way finds one.

    items : the footprints.
    bed, margin_mm, spacing_mm : as for `most_of_one` [mm].
    seed : of the random numbers; the same call gives the same places.
    tries : of `overlap.spread`.
    """
    if not items:
        return ()
    if isinstance(items[0], Disc) and len(kinds_of(items)) == 1 and len(items) <= MOST:
        if len(items) > _most_by_table(items[0], bed, margin_mm, spacing_mm):
            return None
        placed: list[Placed] | None = _from_table(items[0], len(items), bed, margin_mm, spacing_mm)
    else:
        placed = _rastered(items, Area(bed, margin_mm, spacing_mm, 0.0))
    if placed is None and all(isinstance(item, Disc) for item in items):
        placed = _spread_out(items, bed, margin_mm, spacing_mm, seed=seed, tries=tries)
    return None if placed is None else _checked(items, placed, bed, margin_mm, spacing_mm)


def most_beside(
    large: Sequence[Disc],
    small: Disc,
    bed: RoundBed,
    *,
    margin_mm: float,
    spacing_mm: float,
    wanted: int,
    seed: int = 0,
    tries: int = TRIES,
) -> tuple[Placed, ...] | None:
    """Discs of several sizes with as many of one more size as find room; None if none do.

    large : discs that must all be there; they are items 0, 1 and so on, the small ones follow.
    small : the disc of which as many as possible are added.
    wanted : at most so many of it.
    bed, margin_mm, spacing_mm, seed, tries : as for `all_of` [mm].
    """

    def with_small(count: int) -> tuple[Placed, ...] | None:
        return all_of(
            [*large, *[small] * count], bed,
            margin_mm=margin_mm, spacing_mm=spacing_mm, seed=seed, tries=tries,
        )  # fmt: skip

    # From what the raster holds upward: each step that fails costs a search.
    count = min(_beside_in_raster(large, small, Area(bed, margin_mm, spacing_mm, 0.0)), wanted)
    best = with_small(count)
    while best is None and count:
        count -= 1
        best = with_small(count)
    while best is not None and count < wanted:
        more = with_small(count + 1)
        if more is None:
            break
        best, count = more, count + 1
    return best


def _most_by_table(shape: Footprint, bed: RoundBed, margin: float, spacing: float) -> int:
    """The most of a disc that the table knows of; 0 of anything else."""
    if not isinstance(shape, Disc):
        return 0
    across = bed.diameter_mm - 2.0 * margin
    return most_discs_in_circle(2.0 * shape.radius_mm, across, spacing_mm=spacing)


def _from_table(
    shape: Disc, count: int, bed: RoundBed, margin: float, spacing: float
) -> list[Placed]:
    across, middle = bed.diameter_mm - 2.0 * margin, bed.diameter_mm / 2.0
    if count == 0:
        return []
    centres = places_in_circle(
        count, diameter_mm=2.0 * shape.radius_mm, across_mm=across, spacing_mm=spacing
    )
    return [Placed(item, middle + x, middle + y) for item, (x, y) in enumerate(centres)]


def _most_spots(shape: Footprint, area: Area, wanted: int) -> list[Spot]:
    """The fullest plate of one footprint."""
    ways = ways_up(shape, 0)
    portfolio = Portfolio([ways], area)
    best = list(portfolio.pattern(0))
    for sweep in SWEEPS:
        plate = portfolio.raster(sweep).plate([wanted], (0,), start=[], mixed=False)
        best = max(best, plate, key=len)
    most = min(wanted, _at_most(shape, area))
    dice, current = random.Random(0), best
    for _ in range(_ANEW):
        if len(best) >= most:
            break
        start = _kept(current, area, dice)
        raster = portfolio.raster(dice.choice(SWEEPS))
        plate = raster.plate([wanted - len(start)], (0,), start=start, mixed=False)
        if len(plate) >= len(current) or dice.random() < 0.02:
            current = plate
        best = max(best, plate, key=len)
    return best


def _at_most(shape: Footprint, area: Area) -> int:
    """More than so many of one footprint do not fit.

    By the area, and by discs drawn into the footprints, where it is proven how many of those fit
    (up to 13 of them, and 19).
    """
    grown = 1
    while (
        lower_bound([shape] * (grown + 1), area.bed, margin_mm=area.margin, spacing_mm=area.spacing)
        == 1
    ):
        grown += 1
    inside = _inscribed(shape)
    if inside <= 0.0:
        return grown
    across = area.width - 2.0 * area.margin
    discs = most_discs_in_circle(2.0 * inside, across, spacing_mm=area.spacing)
    return min(grown, max(discs, 1)) if discs <= _PROVEN else grown


def _inscribed(shape: Footprint) -> float:
    """Radius of a disc about the middle of a footprint that lies in it; 0 for none [mm]."""
    if isinstance(shape, Disc):
        return shape.radius_mm
    if not isinstance(shape, Polygon):
        return min(shape.width_mm, shape.depth_mm) / 2.0
    corners = shape.corners_mm
    off = []
    for (ax, ay), (bx, by) in zip(corners, (*corners[1:], corners[0]), strict=True):
        # Left of every edge of a convex outline is inside; of others nothing is said.
        off.append((ax * by - ay * bx) / math.hypot(bx - ax, by - ay))
    return max(0.0, min(off))


def _kept(spots: Sequence[Spot], area: Area, dice: random.Random) -> list[Spot]:
    """The pieces on one side of a plate, or any, whose others are thrown out."""
    turn, share = math.tau * dice.random(), dice.uniform(0.2, 0.9)
    x, y, middle = math.cos(turn), math.sin(turn), area.width / 2.0
    if dice.random() < 0.6:
        order = sorted(spots, key=lambda spot: (spot.x - middle) * x + (spot.y - middle) * y)
    else:
        order = dice.sample(list(spots), len(spots))
    return order[: int(share * len(spots))]


def _portfolio(items: Sequence[Footprint], kinds: Sequence[Sequence[int]], area: Area) -> Portfolio:
    return Portfolio(all_ways_up([items[members[0]] for members in kinds]), area)


def _rastered(items: Sequence[Footprint], area: Area) -> list[Placed] | None:
    """All items in one plate of the raster."""
    kinds = kinds_of(items)
    counts = [len(members) for members in kinds]
    for plate in _plates(_portfolio(items, kinds, area), counts):
        if len(plate) == len(items):
            waiting = [iter(members) for members in kinds]
            placed = [
                Placed(next(waiting[spot.shape.kind]), spot.x, spot.y, spot.shape.turned)
                for spot in plate
            ]
            return sorted(placed, key=lambda place: place.item)
    return None


def _plates(portfolio: Portfolio, counts: Sequence[int]) -> Iterator[list[Spot]]:
    for order in portfolio.orders():
        for sweep in SWEEPS:
            for mixed in (False, True)[: len(order)]:
                yield portfolio.raster(sweep).plate(counts, order, start=[], mixed=mixed)


def _beside_in_raster(large: Sequence[Disc], small: Disc, area: Area) -> int:
    """How many of a disc the raster sets beside others that must be there."""
    items = [*large, small]
    kinds = kinds_of(items)
    counts = [len(members) for members in kinds]
    last = next(kind for kind, members in enumerate(kinds) if len(items) - 1 in members)
    counts[last] = 10_000
    order = (*(kind for kind in range(len(kinds)) if kind != last), last)
    portfolio, most = _portfolio(items, kinds, area), 0
    for sweep in SWEEPS:
        plate = portfolio.raster(sweep).plate(counts, order, start=[], mixed=False)
        most = max(most, len(plate) - len(large))
    return most


def _spread_out(
    items: Sequence[Footprint],
    bed: RoundBed,
    margin: float,
    spacing: float,
    *,
    seed: int,
    tries: int,
) -> list[Placed] | None:
    from mouldgen.packing.overlap import spread  # late: it brings scipy

    if bed.diameter_mm <= 2.0 * margin:
        return None
    radii = [item.radius_mm for item in items if isinstance(item, Disc)]
    inner = RoundBed(bed.diameter_mm - 2.0 * margin)
    places = spread(radii, inner, spacing_mm=spacing, seed=seed, tries=tries)
    if places is None:
        return None
    return [Placed(item, x + margin, y + margin) for item, (x, y) in enumerate(places)]


def _checked(
    items: Sequence[Footprint],
    placed: Sequence[Placed],
    bed: RoundBed,
    margin: float,
    spacing: float,
) -> tuple[Placed, ...]:
    """The places, rounded, once shapely's distances have passed them.

    Raises LayoutError where they do not pass.
    """
    from mouldgen.packing.verify import verify_plates  # late: it brings shapely

    rounded = tuple(
        Placed(p.item, round(p.x_mm, _PLACES), round(p.y_mm, _PLACES), p.turned) for p in placed
    )
    verify_plates(items, bed, [rounded], margin_mm=margin, spacing_mm=spacing)
    return rounded
