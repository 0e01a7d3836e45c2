"""Which packs of resin to buy: the cheapest that hold what is needed, exactly.

Packs are bought whole.  The search keeps, pack by pack, every amount that no other state beats
(as much resin for no more money) and that can still end below the price of packs of one size
only, so nothing is lost and nothing is approximated.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

from mouldgen.errors import JobError

if TYPE_CHECKING:
    from mouldgen.job.price import PackPrice

MOST_PACKS = 1000  # of one size; who needs more does not buy from a list
_ROUNDING = 1e-9  # of the need: what floats add is not worth another pack


@dataclass(frozen=True, eq=False)
class PackChoice:
    """Packs of one size.

    holds_g : both parts of one pack [g].
    price : of one pack.
    count : how many to buy, at least 1.
    """

    holds_g: float
    price: float
    count: int


@dataclass(frozen=True, eq=False)
class ResinPurchase:
    """What to buy for a job.

    need_g : mixed resin that is needed [g].
    packs : the packs, the largest first.
    cost : of all of them.
    """

    need_g: float
    packs: tuple[PackChoice, ...]

    @property
    def cost(self) -> float:
        """Of all packs, in the currency of their prices."""
        return math.fsum(pack.price * pack.count for pack in self.packs)

    @property
    def bought_g(self) -> float:
        """Both parts of all packs [g]."""
        return math.fsum(pack.holds_g * pack.count for pack in self.packs)

    @property
    def left_g(self) -> float:
        """What is left over [g]."""
        return self.bought_g - self.need_g


class _State(NamedTuple):
    cost: float
    bought_g: float
    counts: tuple[int, ...]

    @property
    def rank(self) -> tuple[float, float, int]:
        return self.cost, -self.bought_g, sum(self.counts)


def cheapest_packs(
    need_g: float, packs: Sequence[PackPrice], *, density_g_ml: float
) -> ResinPurchase:
    """The cheapest packs that hold at least what is needed.

    At the same price the most resin, then the fewest packs.

    need_g : mixed resin [g], at least 0.
    packs : as the card has them, at least one, by mass or by volume.
    density_g_ml : of the mixed resin, for packs by volume [g/ml].

    Raises JobError where there are no packs or more than a thousand of one size were needed.
    """
    if not packs:
        raise JobError(
            "the card does not say in which packs the resin is sold",
            where="[resin] packs",
            allowed='a list such as ["1.5 kg for 42", "6 kg for 150"]',
        )
    sizes = [
        (holds if unit == "g" else holds * density_g_ml, price) for holds, unit, price in packs
    ]
    sizes = sorted(set(sizes), reverse=True)
    if need_g > MOST_PACKS * sizes[0][0]:
        raise JobError(
            f"{need_g / 1000:.4g} kg of resin are more than {MOST_PACKS} of the largest packs",
            where="[resin] packs",
            try_="Give the pack that such an amount is sold in.",
        )
    enough = need_g * (1.0 - _ROUNDING)
    dearest = min(price * math.ceil(enough / holds) for holds, price in sizes)
    states = [_State(0.0, 0.0, ())]
    for number, (holds, price) in enumerate(sizes):
        rate = min(cost / size for size, cost in sizes[number:])  # money for a gram, at the best
        states = _best(
            _State(
                state.cost + count * price, state.bought_g + count * holds, (*state.counts, count)
            )
            for state in states
            if state.cost + rate * (enough - state.bought_g) <= dearest * (1.0 + _ROUNDING)
            for count in range(math.ceil(max(0.0, enough - state.bought_g) / holds) + 1)
        )
    found = min((state for state in states if state.bought_g >= enough), key=lambda s: s.rank)
    chosen = zip(sizes, found.counts, strict=True)
    return ResinPurchase(
        need_g, tuple(PackChoice(holds, price, count) for (holds, price), count in chosen if count)
    )


def _best(states: Iterable[_State]) -> list[_State]:
    """The states that no other beats: as much resin for no more money."""
    kept: list[_State] = []
    for state in sorted(states, key=lambda s: (-s.bought_g, s.cost, sum(s.counts))):
        if not kept or state.cost < kept[-1].cost:
            kept.append(state)
    return kept
