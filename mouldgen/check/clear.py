"""Does everything keep the distance it should: insert, wall, ribs, legs, finished piece?"""

from __future__ import annotations

import math
from dataclasses import dataclass

from mouldgen.finding import Finding
from mouldgen.job.model import Piece
from mouldgen.mould.parts import MouldParts
from mouldgen.mould.plan import CupPlan
from mouldgen.solid.kernel import OVERSHOOT, Solid, box, cylinder

# A micrometre: ten times the mesh grid and far below what any printer holds.
TOUCH_MM = 0.001
# The volume of a contact film of that thickness over a few hundred mm2 of end face.
TOUCH_MM3 = 0.5


@dataclass(frozen=True, eq=False)
class Clearance:
    """What was measured between insert and mould.

    least_mm : least distance between the insert's envelope and the bare cavity's side [mm].
    findings : what is not as it should be.
    """

    least_mm: float
    findings: tuple[Finding, ...]


def clear(parts: MouldParts, plan: CupPlan, *, piece: Piece, facing_mm: float) -> Clearance:
    """Measure the gap on the solids, and look for whatever reaches where it should not.

    parts, plan : a mould set.
    piece : the finished piece, standing midway along the insert.
    facing_mm : taken off each end of the blank [mm].
    """
    insert = Solid.of_mesh(parts.insert)
    body = Solid.of_mesh(parts.part("body").assembled)
    lid = Solid.of_mesh(parts.part("lid").assembled)
    least = _least_gap(parts, plan)
    return Clearance(
        least_mm=least,
        findings=(
            *_gap(least, plan),
            *_touching(insert, body, lid),
            *_outline(body, lid, plan, piece),
            *_length(plan, piece, facing_mm),
        ),
    )


def _least_gap(parts: MouldParts, plan: CupPlan) -> float:
    """Sides only: the wall round the insert, without the floor it stands over."""
    wide = plan.size.bore_mm(plan.size.fill_mm) + 5.0
    low = 0.25 * plan.insert_foot_mm
    # Short of the cavity's top: two ends at one height would leave a skin between them.
    high = min(plan.size.fill_mm, plan.insert_top_mm) - OVERSHOOT
    block = box((-wide, -wide, low), (wide, wide, high))
    wall = block - Solid.of_mesh(parts.cavity)
    return wall.least_gap_mm(Solid.of_mesh(parts.envelope), within_mm=plan.size.gap_mm + 0.5)


def _gap(least: float, plan: CupPlan) -> list[Finding]:
    wanted = plan.size.gap_mm * math.cos(math.atan(plan.size.slope))
    if least >= wanted - TOUCH_MM:
        return []
    return [
        Finding(
            id="clear.gap",
            rule="clear",
            severity="stop",
            message=f"The gap measured on the mould is {least:.3f} mm, not {wanted:.3f} mm.",
            measured=least,
            limit=wanted,
            place="body",
        )
    ]


def _touching(insert: Solid, body: Solid, lid: Solid) -> list[Finding]:
    found = []
    for name, part in (("body", body), ("lid", lid)):
        shared = (insert ^ part).volume_mm3()
        if shared > TOUCH_MM3:
            found.append(
                Finding(
                    id=f"clear.insert-{name}",
                    rule="clear",
                    severity="stop",
                    message=f"The insert and the {name} share {shared:.1f} mm3: it cannot go in.",
                    measured=shared,
                    limit=TOUCH_MM3,
                    place=name,
                )
            )
    apart = insert.least_gap_mm(lid, within_mm=1.0, limit_mm=8.0)
    if apart > TOUCH_MM:
        found.append(
            Finding(
                id="clear.legs",
                rule="clear",
                severity="stop",
                message=f"The lid's legs end {apart:.2f} mm over the insert and do not hold it.",
                measured=apart,
                limit=TOUCH_MM,
                place="lid",
            )
        )
    return found


def _outline(body: Solid, lid: Solid, plan: CupPlan, piece: Piece) -> list[Finding]:
    middle = (plan.insert_foot_mm + plan.insert_top_mm) / 2.0
    finished = cylinder(
        piece.diameter / 2.0,
        bottom_mm=middle - piece.length / 2.0,
        top_mm=middle + piece.length / 2.0,
        chord_mm=0.05,
    )
    found = []
    for name, part in (("body", body), ("lid", lid)):
        shared = (finished ^ part).volume_mm3()
        if shared > TOUCH_MM3:
            found.append(
                Finding(
                    id=f"clear.outline-{name}",
                    rule="clear",
                    severity="stop",
                    message=(
                        f"The {name} reaches {shared:.1f} mm3 into the finished piece, which"
                        f" stands midway along the insert: {piece.diameter:g} x"
                        f" {piece.length:g} mm. Take a longer insert, a shorter piece or a wider"
                        " gap."
                    ),
                    measured=shared,
                    limit=TOUCH_MM3,
                    place=name,
                )
            )
    return found


def _length(plan: CupPlan, piece: Piece, facing_mm: float) -> list[Finding]:
    needed = piece.length + 2.0 * facing_mm
    if needed <= plan.size.fill_mm:
        return []
    return [
        Finding(
            id="clear.length",
            rule="clear",
            severity="stop",
            message=(
                f"The blank is {plan.size.fill_mm:g} mm long; the piece needs {piece.length:g} mm"
                f" and {facing_mm:g} mm of facing at each end, {needed:g} mm in all. Take a longer"
                " insert or a higher [mould] fill."
            ),
            measured=plan.size.fill_mm,
            limit=needed,
            place="[piece] length",
        )
    ]
