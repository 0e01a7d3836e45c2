"""The split mould: two halves that are bolted together, opened, and used again.

What it casts is a round blank like a cup's: whatever the insert, the resin round it leaves the
bore straight, so no shape is refused.  Features inside stand so that nothing of the blank lies in
the way of a half (`mouldgen.mould.split_hollow`).  The lid stays in the resin over the blank and
is faced away with it, so each casting takes a lid of its own.
"""

from __future__ import annotations

from mouldgen.job.model import Insert
from mouldgen.mould.families.cup import round_insert
from mouldgen.mould.families.family import Family
from mouldgen.mould.halves import halves_solids
from mouldgen.mould.lid import lid_solid
from mouldgen.mould.parts import MouldParts, Part, centred, part_of, round_footprint
from mouldgen.mould.plan import CupPlan
from mouldgen.mould.split_hollow import split_hollow
from mouldgen.size.split import SplitSize, split_size
from mouldgen.solid.kernel import Solid

CASTS_EACH = 4  # belief: a week in the mould each time leaves a month's order so many


def make(plan: CupPlan, insert: Insert) -> MouldParts:
    """Both halves and the lid, each checked once.

    plan : of a split mould.
    insert : the table it was planned from, for its section.

    Raises KernelError where a solid does not come out as its features declare.
    """
    size = split_size(plan.size)
    hollow = split_hollow(plan, size)
    front, back = halves_solids(plan, size, hollow)
    parts = (
        _half("front", front, size),
        _half("back", back, size),
        part_of("lid", lid_solid(plan), genus=plan.lid_genus, turn_over=True),
    )
    return round_insert(parts, plan, insert, hollow)


def _half(name: str, solid: Solid, size: SplitSize) -> Part:
    """A half in its printing pose: on its back, the parting plane up.

    Its bolts are its only handles: bore, runner and gate are open troughs.
    """
    genus = len(size.bolts)
    assembled = solid.mesh(genus=genus)
    tipped = assembled.tipped() if name == "front" else assembled.turned_over().tipped()
    mesh = tipped.moved(0.0, 0.0, -tipped.bounds[0][2])
    return centred(Part(name, mesh, assembled, genus, 1, round_footprint(mesh)))


FAMILY = Family(
    name="split",
    title="split mould of two halves",
    release=(
        "Take the bolts out and prise the halves apart at the two slots; wax or spray them before"
        " each casting."
    ),
    make=make,
    casts_each=CASTS_EACH,
    each_casting=("lid",),
    holds=("lid", "none"),
    no_hold={
        "tape": "its lid goes into the bore and has no rim that tape could lie down from",
        "weight": "its lid goes into the bore, where no ledge fits: lay a weight on it as it is",
        "band": "a hook would lie on the face that a half is printed on",
        "dowel": "its lid goes into the bore, and bores through both halves would leak at the seam",
        "screw": "its floor parts along the axis, where the hole would be: it would leak there",
        "glue": "its floor parts along the axis, where glue would join the halves",
    },
)
