"""Air that a flat foot catches as it is set down on a liquid, and what of it stays.

Own derivation.  The air below the foot leaves sideways through a film that thins.  Between a
round disc and a still surface its pressure is highest in the middle, ``3 mu_g U a^2/h^3``
(squeeze film: Stefan 1874, Reynolds 1886; from memory).  Once that is more than the liquid as
high as the film is thick weighs, ``rho g h``, it dents the surface instead of driving the air
out, and about that film is caught::

    h = (3 mu_g U a^2/(rho g))^(1/4)

An upper estimate: a foot that leans, or touches with one edge first, lets the air out, a thick
liquid is dented less, and surface tension is left out.  As the foot goes down, the liquid below
it runs outward and carries the air along: by continuity the square of each distance from the
axis grows as the depth below the foot falls, so that of air spread evenly only the share
``H_end/H_start`` is still under the foot.
"""

from __future__ import annotations

from mouldgen.errors import InternalError
from mouldgen.physics.constants import STANDARD_GRAVITY

AIR_VISCOSITY = 1.8e-5  # [Pa s], at room temperature


def caught_film(
    radius: float, *, speed: float, density: float, gas_viscosity: float = AIR_VISCOSITY
) -> float:
    """Thickness of the film of air that a flat round foot catches [m].

    radius : a, of the foot [m].
    speed : U, at which it comes down on the liquid [m/s].
    density : of the liquid [kg/m3].
    gas_viscosity : mu_g [Pa s].
    """
    drag = 3.0 * gas_viscosity * speed * radius**2
    film: float = (drag / (density * STANDARD_GRAVITY)) ** 0.25
    return film


def share_kept(end_depth: float, *, start_depth: float) -> float:
    """Share of the caught air that is still below the foot when it has come to rest, 0 to 1.

    ``H_end/H_start``; all of it where the foot comes down on less liquid than it ends above.

    end_depth : below the foot at rest [m].
    start_depth : of the liquid before the foot enters it [m].

    Raises InternalError for a depth below 0.
    """
    if end_depth < 0.0 or start_depth < 0.0:
        raise InternalError(
            f"depths of {start_depth:g} m and {end_depth:g} m are none", allowed="0 m and more"
        )
    return end_depth / start_depth if end_depth < start_depth else 1.0
