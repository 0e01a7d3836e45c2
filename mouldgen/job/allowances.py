"""The trade's allowances by size class, read from ``presets/allowances.toml``."""

from __future__ import annotations

import math
from dataclasses import dataclass, fields

from mouldgen import units
from mouldgen.errors import UnitError
from mouldgen.job.data_tables import data_tables


@dataclass(frozen=True, eq=False)
class Allowances:
    """The allowances of one size class; lengths in mm, each with its basis in the preset file.

    size : ``small``, ``medium`` or ``large``.
    turning_mm : taken off a side between the blank and the finished piece.
    facing_mm : taken off each end.
    flow_gap_epoxy_mm, flow_gap_urethane_mm : the trade's habit for the gap.
    cover_mm : resin over an insert that must not show.
    head_mm : resin above the blank.
    freeboard_mm : wall above the resin.
    wall_mm : of a mould that is turned away.
    reusable_mm : the same of a mould that is used again.
    floor_mm : of the mould.
    vent_mm : bore of a vent.
    cup_loss_g : left in a cup and on its stick.
    """

    size: str
    turning_mm: float
    facing_mm: float
    flow_gap_epoxy_mm: float
    flow_gap_urethane_mm: float
    cover_mm: float
    head_mm: float
    freeboard_mm: float
    wall_mm: float
    reusable_mm: float
    floor_mm: float
    vent_mm: float
    cup_loss_g: float


def allowances_for(diameter_mm: float) -> Allowances:
    """The allowances of the size class of a finished piece.

    diameter_mm : its largest diameter [mm].

    Raises UnitError for a diameter that is none, PresetError for a broken preset file.
    """
    if not (math.isfinite(diameter_mm) and diameter_mm > 0):
        raise UnitError(f"{diameter_mm} mm is not the diameter of a piece", allowed="above 0 mm")
    value = data_tables("allowances").value
    small, medium = (value(size, "up_to", units.length) for size in ("small", "medium"))
    size = "small" if diameter_mm <= small else "medium" if diameter_mm <= medium else "large"
    lengths = {
        field.name: value(size, field.name.removesuffix("_mm"), units.length)
        for field in fields(Allowances)
        if field.name.endswith("_mm")
    }
    return Allowances(size=size, cup_loss_g=value(size, "cup_loss", units.mass), **lengths)
