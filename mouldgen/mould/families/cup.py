"""The cup: one piece round a straight bore, turned away with the first cuts."""

from __future__ import annotations

import math

from mouldgen.cavity.bare import bare_cavity
from mouldgen.insert import displacing_of, envelope_solid, solid_of
from mouldgen.job.model import Insert
from mouldgen.mould.body import body_solid, cavity_solid
from mouldgen.mould.families.family import Family
from mouldgen.mould.lid import lid_solid
from mouldgen.mould.parts import MouldParts, Part, centred, part_of
from mouldgen.mould.plan import CupPlan
from mouldgen.mould.socket_solids import lid_fingers
from mouldgen.solid.kernel import Solid


def make(plan: CupPlan, insert: Insert) -> MouldParts:
    """Every solid of a cup and its lid, each checked once.

    plan : of the cup.
    insert : the table it was planned from, for its section.

    Raises KernelError where a solid does not come out as its features declare.
    """
    cavity = cavity_solid(plan)
    fed = plan.size.runner is not None
    genus = plan.body_genus + fed
    body = part_of("body", body_solid(plan, cavity), genus=genus, turn_over=False)
    # Its top on the bed: the legs point up and need no support.
    lid = part_of("lid", lid_solid(plan), genus=plan.lid_genus, turn_over=True)
    own = [
        part_of(name, solid, genus=holes, turn_over=False)
        for feature in plan.features
        for name, solid, holes in feature.own_parts(plan)
    ]
    return round_insert((centred(body) if fed else body, lid, *own), plan, insert, cavity)


def round_insert(
    parts: tuple[Part, ...], plan: CupPlan, insert: Insert, cavity: Solid
) -> MouldParts:
    """Printed parts with all that they are checked against.

    parts : of a mould that holds one upright insert.
    plan : of that mould.
    insert : the table it was planned from, for its section.
    cavity : the space inside with its features.
    """
    stand = plan.insert_foot_mm
    stick = solid_of(insert, chord_mm=plan.chord_mm).moved(z=stand).any_mesh()
    full = displacing_of(insert, plan.insert, chord_mm=plan.chord_mm)
    return MouldParts(
        parts=parts,
        insert=stick,
        displacing=stick if full is None else full.moved(z=stand).any_mesh(),
        envelope=envelope_solid(plan.insert, sides=plan.sides).moved(z=stand).any_mesh(),
        cavity=bare_cavity(plan.size, sides=plan.sides, top_mm=plan.size.fill_mm).any_mesh(),
        hollow=cavity.any_mesh(),
        features_ml=features_ml(plan, cavity),
    )


def features_ml(plan: CupPlan, cavity: Solid) -> float:
    """What grooves add to the resin and what stands in it takes, up to the poured level [ml].

    Ribs and pips are the body's, legs and fingers the lid's.

    plan : of the mould.
    cavity : with its features.
    """
    size = plan.size
    bare = bare_cavity(size, sides=plan.sides, top_mm=size.level_mm)
    lid = sum(math.pi * r * r for _, _, r in plan.legs) * (size.level_mm - plan.insert_top_mm)
    lid += math.fsum(finger.below(size.level_mm).volume_mm3() for finger in lid_fingers(plan))
    return (cavity.below(size.level_mm).volume_mm3() - bare.volume_mm3() - lid) / 1000.0


FAMILY = Family(
    name="cup",
    title="one-piece cup",
    release="Turn the cup away with the first cuts.",
    make=make,
)
