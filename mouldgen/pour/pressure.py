"""What a pot's pressure leaves of shut-in air, and how far the level then sinks."""

from __future__ import annotations

from mouldgen.errors import InputError
from mouldgen.physics.gas import STANDARD_ATMOSPHERE, volume_share

ATMOSPHERE_KPA = STANDARD_ATMOSPHERE / 1000.0


def share_left(pressure_kpa: float, *, atmosphere_kpa: float = ATMOSPHERE_KPA) -> float:
    """Share of a volume of air that is left under pressure, ``p_a / (p_a + p)`` (Boyle).

    pressure_kpa : gauge [kPa].
    atmosphere_kpa : absolute pressure of the air outside [kPa].

    Raises InputError for a pressure below 0, or no atmosphere.
    """
    if not (pressure_kpa >= 0.0 and atmosphere_kpa > 0.0):
        raise InputError(
            f"{pressure_kpa:g} kPa gauge at {atmosphere_kpa:g} kPa outside is no pot's pressure",
            allowed="0 kPa and more over an atmosphere above 0",
        )
    return volume_share(1000.0 * pressure_kpa, atmospheric=1000.0 * atmosphere_kpa)


def level_drop_mm(
    air_ml: float, *, pressure_kpa: float, shrunk_ml: float = 0.0, area_mm2: float
) -> float:
    """How far a level of constant area sinks: what air gives up and resin shrinks [mm].

    air_ml : pockets and open pores before the pressure [ml].
    pressure_kpa : gauge [kPa].
    shrunk_ml : shrinkage of the resin before it gels [ml].
    area_mm2 : of the resin's surface [mm2].

    `Pour.level_after` follows the real sections.  Raises InputError for a surface of no area.
    """
    if not area_mm2 > 0.0:
        raise InputError(f"a surface of {area_mm2:g} mm2 has no level", allowed="above 0 mm2")
    return 1000.0 * (air_ml * (1.0 - share_left(pressure_kpa)) + shrunk_ml) / area_mm2
