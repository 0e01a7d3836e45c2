"""The numbers of a data sheet that tell how a resin thickens, and the shop's clock.

A job's own tables have them, and so have the plain values here, which can be kept in a file and
take no time to load: whoever reckons with a resin takes either.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, Protocol

Basis = Literal["volume", "mass"]
ResinKind = Literal["epoxy", "urethane"]


class Mixed(Protocol):
    """What the density of a mixed resin follows from; units as in `KeptResin`."""

    @property
    def ratio(self) -> tuple[float, float]:
        """Part A to part B."""

    @property
    def ratio_basis(self) -> Basis:
        """What that ratio is told in."""

    @property
    def density_a(self) -> float:
        """Of part A [g/ml]."""

    @property
    def density_b(self) -> float:
        """Of part B [g/ml]."""


class CuringResin(Mixed, Protocol):
    """A resin as its data sheet tells of its cure; units as in `KeptResin`."""

    def __hash__(self) -> int: ...  # what is reckoned of it is kept by its value

    @property
    def kind(self) -> ResinKind:
        """What it is."""

    @property
    def viscosity(self) -> float:
        """On mixing [Pa s]."""

    @property
    def gel(self) -> float:
        """Gel time [s]."""

    @property
    def gel_mass(self) -> float:
        """That gels in that time [g]."""

    @property
    def gel_temperature(self) -> float:
        """Of both [C]."""

    @property
    def heat_j_g(self) -> float | None:
        """Of a gram that cures wholly [J/g]."""


class ShopClock(Protocol):
    """Temperature of the shop, and when what is done; units as in `KeptClock`."""

    @property
    def shop(self) -> float:
        """Temperature [C]."""

    @property
    def mix(self) -> float:
        """End of mixing [s]."""

    @property
    def close(self) -> float:
        """When the mould is shut [s]."""

    @property
    def batch(self) -> float | None:
        """Mixed at once [g]."""


@dataclass(frozen=True)
class KeptResin:
    """A resin's numbers without its card; alike ones are equal, so that answers can be kept.

    kind : what it is.
    viscosity : on mixing, at `gel_temperature` [Pa s].
    gel : gel time [s].
    gel_mass : that gels in that time in its cup [g].
    gel_temperature : of resin and air [C].
    ratio : part A to part B.
    ratio_basis : whether by volume or by mass.
    density_a, density_b : of the two parts [g/ml].
    heat_j_g : of a gram that cures wholly; None where the sheet does not say [J/g].
    """

    kind: ResinKind
    viscosity: float
    gel: float
    gel_mass: float
    gel_temperature: float
    ratio: tuple[float, float]
    ratio_basis: Basis
    density_a: float
    density_b: float
    heat_j_g: float | None


@dataclass(frozen=True)
class KeptClock:
    """The shop's clock without the rest of a job's pour; times run from the start of mixing.

    shop : temperature [C].
    mix : when mixing ends [s].
    close : when the mould is shut and under pressure [s].
    batch : mixed at once; None for as much as the data sheet's [g].
    """

    shop: float
    mix: float
    close: float
    batch: float | None


def kept_resin(resin: CuringResin) -> KeptResin:
    """The same numbers by themselves.

    resin : such as a job's.
    """
    return KeptResin(
        kind=resin.kind,
        viscosity=resin.viscosity,
        gel=resin.gel,
        gel_mass=resin.gel_mass,
        gel_temperature=resin.gel_temperature,
        ratio=resin.ratio,
        ratio_basis=resin.ratio_basis,
        density_a=resin.density_a,
        density_b=resin.density_b,
        heat_j_g=resin.heat_j_g,
    )


def kept_clock(clock: ShopClock) -> KeptClock:
    """The same numbers by themselves.

    clock : such as a job's pour.
    """
    return KeptClock(shop=clock.shop, mix=clock.mix, close=clock.close, batch=clock.batch)
