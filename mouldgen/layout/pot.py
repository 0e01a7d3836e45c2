"""Pot loads: how many moulds the pot takes at once, where each stands, and how often it is loaded.

The fewest loads, and of those the most even: no load has more than one mould more than another,
but for the first where one piece is cast and shown before the rest.
Moulds are numbered in the order in which they are poured, load by load and from the lowest tier
upward; in a ring from the back clockwise, the outer ring first.  Every tier has passed the
independent check of `packing.verify`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

from mouldgen.errors import JobError, NoAnswerError
from mouldgen.layout.pot_mould import PotMould
from mouldgen.packing.area import TOLERANCE_MM
from mouldgen.packing.discs_table import MOST
from mouldgen.packing.round_bin import all_of, most_of_one
from mouldgen.packing.shapes import Disc, Footprint, Placed, RoundBed

if TYPE_CHECKING:
    from mouldgen.job.shop_tables import Pot

_MOST_TO_A_TIER = 400  # no pot takes more; small moulds in a large one would take long to reckon
_ROUND_MM = 0.01  # moulds this near the same distance from the axis are on one ring


@dataclass(frozen=True, eq=False)
class PotPlace:
    """One mould in the pot.

    number : from 1, in the order of pouring through all loads; None for a catch mould.
    x_mm, y_mm : its axis from that of the pot, x to the right and y to the back [mm].
    turned : by how many times 90 degrees it was turned, counter-clockwise.
    shape : what it covers while it is not turned.
    """

    number: int | None
    x_mm: float
    y_mm: float
    turned: int
    shape: Footprint


@dataclass(frozen=True, eq=False)
class PotTier:
    """One tier of a load.

    stands_mm : height over the pot's floor of what it stands on [mm].
    height_mm : of the tallest mould on it [mm].
    places : what stands on it, in the order of pouring, catch moulds last.
    """

    stands_mm: float
    height_mm: float
    places: tuple[PotPlace, ...]


@dataclass(frozen=True, eq=False)
class PotLoad:
    """What goes into the pot at once.

    number : from 1.
    tiers : the lowest first.
    left_mm : height left over the highest mould [mm].
    """

    number: int
    tiers: tuple[PotTier, ...]
    left_mm: float

    @cached_property
    def numbers(self) -> tuple[int, ...]:
        """The moulds in it, in the order of pouring."""
        return tuple(p.number for t in self.tiers for p in t.places if p.number is not None)

    @property
    def moulds(self) -> int:
        """How many moulds are in it."""
        return len(self.numbers)

    @property
    def catches(self) -> int:
        """How many catch moulds stand beside them."""
        return sum(place.number is None for tier in self.tiers for place in tier.places)


@dataclass(frozen=True, eq=False)
class PotPlan:
    """All loads of an order.

    mould : as the pot sees it.
    pot : its inside, in the job's own words.
    tray_mm : thickness of what the lowest tier stands on, such as a drip tray's floor [mm].
    per_tier, tiers : moulds that a tier takes at most, and tiers that the pot takes.
    at_once : moulds that there are at most to fill at one time.
    loads : in the order of pouring.
    least_per_load : moulds that make the least batch.
    left_out : catch moulds that found no room.
    """

    mould: PotMould
    pot: Pot
    tray_mm: float
    per_tier: int
    tiers: int
    at_once: int
    loads: tuple[PotLoad, ...]
    least_per_load: int
    left_out: int

    @property
    def per_load(self) -> int:
        """Moulds that one load takes at most."""
        return min(self.per_tier * self.tiers, self.at_once)

    @property
    def lacking(self) -> int:
        """By how many moulds the smallest load falls short of the least batch."""
        return max(0, self.least_per_load - min(load.moulds for load in self.loads))


def plan_pot(
    mould: PotMould,
    *,
    pot: Pot | None,
    moulds: int,
    at_once: int | None = None,
    least_per_load: int = 1,
    first_alone: bool = False,
    catch: PotMould | None = None,
    catches: int = 0,
    seats: Sequence[tuple[float, float]] | None = None,
    tray_mm: float = 0.0,
) -> PotPlan | None:
    """The fewest loads for an order; None where the job has no pot and moulds cure in the open.

    mould : the closed mould.
    pot : its inside, margin, spacing, tiers and shelf.
    moulds : how many are filled in all; one that is used again counts each time.
    at_once : how many there are, where fewer than are filled; None for all.
    first_alone : whether the first mould is a load of its own, because it is shown before the rest.
    least_per_load : moulds that make the least batch; `PotPlan.lacking` tells what falls short.
    catch, catches : a catch mould and how many; they are shared out among the loads, never make
        one more, and are left out where they find no room.
    seats : of a rack, x and y from the pot's axis, which then holds the moulds on one tier [mm].
    tray_mm : thickness of what the lowest tier stands on, such as a drip tray's floor [mm].

    Raises NoAnswerError where one mould does not go in, JobError for a number that cannot be,
    LayoutError where a tier does not pass its check.
    """
    if moulds < 1 or least_per_load < 1 or (at_once is not None and at_once < 1):
        raise JobError(
            f"{moulds} moulds of which there are {at_once} cannot be loaded"
            if at_once is not None
            else f"{moulds} moulds cannot be loaded",
            allowed="1 or more of each, and a least batch of 1 or more",
        )
    if pot is None:
        return None
    _require_room(mould, pot, tray_mm)
    there = moulds if at_once is None else min(at_once, moulds)
    tiers = 1 if seats is not None else tiers_in(pot, mould.height_mm, tray_mm=tray_mm)
    per_tier = _per_tier(mould, pot, moulds) if seats is None else len(seats)
    loader = _Loader(mould, pot, catch, seats, tray_mm, per_tier)
    loads: list[PotLoad] = []
    first, left_out = 1, 0
    alone = [1] if first_alone and moulds > 1 else []
    rest = moulds - len(alone)
    shares = [*alone, *_shared(rest, math.ceil(rest / min(per_tier * tiers, there)))]
    beside = _shared(catches if catch is not None else 0, len(shares))
    for number, held in enumerate(shares, start=1):
        load = loader.load(number, held, first=first, catches=beside[number - 1])
        loads.append(load)
        first += held
        left_out += beside[number - 1] - load.catches
    return PotPlan(
        mould, pot, tray_mm, per_tier, tiers, there, tuple(loads), least_per_load, left_out
    )


def tiers_in(pot: Pot, height_mm: float, *, tray_mm: float = 0.0) -> int:
    """Tiers of moulds of one height that the pot takes; 0 where not one goes in.

    pot : its usable height, its shelves, and at most how many tiers.
    height_mm : of a mould [mm].
    tray_mm : thickness of what the lowest tier stands on [mm].
    """
    room = pot.usable_mm - tray_mm + pot.shelf + TOLERANCE_MM
    return min(pot.tiers, math.floor(room / (height_mm + pot.shelf)))


def _require_room(mould: PotMould, pot: Pot, tray: float) -> None:
    """Both ways in which a mould can be too large, with the pot that would take it."""
    free = pot.diameter - 2.0 * pot.margin
    if mould.across_mm > free + TOLERANCE_MM:
        corners = "across" if isinstance(mould.shape, Disc) else "from corner to corner"
        raise NoAnswerError(
            f"the closed {mould.name} is {mould.across_mm:.1f} mm {corners} and the pot leaves"
            f" {max(free, 0.0):.6g} mm within its margin",
            where="[pot] diameter",
            allowed=f"a mould of {max(free, 0.0):.6g} mm or less, or a pot of"
            f" {math.ceil(mould.across_mm + 2.0 * pot.margin)} mm inside",
            try_="Take a larger pot, fewer cells in a mould or a smaller gap.",
        )
    usable, on = pot.usable_mm - tray, " over the tray" if tray else ""
    if mould.height_mm > usable + TOLERANCE_MM:
        raise NoAnswerError(
            f"the closed {mould.name} stands {mould.height_mm:.1f} mm high and the pot takes"
            f" {usable:.6g} mm{on}",
            where="[pot] height",
            allowed=f"a mould of {usable:.6g} mm or less, or a pot that takes"
            f" {math.ceil(mould.height_mm + tray)} mm over its floor plate",
            try_="Take a taller pot or make the fill height smaller.",
        )


def _shared(count: int, loads: int) -> list[int]:
    """So many shared out evenly, the fuller loads first."""
    return [count // loads + (load < count % loads) for load in range(loads)]


def _per_tier(mould: PotMould, pot: Pot, moulds: int) -> int:
    """Moulds that a tier takes: of rounds as many as fit, of others up to those asked for."""
    wanted = max(moulds, MOST) if isinstance(mould.shape, Disc) else moulds
    placed = most_of_one(
        mould.shape, RoundBed(pot.diameter), margin_mm=pot.margin, spacing_mm=pot.spacing,
        wanted=min(wanted, _MOST_TO_A_TIER),
    )  # fmt: skip
    # One alone stands in the middle, where its round is all that counts.
    return max(1, len(placed))


@dataclass(frozen=True, eq=False)
class _Loader:
    """Fills loads with one mould, as `plan_pot` was asked.

    found : places of tiers by their number of moulds: many loads are alike.
    """

    mould: PotMould
    pot: Pot
    catch: PotMould | None
    seats: Sequence[tuple[float, float]] | None
    tray_mm: float
    per_tier: int
    found: dict[int, tuple[Placed, ...]] = field(default_factory=dict)

    def load(self, number: int, held: int, *, first: int, catches: int) -> PotLoad:
        """So many moulds from this number on, with catch moulds as far as there is room."""
        made: list[PotTier] = []
        stands = self.tray_mm
        for share in _shared(held, math.ceil(held / self.per_tier)):
            tier = self._tier(share, first=first, stands=stands, catches=catches)
            made.append(tier)
            first += share
            catches -= len(tier.places) - share
            stands += tier.height_mm + self.pot.shelf
        return PotLoad(number, tuple(made), self.pot.usable_mm - stands + self.pot.shelf)

    def _tier(self, count: int, *, first: int, stands: float, catches: int) -> PotTier:
        spots = self._spots(count)
        beside: list[Placed] = []
        if self.catch is not None and self.seats is None:
            spots, beside = _with_catches(self.mould, self.catch, self.pot, spots, catches)
        places = [
            PotPlace(first + i, p.x_mm, p.y_mm, p.turned, self.mould.shape)
            for i, p in enumerate(_in_order(spots, self.mould))
        ]
        if self.catch is not None:
            places += [PotPlace(None, p.x_mm, p.y_mm, 0, self.catch.shape) for p in beside]
        return PotTier(stands, self.mould.height_mm, tuple(places))

    def _spots(self, count: int) -> list[Placed]:
        """So many moulds on one tier, from the pot's axis."""
        if self.seats is not None:
            return [Placed(0, x, y) for x, y in self.seats[:count]]
        if count == 1:
            return [Placed(0, 0.0, 0.0)]
        if count not in self.found:
            self.found[count] = most_of_one(
                self.mould.shape, RoundBed(self.pot.diameter),
                margin_mm=self.pot.margin, spacing_mm=self.pot.spacing, wanted=count,
            )  # fmt: skip
        return _from_axis(self.found[count], self.pot)


