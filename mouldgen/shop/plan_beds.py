"""Print beds as the plan sees them: how long each prints, and how many moulds are whole with it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from mouldgen.shop.print_time import print_time
from mouldgen.shop.work_facts import BedFacts

if TYPE_CHECKING:
    from mouldgen.job.shop_tables import Printer
    from mouldgen.layout.beds import BedPlan
    from mouldgen.mould.parts import Part
    from mouldgen.solid.mesh import Mesh


def bed_facts(
    beds: Sequence[BedPlan],
    parts: Sequence[Part],
    *,
    meshes: Mapping[str, Mesh],
    printer: Printer,
) -> tuple[BedFacts, ...]:
    """Beds with their printing time and the moulds that they make whole.

    beds : in the order that they are printed.
    parts : of one mould.  Where a casting takes a lid of its own, halves make the moulds, and the
        first is whole once there is a lid; where every part is printed once for the job they make
        a box for rubber, which counts as one mould and has none printed before it.
    meshes : of everything on the beds, by the names of the parts.
    printer : its layer, flow and what a layer change costs.
    """
    needed = [part.name for part in parts if part.count is None]
    once = [part.name for part in parts if part.count is not None]
    so_far: Counter[str] = Counter()
    whole, found = 0, []
    for bed in beds:
        so_far.update(item.part for item in bed.items)
        now = min(so_far[name] for name in needed or once)
        if not all(so_far[name] for name in once):
            now = 0
        seconds = print_time((meshes[item.part] for item in bed.items), printer).seconds
        found.append(BedFacts(seconds, now - whole, first=bed.first_mould or not needed))
        whole = now
    return tuple(found)
