"""The tables of a job file on what is poured and what the mould is made of."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import Field

from mouldgen.job.table import (
    FROM_LIST,
    Card,
    Density,
    Mass,
    Pack,
    PositiveLength,
    Price,
    Temperature,
    Time,
    Viscosity,
)


class Resin(Card):
    """A two-part resin as its data sheet tells it; the can's label always wins."""

    kind: Literal["epoxy", "urethane"]
    viscosity: Annotated[Viscosity, Field(gt=0)]  # mixed, at gel_temperature
    gel: Annotated[Time, Field(gt=0)]
    gel_mass: Annotated[Mass, Field(gt=0)]
    gel_temperature: Temperature
    ratio: Annotated[
        tuple[Annotated[float, Field(gt=0)], Annotated[float, Field(gt=0)]], FROM_LIST
    ]  # A to B
    ratio_basis: Literal["volume", "mass"]
    density_a: Annotated[Density, Field(gt=0)]
    density_b: Annotated[Density, Field(gt=0)]
    loss: Annotated[float, Field(ge=0, lt=1)] = 0.1  # share that stays in cups and on sticks
    depth: PositiveLength | None = None  # the greatest thickness of one pour
    demould: Annotated[Time, Field(gt=0)] | None = None  # from mixing
    recoat: (
        Annotated[tuple[Annotated[Time, Field(gt=0)], Annotated[Time, Field(gt=0)]], FROM_LIST]
        | None
    ) = None  # a second pour holds on the first from when to when, from mixing
    shrinkage: Annotated[float, Field(ge=0, lt=0.3)] = 0.03  # of the volume, before the gel; belief
    heat_j_g: Annotated[float, Field(gt=0, le=1000)] | None = None  # of a gram that cures wholly
    hottest: Temperature | None = None  # that the curing resin may become
    most_moisture: float | None = Field(default=None, ge=0, le=1)  # of an insert, as its moisture
    price: Price | None = None  # of mixed resin, such as 38 per kg
    packs: Annotated[tuple[Pack, ...], FROM_LIST] = ()  # both parts together, as they are sold
    full_cure: Annotated[Time, Field(gt=0)] | None = None  # from mixing; turned hard from then on
    least_depth: PositiveLength | None = None  # a thinner pour cures slowly
    least_batch: Annotated[Mass, Field(gt=0)] | None = None  # of both parts, mixed at once
    small_batch: Annotated[Mass, Field(gt=0)] | None = None  # a mix of less is looked at; belief
    ratio_tolerance: Annotated[float, Field(gt=0, le=0.2)] = 0.02  # of the share of part B

    joined_later: ClassVar[frozenset[str]] = frozenset(
        {
            "most_moisture",
            "packs",
            "full_cure",
            "least_depth",
            "least_batch",
            "small_batch",
            "ratio_tolerance",
        }
    )


class Plastic(Card):
    """What the mould is printed in."""

    density: Annotated[Density, Field(gt=0)]
    softens: Temperature
    price: Price | None = None  # such as 22 per kg

    joined_later: ClassVar[frozenset[str]] = frozenset({"price"})


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
        Annotated[tuple[Annotated[int, Field(gt=0)], Annotated[int, Field(gt=0)]], FROM_LIST] | None
    ) = None  # from one mould, as sellers claim
    loss: Annotated[float, Field(ge=0, lt=1)] = 0.1  # share that stays in the bucket; belief
    wall: PositiveLength = 12.0  # round each plug; common practice
    between: PositiveLength = 19.0  # from one plug to the next; common practice
    floor: PositiveLength = 12.0  # over the plugs; common practice
