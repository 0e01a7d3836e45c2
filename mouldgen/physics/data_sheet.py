"""What a data sheet tells of a cure."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, eq=False)
class DataSheet:
    """What is told of a resin.

    gel_time : of `mass` in a cup [s].
    mass : [kg].
    temperature : of resin and air [K].
    density : mixed [kg/m3].
    """

    gel_time: float
    mass: float
    temperature: float
    density: float
