"""What the moulds need of each colour: by pour, from height to height, and by mould.

Every cavity of a mould is alike.  A colour goes into all of them by its share (swirl), has
cavities of its own (apart), or has a pour of its own from the bottom up (layers).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate, pairwise
from typing import TYPE_CHECKING, Literal

from mouldgen.errors import InternalError
from mouldgen.mould.lines import APART_MM
from mouldgen.size.round import Size
from mouldgen.size.tray import TraySize

if TYPE_CHECKING:
    from collections.abc import Sequence

    from mouldgen.job.model import Colour, Pour
    from mouldgen.size import SizeQuestion
    from mouldgen.size.mould_size import MouldSize

Way = Literal["swirl", "apart", "layers"]


@dataclass(frozen=True, eq=False)
class PourNeed:
    """One pour into a mould.

    number : 1 for the first.
    from_mm, to_mm : heights over the inside floor [mm].
    ml : of one mould, all its cavities together [ml].
    """

    number: int
    from_mm: float
    to_mm: float
    ml: float


@dataclass(frozen=True, eq=False)
class Need:
    """Resin for every mould of a job, before any loss.

    way : how the colours go into the moulds.
    colours : their names; one without a name where the job tells none.
    shares : of the resin, in the same order.
    pours : from the bottom up.
    moulds : that are filled.
    cavities : of one mould.
    cavities_of : with ``apart``, how many cavities each colour has; empty else.
    """

    way: Way
    colours: tuple[str, ...]
    shares: tuple[float, ...]
    pours: tuple[PourNeed, ...]
    moulds: int
    cavities: int
    cavities_of: tuple[int, ...] = ()

    @property
    def per_mould_ml(self) -> float:
        """Of one mould, all pours together [ml]."""
        return math.fsum(pour.ml for pour in self.pours)

    def of_moulds_ml(self, pour: int, moulds: range) -> tuple[float, ...]:
        """What some moulds together take of each colour in one pour [ml].

        pour : 0 for the first.
        moulds : 0 for the first; neighbours.
        """
        ml = self.pours[pour].ml * len(moulds)
        if self.way == "layers":
            return tuple(ml if k == pour else 0.0 for k in range(len(self.colours)))
        if self.way == "apart":
            each = self.pours[pour].ml / self.cavities
            return tuple(each * count for count in self._cavities_in(moulds))
        *others, _ = (share * ml for share in self.shares)
        return (*others, ml - math.fsum(others))

    def fills(self, pour: int, mould: int) -> tuple[int, ...]:
        """Into how many cavities of one mould each colour is poured in one pour.

        pour, mould : 0 for the first.
        """
        if self.way == "apart":
            return self._cavities_in(range(mould, mould + 1))
        if self.way == "layers":
            return tuple(self.cavities * (k == pour) for k in range(len(self.colours)))
        return (self.cavities,) * len(self.colours)

    def _cavities_in(self, moulds: range) -> tuple[int, ...]:
        """With ``apart``: cavities of some moulds that each colour has, first colour first."""
        low, high = moulds.start * self.cavities, moulds.stop * self.cavities
        ends = accumulate(self.cavities_of, initial=0)
        return tuple(max(0, min(high, end) - max(low, start)) for start, end in pairwise(ends))


def need_of(
    question: SizeQuestion,
    size: MouldSize,
    *,
    pour: Pour,
    colours: Sequence[Colour],
    moulds: int,
    per_mould_ml: float,
) -> Need:
    """What the moulds of a job need.

    question, size : the closed form, at the gap.
    pour : its layers, and how the colours go in.
    colours : of the job; none for resin as it comes.
    moulds : that are filled.
    per_mould_ml : of one mould, as `mouldgen.mix.amounts` has it [ml].

    The pours' volumes come from the closed form between the heights of the fill lines, scaled so
    that together they are `per_mould_ml`; the riser is part of the last one.
    """
    way = way_of(pour, colours)
    shares = tuple(colour.share for colour in colours) or (1.0,)
    cavities = size.blanks
    return Need(
        way=way,
        colours=tuple(colour.name for colour in colours) or ("",),
        shares=shares,
        pours=pours_of(question, size, layers=pour.layers, per_mould_ml=per_mould_ml),
        moulds=moulds,
        cavities=cavities,
        cavities_of=largest_remainder(moulds * cavities, shares) if way == "apart" else (),
    )


def way_of(pour: Pour, colours: Sequence[Colour]) -> Way:
    """How the colours go into the moulds: as told, else by layers where the numbers agree."""
    if pour.colours is not None:
        return pour.colours
    return "layers" if len(colours) == pour.layers > 1 else "swirl"


def largest_remainder(number: int, shares: Sequence[float]) -> tuple[int, ...]:
    """Whole numbers by shares that add up: rounded down, the largest remainders one more each.

    number : to share out, at least 0.
    shares : above 0; of their sum.

    Of equal remainders the earlier goes first.  Source: Hamilton's method of apportionment.
    """
    exact = [Fraction(repr(share)) for share in shares]
    whole = sum(exact)
    quotas = [number * share / whole for share in exact]
    found = [math.floor(quota) for quota in quotas]
    order = sorted(range(len(found)), key=lambda k: found[k] - quotas[k])
    for k in order[: number - sum(found)]:
        found[k] += 1
    return tuple(found)


def pours_of(
    question: SizeQuestion, size: MouldSize, *, layers: int, per_mould_ml: float
) -> tuple[PourNeed, ...]:
    """The pours of one mould, from the bottom up.

    question, size : the closed form, at the gap.
    layers : how many pours; each but the last ends at its fill line.
    per_mould_ml : of one mould [ml].
    """
    heights = [0.0, *earlier_lines_mm(question, size, layers), size.level_mm]
    below = [resin_below_ml(question, size, z) for z in heights]
    parts = [max(0.0, high - low) for low, high in pairwise(below)]
    *shares, _ = (part / math.fsum(parts) for part in parts)
    mls = [share * per_mould_ml for share in shares]
    mls.append(per_mould_ml - math.fsum(mls))
    return tuple(
        PourNeed(number, low, high, ml)
        for number, ((low, high), ml) in enumerate(zip(pairwise(heights), mls, strict=True), 1)
    )


def earlier_lines_mm(question: SizeQuestion, size: MouldSize, layers: int) -> list[float]:
    """Heights over the inside floor of every fill line but the last one's [mm].

    question, size : the closed form, at the gap.
    layers : how many pours.
    """
    step = question.rise_mm / layers
    heights = (question.pip_mm + step * k for k in range(1, layers))
    return [z for z in heights if z < size.level_mm - APART_MM]


def resin_below_ml(question: SizeQuestion, size: MouldSize, height_mm: float) -> float:
    """Resin of one cavity from its floor up to a height, as the closed form has it [ml].

    question, size : the closed form, at the gap.
    height_mm : over the inside floor, up to the level poured to [mm].
    """
    insert, beside = question.insert, height_mm - question.pip_mm
    if isinstance(size, TraySize):
        # A bar or a heap displaces evenly over its height; what is round, as its circle does.
        share = min(max(beside / question.rise_mm, 0.0), 1.0)
        if not insert.corners_mm:
            share = circle_below(share)
        return size.volume_ml(height_mm) - share * insert.volume_ml
    if not isinstance(size, Size):
        raise InternalError("the resin of a mould without a closed form was asked for")
    inside = min(max(beside, 0.0), insert.length_mm)
    return size.bore.volume_ml(height_mm) - insert.below_ml(inside)


def circle_below(share: float) -> float:
    """Share of a circle's area below a level.

    share : of its diameter that lies below the level, 0 to 1.
    """
    half = math.acos(1.0 - 2.0 * share)
    return (half - math.sin(2.0 * half) / 2.0) / math.pi
