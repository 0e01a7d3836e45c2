"""What holds the insert: down against its float, up against the push, upright between sockets."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from mouldgen.finding import Finding
from mouldgen.job.holding import Holding
from mouldgen.mould.plan import CupPlan
from mouldgen.physics.buoyancy import lift
from mouldgen.physics.constants import STANDARD_GRAVITY

MARGIN = 2.0  # twice the lift: swelling and gas that expands come on top (our own choice)
GRIP_MM = 1.0  # off centre by more than this is worth a look (our own choice)


@dataclass(frozen=True, eq=False)
class Hold:
    """Forces on a cup's insert, and how far it may lean.

    lift_n : upward under resin, negative where the insert sinks [N].
    hold_n : what the lid must be held with, twice the lift, or 0 [N].
    push_n : downward on the floor's pips while the insert is pushed home [N].
    ways : each way to hold the lid and how many of it, or how many grams.
    off_mm : how far an end may lie off the axis: lower end, upper end [mm].
    lean_deg : the most that the insert may lean [degrees].
    """

    lift_n: float
    hold_n: float
    push_n: float
    ways: tuple[tuple[Holding, int], ...]
    off_mm: tuple[float, float]
    lean_deg: float


def hold(plan: CupPlan, *, resin_g_ml: float, push_n: float, holdings: Sequence[Holding]) -> Hold:
    """Reckon what holds the insert of a cup.

    plan : the cup.
    resin_g_ml : density of the mixed resin [g/ml].
    push_n : the force that the maker pushes the insert home with [N].
    holdings : ways to hold a lid.
    """
    insert, size = plan.insert, plan.size
    covered = max(0.0, min(insert.length_mm, size.level_mm - plan.insert_foot_mm))
    force = lift(
        resin_g_ml * 1000.0,
        immersed_volume=insert.section_mm2 * covered * 1e-9,
        mass=insert.mass_g * 1e-3,
    )
    held = MARGIN * max(force, 0.0)
    off = _off_axis(plan)
    return Hold(
        lift_n=force,
        hold_n=held,
        push_n=push_n,
        ways=tuple((way, _count(way, held)) for way in holdings) if held else (),
        off_mm=off,
        lean_deg=math.degrees(math.atan2(sum(off), insert.length_mm)),
    )


def _off_axis(plan: CupPlan) -> tuple[float, float]:
    """A socket leaves what the thickest insert needs; without one the bore itself is the limit."""
    envelope, sockets = plan.insert.envelope_mm, plan.sockets
    play = sockets.inner_mm - envelope
    lower = play if sockets.lower else plan.size.bore_mm(plan.insert_foot_mm) - envelope
    upper = play if sockets.upper != "none" else plan.size.bore_mm(plan.insert_top_mm) - envelope
    return lower, upper


def _count(way: Holding, force_n: float) -> int:
    if way.holds_n == 0.0:
        return math.ceil(grams(force_n))
    return max(1, math.ceil(force_n / way.holds_n))


def grams(force_n: float) -> float:
    """The mass that weighs as much as a force [g]."""
    return force_n / STANDARD_GRAVITY * 1000.0


def held_down(found: Hold) -> tuple[Finding, ...]:
    """How to hold the lid; and where the insert may lie well off centre."""
    notes = [
        Finding(
            id="held.lift",
            rule="held",
            severity="note",
            message=_lift_words(found),
            measured=found.lift_n,
            limit=found.hold_n,
            place="lid",
        )
    ]
    if max(found.off_mm) > GRIP_MM:
        notes.append(
            Finding(
                id="held.lean",
                rule="held",
                severity="warn",
                message=(
                    f"The insert may lie {found.off_mm[0]:.1f} mm off centre at its foot and"
                    f" {found.off_mm[1]:.1f} mm at its top, {found.lean_deg:.1f} degrees out of"
                    " true: steady it while the resin gels."
                ),
                measured=max(found.off_mm),
                limit=GRIP_MM,
                place="insert",
            )
        )
    return tuple(notes)


def _lift_words(found: Hold) -> str:
    if found.lift_n <= 0.0:
        return (
            f"The insert sinks: it weighs {grams(-found.lift_n):.0f} g in the resin and needs no"
            " holding."
        )
    ways = [
        f"{many} g of {way.title}" if way.holds_n == 0.0 else
        f"{many} {way.title if many == 1 else way.plural}"
        for way, many in found.ways
    ]  # fmt: skip
    return (
        f"The insert floats up with {grams(found.lift_n):.0f} g. Hold the lid with twice that:"
        f" {', or '.join(ways)}."
    )
