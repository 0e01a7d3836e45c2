"""Air below resin that was poured on top of an insert and bridges the gap all round.

Own derivation on published parts, a guide to volumes and never a bound:

- Whether it bridges: the arrest limits of `mouldgen.physics.arrest` (the tube's published, the
  slot's our own derivation).  A groove stays open where a tube as wide as the widest circle in
  it clears itself; just above the limit it does so slowly (Bretherton), so that this rests on
  resin being poured in a thin stream at one side.  Belief.
- While it holds: the air leaves nowhere, and the resin sinks only as far as its weight squeezes
  the air (Boyle, `mouldgen.physics.gas.volume_share`).  The pull of the walls on the plug's lower
  face, 0.7 percent of an atmosphere in a gap of 0.1 mm, is left out.
- Whether it holds: a ring longer than `breaking_perimeter` is unstable along itself, heavy over
  light, with the growth rate ``b^2/(12 mu) k (drho g - gamma k^2)`` (Saffman & Taylor, Proc. R.
  Soc. A 245 (1958) 312; from memory).  Walls that the resin does not wet evenly may hold it all
  the same.  So there are two answers: the bridge holds, or it breaks up into patches.
- Patches, and air in a gap too wide to be bridged, climb as flat bubbles (`heleshaw`).  Air that
  starts at a depth below the top has left once they have climbed that far.

For gaps well below the insert's radius, creeping flow, air at the shop's pressure.
"""

from __future__ import annotations

import math

from mouldgen.physics.arrest import capillary_length
from mouldgen.physics.heleshaw import rise_speed


def widest_circle(gap: float, *, groove: float) -> float:
    """Diameter of the largest circle in a half-round groove and the gap before it [m].

    ``h + r`` up to a gap as wide as the groove's radius, then ``h + r^2/h``: the circle no longer
    reaches the groove's back and rests on its lips.  The facing wall is taken as flat.

    gap : h, from the groove's lips to the facing wall, 0 and more [m].
    groove : r, radius of the half round [m].
    """
    return gap + (groove if gap <= groove else groove**2 / gap)


def clearing_gap(diameter: float, *, groove: float) -> float:
    """Gap at which the largest circle in a groove is that wide [m]; inverts `widest_circle`.

    Never below 0: a groove may be wide enough by itself.

    diameter : of the circle [m].
    groove : r, radius of the half round [m].
    """
    if diameter <= 2.0 * groove:
        return max(0.0, diameter - groove)
    return 0.5 * (diameter + math.sqrt(diameter**2 - 4.0 * groove**2))


def breaking_perimeter(surface_tension: float, *, density_difference: float) -> float:
    """Length of the shortest ring whose bridge is unstable along itself [m]: ``2 pi l_c``.

    There ``gamma k^2 = drho g``: a wave that goes once round neither grows nor decays.

    surface_tension : gamma [N/m].
    density_difference : liquid less gas [kg/m3].
    """
    return 2.0 * math.pi * capillary_length(surface_tension, density_difference=density_difference)


def climb(gap: float, *, density_difference: float, fluidity_integral: float) -> float:
    """How far a flat bubble gets before the liquid sets [m]: ``drho g b^2 J/12``.

    gap : b, full distance between the walls [m].
    density_difference : liquid less gas [kg/m3].
    fluidity_integral : J = integral dt/mu from now until the liquid sets [1/Pa].
    """
    speed = rise_speed(gap, density_difference=density_difference, viscosity=1.0)
    return speed * fluidity_integral


def air_left(*, ring: float, under: float, height: float, climbed: float) -> float:
    """Air that has not left when the liquid sets [m3].

    ``V_ring (1 - z/L) + V_under`` while z is below L, then nothing: what is under the insert
    leaves last.

    ring : air in the ring, the same at every height [m3].
    under : air below the ring [m3].
    height : L, of the ring, above 0 [m].
    climbed : z, how far bubbles get [m]; 0 where the bridge holds.
    """
    if climbed >= height:
        return 0.0
    return ring * (1.0 - climbed / height) + under
