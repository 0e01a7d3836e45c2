"""What the maker says: one frozen model a table of the job file.

Once read, lengths are mm, masses g, densities g/ml, times s, temperatures degC, forces N,
gauge pressures kPa, viscosities Pa s, angles degrees.  In the file the unit is in the value.
The order of the fields is the order of the docs and of the JSON Schema.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated, Any, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, ValidationInfo

from mouldgen import units
from mouldgen.job.price import PricePer, price


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
Time = Annotated[float, _read(units.time), Quantity("s")]
Temperature = Annotated[float, _read(units.temperature), Quantity("C")]
Force = Annotated[float, _read(units.force), Quantity("N")]
Pressure = Annotated[float, _read(units.pressure), Quantity("kPa")]
Mass = Annotated[float, _read(units.mass), Quantity("g")]
Density = Annotated[float, _read(units.density), Quantity("g/ml")]
Viscosity = Annotated[float, _read(units.viscosity), Quantity("Pa s")]
Angle = Annotated[float, _read(units.angle), Quantity("deg")]
Price = Annotated[PricePer, _read(price)]

_FROM_LIST = Field(strict=False)  # TOML has lists, a frozen value has tuples

PositiveLength = Annotated[Length, Field(gt=0)]
Share = Annotated[float, Field(gt=0, le=1)]


class Table(BaseModel):
    """A table of the file: frozen, no unknown keys, nothing turned into another type silently."""

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True, strict=True)


class Order(Table):
    """What the customer wants."""

    pieces: int = Field(ge=1, le=10_000)
    due: dt.date | None = None
    confidence: float = Field(default=0.95, gt=0, lt=1)
    yield_: float = Field(default=0.9, gt=0, le=1, alias="yield")
    customers_wood: bool = False
    resin_budget: float | None = Field(default=None, gt=0)  # money, in whatever the price is in


class Insert(Table):
    """What is cast in: its shape, its size, what it is made of."""

    shape: Literal["rod", "flute", "bar"]
    diameter: PositiveLength | None = None  # rod, flute
    width: PositiveLength | None = None  # bar
    thickness: PositiveLength | None = None  # bar
    length: PositiveLength
    flutes: int | None = Field(default=None, ge=2, le=24)
    flute_area: float | None = Field(default=None, gt=0, lt=0.6)
    wood: str | None = None
    density: Density | None = None
    measured: Annotated[
        tuple[PositiveLength, ...], _FROM_LIST
    ] = ()  # readings of the diameter, or of a bar's width
    bow: Annotated[Length, Field(ge=0)] = 0.0


class Piece(Table):
    """The finished piece that is turned from the blank."""

    diameter: PositiveLength
    length: PositiveLength
    turning: Annotated[Length, Field(ge=0)] | None = None  # per side; None: from the allowances
    facing: Annotated[Length, Field(ge=0)] | None = None  # each end; None: from the allowances
    cover: PositiveLength | None = None  # resin over the insert in the finished piece
    thread: str | None = None
    hole_depth: PositiveLength | None = None
    outline: (
        Annotated[
            tuple[Annotated[tuple[Length, Length], _FROM_LIST], ...],
            _FROM_LIST,
            Field(min_length=2),
        ]
        | None
    ) = None


class Mould(Table):
    """The mould family and what may be chosen about it."""

    family: Literal["cup"] = "cup"
    gap: Literal["auto"] | PositiveLength = "auto"
    fill: PositiveLength | None = None
    draft: Annotated[Angle, Field(ge=0, le=10)] = 0.0
    vent_grooves: int = Field(default=3, ge=0, le=12)
    lettering: bool = True
    id: str | None = Field(default=None, pattern=r"^[A-Z0-9-]{1,8}$")
    chord: Annotated[Length, Field(ge=0.001, le=0.5)] = 0.01  # how far a facet may leave a circle


class Pour(Table):
    """How and when the resin is poured."""

    sequence: Literal["auto", "resin-first", "insert-first", "bottom-feed"] = "auto"
    layers: int = Field(default=1, ge=1, le=4)  # each poured once the one below has set
    batch: Annotated[Mass, Field(gt=0)] | None = None  # mixed at once; None: the data sheet's
    shop: Temperature = 21.0
    mix: Annotated[Time, Field(ge=0)] = 360.0
    close: Annotated[Time, Field(gt=0)] = 840.0
    push: Annotated[Force, Field(gt=0)] = 20.0
    push_time: Annotated[Time, Field(gt=0)] = 60.0
    pressure: Annotated[Pressure, Field(ge=0)] | None = None


class Colour(Table):
    """One tint and its share of the resin."""

    name: str = Field(min_length=1)
    share: Share = 1.0


class Card(Table):
    """A table that may start from a preset; `card` names it, `title` says what it is."""

    card: str | None = None
    title: str = ""
    basis: str = ""  # where the numbers come from: published, common practice, belief


class Resin(Card):
    """A two-part resin as its data sheet tells it; the can's label always wins."""

    kind: Literal["epoxy", "urethane"]
    viscosity: Annotated[Viscosity, Field(gt=0)]  # mixed, at gel_temperature
    gel: Annotated[Time, Field(gt=0)]
    gel_mass: Annotated[Mass, Field(gt=0)]
    gel_temperature: Temperature
    ratio: Annotated[
        tuple[Annotated[float, Field(gt=0)], Annotated[float, Field(gt=0)]], _FROM_LIST
    ]  # A to B
    ratio_basis: Literal["volume", "mass"]
    density_a: Annotated[Density, Field(gt=0)]
    density_b: Annotated[Density, Field(gt=0)]
    loss: Annotated[float, Field(ge=0, lt=1)] = 0.1  # share that stays in cups and on sticks
    depth: PositiveLength | None = None  # the greatest thickness of one pour
    demould: Annotated[Time, Field(gt=0)] | None = None  # from mixing
    recoat: (
        Annotated[tuple[Annotated[Time, Field(gt=0)], Annotated[Time, Field(gt=0)]], _FROM_LIST]
        | None
    ) = None  # a second pour holds on the first from when to when, from mixing
    shrinkage: Annotated[float, Field(ge=0, lt=0.3)] = 0.03  # of the volume, before the gel; belief
    heat_j_g: Annotated[float, Field(gt=0, le=1000)] | None = None  # of a gram that cures wholly
    hottest: Temperature | None = None  # that the curing resin may become
    price: Price | None = None  # of mixed resin, such as 38 per kg


