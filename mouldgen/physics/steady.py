"""A quick no to whether a resin gets too hot in a mould, so that no history has to be run.

Two bounds from above, the rougher first: the whole ring giving heat as fast as the cure ever does,
for ever (`mouldgen.physics.runaway.steady_rise`, a theorem), and the whole ring at one
temperature until its heat has run out (`mouldgen.physics.lumped_ring`, held by tests).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from mouldgen.physics.belief import Belief
from mouldgen.physics.data_sheet import DataSheet
from mouldgen.physics.kinetics import Kinetics
from mouldgen.physics.lumped import fastest_cure
from mouldgen.physics.lumped_ring import ring_rise
from mouldgen.physics.material import resin
from mouldgen.physics.runaway import ring_resistances, steady_rise
from mouldgen.physics.section import Section


@dataclass(frozen=True, eq=False)
class Limits:
    """How hot it may become.

    resin : anywhere in the resin [K].
    wall : at the wall's inner face [K].
    """

    resin: float
    wall: float


def surely_cool(
    sheet: DataSheet, mould: Section, *, belief: Belief, air: float, limits: Limits
) -> bool:
    """Whether no limit is passed even by a cure that is faster than the calibrated one [K].

    True is as good as certain, within this model; False says nothing.  Takes about two
    milliseconds.

    sheet : of the resin.
    mould : cold, as the air.
    belief : heat, energy and film.
    air : temperature of the shop [K].
    limits : not to be passed.
    """
    cure = fastest_cure(sheet, belief)
    return stays_cool(cure, sheet, mould, belief=belief, air=air, limits=limits)


def stays_cool(
    cure: Kinetics,
    sheet: DataSheet,
    mould: Section,
    *,
    belief: Belief,
    air: float,
    limits: Limits,
) -> bool:
    """Whether one of the two bounds of a cure passes no limit [K].

    cure : how fast the resin reacts.
    sheet : of the resin, for its density.
    mould : cold, as the air.
    belief : heat and film.
    air : temperature of the shop [K].
    limits : not to be passed.
    """
    material = resin(sheet.density)
    to_air, within = resistances(mould, belief.film, material.conductivity)
    heat, most = sheet.density * belief.heat, limits.resin - air

    def cool(rise: float) -> bool:
        return rise < math.inf and air + rise * to_air / (to_air + within) <= limits.wall

    return cool(
        steady_rise(cure, heat=heat, air=air, to_air=to_air, within=within, most=most)
    ) or cool(
        ring_rise(
            cure,
            gain=heat / material.stored,
            to_air=to_air + within,
            stored=material.stored,
            air=air,
            most=most,
        )
    )


def resistances(mould: Section, film: float, conductivity: float) -> tuple[float, float]:
    """What ring and wall warm up by for a unit of heat given everywhere in the ring [K m3/W].

    Of the ring's outer face over the air, and of its hottest place over that face.

    mould : across its axis.
    film : to the air [W/(m2 K)].
    conductivity : of the resin [W/(m K)].
    """
    bore, outer = mould.bore_radius, mould.bore_radius + mould.wall
    wall = bore * math.log(outer / bore) / mould.plastic.conductivity
    to_air = 1.0 / mould.contact + wall + bore / (outer * film)
    return ring_resistances(mould.insert_radius, bore, conductivity=conductivity, to_air=to_air)
