"""What holds the insert: down against its float, up against the push, upright between sockets."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from mouldgen.errors import PresetError
from mouldgen.finding import Finding
from mouldgen.job.holding import Holding
from mouldgen.mould.plan import CupPlan
from mouldgen.physics.buoyancy import lift
from mouldgen.physics.constants import STANDARD_GRAVITY

if TYPE_CHECKING:
    from mouldgen.mould.any_plan import AnyPlan
    from mouldgen.mould.tray import TrayPlan

MARGIN = 2.0  # twice the lift: swelling and gas that expands come on top (our own choice)
AT_THE_INSERT = ("screw", "glue", "none")  # the lid need not be held
GRIP_MM = 1.0  # off centre by more than this is worth a look (our own choice)


@dataclass(frozen=True, eq=False)
class Hold:
    """Forces on a cup's insert, and how far it may lean.

    lift_n : upward under resin, negative where the insert sinks [N].
    hold_n : what the lid or the insert must be held with, twice the lift, or 0 [N].
    push_n : downward on the floor's pips while the insert is pushed home [N].
    ways : each way to hold it and how many of it, or how many grams.
    off_mm : how far an end may lie off the axis: lower end, upper end [mm].
    lean_deg : the most that the insert may lean [degrees].
    method : how it is held, in the words of the job file.
    most_n : all that the mould has room for holds so much [N].
    use : how to use what it is held with, or empty.
    locked : whether a first pour holds the insert once it has set.
    at_insert : whether the insert itself is held, not the lid.
    """

    lift_n: float
    hold_n: float
    push_n: float
    ways: tuple[tuple[Holding, int], ...]
    off_mm: tuple[float, float]
    lean_deg: float
    method: str = "lid"
    most_n: float = math.inf
    use: str = ""
    locked: bool = False
    at_insert: bool = False


def hold(plan: AnyPlan, *, resin_g_ml: float, push_n: float, holdings: Sequence[Holding]) -> Hold:
    """Reckon what holds the insert of a cup.

    plan : the cup.
    resin_g_ml : density of the mixed resin [g/ml].
    push_n : the force that the maker pushes the insert home with [N].
    holdings : ways to hold a lid or an insert.

    All inserts that the lid holds count together.

    Raises PresetError where the mould is built for a way that is not among them.
    """
    if not isinstance(plan, CupPlan):
        return _hold_lying(plan, resin_g_ml=resin_g_ml, holdings=holdings)
    insert, size = plan.insert, plan.size
    covered = max(0.0, min(insert.length_mm, size.level_mm - plan.insert_foot_mm))
    force = lift(
        resin_g_ml * 1000.0,
        immersed_volume=insert.below_mm3(covered) * 1e-9,
        mass=insert.mass_g * 1e-3,
    )
    force *= size.blanks
    held = MARGIN * max(force, 0.0)
    off = _off_axis(plan)
    return Hold(
        lift_n=force,
        hold_n=held,
        push_n=push_n,
        off_mm=off,
        lean_deg=math.degrees(math.atan2(sum(off), insert.length_mm)),
        locked=len(plan.lines) > 1,
        at_insert=plan.hold in AT_THE_INSERT,
        **_with(plan, held, holdings),
    )


def _hold_lying(plan: TrayPlan, *, resin_g_ml: float, holdings: Sequence[Holding]) -> Hold:
    """The same for inserts that lie: all under resin, nobody pushes them, they cannot lean."""
    force = plan.size.blanks * lift(
        resin_g_ml * 1000.0,
        immersed_volume=plan.insert.volume_ml * 1e-6,
        mass=plan.insert.mass_g * 1e-3,
    )
    held = MARGIN * max(force, 0.0)
    return Hold(
        lift_n=force,
        hold_n=held,
        push_n=0.0,
        off_mm=(plan.off_mm, plan.off_mm),
        lean_deg=0.0,
        locked=len(plan.lines) > 1,
        at_insert=plan.hold == "none" or (plan.held_by is not None and plan.held_by.at_insert),
        **_with(plan, held, holdings),
    )


def _with(plan: AnyPlan, held: float, holdings: Sequence[Holding]) -> dict[str, Any]:
    """What of `Hold` tells with what, and how much of it, a force is held [N]."""
    by, ways = plan.held_by, _ways(plan, holdings)
    share, least = (1.0, 1) if by is None else (by.share, by.least)
    return {
        "ways": tuple((way, max(least, _count(way, held / share))) for way in ways) if held else (),
        "method": plan.hold,
        "most_n": math.inf if by is None else share * by.most * (ways[0].holds_n or math.inf),
        "use": "" if by is None else by.use,
    }


def _ways(plan: AnyPlan, holdings: Sequence[Holding]) -> tuple[Holding, ...]:
    """What the maker may choose from, or the one way that the mould is built for."""
    if plan.hold == "none":
        return ()
    if plan.held_by is None:
        return tuple(way for way in holdings if not way.built)
    name = plan.held_by.way
    ways = tuple(way for way in holdings if way.name == name)
    if not ways:
        raise PresetError(f"there is no table [{name}]", where="holding.toml")
    return ways


def _off_axis(plan: CupPlan) -> tuple[float, float]:
    """A socket leaves what the thickest insert needs; without one the bore itself is the limit."""
    insert, sockets, size = plan.insert, plan.sockets, plan.size
    if size.follows:
        return _off_in_shell(plan)
    low, top = sockets.foot_depth_mm, insert.length_mm
    if sockets.lower:
        lower = sockets.foot_inner_mm - insert.round_mm(0.0, low)
    else:
        lower = size.bore_mm(plan.insert_foot_mm) - insert.round_mm(0.0, 0.0)
    if sockets.upper != "none":
        upper = sockets.inner_mm - insert.round_mm(top - sockets.depth_mm, top)
    else:
        upper = size.bore_mm(plan.insert_top_mm) - insert.round_mm(top, top)
    return lower, upper


def _off_in_shell(plan: CupPlan) -> tuple[float, float]:
    """Its foot and its widest place each lie against the wall, on opposite sides at worst."""
    insert, gap = plan.insert, plan.size.gap_mm
    pieces = insert.pieces
    widest = max(range(len(pieces)), key=lambda k: pieces[k].upper_mm)
    arm = sum(piece.length_mm for piece in pieces[: widest + 1])
    return gap, gap * (2.0 * insert.length_mm / arm - 1.0)


def _count(way: Holding, force_n: float) -> int:
    if way.holds_n == 0.0:
        return math.ceil(grams(force_n))
    return max(1, math.ceil(force_n / way.holds_n))


def grams(force_n: float) -> float:
    """The mass that weighs as much as a force [g]."""
    return force_n / STANDARD_GRAVITY * 1000.0


def held_down(found: Hold) -> tuple[Finding, ...]:
    """How to hold lid or insert; and where the insert may lie well off centre."""
    loose = found.method == "none" and found.lift_n > 0.0 and not found.locked
    notes = [
        Finding(
            id="held.lift",
            rule="held",
            severity="warn" if loose else "note",
            message=_lift_words(found),
            measured=found.lift_n,
            limit=found.hold_n,
            place="insert" if found.at_insert else "lid",
        )
    ]
    if found.hold_n > found.most_n:
        notes.append(_short(found))
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
    if found.method == "none":
        return _loose_words(found)
    ways = [
        f"{many} g of {way.title}" if way.holds_n == 0.0 else
        f"{many} {way.title if many == 1 else way.plural}"
        for way, many in found.ways
    ]  # fmt: skip
    what = "insert" if found.at_insert else "lid"
    use = f"; {found.use}" if found.use else ""
    return (
        f"The insert floats up with {grams(found.lift_n):.0f} g. Hold the {what} with twice that:"
        f" {', or '.join(ways)}{use}."
    )


def _loose_words(found: Hold) -> str:
    floats = f"The insert floats up with {grams(found.lift_n):.0f} g and nothing holds it"
    if found.locked:
        return f"{floats} until the first pour has set: hold it by hand so long, then it stays."
    return f"{floats}: it rises out of its place. Take another hold, or pour in layers."


def _short(found: Hold) -> Finding:
    return Finding(
        id="held.short",
        rule="held",
        severity="stop",
        message=(
            f"The mould has room to be held with {found.most_n:.1f} N this way, and twice the lift"
            f" is {found.hold_n:.1f} N: take another hold."
        ),
        measured=found.most_n,
        limit=found.hold_n,
        place="[mould] hold",
    )
