"""Gel and glass: at which conversion a resin stops flowing, and how hot it may be and stay hard.

- Gel: ``p = 1/sqrt(r (f - 1)(g - 1))`` for groups that react independently and alike (Flory 1941,
  Stockmayer 1943).  Real systems gel a little later; amines whose two hydrogens differ move it to
  0.5 to 0.6.
- Glass: ``Tg = Tg0 + (Tg1 - Tg0) L a/(1 - (1 - L) a)`` (DiBenedetto 1987).  At low temperatures L
  itself depends on where the resin was cured (Moussa et al. 2012).

The default resin, -20 degC unreacted and 90 degC fully reacted with L = 0.4, is belief.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from mouldgen.errors import InternalError
from mouldgen.physics.constants import ZERO_CELSIUS


def gel_conversion(
    resin_functionality: float, hardener_functionality: float, *, ratio: float = 1.0
) -> float:
    """Conversion of the limiting group at the gel, a pure number [1].

    resin_functionality : f, reactive groups of one resin molecule.
    hardener_functionality : g, of one hardener molecule; a primary amine counts two.
    ratio : r, limiting groups over the others, above 0 up to 1.

    Raises InternalError where no network forms.
    """
    network = ratio * (resin_functionality - 1.0) * (hardener_functionality - 1.0)
    if not (0.0 < ratio <= 1.0 and network >= 1.0):
        raise InternalError(
            f"groups of {resin_functionality:g} and {hardener_functionality:g} in the ratio"
            f" {ratio:g} never gel",
            allowed="r (f - 1)(g - 1) of at least 1, r up to 1",
        )
    return 1.0 / math.sqrt(network)


@dataclass(frozen=True, eq=False)
class Glass:
    """A resin's glass transition between unreacted and fully reacted.

    unreacted : Tg0 [K].
    reacted : Tg1, above `unreacted` [K].
    shape : L, above 0 up to 1.
    """

    unreacted: float = ZERO_CELSIUS - 20.0
    reacted: float = ZERO_CELSIUS + 90.0
    shape: float = 0.4

    def transition(self, conversion: float) -> float:
        """Glass transition at a conversion [K].

        conversion : share of the limiting groups that has reacted, 0 to 1.
        """
        share = self.shape * conversion / (1.0 - (1.0 - self.shape) * conversion)
        return self.unreacted + (self.reacted - self.unreacted) * share

    def conversion(self, transition: float) -> float:
        """Conversion at which the glass transition has a value; inverts the above.

        Goes on below 0 and above 1 beyond the two ends.

        transition : [K].
        """
        share = (transition - self.unreacted) / (self.reacted - self.unreacted)
        return share / (self.shape + (1.0 - self.shape) * share)


GLASS = Glass()  # of a casting resin that no card tells more of; from memory
