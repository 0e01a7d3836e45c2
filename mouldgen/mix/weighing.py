"""What the scale has to show: parts A and B of a mix, its share in each cup, and the tint.

Everything is rounded to the scale's digit and nothing to less than is needed.  Each part rounded
up by itself can put the ratio off, so that among the nearest grams above the need the pair that
keeps the ratio with the least resin is taken.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.finding import Finding
from mouldgen.mix.amounts import COARSEST_DIGIT, round_up_to

if TYPE_CHECKING:
    from mouldgen.job.model import Colour

SOFT = 0.10  # of part B: common practice and one maker, urethane so far off stays soft and tacky
MOST_MORE = 0.05  # of the mix that may be weighed beyond the need to keep the ratio; our own choice
LEAST_STEPS = 4  # digits of either part that are tried at least
STRONG_TINT = 0.05  # of the mass: common practice is mica of 1 to 5 %
TINT_OFF = 0.10  # rounding may make a tint stronger by so much before it is told; our own choice


@dataclass(frozen=True, eq=False)
class Weighed:
    """One mix on the scale.

    needed_g : both parts, before rounding [g].
    a_g, b_g : the two parts as weighed [g].
    share_a : of part A in the mass, as the card has it.
    """

    needed_g: float
    a_g: float
    b_g: float
    share_a: float

    @property
    def total_g(self) -> float:
        """Both parts as weighed [g]."""
        return round(self.a_g + self.b_g, 6)

    @property
    def shift(self) -> float:
        """By what share grams of B for each gram of A are off."""
        return (self.b_g / self.a_g) / ((1.0 - self.share_a) / self.share_a) - 1.0


def weigh(needed_g: float, *, share_a: float, digit_g: float, tolerance: float) -> Weighed:
    """The least grams of both parts that are enough of each and keep the ratio.

    Where no pair within `MOST_MORE` keeps it, both parts rounded up.

    needed_g : of both parts together [g].
    share_a : of part A in the mass.
    digit_g : the scale's smallest digit [g].
    tolerance : how far the share of part B may be off, as a share of it.
    """
    a = round_up_to(needed_g * share_a, digit_g)
    b = round_up_to(needed_g * (1.0 - share_a), digit_g)
    steps = max(LEAST_STEPS, math.floor(MOST_MORE * needed_g / digit_g))
    for more in range(min(steps, 200) + 1):
        pairs = [
            Weighed(
                needed_g, round(a + k * digit_g, 6), round(b + (more - k) * digit_g, 6), share_a
            )
            for k in range(more + 1)
        ]
        best = min(pairs, key=lambda pair: abs(pair.shift))
        if abs(best.shift) <= tolerance:
            return best
    return Weighed(needed_g, a, b, share_a)


def ratio_finding(weighed: Weighed, *, digit_g: float, tolerance: float) -> Finding | None:
    """What to say where rounding puts the ratio of a mix off; None where it keeps it.

    weighed : the mix.
    digit_g : the scale's smallest digit [g].
    tolerance : how far the share of part B may be off, as a share of it.
    """
    off = abs(weighed.shift)
    if off <= tolerance:
        return None
    smaller = weighed.needed_g * min(weighed.share_a, 1.0 - weighed.share_a)
    return Finding(
        id="mix.rounding",
        rule="mix",
        severity="stop" if off >= SOFT else "warn",
        message=(
            f"To {digit_g:g} g a mix of {weighed.needed_g:.1f} g is weighed as {weighed.a_g:g} g"
            f" and {weighed.b_g:g} g, {100.0 * off:.1f} % off in part B; {100.0 * tolerance:g} % is"
            f" allowed. Mix more at once, or take a scale that shows"
            f" {_finer(smaller, digit_g):g} g."
        ),
        measured=off,
        limit=tolerance,
        place="[shop] scale",
    )


def _finer(smaller_g: float, digit_g: float) -> float:
    """A digit of 1, 0.1, 0.01 g that weighs the smaller part to 2 %."""
    digit = 1.0
    while digit >= digit_g or digit > COARSEST_DIGIT * smaller_g:
        digit /= 10.0
    return digit


def tint_share(colour: Colour, *, shown_mm: float | None) -> float | None:
    """A tint's share of the mass for the thickness that is shown; None where none is weighed.

    What a tint takes of the light goes with its concentration times the way through the resin
    (Beer and Lambert): a tint judged in ``tested`` and shown in ``shown`` needs
    ``tint * tested / shown``.  Mica also throws light back, which this leaves out.

    colour : of the job.
    shown_mm : thickness of resin in the finished piece, where the colour does not tell it, or
        None [mm].
    """
    if colour.tint is None:
        return None
    shown = colour.shown or shown_mm
    if colour.tested is None or shown is None:
        return colour.tint
    return colour.tint * colour.tested / shown


def tint_findings(
    colour: Colour, *, shown_mm: float | None, least_g: float, digit_g: float
) -> tuple[Finding, ...]:
    """What to look at in one tint.

    colour : of the job.
    shown_mm : thickness of resin in the finished piece, reckoned, or None [mm].
    least_g : the smallest cup of it [g].
    digit_g : the scale's smallest digit [g].
    """
    share = tint_share(colour, shown_mm=shown_mm)
    if share is None:
        return ()
    found = []
    if colour.tested is not None and colour.shown is None and shown_mm is None:
        found.append(
            Finding(
                "mix.tint.shown", "mix", "note",
                f"How thick the resin of {colour.name} is in the finished piece cannot be reckoned:"
                " the tint is weighed as tested. Give [[colour]] shown.",
                place="[[colour]] shown",
            )
        )  # fmt: skip
    if share > STRONG_TINT:
        found.append(
            Finding(
                "mix.tint.strong", "mix", "warn",
                f"{colour.name} takes {100.0 * share:.1f} % of tint. Common practice is 1 to 5 %;"
                " more can thicken the resin, shift its gel and leave it soft. Cast a test piece.",
                measured=share, limit=STRONG_TINT, place="[[colour]] tint",
            )
        )  # fmt: skip
    need = share * least_g
    over = round_up_to(need, digit_g) / need - 1.0
    if over > TINT_OFF:
        found.append(
            Finding(
                "mix.tint.scale", "mix", "warn",
                f"The least cup of {colour.name} takes {need:.2g} g of tint and the scale shows"
                f" {digit_g:g} g: as weighed it is {100.0 * over:.0f} % stronger. Weigh tints on a"
                " finer scale, or tint one stock and share it out.",
                measured=over, limit=TINT_OFF, place="[shop] scale",
            )
        )  # fmt: skip
    return tuple(found)
