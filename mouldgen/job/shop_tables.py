"""The tables of a job file on the order, and on what the shop has, does and pays."""

from __future__ import annotations

import datetime as dt
from typing import Annotated, ClassVar, Literal

from pydantic import Field

from mouldgen.job.table import (
    FROM_LIST,
    Card,
    Clock,
    Flow,
    Length,
    Mass,
    Offset,
    PositiveLength,
    Pressure,
    Table,
    Time,
    Volume,
)


class Order(Table):
    """What the customer wants."""

    pieces: int = Field(ge=1, le=10_000)
    due: dt.date | None = None
    confidence: float = Field(default=0.95, gt=0, lt=1)
    yield_: float = Field(default=0.9, gt=0, le=1, alias="yield")
    customers_wood: bool = False
    resin_budget: float | None = Field(default=None, gt=0)  # money, in whatever the price is in
    start: dt.date | None = None  # first day of work; None: today
    first_article: bool = True  # one piece is finished and shown before the rest is cast
    approval: Annotated[Time, Field(ge=0)] | None = None  # that the customer looks at it
    fills: Annotated[float, Field(ge=0, le=1)] = 0.2  # share of castings with a void to fill

    joined_later: ClassVar[frozenset[str]] = frozenset(
        {"start", "first_article", "approval", "fills"}
    )


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
    keep_out: Annotated[
        tuple[Annotated[tuple[Offset, Offset, PositiveLength, PositiveLength], FROM_LIST], ...],
        FROM_LIST,
    ] = ()  # x and y of the front left corner from the bed's, width, depth: under a clip
    keep_out_clearance: Annotated[Length, Field(ge=0)] = 2.0  # round each of them

    joined_later: ClassVar[frozenset[str]] = frozenset({"keep_out", "keep_out_clearance"})


class Pot(Card):
    """The pressure pot, its inside, and the rating that the maker reads off its plate."""

    diameter: PositiveLength
    height: PositiveLength  # usable, over the floor plate
    margin: Annotated[Length, Field(ge=0)] = 8.0  # between a mould and the wall
    rating: Annotated[Pressure, Field(gt=0)] | None = None
    floor_plate: Annotated[Length, Field(ge=0)] = 0.0  # its thickness, where the height is without
    lid_in: Annotated[Length, Field(ge=0)] = 0.0  # by which the lid reaches into the height
    spacing: Annotated[Length, Field(ge=0)] = 3.0  # between two moulds
    tiers: int = Field(default=1, ge=1, le=6)  # at most, one over the other
    shelf: PositiveLength = 5.0  # thickness of what a tier stands on
    hold: Annotated[Time, Field(gt=0)] | None = None  # under pressure; None: until demoulding

    joined_later: ClassVar[frozenset[str]] = frozenset(
        {"floor_plate", "lid_in", "spacing", "tiers", "shelf", "hold"}
    )

    @property
    def usable_mm(self) -> float:
        """Height that moulds may take [mm]."""
        return self.height - self.floor_plate - self.lid_in


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
    opens: Clock = 8 * 3600.0  # after midnight
    days: Annotated[
        tuple[Literal["mon", "tue", "wed", "thu", "fri", "sat", "sun"], ...],
        FROM_LIST,
        Field(min_length=1),
    ] = ("mon", "tue", "wed", "thu", "fri")
    closed: Annotated[tuple[dt.date, ...], FROM_LIST] = ()
    people: int = Field(default=1, ge=1, le=10)
    printers: int = Field(default=1, ge=1, le=20)
    pots: int = Field(default=1, ge=1, le=20)

    joined_later: ClassVar[frozenset[str]] = frozenset(
        {"opens", "days", "closed", "people", "printers", "pots"}
    )


class Work(Table):
    """What the work takes; a key that is not given stands in `presets/work.toml`.

    Times are of hands: of one piece, mould, cup, bed or load; those of a set-up come once a
    batch.
    """

    wood: Annotated[Time, Field(ge=0)] | None = None  # to cut one insert to size
    dry: Annotated[Time, Field(ge=0)] | None = None  # until the wood's weight is constant
    bed: Annotated[Time, Field(ge=0)] | None = None  # to start and to clear a print bed
    leak_test: Annotated[Time, Field(ge=0)] | None = None  # of one mould, with water
    mould_dry: Annotated[Time, Field(ge=0)] | None = None  # until it is dry again
    release: Annotated[Time, Field(ge=0)] | None = None  # to ready one mould for the next pour
    weigh: Annotated[Time, Field(ge=0)] | None = None  # to set up and weigh one mix
    split: Annotated[Time, Field(ge=0)] | None = None  # to pour one tint's share into its cup
    stir: Annotated[Time, Field(ge=0)] | None = None  # one tint into its cup
    pour: Annotated[Time, Field(ge=0)] | None = None  # one mould from one cup
    place: Annotated[Time, Field(ge=0)] | None = None  # one insert into its mould
    lid: Annotated[Time, Field(ge=0)] | None = None  # on one mould
    load: Annotated[Time, Field(ge=0)] | None = None  # to carry a load in, shut, and press
    unload: Annotated[Time, Field(ge=0)] | None = None  # to vent slowly and to carry it out
    demould: Annotated[Time, Field(ge=0)] | None = None  # of one blank
    face_setup: Annotated[Time, Field(ge=0)] | None = None
    face: Annotated[Time, Field(ge=0)] | None = None  # both ends of one blank
    drill_setup: Annotated[Time, Field(ge=0)] | None = None
    drill: Annotated[Time, Field(ge=0)] | None = None
    tap_setup: Annotated[Time, Field(ge=0)] | None = None
    tap: Annotated[Time, Field(ge=0)] | None = None
    turn_setup: Annotated[Time, Field(ge=0)] | None = None
    rough: Annotated[Time, Field(ge=0)] | None = None  # turned round, so that voids show
    fill: Annotated[Time, Field(ge=0)] | None = None  # one void with resin
    finish: Annotated[Time, Field(ge=0)] | None = None  # turned to size
    sand: Annotated[Time, Field(ge=0)] | None = None  # and polish; as long as the turning
    hardware: Annotated[Time, Field(ge=0)] | None = None
    inspect: Annotated[Time, Field(ge=0)] | None = None
    pack: Annotated[Time, Field(ge=0)] | None = None


class Cost(Table):
    """What things cost, in any one currency; what is not given stands in `presets/cost.toml`."""

    wood: Annotated[float, Field(ge=0)] | None = None  # one insert
    hardware: Annotated[float, Field(ge=0)] | None = None  # of one piece
    consumables: Annotated[float, Field(ge=0)] | None = (
        None  # gloves, cups, abrasive of one casting
    )
    printing: Annotated[float, Field(ge=0)] | None = None  # an hour of the printer, without plastic
    order: Annotated[float, Field(ge=0)] | None = None  # once an order, such as carriage
    profit: Annotated[float, Field(ge=0)] | None = None  # on top, as a share of the cost
