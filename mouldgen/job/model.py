"""What the maker says: one frozen model a table of the job file.

Units are those of `mouldgen.job.table`.  The order of the fields is the order of the docs and of
the JSON Schema.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any, ClassVar, Literal

from pydantic import Field
from pydantic.json_schema import SkipJsonSchema

from mouldgen.job.material_tables import Plastic, Resin, Rubber
from mouldgen.job.shop_tables import Cost, Extras, Order, Pot, Printer, Shop, Work
from mouldgen.job.table import (
    FROM_LIST,
    Angle,
    Count,
    Density,
    Force,
    Length,
    Mass,
    Offset,
    PositiveLength,
    Pressure,
    Share,
    Table,
    Temperature,
    Time,
    Volume,
)

if TYPE_CHECKING:
    from mouldgen.job.scan import Scan
else:
    Scan = SkipJsonSchema[Any]  # no key of the file: the loader puts it there


class Member(Table):
    """One of several inserts that are cast in together, as long as they all are."""

    shape: Literal["rod", "tube", "bar", "taper"]
    at: Annotated[tuple[Offset, Offset], FROM_LIST]  # x and y of its axis
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
            tuple[Annotated[tuple[Length, PositiveLength], FROM_LIST], ...],
            FROM_LIST,
            Field(min_length=2),
        ]
        | None
    ) = None  # outline: along the axis, radius
    member: Annotated[tuple[Member, ...], FROM_LIST] = ()  # bundle
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
        tuple[PositiveLength, ...], FROM_LIST
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
    saw: Annotated[tuple[Count, Count], FROM_LIST] | None = None  # columns and rows of a block
    outline: (
        Annotated[
            tuple[Annotated[tuple[Length, Length], FROM_LIST], ...],
            FROM_LIST,
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
    cells: Annotated[tuple[Count, Count], FROM_LIST] | None = None  # rows, columns: block, tray
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
    colours: Literal["swirl", "apart", "layers"] | None = None  # None: by layers and colours
    reserve: Annotated[Time, Field(ge=0)] | None = None  # before the gel; None: a tenth of it

    joined_later: ClassVar[frozenset[str]] = frozenset({"colours", "reserve"})


class Colour(Table):
    """One tint and its share of the resin."""

    name: str = Field(min_length=1)
    share: Share = 1.0
    tint: Annotated[float, Field(gt=0, le=0.2)] | None = None  # share of the mixed resin's mass
    tested: PositiveLength | None = None  # thickness that the tint was judged in
    shown: PositiveLength | None = None  # thickness of resin in the finished piece
    gel_factor: Annotated[float, Field(gt=0, le=3)] = 1.0  # its gel time over that of clear resin

    joined_later: ClassVar[frozenset[str]] = frozenset({"tint", "tested", "shown", "gel_factor"})


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
    colour: Annotated[tuple[Colour, ...], FROM_LIST] = ()
    resin: Resin
    plastic: Plastic
    rubber: Rubber | None = None
    printer: Printer
    pot: Pot | None = None
    extras: Extras | None = None
    shop: Shop = Shop()
    work: Work | None = None
    cost: Cost | None = None

    joined_later: ClassVar[frozenset[str]] = frozenset({"extras", "rubber", "work", "cost"})
