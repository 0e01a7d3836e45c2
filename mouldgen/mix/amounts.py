"""How much resin to mix and what to weigh out of each part."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.errors import JobError
from mouldgen.finding import Finding, Severity
from mouldgen.job.mixed import mixed_g_ml
from mouldgen.physics.mixture import mass_share_a

if TYPE_CHECKING:
    from mouldgen.job.material_tables import Resin

COARSEST_DIGIT = 0.02  # of the smaller part; a ratio is to be kept within 2 % (common practice)


@dataclass(frozen=True, eq=False)
class Batch:
    """Resin to mix at one go, loss included.

    poured_ml : that ends up in moulds [ml].
    mixed_ml : with what stays in cups and on sticks [ml].
    exact_a_g, exact_b_g : the two parts before rounding [g].
    a_g, b_g : the two parts rounded up to the scale's digit [g].
    """

    poured_ml: float
    mixed_ml: float
    exact_a_g: float
    exact_b_g: float
    a_g: float
    b_g: float

    @property
    def exact_g(self) -> float:
        """Both parts before rounding [g]."""
        return self.exact_a_g + self.exact_b_g

    @property
    def total_g(self) -> float:
        """Both parts as weighed [g]."""
        return round(self.a_g + self.b_g, 6)


@dataclass(frozen=True, eq=False)
class Amounts:
    """Resin for one mould and for all of them.

    net_ml : between insert and bare bore to the fill line [ml].
    riser_ml : above it [ml].
    features_ml : in vent grooves, under pips and the like [ml].
    moulds : how many are poured.
    density_g_ml : of the mixed resin [g/ml].
    b_per_100_a : grams of part B for 100 g of part A.
    scale_g : the scale's smallest digit [g].
    one : the batch for one mould alone.
    all : the batch for every mould.
    """

    net_ml: float
    riser_ml: float
    features_ml: float
    moulds: int
    density_g_ml: float
    b_per_100_a: float
    scale_g: float
    one: Batch
    all: Batch

    @property
    def per_mould_ml(self) -> float:
        """What one mould holds, without loss [ml]."""
        return self.one.poured_ml

    @property
    def per_mould_g(self) -> float:
        """What one mould holds, without loss [g]."""
        return self.one.poured_ml * self.density_g_ml

    @property
    def total_ml(self) -> float:
        """To mix for every mould, with loss [ml]."""
        return self.all.mixed_ml

    @property
    def total_g(self) -> float:
        """To mix for every mould, with loss, as weighed [g]."""
        return self.all.total_g

    @property
    def a_g(self) -> float:
        """Part A for every mould, with loss, as weighed [g]."""
        return self.all.a_g

    @property
    def b_g(self) -> float:
        """Part B for every mould, with loss, as weighed [g]."""
        return self.all.b_g


def amounts(
    net_ml: float,
    *,
    riser_ml: float,
    features_ml: float,
    moulds: int,
    resin: Resin,
    scale_g: float,
) -> Amounts:
    """Resin for one mould and for all, in volume, mass and the two parts.

    Loss is added on top of what is poured, ``mixed = poured (1 + loss)``, as the trade reckons
    (a loss of 12 % on 1276 ml is 1429 ml); it comes before the split into parts, so that the
    ratio stays true.

    net_ml : resin to the fill line [ml].
    riser_ml : resin above it [ml].
    features_ml : resin in grooves, pips and the like [ml].
    moulds : how many are poured, at least 1.
    resin : its ratio, densities and loss.
    scale_g : the scale's smallest digit [g].

    Raises JobError where there is nothing to pour.
    """
    per_mould = net_ml + riser_ml + features_ml
    if not (per_mould > 0.0 and moulds >= 1):
        raise JobError(
            f"{moulds} moulds of {per_mould:g} ml leave nothing to pour",
            where="[mould]",
            allowed="a bore wider than the insert",
        )
    share = mass_share_a(
        *resin.ratio,
        density_a=resin.density_a,
        density_b=resin.density_b,
        by_volume=resin.ratio_basis == "volume",
    )
    density = mixed_g_ml(resin)

    def batch(poured_ml: float) -> Batch:
        mixed_ml = poured_ml * (1.0 + resin.loss)
        a, b = mixed_ml * density * share, mixed_ml * density * (1.0 - share)
        return Batch(
            poured_ml=poured_ml,
            mixed_ml=mixed_ml,
            exact_a_g=a,
            exact_b_g=b,
            a_g=round_up_to(a, scale_g),
            b_g=round_up_to(b, scale_g),
        )

    return Amounts(
        net_ml=net_ml,
        riser_ml=riser_ml,
        features_ml=features_ml,
        moulds=moulds,
        density_g_ml=density,
        b_per_100_a=100.0 * (1.0 - share) / share,
        scale_g=scale_g,
        one=batch(per_mould),
        all=batch(per_mould * moulds),
    )


def round_up_to(mass_g: float, digit_g: float) -> float:
    """The next mass that a scale can show, forgiving what rounding in floats adds [g].

    mass_g : exact [g].
    digit_g : the scale's smallest digit [g].
    """
    return round(math.ceil(mass_g / digit_g * (1.0 - 1e-12)) * digit_g, 6)


def findings_of(found: Amounts) -> tuple[Finding, ...]:
    """Whether the scale can weigh the smaller part to 2 %: for all moulds, and for one alone."""
    if found.scale_g > COARSEST_DIGIT * _smaller(found.all):
        return (_coarse(found, found.all, "all the resin together", "warn"),)
    if found.scale_g > COARSEST_DIGIT * _smaller(found.one):
        return (_coarse(found, found.one, "one mould alone", "note"),)
    return ()


def least_batch_ml(found: Amounts) -> float:
    """The least resin, mixed, whose smaller part the scale weighs to 2 % [ml]."""
    digits = found.scale_g / COARSEST_DIGIT
    return found.all.mixed_ml * digits / _smaller(found.all)


def _smaller(batch: Batch) -> float:
    return min(batch.exact_a_g, batch.exact_b_g)


def _coarse(found: Amounts, batch: Batch, what: str, severity: Severity) -> Finding:
    smaller = _smaller(batch)
    share = 100.0 * found.scale_g / smaller
    message = (
        f"For {what} the smaller part weighs {smaller:.1f} g and the scale shows"
        f" {found.scale_g:g} g, which is {share:.1f} % of it; mix at least"
        f" {least_batch_ml(found):.0f} ml at once or take a finer scale."
    )
    return Finding(
        id="mix.scale",
        rule="mix",
        severity=severity,
        message=message,
        measured=found.scale_g / smaller,
        limit=COARSEST_DIGIT,
        place="[shop] scale",
    )
