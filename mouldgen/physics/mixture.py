"""A two-part resin by volume and by mass: the ratio's two readings and the mixed density.

The two parts are taken to add their volumes.  A mass ratio must never be turned into a volume
ratio with the density of water: each part has its own.
"""

from __future__ import annotations


def mass_share_a(
    part_a: float, part_b: float, *, density_a: float, density_b: float, by_volume: bool
) -> float:
    """Share of part A in the mixed mass, 0 to 1.

    ``V_A rho_A / (V_A rho_A + V_B rho_B)`` by volume, ``m_A / (m_A + m_B)`` by mass.

    part_a, part_b : the mixing ratio, A to B.
    density_a, density_b : of the parts [kg/m3].
    by_volume : whether the ratio counts volumes or masses.
    """
    if by_volume:
        part_a, part_b = part_a * density_a, part_b * density_b
    return part_a / (part_a + part_b)


def mixed_density(
    part_a: float, part_b: float, *, density_a: float, density_b: float, by_volume: bool
) -> float:
    """Density of the mixed resin, in the unit of the parts' densities.

    ``(V_A rho_A + V_B rho_B)/(V_A + V_B)`` by volume, ``(m_A + m_B)/(m_A/rho_A + m_B/rho_B)``
    by mass.

    part_a, part_b : the mixing ratio, A to B.
    density_a, density_b : of the parts [kg/m3].
    by_volume : whether the ratio counts volumes or masses.
    """
    if by_volume:
        return (part_a * density_a + part_b * density_b) / (part_a + part_b)
    return (part_a + part_b) / (part_a / density_a + part_b / density_b)
