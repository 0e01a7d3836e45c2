"""Does the job mix its resin in another ratio than the resin's card tells?

A ratio by volume that is weighed as one by mass is the trade's commonest slip, and no number of a
job by itself can tell it.  Beside a card it can: the two give different grams.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from mouldgen import units
from mouldgen.errors import PresetError, UnitError
from mouldgen.finding import Finding
from mouldgen.job.presets import read_card
from mouldgen.physics.mixture import mass_share_a

if TYPE_CHECKING:
    from mouldgen.job.material_tables import Resin

MOST_OFF = 0.02  # of part B: a ratio is to be kept within 2 % (common practice)


@dataclass(frozen=True, eq=False)
class _Ratio:
    """Parts A and B, what they count, and the densities of the two [g/ml]."""

    parts: tuple[float, float]
    basis: str
    densities: tuple[float, float]

    @property
    def b_per_100_a(self) -> float:
        """Grams of part B for 100 g of part A."""
        share = mass_share_a(
            *self.parts,
            density_a=self.densities[0],
            density_b=self.densities[1],
            by_volume=self.basis == "volume",
        )
        return 100.0 * (1.0 - share) / share

    @property
    def words(self) -> str:
        """``2:1 by volume``."""
        return f"{self.parts[0]:g}:{self.parts[1]:g} by {self.basis}"


def ratio_findings(resin: Resin) -> tuple[Finding, ...]:
    """What to look at where ratio or basis are not the card's and the grams of part B differ.

    resin : the table of the job file, its card merged in.

    Densities alone that are not the card's are no other ratio: the can tells them better.
    """
    if resin.card is None:
        return ()
    own = _Ratio(resin.ratio, resin.ratio_basis, (resin.density_a, resin.density_b))
    told = _on_card(resin.card)
    if told is None:
        return ()
    same = {"ratio": own.parts == told.parts, "ratio_basis": own.basis == told.basis}
    keys = [key for key, is_same in same.items() if not is_same]
    off = own.b_per_100_a / told.b_per_100_a - 1.0
    if not keys or abs(off) <= MOST_OFF:
        return ()
    return (
        Finding(
            id="mix.ratio",
            rule="mix",
            severity="warn",
            message=(
                f"For 100 g of part A the job weighs {own.b_per_100_a:.1f} g of part B"
                f" ({own.words}) and the card {resin.card} {told.b_per_100_a:.1f} g"
                f" ({told.words}): {100.0 * abs(off):.0f} % {'more' if off > 0.0 else 'less'}."
                " Read the can, its label wins: where it says what the card says, leave"
                f" [resin] {' and '.join(keys)} out; where it says what the job says, nothing is"
                " wrong."
            ),
            measured=abs(off),
            limit=MOST_OFF,
            place=f"[resin] {keys[-1]}",
        ),
    )


def _on_card(name: str) -> _Ratio | None:
    """What a card says; None where it leaves the ratio or a density to the job."""
    try:
        card: dict[str, Any] = read_card("resins", name)
        a, b = card["ratio"]
        densities = units.density(card["density_a"]), units.density(card["density_b"])
        return _Ratio((float(a), float(b)), card["ratio_basis"], densities)
    except (PresetError, UnitError, KeyError, TypeError, ValueError):
        return None  # the loader has refused what cannot be read: nothing to compare
