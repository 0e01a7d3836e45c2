"""One pour: resin rises through an air space, and some of the air stays."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from mouldgen.errors import InputError, NoAnswerError
from mouldgen.pour.air_space import AirSpace, Bools
from mouldgen.pour.passages import rooms_of
from mouldgen.pour.pressure import share_left
from mouldgen.pour.vented import pockets_of, vented
from mouldgen.solid.mesh import Floats, Integers


@dataclass(frozen=True, eq=False)
class Pocket:
    """Air that stays shut in.

    number : from 1, the largest of the whole space first; its mark in pictures.
    volume_ml : before any pressure [ml].
    place_mm : its middle in the mould's own coordinates, the inside floor at z = 0 [mm].
    top_mm : plumb height of its highest layer's top [mm].
    mouth_mm : plumb height below which air still leaves; resin above it shuts the pocket [mm].
    """

    number: int
    volume_ml: float
    place_mm: tuple[float, float, float]
    top_mm: float
    mouth_mm: float

    @property
    def height_mm(self) -> float:
        """From its mouth to its top [mm]."""
        return self.top_mm - self.mouth_mm

    def under(self, pressure_kpa: float) -> Pocket:
        """The same pocket with what a pot's pressure leaves of its volume.

        pressure_kpa : gauge [kPa].
        """
        return replace(self, volume_ml=self.volume_ml * share_left(pressure_kpa))


@dataclass(frozen=True, eq=False)
class Pour:
    """What a pour in one attitude comes to.

    air : the air space that was poured into.
    pockets : shut in below the level, the largest first.
    level_mm : plumb height of the resin [mm]; inf where the whole space is filled.
    spill_mm : plumb height of the lowest open air [mm]; inf where nothing is open.
    heights_mm : plumb heights of the layers' faces, upward (n,) [mm].
    filled_ml : resin below each of them, all pockets left out (n,) [ml].
    pocket : number of the pocket that each run belongs to, whatever the level; 0 where the
        air leaves (m,).
    """

    air: AirSpace
    pockets: tuple[Pocket, ...]
    level_mm: float
    spill_mm: float
    heights_mm: Floats
    filled_ml: Floats
    pocket: Integers

    @property
    def shut_in_ml(self) -> float:
        """Air shut in below the level, before any pressure [ml]."""
        return math.fsum(pocket.volume_ml for pocket in self.pockets)

    @property
    def runs_over(self) -> bool:
        """Whether resin at the level reaches open air: it would run out of the mould."""
        return self.level_mm > self.spill_mm

    def stopped_at(self, level_mm: float) -> Pour:
        """The same pour with no more resin than to a lower level.

        level_mm : plumb height [mm].
        """
        below = tuple(pocket for pocket in self.pockets if pocket.mouth_mm < level_mm)
        return replace(self, level_mm=level_mm, pockets=below)

    def volume_to(self, level_mm: float) -> float:
        """Resin below a level, all pockets left out [ml].

        level_mm : plumb height [mm]; below the space nothing, above it the whole.
        """
        return float(np.interp(level_mm, self.heights_mm, self.filled_ml))

    def level_for(self, volume_ml: float) -> float:
        """The lowest level to which an amount of resin comes [mm].

        volume_ml : resin poured [ml].

        Raises NoAnswerError where the space holds less.
        """
        if not 0.0 <= volume_ml <= self.filled_ml[-1]:
            raise NoAnswerError(
                f"{volume_ml:g} ml were poured into a space that takes {self.filled_ml[-1]:g} ml",
                allowed=f"0 to {self.filled_ml[-1]:g} ml",
            )
        rising = np.ones(len(self.filled_ml), bool)
        rising[1:] = np.diff(self.filled_ml) > 0.0
        return float(np.interp(volume_ml, self.filled_ml[rising], self.heights_mm[rising]))

    def level_after(self, lost_ml: float) -> float:
        """Where the level comes to rest when air shrinks, wood soaks and resin shrinks [mm].

        lost_ml : what they take together [ml].

        Raises NoAnswerError where that is more than was poured.
        """
        return self.level_for(self.volume_to(self.level_mm) - lost_ml)


def pour(air: AirSpace, *, level_mm: float | None = None, amount_ml: float | None = None) -> Pour:
    """Fill an air space from below and see what stays shut in.

    air : its runs.
    level_mm : plumb height to fill to [mm].
    amount_ml : or the resin poured [ml].  With neither the whole space is filled.

    A pocket is shut in, with all its air up to its top, once resin stands above its mouth.
    The weight of the resin presses it together by 1 % for 100 mm; that is left out.

    Raises InputError where both are given or there is no air, NoAnswerError where the amount
    does not go in.
    """
    if level_mm is not None and amount_ml is not None:
        raise InputError("a pour ends at a level or with an amount, not with both")
    if not len(air.layer):
        raise InputError("there is no air to pour into")
    rooms = rooms_of(air)
    opens = np.zeros(len(rooms.layer), bool)
    opens[rooms.of_run[air.opens]] = True
    shut_rooms = ~vented(rooms, opens)
    shut = shut_rooms[rooms.of_run]
    heights, filled = _filled(air, shut)
    pocket = _numbered(air, shut, pockets_of(rooms, shut_rooms)[rooms.of_run])
    open_layers = air.layer[air.opens]
    whole = Pour(
        air=air,
        pockets=_pockets(air, pocket),
        level_mm=math.inf,
        spill_mm=float(open_layers.min()) * air.layer_mm if len(open_layers) else math.inf,
        heights_mm=heights,
        filled_ml=filled,
        pocket=pocket,
    )
    if amount_ml is not None:
        level_mm = whole.level_for(amount_ml)
    return whole if level_mm is None else whole.stopped_at(level_mm)


def _filled(air: AirSpace, shut: Bools) -> tuple[Floats, Floats]:
    lowest, highest = int(air.layer[0]), int(air.layer[-1])
    in_layer = np.bincount(air.layer - lowest, np.where(shut, 0.0, air.run_ml))
    filled: Floats = np.concatenate([np.zeros(1), np.cumsum(in_layer)])
    return np.arange(lowest, highest + 2, dtype=np.float64) * air.layer_mm, filled


def _numbered(air: AirSpace, shut: Bools, name: Integers) -> Integers:
    """Number of each run's pocket, the largest 1, of equal ones the lower first; else 0."""
    number = np.zeros(len(shut), np.int64)
    if not shut.any():
        return number
    volume = np.bincount(name, np.where(shut, air.run_ml, 0.0))
    order = np.argsort(-volume, kind="stable")
    rank = np.empty(len(volume), np.int64)
    rank[order] = np.arange(1, len(volume) + 1)
    number[shut] = rank[name[shut]]
    return number


def _pockets(air: AirSpace, pocket: Integers) -> tuple[Pocket, ...]:
    """The pockets by their numbers."""
    at = np.flatnonzero(pocket)
    number = pocket[at] - 1
    weight = air.run_ml[at]
    volume = np.bincount(number, weight)
    middle = (
        (air.start[at] + air.end[at]) * (0.5 * air.step_mm) + air.origin_mm,
        (air.row[at] + 0.5) * air.row_mm,
        (air.layer[at] + 0.5) * air.layer_mm,
    )
    centre = np.column_stack([np.bincount(number, weight * c) / volume for c in middle])
    places = (centre @ air.attitude.turn).tolist()
    mouth, top = np.full(len(volume), np.inf), np.full(len(volume), -np.inf)
    np.minimum.at(mouth, number, air.layer[at] * air.layer_mm)
    np.maximum.at(top, number, (air.layer[at] + 1) * air.layer_mm)
    return tuple(
        Pocket(
            number=k + 1,
            volume_ml=float(volume[k]),
            place_mm=(places[k][0], places[k][1], places[k][2]),
            top_mm=float(top[k]),
            mouth_mm=float(mouth[k]),
        )
        for k in range(len(volume))
    )
