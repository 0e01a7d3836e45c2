"""A free bubble whose surface moves, the drag of near walls, and where creeping flow ends.

Three speeds compete.  A rigid sphere (Stokes 1851) is `heleshaw.free_rise_speed`; a bubble whose
surface moves freely is half again as fast (Hadamard 1911, Rybczynski 1911).  In practice a film
of surfactant holds small bubbles still, so that the slower one is the cautious choice.  All hold
for a Reynolds number below about 0.1 and a bubble that is still a sphere: Eotvos number
``drho g d^2/gamma`` below about 0.5 (Clift, Grace & Weber, Bubbles, Drops and Particles, 1978,
ch. 3; from memory).
"""

from __future__ import annotations

from mouldgen.errors import InternalError
from mouldgen.physics.heleshaw import free_rise_speed

AIR_VISCOSITY = 1.8e-5  # [Pa s], near 20 degC
LARGEST_SHARE_OF_GAP = 0.5

# Faxen's series in the radius over the half gap (Happel & Brenner; from memory).
_FAXEN = (1.0, -1.004, 0.0, 0.418, 0.21, -0.169)


def mobile_rise_speed(
    diameter: float,
    *,
    density_difference: float,
    viscosity: float,
    inner_viscosity: float = AIR_VISCOSITY,
) -> float:
    """Speed of a free bubble or drop whose surface moves [m/s].

    ``U = drho g d^2/(6 mu) (mu + mu')/(2 mu + 3 mu')``: Stokes' speed times
    ``1 + 1/(2 + 3 mu'/mu)``, from 1.5 for a gas down to 1 for a solid.

    diameter : of the bubble [m].
    density_difference : liquid less gas [kg/m3].
    viscosity : mu, of the liquid [Pa s].
    inner_viscosity : mu', of what is inside [Pa s].
    """
    rigid = free_rise_speed(diameter, density_difference=density_difference, viscosity=viscosity)
    return rigid * (1.0 + 1.0 / (2.0 + 3.0 * inner_viscosity / viscosity))


def wall_factor(diameter: float, gap: float) -> float:
    """Speed of a rigid sphere midway between two walls over its speed far from them.

    ``1 - 1.004 L + 0.418 L^3 + 0.21 L^4 - 0.169 L^5`` with L = d/b, motion along the walls
    (Faxen 1922).

    diameter : d, of the sphere [m].
    gap : b, full distance between the walls [m].

    Raises InternalError where the sphere is wider than half the gap: the series ends there.
    """
    share = diameter / gap
    if not 0.0 <= share <= LARGEST_SHARE_OF_GAP:
        raise InternalError(
            f"no wall factor for a sphere {share:g} times as wide as its gap",
            allowed=f"0 to {LARGEST_SHARE_OF_GAP}",
        )
    total = 0.0
    for coefficient in reversed(_FAXEN):
        total = coefficient + share * total
    return total


def reynolds_number(speed: float, *, diameter: float, density: float, viscosity: float) -> float:
    """Inertia over viscosity, ``rho U d/mu``; the formulas above want it below about 0.1.

    speed : of the bubble [m/s].
    diameter : of the bubble [m].
    density : of the liquid [kg/m3].
    viscosity : of the liquid [Pa s].
    """
    return density * speed * diameter / viscosity
