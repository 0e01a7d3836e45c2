"""What the maker says: one frozen model a table of the job file.

Once read, lengths are mm, masses g, densities g/ml, times s, temperatures degC, forces N,
gauge pressures kPa, viscosities Pa s, angles degrees.  In the file the unit is in the value.
The order of the fields is the order of the docs and of the JSON Schema.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated, Any, ClassVar, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, ValidationInfo
from pydantic.json_schema import SkipJsonSchema

from mouldgen import units
from mouldgen.job.offset import offset
from mouldgen.job.price import PricePer, price

if TYPE_CHECKING:
    from mouldgen.job.scan import Scan
else:
    Scan = SkipJsonSchema[Any]  # no key of the file: the loader puts it there


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

_FROM_LIST = Field(strict=False)  # TOML has lists, a frozen value has tuples

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


class Order(Table):
    """What the customer wants."""

    pieces: int = Field(ge=1, le=10_000)
    due: dt.date | None = None
    confidence: float = Field(default=0.95, gt=0, lt=1)
    yield_: float = Field(default=0.9, gt=0, le=1, alias="yield")
    customers_wood: bool = False
    resin_budget: float | None = Field(default=None, gt=0)  # money, in whatever the price is in


class Member(Table):
    """One of several inserts that are cast in together, as long as they all are."""

    shape: Literal["rod", "tube", "bar", "taper"]
    at: Annotated[tuple[Offset, Offset], _FROM_LIST]  # x and y of its axis
    turn: Angle = 0.0  # counter-clockwise, seen from above
    diameter: PositiveLength | None = None
    inside: PositiveLength | None = None
    plugged: bool = False
    small: PositiveLength | None = None
    point: Literal["up", "down"] = "up"
    width: PositiveLength | None = None
    thickness: PositiveLength | None = None


class Insert(Table):
    """What is cast in: its shape, its size, what it is made of."""

    shape: Literal[
        "rod", "tube", "bar", "twist", "flute", "coil", "taper", "outline", "scan", "bundle"
    ]  # fmt: skip
    diameter: PositiveLength | None = None  # over all; of a taper at its thick end
    inside: PositiveLength | None = None  # tube: diameter of its bore
    plugged: bool = False  # tube: both ends shut
    small: PositiveLength | None = None  # taper: diameter of its thin end
    point: Literal["up", "down"] = "up"  # taper: where the thin end stands
    width: PositiveLength | None = None  # bar, twist, honeycomb
    thickness: PositiveLength | None = None  # bar, twist, honeycomb
    turn_length: PositiveLength | None = None  # twist: along the axis, of one whole turn
    hand: Literal["right", "left"] = "right"  # twist
    wire: PositiveLength | None = None  # coil: diameter of its wire
    pitch: PositiveLength | None = None  # coil: from one winding to the next
    profile: (
        Annotated[
            tuple[Annotated[tuple[Length, PositiveLength], _FROM_LIST], ...],
            _FROM_LIST,
            Field(min_length=2),
        ]
        | None
    ) = None  # outline: along the axis, radius
    member: Annotated[tuple[Member, ...], _FROM_LIST] = ()  # bundle
    cell: PositiveLength | None = None  # bundle, a honeycomb: across the flats of a cell, inside
    cell_wall: PositiveLength | None = None  # bundle, a honeycomb
    file: str | None = Field(default=None, min_length=1)  # scan: beside the job file, or of presets
    file_unit: Literal["mm", "cm", "m", "in"] | None = None  # scan; None: what its format says
    mend: bool = False  # scan: close its holes, drop its stray bits
    scale: float = Field(default=1.0, gt=0, le=10)  # scan: such as growth in the oven
    end_down: Literal["auto", "heavy", "light"] = "auto"  # scan; auto: what shuts in less air
    length: PositiveLength
    flutes: int | None = Field(default=None, ge=2, le=24)
    flute_area: float | None = Field(default=None, gt=0, lt=0.6)
    hole: PositiveLength | None = None  # diameter, drilled along the axis from end to end
    hole_plugged: bool = False
    wood: str | None = None
    density: Density | None = None
    weight: Annotated[Mass, Field(gt=0)] | None = None  # with the density: its volume
    displaced: Annotated[Volume, Field(gt=0)] | None = None  # measured, such as in water
    porosity: float | None = Field(default=None, ge=0, le=0.9)  # share that is open to resin
    moisture: float | None = Field(default=None, ge=0, le=1)  # share of the oven-dry mass
    constant_weight: bool = False  # dried and weighed until it no longer loses
    measured: Annotated[
        tuple[PositiveLength, ...], _FROM_LIST
    ] = ()  # readings of the diameter, or of a bar's width
    bow: Annotated[Length, Field(ge=0)] = 0.0
    scan: Scan | None = Field(default=None, exclude=True, repr=False)

    joined_later: ClassVar[frozenset[str]] = frozenset(
        {
            "file", "file_unit", "mend", "scale", "end_down", "scan",
            "moisture", "constant_weight",
        }
    )  # fmt: skip


class Piece(Table):
    """The finished piece that is turned from the blank."""

    diameter: PositiveLength
    length: PositiveLength
    turning: Annotated[Length, Field(ge=0)] | None = None  # per side; None: from the allowances
    facing: Annotated[Length, Field(ge=0)] | None = None  # each end; None: from the allowances
    cover: PositiveLength | None = None  # resin over the insert in the finished piece
    thread: str | None = None  # in a hole on the axis, one of the presets
    hole: PositiveLength | None = None  # diameter of a hole on the axis without a thread
    hole_depth: PositiveLength | None = None  # of usable thread, or of the plain hole
    hole_from: Literal["bottom", "top"] = "bottom"  # end of the blank as it is cast
    grip: Annotated[Length, Field(ge=0)] | None = None  # for the chuck; None: the lathe's habit
    kerf: Annotated[Length, Field(ge=0)] | None = None  # of saw or parting tool; None: the same
    per_blank: int | None = Field(default=None, ge=1, le=50)  # end to end in a blank that lies
    saw: Annotated[tuple[Count, Count], _FROM_LIST] | None = None  # columns and rows of a block
    outline: (
        Annotated[
            tuple[Annotated[tuple[Length, Length], _FROM_LIST], ...],
            _FROM_LIST,
            Field(min_length=2),
        ]
        | None
    ) = None  # along the axis from the end that is cast at the bottom, and radius

    joined_later: ClassVar[frozenset[str]] = frozenset({"per_blank", "saw"})


class Mould(Table):
    """The mould family and what may be chosen about it."""

    family: Literal["cup", "contour", "shell", "master", "block", "tray", "split"] = "cup"
    gap: Literal["auto"] | PositiveLength = "auto"
    fill: PositiveLength | None = None
    draft: Annotated[Angle, Field(ge=0, le=10)] = 0.0
    vent_grooves: int = Field(default=3, ge=0, le=12)
    lettering: bool = True
    id: str | None = Field(default=None, pattern=r"^[A-Z0-9-]{1,8}$")
    chord: Annotated[Length, Field(ge=0.001, le=0.5)] = 0.01  # how far a facet may leave a circle
    hold: Literal["lid", "tape", "screw", "dowel", "weight", "band", "glue", "none"] = "lid"
    screw: Annotated[Length, Field(ge=2, le=6)] = 3.5  # thickness of the one from below
    dowel: Annotated[Length, Field(ge=2, le=10)] = 3.0  # diameter of the one through lid and wall
    lid_screws: int = Field(default=0, ge=0, le=6)  # ears for bolts on lid and body
    bolt: Literal["M3", "M4"] = "M3"
    tenon: PositiveLength | None = None  # diameter; of resin, at the blank's lower end
    tenon_length: PositiveLength = 8.0
    knock_out: bool = False  # a hole through the floor, closed by a disc while casting
    score: bool = False  # a line up the wall that it is split along
    head: PositiveLength | None = None  # resin over the insert; None: from the allowances
    cells: Annotated[tuple[Count, Count], _FROM_LIST] | None = None  # rows, columns: block, tray
    up: int | None = Field(default=None, ge=1, le=24)  # cavities in one rubber mould; None: 1
    sets: int | None = Field(default=None, ge=1, le=100)  # moulds used again; None: few

    joined_later: ClassVar[frozenset[str]] = frozenset(
        {
            "head", "up", "sets", "cells",
            "hold", "screw", "dowel", "lid_screws", "bolt", "tenon", "tenon_length",
            "knock_out", "score",
        }
    )  # fmt: skip


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
    most_moisture: float | None = Field(default=None, ge=0, le=1)  # of an insert, as its moisture
    price: Price | None = None  # of mixed resin, such as 38 per kg

    joined_later: ClassVar[frozenset[str]] = frozenset({"most_moisture"})


class Plastic(Card):
    """What the mould is printed in."""

    density: Annotated[Density, Field(gt=0)]
    softens: Temperature


class Rubber(Card):
    """The rubber that a mould is cast in, and how thick it stands round each plug."""

    kind: Literal["tin", "platinum"]  # what cures it
    density: Annotated[Density, Field(gt=0)]
    shore_a: Annotated[float, Field(gt=0, le=100)] | None = None
    pot_life: Annotated[Time, Field(gt=0)] | None = None
    cure: Annotated[Time, Field(gt=0)] | None = None  # until the plugs may come out
    shrink: Annotated[float, Field(ge=0, lt=0.1)] = 0.003  # of its length; belief
    shelf_years: Annotated[float, Field(gt=0)] | None = None  # that a mould of it keeps
    casts: (
        Annotated[tuple[Annotated[int, Field(gt=0)], Annotated[int, Field(gt=0)]], _FROM_LIST]
        | None
    ) = None  # from one mould, as sellers claim
    loss: Annotated[float, Field(ge=0, lt=1)] = 0.1  # share that stays in the bucket; belief
    wall: PositiveLength = 12.0  # round each plug; common practice
    between: PositiveLength = 19.0  # from one plug to the next; common practice
    floor: PositiveLength = 12.0  # over the plugs; common practice


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
    flow: Annotated[Flow, Field(gt=0)] = 5.0  # plastic laid down, over the whole print; belief
    layer_change: Annotated[Time, Field(ge=0)] = 2.0  # lost at each layer; belief


class Pot(Card):
    """The pressure pot, its inside, and the rating that the maker reads off its plate."""

    diameter: PositiveLength
    height: PositiveLength  # usable, over the floor plate
    margin: Annotated[Length, Field(ge=0)] = 8.0  # between a mould and the wall
    rating: Annotated[Pressure, Field(gt=0)] | None = None


class Extras(Table):
    """What is printed beside the moulds; nothing that is not asked for."""

    catch_moulds: int = Field(default=0, ge=0, le=100)  # open cups for left-over resin
    catch_volume: Annotated[Volume, Field(ge=5, le=500)] = 30.0  # that each holds
    drip_tray: bool = False  # on the floor of the pot
    pot_rack: bool = False  # seats that keep the moulds upright in the pot


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
    rubber: Rubber | None = None
    printer: Printer
    pot: Pot | None = None
    extras: Extras | None = None
    shop: Shop = Shop()

    joined_later: ClassVar[frozenset[str]] = frozenset({"extras", "rubber"})
