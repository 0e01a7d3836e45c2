"""Bubbles that rise in a narrow upright gap, and free ones that are too small to.

A wide flat bubble between two walls that the liquid wets rises at ``drho g b^2 / (12 mu)``
with the full gap b (Taylor & Saffman, Q. J. Mech. Appl. Math. 12 (1959) 265).  Holds where the
bubble is much wider than the gap, the gap much smaller than the insert's radius and the flow
creeping; measured speeds lie below it at small capillary numbers.

A free bubble is taken as a rigid sphere (Stokes 1851, ``drho g d^2 / (18 mu)``): small bubbles
carry a film of surfactant that holds their surface still, and this is the slower speed.
"""

from __future__ import annotations

import math

from mouldgen.physics.constants import STANDARD_GRAVITY


def rise_speed(gap: float, *, density_difference: float, viscosity: float) -> float:
    """Speed of a wide flat bubble in an upright gap [m/s].

    ``U = drho g b^2 / (12 mu)``

    gap : full distance between the walls [m].
    density_difference : liquid less gas [kg/m3].
    viscosity : of the liquid [Pa s].
    """
    return density_difference * STANDARD_GRAVITY * gap**2 / (12.0 * viscosity)


def free_rise_speed(diameter: float, *, density_difference: float, viscosity: float) -> float:
    """Speed of a small free bubble with a still surface [m/s].

    ``U = drho g d^2 / (18 mu)``; creeping flow, Reynolds number below about 0.1.

    diameter : of the bubble [m].
    density_difference : liquid less gas [kg/m3].
    viscosity : of the liquid [Pa s].
    """
    return density_difference * STANDARD_GRAVITY * diameter**2 / (18.0 * viscosity)


def least_gap(
    height: float, *, density_difference: float, fluidity_integral: float, safety: float
) -> float:
    """Narrowest gap in which a flat bubble climbs a height before the liquid sets [m].

    The speed integrated over time: ``b = sqrt(12 S L / (drho g J))`` with ``J = integral dt/mu``.

    height : L, to be climbed, vertical [m].
    density_difference : liquid less gas [kg/m3].
    fluidity_integral : J, from now until the liquid sets, above 0 [1/Pa].
    safety : S, by which the height is multiplied.
    """
    buoyancy = density_difference * STANDARD_GRAVITY * fluidity_integral
    return math.sqrt(12.0 * safety * height / buoyancy)


def least_free_bubble(
    height: float, *, density_difference: float, fluidity_integral: float, safety: float
) -> float:
    """Diameter of the smallest free bubble that climbs a height before the liquid sets [m].

    ``d = sqrt(18 S L / (drho g J))``.  Smaller ones stay in at any gap.

    height : L, to be climbed, vertical [m].
    density_difference : liquid less gas [kg/m3].
    fluidity_integral : J, from now until the liquid sets, above 0 [1/Pa].
    safety : S, by which the height is multiplied.
    """
    buoyancy = density_difference * STANDARD_GRAVITY * fluidity_integral
    return math.sqrt(18.0 * safety * height / buoyancy)
