"""How heavy a wood is in a heated shop."""

from __future__ import annotations

from mouldgen.errors import PresetError
from mouldgen.job.presets import read_card
from mouldgen.physics.wood import SHOP_MOISTURE, density


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
    return density(float(gravity), moisture=SHOP_MOISTURE) / 1000.0
