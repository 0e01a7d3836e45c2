"""Body and lid by mouldgen: snapped, put in order, checked, in their printing pose."""

from __future__ import annotations

from pathlib import Path
from types import SimpleNamespace
from typing import TYPE_CHECKING

from benchmarks.ways.facets import Facts

if TYPE_CHECKING:
    from mouldgen.mould.parts import Part
    from mouldgen.mould.plan import CupPlan

Parts = tuple["Part", ...]


def prepare(_: SimpleNamespace) -> CupPlan:
    """The plan, from the job file on."""
    from benchmarks.ways.numbers import demo_plan

    return demo_plan()[0]


def make(plan: CupPlan) -> Parts:
    """Body and lid, each checked."""
    from mouldgen.mould.body import body_solid, cavity_solid
    from mouldgen.mould.lid import lid_solid
    from mouldgen.mould.parts import part_of

    body = body_solid(plan, cavity_solid(plan))
    return (
        part_of("body", body, genus=plan.body_genus, turn_over=False),
        part_of("lid", lid_solid(plan), genus=plan.lid_genus, turn_over=True),
    )


def facts(made: Parts) -> dict[str, Facts]:
    """Triangles and volume of each part."""
    return {
        part.name: {
            "triangles": float(len(part.mesh.triangles)),
            "volume_mm3": part.mesh.volume_mm3,
        }
        for part in made
    }


def write(made: Parts, folder: Path) -> None:
    """Each part as a binary STL."""
    from mouldgen.solid.stl import stl_bytes

    for part in made:
        (folder / f"{part.name}.stl").write_bytes(stl_bytes([part.mesh]))
