"""The parts of a mould set as meshes, in the pose they are printed in."""

from __future__ import annotations

import math
from dataclasses import dataclass

from mouldgen.cavity.bare import bare_cavity
from mouldgen.insert import envelope_solid, solid_of
from mouldgen.job.model import Insert
from mouldgen.mould.body import body_solid, cavity_solid
from mouldgen.mould.lid import lid_solid
from mouldgen.mould.plan import CupPlan
from mouldgen.solid.kernel import Solid
from mouldgen.solid.mesh import Mesh


@dataclass(frozen=True, eq=False)
class Part:
    """One printed part.

    name : ``body`` or ``lid``.
    mesh : in its printing pose, standing on z = 0.
    assembled : the same part where it belongs, the inside floor at z = 0.
    genus, shells : what its features declare.
    radius_mm : of the circle that its footprint fits in.
    """

    name: str
    mesh: Mesh
    assembled: Mesh
    genus: int
    shells: int
    radius_mm: float


@dataclass(frozen=True, eq=False)
class MouldParts:
    """A mould set as meshes, with what it is checked against.

    parts : what is printed, once per mould.
    insert : where it stands, its corners on its surface.
    envelope : the round that encloses it, with the bore's sides.
    cavity : the bare cavity to the fill height.
    hollow : the space inside the body with all its features, to just over the rim.
    features_ml : what grooves add to the resin and ribs, pips and legs take from it, up to
        the level that is poured to [ml].
    """

    parts: tuple[Part, ...]
    insert: Mesh
    envelope: Mesh
    cavity: Mesh
    hollow: Mesh
    features_ml: float

    def part(self, name: str) -> Part:
        """The part of that name."""
        return next(part for part in self.parts if part.name == name)


def make_parts(plan: CupPlan, *, insert: Insert) -> MouldParts:
    """Make every solid of a cup and its lid, and check each once.

    insert : the table it was planned from, for its section.

    Raises KernelError where a solid does not come out as its features declare.
    """
    cavity = cavity_solid(plan)
    stand = plan.insert_foot_mm
    stick = solid_of(insert, chord_mm=plan.chord_mm).moved(z=stand)
    return MouldParts(
        parts=(
            _part("body", body_solid(plan, cavity), genus=0, turn_over=False),
            # Its top on the bed: the legs point up and need no support.
            _part("lid", lid_solid(plan), genus=plan.lid_genus, turn_over=True),
        ),
        insert=stick.any_mesh(),
        envelope=envelope_solid(plan.insert, sides=plan.sides).moved(z=stand).any_mesh(),
        cavity=bare_cavity(plan.size, sides=plan.sides, top_mm=plan.size.fill_mm).any_mesh(),
        hollow=cavity.any_mesh(),
        features_ml=_features_ml(plan, cavity),
    )


def _features_ml(plan: CupPlan, cavity: Solid) -> float:
    size = plan.size
    bare = bare_cavity(size, sides=plan.sides, top_mm=size.level_mm)
    legs = sum(math.pi * r * r for _, _, r in plan.legs) * (size.level_mm - plan.insert_top_mm)
    return (cavity.below(size.level_mm).volume_mm3() - bare.volume_mm3() - legs) / 1000.0


def _part(name: str, solid: Solid, *, genus: int, turn_over: bool) -> Part:
    assembled = solid.mesh(genus=genus)
    mesh = assembled.turned_over() if turn_over else assembled
    mesh = mesh.moved(0.0, 0.0, -mesh.bounds[0][2])
    corners = mesh.vertices[:, :2].astype(float)
    return Part(name, mesh, assembled, genus, 1, float((corners**2).sum(axis=1).max() ** 0.5))
