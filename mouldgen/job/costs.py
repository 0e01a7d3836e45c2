"""What things cost, and how surely: the job's own numbers over those of ``presets/cost.toml``."""

from __future__ import annotations

from dataclasses import dataclass

from mouldgen.errors import UnitError
from mouldgen.job.data_tables import data_tables
from mouldgen.job.shop_tables import Cost, Shop

_MOST = 1e6


@dataclass(frozen=True, eq=False)
class Costs:
    """Money in any one currency.

    wood : of one insert.
    hardware : of one piece.
    consumables : of one casting.
    printing : of an hour of the printer, without plastic.
    order : once an order.
    profit : on top, as a share of the cost.
    resin_kg, plastic_kg : of a kilogram where the card has no price.
    wage : of an hour of hands.
    time_spread, loss_spread : standard deviations over the mean, of a whole order's hours and of
        what stays in cups and on sticks.
    fills_seen, yield_seen : castings that the two shares are believed on.
    """

    wood: float
    hardware: float
    consumables: float
    printing: float
    order: float
    profit: float
    resin_kg: float
    plastic_kg: float
    wage: float
    time_spread: float
    loss_spread: float
    fills_seen: float
    yield_seen: float


def costs(cost: Cost | None, shop: Shop) -> Costs:
    """The costs of a job.

    cost : what the maker gives; None for nothing.
    shop : its wage goes before that of the presets.

    Raises PresetError where the file lacks a key or one cannot be read.
    """
    value = data_tables("cost").value
    given = {} if cost is None else cost.model_dump(exclude_none=True)
    if shop.wage is not None:
        given["wage"] = shop.wage
    names = (
        "wood", "hardware", "consumables", "printing", "order", "profit",
        "resin_kg", "plastic_kg", "wage",
    )  # fmt: skip
    found = {n: given[n] if n in given else value("cost", n, _number) for n in names}
    return Costs(
        **found,
        time_spread=value("spread", "time", _number),
        loss_spread=value("spread", "loss", _number),
        fills_seen=value("spread", "fills", _number),
        yield_seen=value("spread", "yield", _number),
    )


def _number(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0.0 <= value <= _MOST:
        raise UnitError(
            f"{value} is not a number that fits", allowed=f"a number from 0 to {_MOST:g}"
        )
    return float(value)
