"""Rows of a castings file as a shop with a known truth would have written them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from mouldgen.castings.design_columns import JobFacts
from mouldgen.castings.least_cost import GapCost
from mouldgen.castings.records import Casting, Result

TAKEN_MM = 0.2


@dataclass(frozen=True)
class Truth:
    """What voids of a shop really follow.

    at_rule : logit of a void's chance at the air rule's own gap.
    slope : of the logit over ln(open/air).
    luck : standard deviation of the logit between loads.
    floor : chance of voids that no gap cures.
    scrap : share of castings with a void that is lost.
    repair_min : of a casting that is repaired.
    """

    at_rule: float = -1.75
    slope: float = -4.0
    luck: float = 0.4
    floor: float = 0.0
    scrap: float = 0.25
    repair_min: float = 5.0

    def chance(self, wide: Any, luck: Any = 0.0) -> Any:
        """Of a void in a load of this luck, a multiple of its standard deviation."""
        logit = self.at_rule + self.slope * wide + self.luck * luck
        return self.floor + (1.0 - self.floor) / (1.0 + np.exp(-logit))

    def mean_chance(self, wide: Any) -> Any:
        """Over all loads, by Gauss and Hermite."""
        nodes, weights = np.polynomial.hermite_e.hermegauss(21)
        pairs = zip(nodes, weights / weights.sum(), strict=True)
        return sum(weight * self.chance(wide, node) for node, weight in pairs)


def casting(
    open_mm: float,
    void: bool,
    *,
    load: int = 1,
    number: int = 1,
    air_mm: float = 1.0,
    outcome: str = "repaired",
    rework_min: float = 5.0,
    **changes: Any,
) -> Casting:
    """One row; without a void it is good."""
    result = Result(
        voids=void,
        worst_mm=None,
        place="",
        rework_min=rework_min if void and outcome != "scrapped" else 0.0,
        outcome=outcome if void else "good",  # type: ignore[arg-type]
        noted_at="2026-03-02T10:00:00+00:00",
    )
    facts: dict[str, Any] = {
        "id": 1000 * load + number,
        "load": load,
        "number": number,
        "job": "pegs",
        "fingerprint": "f",
        "mould_id": "",
        "gap_mm": open_mm + TAKEN_MM,
        "open_mm": open_mm,
        "air_mm": air_mm,
        "resin": "casting-epoxy-slow",
        "wood": "white ash",
        "shop_c": 21.0,
        "pressure_kpa": 345.0,
        "close_min": 14.0,
        "sequence": "resin-first",
        "pours": 1,
        "poured_at": "2026-03-01T10:00:00+00:00",
        "result": result,
    }
    return Casting(**{**facts, **changes})


def counted(load: int, open_mm: float, voids: int, castings: int, **changes: Any) -> list[Casting]:
    """Castings of a load at one gap, so many of them with voids."""
    rows = range(1, castings + 1)
    at = round(10_000 * open_mm)
    return [
        casting(open_mm, i <= voids, load=load, number=i, id=100_000 * load + at + i, **changes)
        for i in rows
    ]


def poured(
    truth: Truth,
    open_mm: Sequence[float],
    *,
    load: int,
    random: np.random.Generator,
    air_mm: float = 1.0,
) -> list[Casting]:
    """A load of castings as a truth makes them."""
    wide = np.log(np.asarray(open_mm) / air_mm)
    void = random.random(len(wide)) < truth.chance(wide, random.standard_normal())
    lost = random.random(len(wide)) < truth.scrap
    return [
        casting(
            gap,
            bool(has),
            load=load,
            number=i + 1,
            air_mm=air_mm,
            outcome="scrapped" if gone else "repaired",
            rework_min=truth.repair_min,
        )
        for i, (gap, has, gone) in enumerate(zip(open_mm, void, lost, strict=True))
    ]


def job(air_mm: float = 1.0, **changes: Any) -> JobFacts:
    """Poured as the rows are."""
    facts: dict[str, Any] = {
        "air_mm": air_mm,
        "taken_mm": TAKEN_MM,
        "sequence": "resin-first",
        "pressure_kpa": 345.0,
        "shop_c": 21.0,
    }
    return JobFacts(**{**facts, **changes})


def peg_cost(gap_mm: float) -> GapCost:
    """A peg of 30 x 70 mm at the prices of presets/cost.toml: resin 30 a kilogram, 20 an hour."""
    resin_ml = math.pi * ((15.0 + gap_mm) ** 2 - 15.0**2) * 70.0 / 1000.0 + 8.0
    return GapCost(
        per_casting=9.0 + 0.03 * 1.1 * resin_ml,
        resin_ml=resin_ml,
        rework_per_void=5.0 * 20.0 / 60.0 + 0.16,
        minutes_per_void=5.0,
    )
