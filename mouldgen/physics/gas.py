"""Shut-in air under the pressure of a pot.

Boyle at one temperature: ``V/V0 = p_atm/(p_atm + p)`` with p the gauge pressure.  What dissolves
helps further and is left out; letting the pressure go before the gel brings the bubbles back.
The air pressure falls with the height of the shop above the sea: the caller says which it is.
"""

from __future__ import annotations

from mouldgen.errors import InternalError

STANDARD_ATMOSPHERE = 101_325.0  # [Pa], exact by definition (NIST SP 811, App. B)


def volume_share(gauge_pressure: float, *, atmospheric: float = STANDARD_ATMOSPHERE) -> float:
    """What the pot leaves of a trapped volume, 0 to 1.

    The surface tension's own share, `laplace_pressure`, is left out: it counts below about
    0.1 mm only.

    gauge_pressure : of the pot, above that of the shop [Pa].
    atmospheric : absolute pressure of the shop's air, at which the air was shut in [Pa].

    Raises InternalError for a vacuum down to nothing.
    """
    if gauge_pressure <= -atmospheric:
        raise InternalError(
            f"a gauge pressure of {gauge_pressure:g} Pa leaves no air at all",
            allowed=f"above {-atmospheric:g} Pa",
        )
    return atmospheric / (atmospheric + gauge_pressure)


def diameter_share(gauge_pressure: float, *, atmospheric: float = STANDARD_ATMOSPHERE) -> float:
    """What the pot leaves of a bubble's diameter, 0 to 1: the cube root of the volume's share.

    A bubble that shrinks also climbs more slowly, by the square of this.

    gauge_pressure : of the pot, above that of the shop [Pa].
    atmospheric : absolute pressure of the shop's air [Pa].
    """
    share: float = volume_share(gauge_pressure, atmospheric=atmospheric) ** (1.0 / 3.0)
    return share


def laplace_pressure(radius: float, *, surface_tension: float) -> float:
    """By how much the gas in a bubble is above the liquid round it [Pa]: ``2 gamma/r``.

    1.6 kPa at 0.05 mm and 0.040 N/m: small against a pot.

    radius : of the bubble [m].
    surface_tension : gamma [N/m].
    """
    return 2.0 * surface_tension / radius


def level_drop(
    trapped_volume: float,
    *,
    surface: float,
    gauge_pressure: float,
    atmospheric: float = STANDARD_ATMOSPHERE,
) -> float:
    """How far the level sinks when the pot squeezes trapped air [m]: ``V (1 - V'/V)/A``.

    trapped_volume : of all pockets and open pores before the pot is shut [m3].
    surface : area of the free level, the same all the way down [m2].
    gauge_pressure : of the pot [Pa].
    atmospheric : absolute pressure of the shop's air [Pa].
    """
    lost = 1.0 - volume_share(gauge_pressure, atmospheric=atmospheric)
    return trapped_volume * lost / surface
