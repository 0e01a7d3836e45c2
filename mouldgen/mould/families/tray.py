"""The tray: open pockets for inserts that lie, or for a block that is sawn afterwards."""

from __future__ import annotations

from mouldgen.errors import InternalError
from mouldgen.insert import displacing_of, solid_of
from mouldgen.job.model import Insert
from mouldgen.mould.families.family import Family
from mouldgen.mould.parts import MouldParts, centred, part_of
from mouldgen.mould.tray import TrayPlan, plan_tray
from mouldgen.mould.tray_solids import (
    body_solid,
    envelope_box,
    features_ml,
    hollow_solid,
    laid_down,
    lid_solid,
    pocket,
)

# A lying round is touched along a line: its corners must reach that line to a micrometre.
FINE_MM = 0.0008


def make(plan: object, insert: Insert) -> MouldParts:
    """Every solid of a tray and its lid, each checked once.

    plan : of the tray.
    insert : the table it was planned from, for its section.

    Raises KernelError where a solid does not come out as its features declare.
    """
    if not isinstance(plan, TrayPlan):
        raise InternalError("a tray was to be made from the plan of another mould")
    hollow = hollow_solid(plan)
    chord = min(plan.chord_mm, FINE_MM)
    lying = laid_down(solid_of(insert, chord_mm=chord), plan).any_mesh()
    full = displacing_of(insert, plan.insert, chord_mm=plan.chord_mm)
    body = part_of("body", body_solid(plan, hollow), genus=plan.body_genus, turn_over=False)
    # Its top on the bed: the legs point up and need no support.
    lid = part_of("lid", lid_solid(plan), genus=plan.lid_genus, turn_over=True)
    return MouldParts(
        parts=(centred(body), centred(lid)),
        insert=lying,
        displacing=lying if full is None else laid_down(full, plan).any_mesh(),
        envelope=envelope_box(plan).any_mesh(),
        cavity=pocket(plan.size, top_mm=plan.size.fill_mm).any_mesh(),
        hollow=hollow.any_mesh(),
        features_ml=plan.size.blanks * features_ml(plan, hollow),
        places=plan.size.places,
    )


_HOLLOWS = "its hollows lie face down and shut in air; stand it in a cup or a block"
_ROLLS = "it does not lie level; stand it in a cup or a block"

FAMILY = Family(
    name="tray",
    title="open tray with a lid on legs",
    release=(
        "Turn the tray over on a soft bench and press its floor; a tray without draft is sawn or"
        " broken away."
    ),
    make=make,
    plan=plan_tray,
    against={
        "twist": _HOLLOWS,
        "flute": _HOLLOWS,
        "coil": _HOLLOWS,
        "taper": _ROLLS,
        "outline": _ROLLS,
        "scan": _ROLLS,
    },
)
