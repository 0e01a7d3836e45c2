"""The block: several cups in one body under one lid, turned away with the first cuts."""

from __future__ import annotations

import contextlib
from dataclasses import replace

from mouldgen.errors import InternalError, KernelError
from mouldgen.job.model import Insert
from mouldgen.mould.block import BlockPlan, block_body, block_lid, plan_block
from mouldgen.mould.body import cavity_solid
from mouldgen.mould.families.cup import round_insert
from mouldgen.mould.families.family import Family
from mouldgen.mould.parts import MouldParts, Part, centred, part_of
from mouldgen.mould.plan import CupPlan
from mouldgen.solid.kernel import Solid

_WIDER_MM = (0.0, 0.4, 0.8)  # tabs are tried in turn: a line of print a side and less


def make(plan: CupPlan, insert: Insert) -> MouldParts:
    """Every solid of a block and its lid, each checked once.

    plan : of the block.
    insert : the table it was planned from, for its section.

    Raises KernelError where a solid does not come out as its features declare.
    """
    if not isinstance(plan, BlockPlan):
        raise InternalError("a block was to be made from the plan of another mould")
    # Coarse facets may leave a slit between walls that overlap as circles: drawn finer, they do.
    with contextlib.suppress(KernelError):
        return _made(plan, insert)
    return _made(replace(plan, sides=2 * plan.sides, chord_mm=plan.chord_mm / 4.0), insert)


def _made(plan: BlockPlan, insert: Insert) -> MouldParts:
    cavity = cavity_solid(plan)
    blanks = plan.block.blanks
    body = _body(plan, cavity)
    # Its top on the bed: the legs point up and need no support.
    lid = part_of("lid", block_lid(plan), genus=plan.whole_lid_genus, turn_over=True)
    one = round_insert((centred(body), centred(lid)), plan, insert, cavity)
    return replace(one, places=plan.block.places, features_ml=blanks * one.features_ml)


def _body(plan: BlockPlan, cavity: Solid) -> Part:
    """The block; its tabs a line or two wider where else a hair's slit stayed beside one.

    A tab's side may pass a wall, or the back of a groove, anywhere; a slit there is a hole that
    nothing declares.
    """
    for wider in _WIDER_MM:
        with contextlib.suppress(KernelError):
            return _part(plan, cavity, wider)
    return _part(plan, cavity, 0.0)


def _part(plan: BlockPlan, cavity: Solid, wider_mm: float) -> Part:
    solid = block_body(plan, cavity, wider_mm=wider_mm)
    return part_of("body", solid, genus=plan.body_genus, turn_over=False)


FAMILY = Family(
    name="block",
    title="block of cups under one lid",
    release="Saw the block apart between the bores, then turn each cup away with the first cuts.",
    make=make,
    plan=plan_block,
)
