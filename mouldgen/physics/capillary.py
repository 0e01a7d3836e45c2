"""How far surface tension draws a liquid into a narrow passage, and when it keeps it out.

Height: Jurin's law.  Time: Washburn, Phys. Rev. 17 (1921) 273, level passage, viscosity the only
hindrance, full contact angle from the start.  Passages well below the capillary length.  A liquid
that wets enters any gap; what limits a gap is viscosity and the bubbles, not refusal.
"""

from __future__ import annotations

import math

from mouldgen.errors import InternalError
from mouldgen.physics.constants import STANDARD_GRAVITY


def tube_rise(
    radius: float, *, surface_tension: float, contact_angle: float, density: float
) -> float:
    """Height to which a liquid climbs in a tube [m]: ``2 gamma cos theta/(rho g r)``.

    Negative where the wall repels the liquid.

    radius : of the tube [m].
    surface_tension : gamma [N/m].
    contact_angle : theta, measured in the liquid [rad].
    density : of the liquid less that of the gas [kg/m3].
    """
    pull = 2.0 * surface_tension * math.cos(contact_angle)
    return pull / (density * STANDARD_GRAVITY * radius)


def slot_rise(gap: float, *, surface_tension: float, contact_angle: float, density: float) -> float:
    """Height to which a liquid climbs between two plates [m]: ``2 gamma cos theta/(rho g b)``.

    gap : b, full distance between the plates [m].
    surface_tension : gamma [N/m].
    contact_angle : theta, measured in the liquid [rad].
    density : of the liquid less that of the gas [kg/m3].
    """
    return tube_rise(
        gap, surface_tension=surface_tension, contact_angle=contact_angle, density=density
    )


def tube_depth(
    radius: float, *, time: float, surface_tension: float, contact_angle: float, viscosity: float
) -> float:
    """How far a liquid has entered a level tube [m]: ``sqrt(gamma r cos theta t/(2 mu))``.

    radius : of the tube [m].
    time : since it touched the mouth [s].
    surface_tension : gamma [N/m].
    contact_angle : theta, at most a right angle [rad].
    viscosity : of the liquid [Pa s].

    Raises InternalError where the wall repels the liquid, which then does not enter by itself.
    """
    drive = surface_tension * _wetting(contact_angle) * time / viscosity
    return math.sqrt(0.5 * drive * radius)


def slot_depth(
    gap: float, *, time: float, surface_tension: float, contact_angle: float, viscosity: float
) -> float:
    """How far a liquid has entered a level slot [m]: ``sqrt(gamma b cos theta t/(3 mu))``.

    gap : b, full distance between the walls [m].
    time : since it touched the mouth [s].
    surface_tension : gamma [N/m].
    contact_angle : theta, at most a right angle [rad].
    viscosity : of the liquid [Pa s].

    Raises InternalError where the wall repels the liquid, which then does not enter by itself.
    """
    drive = surface_tension * _wetting(contact_angle) * time / viscosity
    return math.sqrt(drive * gap / 3.0)


def slot_entry_pressure(gap: float, *, surface_tension: float, contact_angle: float) -> float:
    """Pressure that a liquid needs to enter a slot [Pa]: ``-2 gamma cos theta/b``.

    Above 0 where a release agent repels it; below 0 it is drawn in.

    gap : b, full distance between the walls [m].
    surface_tension : gamma [N/m].
    contact_angle : theta, measured in the liquid [rad].
    """
    return -2.0 * surface_tension * math.cos(contact_angle) / gap


def tube_entry_pressure(radius: float, *, surface_tension: float, contact_angle: float) -> float:
    """Pressure that a liquid needs to enter a round pore [Pa]: ``-2 gamma cos theta/r``.

    Above 0 where the wall repels it; below 0 it is drawn in.

    radius : of the pore [m].
    surface_tension : gamma [N/m].
    contact_angle : theta, measured in the liquid [rad].
    """
    return slot_entry_pressure(radius, surface_tension=surface_tension, contact_angle=contact_angle)


def _wetting(contact_angle: float) -> float:
    cosine = math.cos(contact_angle)
    if cosine < 0.0:
        raise InternalError(
            f"a liquid at a contact angle of {contact_angle:g} rad does not enter by itself",
            allowed="up to a right angle",
        )
    return cosine
