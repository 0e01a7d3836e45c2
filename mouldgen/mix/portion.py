"""One mix for some moulds: what is poured, what stays behind, and what each cup gets of it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.job.mixed import mixed_g_ml
from mouldgen.mix.amounts import COARSEST_DIGIT, round_up_to
from mouldgen.mix.weighing import Weighed, weigh
from mouldgen.physics.mixture import mass_share_a

if TYPE_CHECKING:
    from mouldgen.job.material_tables import Resin


def _is_clear(name: str) -> bool:
    return name.strip().casefold() == "clear"


@dataclass(frozen=True, eq=False)
class Tint:
    """A colour as it is mixed.

    name : of the colour; empty for resin as it comes.
    share : of the mixed mass, for the thickness shown; None where none is weighed.
    gel_factor : gel time with it over that without.
    """

    name: str
    share: float | None = None
    gel_factor: float = 1.0

    @property
    def stirred(self) -> bool:
        """Whether something is stirred in: nothing into what is named clear and has no share."""
        return bool(self.name) and not (self.share is None and _is_clear(self.name))


@dataclass(frozen=True, eq=False)
class Stock:
    """What every mix of a job has in common.

    resin : as its card tells it.
    digit_g : the scale's smallest digit [g].
    cup_loss_g : that stays in a cup and on its stick [g].
    """

    resin: Resin
    digit_g: float
    cup_loss_g: float

    @property
    def density_g_ml(self) -> float:
        """Of the mixed resin [g/ml]."""
        return mixed_g_ml(self.resin)

    @property
    def share_a(self) -> float:
        """Of part A in the mixed mass."""
        return mass_share_a(
            *self.resin.ratio,
            density_a=self.resin.density_a,
            density_b=self.resin.density_b,
            by_volume=self.resin.ratio_basis == "volume",
        )

    @property
    def scale_least_g(self) -> float:
        """The least mix whose smaller part the scale weighs to 2 % [g]."""
        return self.digit_g / COARSEST_DIGIT / min(self.share_a, 1.0 - self.share_a)

    @property
    def least_g(self) -> float:
        """The least mix: the card's, or what the scale can weigh [g]."""
        return max(self.resin.least_batch or 0.0, self.scale_least_g)


@dataclass(frozen=True, eq=False)
class CupPortion:
    """One cup's share of a mix.

    colour : its place among the job's.
    poured_ml : that goes into moulds [ml].
    ml : in the cup, with what stays in it [ml].
    g : the same as the scale shows it [g].
    tint_g : of the tint, as the scale shows it; None where none is weighed [g].
    """

    colour: int
    poured_ml: float
    ml: float
    g: float
    tint_g: float | None


@dataclass(frozen=True, eq=False)
class Portion:
    """One mix.

    poured_ml : that goes into moulds [ml].
    kept_ml : that stays in cups and on sticks: the card's loss, or more where the cups keep more
        [ml].
    topped_ml : added to reach the least batch; it goes into catch moulds [ml].
    loss_ml : of `kept_ml` what the card's loss alone would be [ml].
    weighed : the two parts.
    cups : that it is split into; one alone stays in the mixing cup.
    weighed_ml : of the two parts as weighed [ml].
    """

    poured_ml: float
    kept_ml: float
    topped_ml: float
    loss_ml: float
    weighed: Weighed
    cups: tuple[CupPortion, ...]
    weighed_ml: float

    @property
    def mixed_ml(self) -> float:
        """Needed: poured, kept and topped up; the sum of the cups [ml]."""
        return self.poured_ml + self.kept_ml + self.topped_ml

    @property
    def left_ml(self) -> float:
        """Weighed and neither poured nor kept: for catch moulds [ml]."""
        return self.weighed_ml - self.poured_ml - self.kept_ml


def portion(
    poured_ml: Sequence[tuple[int, float]], *, tints: Sequence[Tint], stock: Stock
) -> Portion:
    """A mix that is enough for what is poured.

    What stays behind is the larger of the card's loss on what is poured and of what every wetted
    cup keeps: one a colour, and the mixing cup where the mix is split.  Each cup gets an equal part
    of the latter; the rest goes by what is poured from it.

    poured_ml : colours by their place among the job's, and what is poured of each [ml].
    tints : of the job.
    stock : resin, scale and cups.
    """
    poured = math.fsum(ml for _, ml in poured_ml)
    density, digit = stock.density_g_ml, stock.digit_g
    wetted = len(poured_ml) + (len(poured_ml) > 1)
    film, loss = wetted * stock.cup_loss_g / density, poured * stock.resin.loss
    kept = max(film, loss)
    topped = max(0.0, stock.least_g / density - poured - kept)
    spread, each = kept - film + topped, film / len(poured_ml)
    mixed = poured + kept + topped
    mls = [ml + each + spread * ml / poured for _, ml in poured_ml]
    mls[-1] = mixed - math.fsum(mls[:-1])
    split = len(mls) > 1
    grams = [round_up_to(ml * density, digit) for ml in mls]
    weighed = weigh(
        math.fsum(grams) if split else mixed * density,
        share_a=stock.share_a,
        digit_g=digit,
        tolerance=stock.resin.ratio_tolerance,
    )
    if not split:
        grams = [weighed.total_g]
    return Portion(
        poured_ml=poured,
        kept_ml=kept,
        topped_ml=topped,
        loss_ml=loss,
        weighed=weighed,
        cups=tuple(
            CupPortion(colour, ml_in, ml, g, _tint_g(tints[colour], g, digit))
            for (colour, ml_in), ml, g in zip(poured_ml, mls, grams, strict=True)
        ),
        weighed_ml=weighed.a_g / stock.resin.density_a + weighed.b_g / stock.resin.density_b,
    )


def _tint_g(tint: Tint, cup_g: float, digit_g: float) -> float | None:
    return None if tint.share is None else round_up_to(tint.share * cup_g, digit_g)
