"""The parts of a mould set as meshes, in the pose they are printed in."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from mouldgen.packing.shapes import Disc, Footprint, Rectangle
from mouldgen.solid.kernel import Solid
from mouldgen.solid.mesh import GRID_MM, Mesh

BODIES = ("body", "front", "back", "disc")


@dataclass(frozen=True, eq=False)
class Part:
    """One printed part.

    name : such as ``body`` or ``lid``.
    mesh : in its printing pose, standing on z = 0.
    assembled : the same part where it belongs, the inside floor at z = 0.
    genus, shells : what its features declare.
    footprint : what it covers in its printing pose, its middle on the mesh's origin.
    count : how many of it the whole job needs; None where each mould needs one.
    """

    name: str
    mesh: Mesh
    assembled: Mesh
    genus: int
    shells: int
    footprint: Footprint
    count: int | None = None


@dataclass(frozen=True, eq=False)
class MouldParts:
    """A mould set as meshes, with what it is checked against.

    parts : what is printed, once per mould.
    insert : where it stands, its corners on its surface.
    displacing : the same with the volume of its closed form, where that mesh lacks some.
    envelope : the round that encloses it, with the bore's sides.
    cavity : the bare cavity to the fill height.
    hollow : the space inside the body with all its features, to just over the rim.
    features_ml : what grooves add to the resin and ribs, pips and legs take from it, up to
        the level that is poured to [ml].
    cast : what stands round the insert and is not printed, such as rubber.
    places : where the insert and its cavity stand in the mould, once for each of its cells, as
        moves from where the meshes here are [mm].
    """

    parts: tuple[Part, ...]
    insert: Mesh
    displacing: Mesh
    envelope: Mesh
    cavity: Mesh
    hollow: Mesh
    features_ml: float
    cast: tuple[Part, ...] = ()
    places: tuple[tuple[float, float], ...] = ((0.0, 0.0),)

    def counted(self, names: Sequence[str], count: int) -> MouldParts:
        """The same with a count of their own for some parts.

        names : of those parts.
        count : how many of each the whole job needs.
        """
        parts = tuple(replace(p, count=count) if p.name in names else p for p in self.parts)
        return replace(self, parts=parts)

    @property
    def bodies(self) -> tuple[Part, ...]:
        """What stands round the insert: a body, with its disc if it has one, or two halves."""
        return tuple(part for part in (*self.parts, *self.cast) if part.name in BODIES)

    def part(self, name: str) -> Part:
        """The part of that name."""
        return next(part for part in (*self.parts, *self.cast) if part.name == name)


def part_of(
    name: str, solid: Solid, *, genus: int, turn_over: bool, count: int | None = None
) -> Part:
    """A part from its solid, checked, in its printing pose and round as the bed sees it.

    name : of the part.
    solid : where the part belongs.
    genus : what its features declare; it is one shell.
    turn_over : whether its top goes on the print bed.
    count : how many of it the whole job needs; None where each mould needs one.

    Raises KernelError where the solid does not come out as declared.
    """
    assembled = solid.mesh(genus=genus)
    mesh = assembled.turned_over() if turn_over else assembled
    mesh = mesh.moved(0.0, 0.0, -mesh.bounds[0][2])
    return Part(name, mesh, assembled, genus, 1, round_footprint(mesh), count)


def centred(part: Part) -> Part:
    """The same part on the middle of its printing pose, with a rectangle for its footprint.

    part : whose middle is off its mesh's origin, or that is no round.
    """
    (left, front, _), (right, back, _) = part.mesh.bounds
    half_steps = -(left + right) / (2.0 * GRID_MM), -(front + back) / (2.0 * GRID_MM)
    x, y = (math.floor(steps) * GRID_MM for steps in half_steps)
    mesh = part.mesh.moved(x, y)
    return replace(part, mesh=mesh, footprint=square_footprint(mesh))


def round_footprint(mesh: Mesh) -> Disc:
    """The disc about the origin that a mesh stands in.

    mesh : in its printing pose.
    """
    corners = mesh.vertices[:, :2].astype(float)
    return Disc(float((corners**2).sum(axis=1).max() ** 0.5))


def square_footprint(mesh: Mesh) -> Rectangle:
    """The rectangle about the origin that a mesh stands in, its sides along x and y.

    mesh : in its printing pose.
    """
    (left, front, _), (right, back, _) = mesh.bounds
    return Rectangle(2.0 * max(-left, right), 2.0 * max(-front, back))
