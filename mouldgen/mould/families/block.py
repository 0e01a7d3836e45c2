"""The block: several cups in one body under one lid, turned away with the first cuts."""

from __future__ import annotations

from dataclasses import replace

from mouldgen.errors import InternalError
from mouldgen.job.model import Insert
from mouldgen.mould.block import BlockPlan, block_body, block_lid, plan_block
from mouldgen.mould.body import cavity_solid
from mouldgen.mould.families.cup import round_insert
from mouldgen.mould.families.family import Family
from mouldgen.mould.parts import MouldParts, centred, part_of
from mouldgen.mould.plan import CupPlan


def make(plan: CupPlan, insert: Insert) -> MouldParts:
    """Every solid of a block and its lid, each checked once.

    plan : of the block.
    insert : the table it was planned from, for its section.

    Raises KernelError where a solid does not come out as its features declare.
    """
    if not isinstance(plan, BlockPlan):
        raise InternalError("a block was to be made from the plan of another mould")
    cavity = cavity_solid(plan)
    blanks = plan.block.blanks
    body = part_of("body", block_body(plan, cavity), genus=plan.body_genus, turn_over=False)
    # Its top on the bed: the legs point up and need no support.
    lid = part_of("lid", block_lid(plan), genus=plan.whole_lid_genus, turn_over=True)
    one = round_insert((centred(body), centred(lid)), plan, insert, cavity)
    return replace(one, places=plan.block.places, features_ml=blanks * one.features_ml)


FAMILY = Family(
    name="block",
    title="block of cups under one lid",
    release="Saw the block apart between the bores, then turn each cup away with the first cuts.",
    make=make,
    plan=plan_block,
)
