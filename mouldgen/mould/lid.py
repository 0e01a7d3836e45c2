"""The lid: a disc with a skirt, legs that hold the insert down, a port and vents."""

from __future__ import annotations

from mouldgen.mould.label import Label, letter_rings
from mouldgen.mould.plan import ENGRAVING, CupPlan
from mouldgen.mould.socket_solids import lid_fingers
from mouldgen.solid.kernel import OVERSHOOT, Solid, cylinder, prism, revolve, union


def lid_solid(plan: CupPlan) -> Solid:
    """The lid in its place on the cup, the inside floor at z = 0."""
    cut = holes(plan)
    cut += [engraved(plan, label) for label in plan.lid_labels]
    parts = [_cap(plan), *legs(plan), *lid_fingers(plan)]
    for feature in plan.features:
        parts += feature.on_lid(plan)
        cut += feature.off_lid(plan)
    whole = union(parts)
    return whole - union(cut) if cut else whole


def _cap(plan: CupPlan) -> Solid:
    """Disc and skirt in one revolve; the skirt goes over the groove backs."""
    q, size = plan.question, plan.size
    if size.lid_inside:
        from mouldgen.mould.ring import ring_cap  # late: most lids go over the wall

        return ring_cap(plan)
    inner = size.reach_mm + q.clearance_mm
    bottom, seat, top = size.rim_mm - q.skirt_mm, size.rim_mm, size.rim_mm + q.lid_mm
    return revolve(
        [
            (0.0, seat),
            (inner, seat),
            (inner, bottom),
            (size.lid_reach_mm, bottom),
            (size.lid_reach_mm, top),
            (0.0, top),
        ],
        sides=plan.sides,
    )


def legs(plan: CupPlan) -> list[Solid]:
    """What presses on the insert from above."""
    return [
        cylinder(
            radius,
            bottom_mm=plan.insert_top_mm,
            top_mm=plan.size.rim_mm + OVERSHOOT,
            chord_mm=plan.chord_mm,
            centre=(x, y),
        )
        for x, y, radius in plan.legs
    ]


def holes(plan: CupPlan) -> list[Solid]:
    """Vents and port."""
    rounds = [*plan.vents, *([plan.port] if plan.port else [])]
    return [
        cylinder(
            radius,
            bottom_mm=plan.size.rim_mm - OVERSHOOT,
            top_mm=plan.size.rim_mm + plan.question.lid_mm + OVERSHOOT,
            chord_mm=plan.chord_mm,
            centre=(x, y),
        )
        for x, y, radius in rounds
    ]


def engraved(plan: CupPlan, label: Label) -> Solid:
    """Letters sunk into the top, which lies on the print bed: raised ones could not print."""
    top = plan.size.rim_mm + plan.question.lid_mm
    return prism(letter_rings(label), bottom_mm=top - ENGRAVING, top_mm=top + OVERSHOOT)