def _from_axis(placed: Sequence[Placed], pot: Pot) -> list[Placed]:
    middle = pot.diameter / 2.0
    return [
        Placed(p.item, round(p.x_mm - middle, 7), round(p.y_mm - middle, 7), p.turned)
        for p in placed
    ]


def _with_catches(
    mould: PotMould, catch: PotMould, pot: Pot, spots: list[Placed], wanted: int
) -> tuple[list[Placed], list[Placed]]:
    """The moulds of a tier with as many catch moulds beside them as find room."""
    if catch.height_mm > mould.height_mm + TOLERANCE_MM:
        return spots, []  # it would take height from the tier above
    for count in range(wanted, 0, -1):
        placed = all_of(
            [*[mould.shape] * len(spots), *[catch.shape] * count], RoundBed(pot.diameter),
            margin_mm=pot.margin, spacing_mm=pot.spacing,
        )  # fmt: skip
        if placed is not None:
            found = _from_axis(placed, pot)
            return found[: len(spots)], found[len(spots) :]
    return spots, []


def _in_order(spots: Sequence[Placed], mould: PotMould) -> list[Placed]:
    """Rounds ring by ring from the outside, clockwise from the back; others row by row from it."""
    if not isinstance(mould.shape, Disc):
        return sorted(spots, key=lambda p: (-round(p.y_mm, 1), p.x_mm))
    order: list[Placed] = []
    ring: list[Placed] = []
    outward = sorted(spots, key=lambda p: -math.hypot(p.x_mm, p.y_mm))
    for spot in outward:
        far = math.hypot(spot.x_mm, spot.y_mm)
        # A ring ends where the next mould stands half a mould further in than its outermost.
        if ring and far < math.hypot(ring[0].x_mm, ring[0].y_mm) - mould.across_mm / 2.0:
            order += sorted(ring, key=_clockwise)
            ring = []
        ring.append(spot)
    return order + sorted(ring, key=_clockwise)


def _clockwise(spot: Placed) -> float:
    """Angle from the back, clockwise; a hair before the back counts as there."""
    if math.hypot(spot.x_mm, spot.y_mm) < _ROUND_MM:
        return 0.0
    turn = math.atan2(spot.x_mm, spot.y_mm) % math.tau
    return 0.0 if turn > math.tau - 1e-6 else round(turn, 9)
