"""The fewest plates for a list of footprints, by trying several ways of filling them.

A way of filling builds one plate from what is left to place.  The quick ways always run.  The
others, which take the kinds and the positions in other orders, run only while the lower bound
leaves room for fewer plates; and with more effort than a build takes, a search mixes the plates
of all ways (see `search`).  Everything is deterministic: a search is given a count of steps and
not a time.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from mouldgen.errors import InputError, NoAnswerError
from mouldgen.packing.area import Area, Spot
from mouldgen.packing.bound import lower_bound
from mouldgen.packing.outline import all_ways_up, ways_up
from mouldgen.packing.plates import Plate, Plates, Score, centred, fill_all, score
from mouldgen.packing.portfolio import Fill, Portfolio
from mouldgen.packing.shapes import Bed, Footprint, KeepOut, Placed, kinds_of

Effort = Literal["quick", "usual", "thorough"]
EFFORTS: tuple[Effort, ...] = ("quick", "usual", "thorough")

_ROUNDED = 7  # decimals of positions that keep to no step: they lose less than `TOLERANCE_MM`
_ENOUGH = 3000  # pieces put down by the further ways of a quick layout
_WORK = 6.0e8  # units of `RasterFill.work` after which no further way is begun


@dataclass(frozen=True, eq=False)
class Packing:
    """A layout that was found and checked; in a loop it gives its plates.

    plates : the items of each, the emptiest plate last.
    bound : plates that no layout can do without.
    effort : the least effort that finds as few plates.
    cut_short : whether a search was stopped by the clock, so that it may end otherwise elsewhere.
    """

    plates: tuple[tuple[Placed, ...], ...]
    bound: int
    effort: Effort
    cut_short: bool = False

    @property
    def fewest(self) -> bool:
        """Whether the bound shows that there is no layout on fewer plates."""
        return len(self.plates) <= self.bound

    def __len__(self) -> int:
        return len(self.plates)

    def __iter__(self) -> Iterator[tuple[Placed, ...]]:
        return iter(self.plates)

    def __getitem__(self, index: int) -> tuple[Placed, ...]:
        return self.plates[index]


def pack(
    items: Sequence[Footprint],
    bed: Bed,
    *,
    margin_mm: float,
    spacing_mm: float,
    snap_mm: float = 0.0,
    keep_outs: Sequence[KeepOut] = (),
    effort: Effort = "quick",
    seed: int = 0,
) -> Packing:
    """Every item on one of the fewest plates found, the emptiest plate last.

    items : the footprints, in any order.
    margin_mm : kept free along the edge of the bed [mm].
    spacing_mm : between any two footprints [mm]; not between a footprint and the edge.
    snap_mm : positions are multiples of this [mm]; 0 rounds them to 1e-7 mm.
    keep_outs : where nothing may lie.
    effort : ``quick`` takes a moment and loads nothing slow; ``usual`` searches for about 5 s and
        ``thorough`` for about 30 s where the bound leaves room for fewer plates.
    seed : of the search's random numbers; the same call gives the same layout.

    Coordinates are from the bed's origin (see `RectBed` and `RoundBed`).  Each plate is centred
    on the bed where the bed allows it.  What is given back has passed `verify_plates`.

    Raises NoAnswerError for an item that does not fit on the empty bed, InputError for a
    negative or non-finite length or an unknown effort, LayoutError when the check fails.
    """
    if effort not in EFFORTS:
        raise InputError(f"there is no effort {effort!r}", allowed=", ".join(EFFORTS))
    area = Area(bed, margin_mm, spacing_mm, snap_mm, tuple(keep_outs))
    kinds = kinds_of(items)
    portfolio = Portfolio(all_ways_up([items[members[0]] for members in kinds]), area)
    for kind, members in enumerate(kinds):
        if not portfolio.fits(kind):
            raise _too_large(items[members[0]], members[0], area)
    bound = lower_bound(items, bed, margin_mm=margin_mm, spacing_mm=spacing_mm, keep_outs=keep_outs)
    counts = [len(members) for members in kinds]
    plates, seen = _quick(portfolio, counts, bound)
    needed: Effort = "quick"
    cut_short = False
    if effort != "quick" and len(plates) > bound:
        # Late, because it brings scipy with it.
        from mouldgen.packing.search import search

        found = search(portfolio, counts, plates, seen, bound=bound, effort=effort, seed=seed)
        cut_short = found.cut_short
        if len(found.plates) < len(plates):
            plates, needed = found.plates, found.effort
    placed = _name_items([centred(plate, area) for plate in plates], kinds, snap=snap_mm)
    # Late, because the check brings shapely with it and the values of this module do not need it.
    from mouldgen.packing.verify import verify_plates

    verify_plates(
        items, bed, placed, margin_mm=margin_mm, spacing_mm=spacing_mm, keep_outs=keep_outs
    )
    return Packing(placed, bound, needed, cut_short)


def holds_one(
    item: Footprint,
    bed: Bed,
    *,
    margin_mm: float,
    snap_mm: float = 0.0,
    keep_outs: Sequence[KeepOut] = (),
) -> bool:
    """Whether an item finds a place on the empty bed; lengths as for `pack`."""
    area = Area(bed, margin_mm, 0.0, snap_mm, tuple(keep_outs))
    return Portfolio([ways_up(item, 0)], area).fits(0)


def _too_large(item: Footprint, index: int, area: Area) -> NoAnswerError:
    kept = f" with {area.margin:.6g} mm kept free along its edge" if area.margin else ""
    beside = " beside its keep-outs" if area.keep_outs else ""
    return NoAnswerError(
        f"item {index + 1} ({item}) does not fit on {area.bed}{kept}{beside}",
        try_="Use a larger bed, a smaller margin or a smaller part.",
    )


def _quick(portfolio: Portfolio, counts: Sequence[int], bound: int) -> tuple[Plates, list[Plate]]:
    """The best plates that any way finds, and every plate that was built.

    Stops early once the bound is met, and after the first ways where there are many pieces.
    """
    if not counts:
        return (), []
    best: tuple[Score, Plates] | None = None
    seen: list[Plate] = []
    put = 0
    for must, fill in _fills(portfolio):
        enough = put > _ENOUGH or portfolio.work > _WORK
        if best is not None and not must and (best[0].plates <= bound or enough):
            break
        plates = fill_all(fill, counts)
        if plates is None:
            continue
        built = dict.fromkeys(plates)
        seen += built
        put += sum(map(len, built))
        found = score(plates)
        if best is None or found.key < best[0].key:
            best = (found, plates)
    return (best[1] if best is not None else ()), seen


def _fills(portfolio: Portfolio) -> Iterator[tuple[bool, Fill]]:
    """Every way of filling a plate, those first that must be tried."""
    for fill in portfolio.quick():
        yield True, fill
    for fill in portfolio.more():
        yield False, fill


def _name_items(
    plates: Sequence[Sequence[Spot]], kinds: Sequence[Sequence[int]], *, snap: float
) -> tuple[tuple[Placed, ...], ...]:
    """The plates with an item for each spot, row by row from the front, lowest index first."""
    waiting = [iter(members) for members in kinds]
    return tuple(
        tuple(
            _placed(next(waiting[spot.shape.kind]), spot, snap)
            for spot in sorted(plate, key=lambda spot: (spot.y, spot.x))
        )
        for plate in plates
    )


def _placed(item: int, spot: Spot, snap: float) -> Placed:
    x, y = (spot.x, spot.y) if snap else (round(spot.x, _ROUNDED), round(spot.y, _ROUNDED))
    return Placed(item, x, y, spot.shape.turned)
