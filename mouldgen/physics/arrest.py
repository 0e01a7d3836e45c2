"""A bubble that fills its passage and stays where it is.

In a tube closed above it, a bubble that fills the section does not rise at all below
``drho g r^2/gamma = 0.842``, with r the tube's *radius* (Bretherton, J. Fluid Mech. 10 (1961)
166); that is r below 0.918 capillary lengths (Lamstaes & Eggers, J. Stat. Phys. 2017).

A bubble that reaches all the way round a thin gap is the same question in the plane.  Our own
derivation, not found in print, so a warning and never a bound: the cap's first integral
``1 - cos psi = k z - z^2/2`` gives the half gap ``sqrt(2) B`` capillary lengths at the threshold,
``B = integral_0^1 t^2/sqrt(1 - t^4) dt = sqrt(pi) Gamma(3/4)/(4 Gamma(5/4))`` = 0.59907, and the
full gap 1.6944.

Both take walls that the liquid wets (contact angle 0).  A patch of a bubble with liquid beside it
is *not* arrested: it follows `heleshaw.rise_speed`.  Rough walls may still hold it by its edge.
"""

from __future__ import annotations

import math

from mouldgen.errors import InternalError
from mouldgen.physics.constants import STANDARD_GRAVITY

TUBE_BOND = 0.842  # drho g r^2/gamma, Bretherton 1961
LARGEST_TUBE_BOND = 1.04  # up to here his speed is within 10 percent
SLOT_INTEGRAL = math.sqrt(math.pi) * math.gamma(0.75) / (4.0 * math.gamma(1.25))  # B
SLOT_BOND = 2.0 * SLOT_INTEGRAL**2  # drho g (b/2)^2/gamma


def capillary_length(surface_tension: float, *, density_difference: float) -> float:
    """Length at which weight and surface tension balance [m]: ``sqrt(gamma/(drho g))``.

    surface_tension : gamma [N/m].
    density_difference : liquid less gas [kg/m3].
    """
    return math.sqrt(surface_tension / (density_difference * STANDARD_GRAVITY))


def least_tube_diameter(surface_tension: float, *, density_difference: float) -> float:
    """Diameter of the tube in which a bubble that fills it just does not rise [m].

    ``2 sqrt(0.842) l_c``

    surface_tension : gamma [N/m].
    density_difference : liquid less gas [kg/m3].
    """
    length = capillary_length(surface_tension, density_difference=density_difference)
    return 2.0 * math.sqrt(TUBE_BOND) * length


def least_slot_gap(surface_tension: float, *, density_difference: float) -> float:
    """Full gap in which a bubble that spans the whole perimeter just does not rise [m].

    ``2 sqrt(2) B l_c = 1.6944 l_c``; our own derivation: use it for a warning only.

    surface_tension : gamma [N/m].
    density_difference : liquid less gas [kg/m3].
    """
    length = capillary_length(surface_tension, density_difference=density_difference)
    return 2.0 * math.sqrt(SLOT_BOND) * length


def tube_rise_speed(
    radius: float, *, density_difference: float, viscosity: float, surface_tension: float
) -> float:
    """Speed of a long bubble that fills an upright tube closed above it [m/s]; 0 if arrested.

    ``Bo - 0.842 = 1.25 Ca^(2/9) + 2.24 Ca^(1/3)`` with ``Ca = mu U/gamma``, within 10 percent up
    to Bo = 1.04 (Bretherton 1961, abstract).

    radius : of the tube [m].
    density_difference : liquid less gas [kg/m3].
    viscosity : of the liquid [Pa s].
    surface_tension : gamma [N/m].

    Raises InternalError beyond that Bond number.
    """
    bond = density_difference * STANDARD_GRAVITY * radius**2 / surface_tension
    if bond > LARGEST_TUBE_BOND:
        raise InternalError(
            f"no speed is known for a bubble at a Bond number of {bond:g}",
            allowed=f"up to {LARGEST_TUBE_BOND}",
        )
    excess = max(0.0, bond - TUBE_BOND)
    return _ninth_root(excess) ** 9 * surface_tension / viscosity


def _ninth_root(excess: float) -> float:
    """The x = Ca^(1/9) with ``1.25 x^2 + 2.24 x^3`` equal to the excess, by Newton from above."""
    x = math.sqrt(excess / 1.25)
    for _ in range(60):
        slope = 2.5 * x + 6.72 * x * x
        if slope == 0.0:
            return 0.0
        step = (1.25 * x * x + 2.24 * x**3 - excess) / slope
        x -= step
        if abs(step) <= 1e-15 * x:
            break
    return x
