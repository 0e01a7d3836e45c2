"""The shell: one piece whose cavity follows a scan at the gap, turned away with the first cuts."""

from __future__ import annotations

import math

from mouldgen.insert import solid_of
from mouldgen.job.model import Insert
from mouldgen.mould.families.family import Family
from mouldgen.mould.lid import lid_solid
from mouldgen.mould.parts import MouldParts, part_of
from mouldgen.mould.plan import CupPlan
from mouldgen.mould.shell import bare_shell, shell_hollow, shell_outside
from mouldgen.solid.kernel import OVERSHOOT

_DRAWN = "its form is known in full, and a round bore fits it: use cup or contour"


def make(plan: CupPlan, insert: Insert) -> MouldParts:
    """Body and lid of a shell, each checked once.

    plan : of the shell, its cavity made.
    insert : the table that it was planned from, with its scan.

    Raises KernelError where a solid does not come out as its features declare.
    """
    size = plan.size
    bare = bare_shell(plan, top_mm=size.rim_mm + OVERSHOOT)
    hollow = shell_hollow(plan, bare)
    body = shell_outside(plan, bare) - hollow
    stick = solid_of(insert, chord_mm=plan.chord_mm).moved(z=plan.insert_foot_mm).any_mesh()
    level = size.level_mm
    legs = sum(math.pi * r * r for _, _, r in plan.legs) * (level - plan.insert_top_mm)
    more = hollow.below(level).volume_mm3() - bare.below(level).volume_mm3() - legs
    return MouldParts(
        parts=(
            part_of("body", body, genus=plan.body_genus, turn_over=False),
            # Its top on the bed: the legs point up and need no support.
            part_of("lid", lid_solid(plan), genus=plan.lid_genus, turn_over=True),
        ),
        insert=stick,
        displacing=stick,
        envelope=stick,  # the gap is kept round the scan itself
        cavity=bare.below(size.fill_mm).any_mesh(),
        hollow=hollow.any_mesh(),
        features_ml=more / 1000.0,
    )


FAMILY = Family(
    name="shell",
    title="shell that follows a scan",
    release="Turn the shell away with the first cuts; where it is thick, saw corners off first.",
    make=make,
    holds=("lid", "tape", "weight", "none"),
    no_hold={
        "band": "a hook needs a wall that is round from the bed up, and a shell follows its scan",
        "dowel": "its wall is nowhere opposite to itself, so that two bores seldom meet",
        "screw": "a scan's lower end is nowhere sure to be flat and solid over the floor",
        "glue": "a scan's lower end is nowhere sure to be flat over the floor",
    },
    against=dict.fromkeys(
        ("rod", "tube", "bar", "twist", "flute", "coil", "taper", "outline", "bundle"), _DRAWN
    ),
)
