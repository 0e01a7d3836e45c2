"""A mould across its axis, as heat sees it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from mouldgen.physics.material import Material


@dataclass(frozen=True, eq=False)
class Section:
    """A ring of resin round an insert in a printed wall, or a full round of resin.

    insert_radius : of the round that has the insert's section; 0 with no insert [m].
    bore_radius : [m].
    wall : thickness [m].
    insert, plastic : what they are made of.
    contact : conductance between resin and wall [W/(m2 K)].
    """

    insert_radius: float
    bore_radius: float
    wall: float
    insert: Material
    plastic: Material
    contact: float = math.inf
