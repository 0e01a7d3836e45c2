"""What every table of a job file is made of: its base, and quantities written with their unit.

Once read, lengths are mm, masses g, densities g/ml, times s, temperatures degC, forces N,
gauge pressures kPa, viscosities Pa s, angles degrees.  In the file the unit is in the value.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated, Any, ClassVar

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, ValidationInfo

from mouldgen import units
from mouldgen.job.clock import clock
from mouldgen.job.offset import offset
from mouldgen.job.price import PackPrice, PricePer, pack, price


@dataclass(frozen=True)
class Quantity:
    """Marks a field that is written with its unit in the file; `unit` is the one inside."""

    unit: str


def _read(read: Callable[..., Any], *, written: Any = str) -> BeforeValidator:
    """Read a value as people write it; `unit` of the context names the unit of bare lengths."""

    def parse(value: Any, info: ValidationInfo) -> Any:
        return read(value, default=(info.context or {}).get("unit"))

    return BeforeValidator(parse, json_schema_input_type=written)


Length = Annotated[float, _read(units.length, written=str | float), Quantity("mm")]
Offset = Annotated[float, _read(offset, written=str | float), Quantity("mm")]
Time = Annotated[float, _read(units.time), Quantity("s")]
Temperature = Annotated[float, _read(units.temperature), Quantity("C")]
Force = Annotated[float, _read(units.force), Quantity("N")]
Pressure = Annotated[float, _read(units.pressure), Quantity("kPa")]
Mass = Annotated[float, _read(units.mass), Quantity("g")]
Volume = Annotated[float, _read(units.volume), Quantity("ml")]
Density = Annotated[float, _read(units.density), Quantity("g/ml")]
Viscosity = Annotated[float, _read(units.viscosity), Quantity("Pa s")]
Flow = Annotated[float, _read(units.flow), Quantity("mm3/s")]
Angle = Annotated[float, _read(units.angle), Quantity("deg")]
Price = Annotated[PricePer, _read(price)]
Pack = Annotated[PackPrice, _read(pack)]
Clock = Annotated[float, _read(clock), Quantity("s")]

FROM_LIST = Field(strict=False)  # TOML has lists, a frozen value has tuples

PositiveLength = Annotated[Length, Field(gt=0)]
Share = Annotated[float, Field(gt=0, le=1)]
Count = Annotated[int, Field(ge=1, le=12)]


class Table(BaseModel):
    """A table of the file: frozen, no unknown keys, nothing turned into another type silently."""

    model_config = ConfigDict(
        frozen=True,
        extra="forbid",
        populate_by_name=True,
        strict=True,
        defer_build=True,  # the whole job is read at once: no table needs a reader of its own
    )

    # What a job of this format did not always have: a job without it keeps the fingerprint that
    # it had before.
    joined_later: ClassVar[frozenset[str]] = frozenset()


class Card(Table):
    """A table that may start from a preset; `card` names it, `title` says what it is."""

    card: str | None = None
    title: str = ""
    basis: str = ""  # where the numbers come from: published, common practice, belief