class Plastic(Card):
    """What the mould is printed in."""

    density: Annotated[Density, Field(gt=0)]
    softens: Temperature


class Printer(Card):
    """The bed, and what the nozzle lays down."""

    shape: Literal["rectangle", "round"]
    width: PositiveLength | None = None
    depth: PositiveLength | None = None
    diameter: PositiveLength | None = None
    height: PositiveLength
    margin: Annotated[Length, Field(ge=0)] = 5.0  # kept free along the edge of the bed
    spacing: Annotated[Length, Field(ge=0)] = 3.0  # between two parts
    line: PositiveLength = 0.42  # width of one extruded line
    layer: PositiveLength = 0.2
    undersize: Annotated[Length, Field(ge=0)] = 0.2  # by which a hole's diameter prints small
    clearance: Annotated[Length, Field(ge=0)] = 0.25  # a side, for a sliding fit


class Pot(Card):
    """The pressure pot, its inside, and the rating that the maker reads off its plate."""

    diameter: PositiveLength
    height: PositiveLength  # usable, over the floor plate
    margin: Annotated[Length, Field(ge=0)] = 8.0  # between a mould and the wall
    rating: Annotated[Pressure, Field(gt=0)] | None = None


class Shop(Table):
    """Habits of the shop; most of them live in shop.toml."""

    scale: Annotated[Mass, Field(gt=0)] = 1.0  # the scale's smallest digit
    hours: float | None = Field(default=None, gt=0, le=24)
    wage: float | None = Field(default=None, ge=0)


class Job(Table):
    """One whole job, presets and shop file already merged in."""

    format: Literal[1]
    name: str = Field(pattern=r"^[a-z0-9][a-z0-9-]{0,47}$")
    unit: Literal["mm", "cm", "in"] | None = None
    order: Order
    insert: Insert
    piece: Piece
    mould: Mould = Mould()
    pour: Pour = Pour()
    colour: Annotated[tuple[Colour, ...], _FROM_LIST] = ()
    resin: Resin
    plastic: Plastic
    printer: Printer
    pot: Pot | None = None
    shop: Shop = Shop()
