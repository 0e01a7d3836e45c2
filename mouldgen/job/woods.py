"""How heavy a wood is in a heated shop."""

from __future__ import annotations

from mouldgen.errors import PresetError
from mouldgen.job.presets import read_card

SHOP_MOISTURE = 12.0  # percent of the dry mass, the state that the printed values are for


def density_at(specific_gravity: float, *, moisture: float = SHOP_MOISTURE) -> float:
    """Density of wood with the water in it [g/ml].

    specific_gravity : oven-dry mass over volume at this moisture, relative to water.
    moisture : percent of the oven-dry mass.

    ``rho = G (1 + x/100)``, Wood Handbook FPL-GTR-190 (2010), eq. 4-12.
    """
    return specific_gravity * (1.0 + moisture / 100.0)


def wood_density(name: str) -> float:
    """Density of a wood at 12 percent moisture [g/ml].

    name : such as ``white ash``, or its card ``white-ash``.

    Raises PresetError with the nearest name for a wood that no card describes.
    """
    slug = "-".join(name.casefold().replace("_", " ").replace("-", " ").split())
    card = read_card("woods", slug)
    gravity = card.get("specific_gravity")
    if isinstance(gravity, bool) or not isinstance(gravity, int | float) or not 0 < gravity < 1.6:
        raise PresetError(
            "specific_gravity is not that of a wood",
            where=f"woods/{slug}.toml specific_gravity",
            allowed="a number above 0 and below 1.6, such as 0.60",
        )
    return density_at(float(gravity))
