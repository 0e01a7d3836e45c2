"""Does everything keep the distance it should: insert, wall, ribs, legs, finished piece?"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from mouldgen.check.finished import finished_of
from mouldgen.finding import Finding
from mouldgen.job.model import Piece
from mouldgen.mould.parts import MouldParts
from mouldgen.mould.plan import CupPlan
from mouldgen.solid.kernel import OVERSHOOT, Solid, box

if TYPE_CHECKING:
    from mouldgen.mould.any_plan import AnyPlan

# A micrometre: ten times the mesh grid and far below what any printer holds.
TOUCH_MM = 0.001
# The volume of a contact film of that thickness over a few hundred mm2 of end face.
TOUCH_MM3 = 0.5
FURTHEST_MM = 8.0  # up to where a leg is looked for over the insert
NEAR_MM = FURTHEST_MM + 1.0

Named = tuple[tuple[str, Solid], ...]


@dataclass(frozen=True, eq=False)
class Clearance:
    """What was measured between insert and mould.

    least_mm : least distance between the insert's envelope and the bare cavity's side [mm].
    findings : what is not as it should be.
    """

    least_mm: float
    findings: tuple[Finding, ...]


def clear(parts: MouldParts, plan: AnyPlan, *, piece: Piece) -> Clearance:
    """Measure the gap on the solids, and look for whatever reaches where it should not.

    parts, plan : a mould set.
    piece : the finished piece, standing midway along the insert.

    Of a mould with several cells each cell is looked at; what is wrong in more than one of them is
    told once, at its worst.
    """
    insert = Solid.of_mesh(parts.insert)
    finished = finished_of(piece, plan, chord_mm=0.05)
    least = _least_gap(parts, plan)
    found = [*_gap(least, plan)]
    for *others, (_, lid) in _cells(parts, (insert, *finished)):
        bodies = tuple(others)
        found += _touching(insert, bodies, lid)
        found += _held(insert, bodies, lid, plan)
        found += _outline((*bodies, ("lid", lid)), finished, piece)
    return Clearance(least_mm=least, findings=_worst(found))


def _cells(parts: MouldParts, held: Sequence[Solid]) -> Iterator[Named]:
    """Bodies, and the lid last, as they stand about each cell.

    Of several cells each is cut out with all that is near to what it holds: else every one of many
    cells would be looked at among all the others.

    held : what each cell holds, about its axis.
    """
    whole = [(p.name, Solid.of_mesh(p.assembled)) for p in (*parts.bodies, parts.part("lid"))]
    if len(parts.places) == 1:
        ((x, y),) = parts.places
        yield tuple((name, part.moved(-x, -y)) for name, part in whole)
        return
    near = np.array([solid.bounds() for solid in held])
    low, high = near[:, 0].min(axis=0) - NEAR_MM, near[:, 1].max(axis=0) + NEAR_MM
    ends = np.array([part.bounds() for _, part in whole])
    bottom, top = ends[:, 0].min(axis=0) - 1.0, ends[:, 1].max(axis=0) + 1.0
    for x in dict.fromkeys(x for x, _ in parts.places):
        here = box((x + low[0], bottom[1], bottom[2]), (x + high[0], top[1], top[2]))
        column = [(name, part ^ here) for name, part in whole]
        for y in (y for other, y in parts.places if other == x):
            here = box((x + low[0], y + low[1], bottom[2]), (x + high[0], y + high[1], top[2]))
            yield tuple((name, (part ^ here).moved(-x, -y)) for name, part in column)


def _worst(found: list[Finding]) -> tuple[Finding, ...]:
    worst: dict[str, Finding] = {}
    for finding in found:
        known = worst.get(finding.id)
        if known is None or (finding.measured or 0.0) > (known.measured or 0.0):
            worst[finding.id] = finding
    return tuple(worst.values())


def _least_gap(parts: MouldParts, plan: AnyPlan) -> float:
    """Sides only: the wall round the insert, without the floor it stands over."""
    wide, rise = _reach_mm(parts, plan)
    # Nor from below where a floor rises outward.
    low = max(0.25 * plan.insert_foot_mm, min(rise, plan.insert_foot_mm))
    # Short of the cavity's top: two ends at one height would leave a skin between them.
    high = min(plan.size.fill_mm, plan.insert_top_mm) - OVERSHOOT
    block = box((-wide, -wide, low), (wide, wide, high))
    wall = block - Solid.of_mesh(parts.cavity)
    return wall.least_gap_mm(Solid.of_mesh(parts.envelope), within_mm=plan.size.gap_mm + 0.5)


def _reach_mm(parts: MouldParts, plan: AnyPlan) -> tuple[float, float]:
    """A distance beyond the cavity's sides, and by how much its floor rises outward [mm]."""
    if isinstance(plan, CupPlan):
        return plan.size.widest_mm + 5.0, plan.size.floor_rise_mm
    return max(map(abs, parts.cavity.bounds[1])) + 5.0, 0.0


def _gap(least: float, plan: AnyPlan) -> list[Finding]:
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


def _touching(insert: Solid, bodies: Named, lid: Solid) -> list[Finding]:
    found = []
    for name, part in (*bodies, ("lid", lid)):
        shared = (insert ^ part).volume_mm3()
        if shared > TOUCH_MM3:
            found.append(
                Finding(
                    id=f"clear.insert-{name}",
                    rule="clear",
                    severity="stop",
                    message=f"The insert and the {name} share {_mm3(shared)}: it cannot go in.",
                    measured=shared,
                    limit=TOUCH_MM3,
                    place=name,
                )
            )
    return found


def _held(insert: Solid, bodies: Named, lid: Solid, plan: AnyPlan) -> list[Finding]:
    """The legs press on the insert, or it stands on what it is screwed or glued to."""
    if plan.hold == "none":
        return []
    if plan.legs:
        key, place, holders = "legs", "lid", [lid]
        words = "The lid's legs end {:.2f} mm over the insert and do not hold it."
    else:
        key, place, holders = "seat", bodies[0][0], [body for _, body in bodies]
        words = "The seat on the floor ends {:.2f} mm under the insert and does not hold it."
    apart = min(
        insert.least_gap_mm(solid, within_mm=1.0, limit_mm=FURTHEST_MM) for solid in holders
    )
    if apart <= TOUCH_MM:
        return []
    return [
        Finding(
            id=f"clear.{key}",
            rule="clear",
            severity="stop",
            message=words.format(apart),
            measured=apart,
            limit=TOUCH_MM,
            place=place,
        )
    ]


def _mm3(volume: float) -> str:
    """A shared volume to two digits or so: how deep it cuts is what counts."""
    return f"{volume:.1f} mm3" if volume < 10.0 else f"{float(f'{volume:.2g}'):.0f} mm3"


def _outline(parts: Named, finished: list[Solid], piece: Piece) -> list[Finding]:
    found = []
    for name, part in parts:
        shared = max((one ^ part).volume_mm3() for one in finished)
        if shared > TOUCH_MM3:
            found.append(
                Finding(
                    id=f"clear.outline-{name}",
                    rule="clear",
                    severity="stop",
                    message=(
                        f"The {name} reaches {_mm3(shared)} into the finished piece, which"
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
