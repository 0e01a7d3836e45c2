"""The master: printed plugs in a printed box, for a rubber mould that the blanks are cast in.

A negative of the negative: a plug has the shape of a mould's hollow and stands on the base upside
down, so that the rubber mould opens where the base was.  Rubber is poured over the plugs to the
frame's line; what stands above the plugs becomes the rubber mould's floor.
"""

from __future__ import annotations

from dataclasses import replace

from mouldgen.job.model import Insert
from mouldgen.mould.body import cavity_solid
from mouldgen.mould.families.cup import round_insert
from mouldgen.mould.families.family import Family
from mouldgen.mould.lid import lid_solid
from mouldgen.mould.parts import MouldParts, Part, part_of, square_footprint
from mouldgen.mould.plan import CupPlan
from mouldgen.mould.rubber import as_used, base_solid, frame_solid, rubber_size, rubber_solid
from mouldgen.solid.kernel import Solid


def make(plan: CupPlan, insert: Insert) -> MouldParts:
    """Base, frame and lid as printed, and the rubber mould that comes of them.

    The insert and the lid stand in the first cavity; all cavities are alike.

    plan : of one cavity.
    insert : the table it was planned from, for its section.

    Raises KernelError where a solid does not come out as its features declare.
    """
    cavity, size = cavity_solid(plan), rubber_size(plan)
    x, y = size.cells[0]
    body = rubber_solid(plan, cavity).moved(-x, -y)
    printed = (
        _printed("base", base_solid(plan, cavity), plan, genus=0),
        _printed("frame", frame_solid(plan), plan, genus=1),
        part_of("lid", lid_solid(plan), genus=plan.lid_genus, turn_over=True),
    )
    rubber = part_of("body", body, genus=0, turn_over=False)
    return replace(round_insert(printed, plan, insert, cavity), cast=(rubber,))


def _printed(name: str, solid: Solid, plan: CupPlan, *, genus: int) -> Part:
    """One for the whole job, in the pose that rubber is poured in."""
    mesh = solid.mesh(genus=genus)
    mesh = mesh.moved(0.0, 0.0, -mesh.bounds[0][2])
    used = as_used(plan, solid).mesh(genus=genus)
    return Part(name, mesh, used, genus, 1, square_footprint(mesh), count=1)


FAMILY = Family(
    name="master",
    title="rubber mould from printed plugs",
    release="Bend the rubber back and press the blank out from below.",
    make=make,
    holds=("lid", "none"),
    no_hold={
        "tape": "tape does not stick to rubber: lay a weight on the lid",
        "weight": "a ledge would meet the next lid: lay a weight on the lid as it is",
        "band": "a band would bend the rubber: lay a weight on the lid",
        "dowel": "bores in rubber hold no dowel: lay a weight on the lid",
        "screw": "rubber holds no screw, and its floor would leak round it",
        "glue": "glue that sticks to rubber tears it, and what does not holds nothing",
    },
    each_casting=("lid",),  # its legs stand in the resin over the insert
)
