"""What a maker must know who casts a mould in rubber before blanks are cast in it.

Unless a sentence says otherwise it is common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

from mouldgen.finding import Finding, Severity
from mouldgen.size.rubber import RubberSize
from mouldgen.units import psi

if TYPE_CHECKING:
    from mouldgen.job.material_tables import Rubber
    from mouldgen.job.shop_tables import Pot
    from mouldgen.size.mould_size import MouldSize


LEAST_UNDERCUT_MM = 0.5  # less than that no one notices; belief
HARDEST_SHORE_A = 30.0  # for a mould that is bent open; belief


def rubber_findings(
    rubber: Rubber | None, size: MouldSize, *, pressure_kpa: float, pot: Pot | None
) -> tuple[Finding, ...]:
    """Cure and release, the pressure that the rubber cures under, and what plugs leave on it.

    rubber, size : of the mould; nothing is found on a mould that is printed.
    pressure_kpa : gauge, that the blanks are cast under, 0 without a pot [kPa].
    pot : that both are cast in, or None.
    """
    if rubber is None or not isinstance(size, RubberSize):
        return ()
    return (
        *_inhibited(rubber),
        *_under_pressure(size, pressure_kpa, pot),
        *_clock(rubber),
        *_undercut(rubber, size),
        *_surface(size),
        *_claimed(rubber),
    )


def _inhibited(rubber: Rubber) -> Iterator[Finding]:
    if rubber.kind == "platinum":
        yield _finding(
            "inhibited",
            "warn",
            "What a print gives off can keep platinum-cured rubber from curing: it stays sticky on"
            " the plugs. Seal the plugs and let them air, and try a dab of the rubber on a printed"
            " scrap first. Tin-cured rubber seldom minds.",
        )
    yield _finding(
        "release",
        "note",
        "Rubber sticks to rubber: pour it at once. What is poured on cured rubber needs a release"
        " agent first, or it becomes one piece.",
    )


def _under_pressure(size: RubberSize, pressure_kpa: float, pot: Pot | None) -> Iterator[Finding]:
    if pressure_kpa <= 0.0:
        return
    asked = f"{psi(pressure_kpa):.3g} psi gauge"
    yield _finding(
        "pressure",
        "warn",
        f"Let the rubber cure under {asked} or more: a bubble left in it gives way when blanks are"
        " cast at that pressure, and each leaves a pimple.",
    )
    if pot is None:
        return
    wide = math.hypot(*size.core_mm) * size.scale + 2.0 * size.frame_reach_mm
    high = size.plate_mm + size.frame_height_mm
    free = pot.diameter - 2.0 * pot.margin
    if wide <= free and high <= pot.usable_mm:
        return
    yield Finding(
        "rubber.box-pot",
        "rubber",
        "warn",
        f"The box for the rubber is {wide:.0f} mm across and {high:.0f} mm high, and the pot takes"
        f" {free:.4g} by {pot.usable_mm:.4g} mm: the rubber cannot cure under pressure in it. Take"
        " fewer cavities, or cast at a lower pressure and look for pimples.",
        wide if wide > free else high,
        free if wide > free else pot.usable_mm,
        "frame",
    )


def _clock(rubber: Rubber) -> Iterator[Finding]:
    told = []
    if rubber.pot_life is not None:
        told.append(f"pour it within {_hours(rubber.pot_life)} from mixing")
    if rubber.cure is not None:
        told.append(f"leave it {_hours(rubber.cure)} before the plugs come out")
    if told:
        words = " and ".join(told)
        yield _finding(
            "clock",
            "note",
            f"The rubber's card says: {words}. In a thin stream into a corner of the box it rises"
            " round the plugs and drives the air ahead.",
        )


def _undercut(rubber: Rubber, size: RubberSize) -> Iterator[Finding]:
    """A bulge that has to come out through a narrower place above it."""
    deep = widest = stretched = 0.0
    for _, radius in size.bore.between(0.0, size.rim_mm):
        widest = max(widest, radius)
        deep = max(deep, widest - radius)
        stretched = max(stretched, widest / radius - 1.0)
    if deep < LEAST_UNDERCUT_MM:
        return
    hard = rubber.shore_a is not None and rubber.shore_a > HARDEST_SHORE_A
    than = f"; one of {rubber.shore_a:g} Shore A hardly gives that much" if hard else ""
    yield Finding(
        "rubber.undercut",
        "rubber",
        "warn" if hard else "note",
        f"Plug and blank are up to {deep:.1f} mm a side wider than the bore above: the rubber must"
        f" stretch by {100.0 * stretched:.0f} % to let them out{than}.",
        deep,
        LEAST_UNDERCUT_MM,
        "body",
    )


def _hours(time_s: float) -> str:
    return f"{time_s / 3600.0:g} h" if time_s >= 7200.0 else f"{time_s / 60.0:g} min"


def _surface(size: RubberSize) -> Iterator[Finding]:
    yield _finding(
        "layers",
        "note",
        "The rubber copies every layer line of the plugs: sand or fill them where it matters, and"
        " grease the base so that no plug holds on.",
    )
    yield _finding(
        "hollow",
        "note",
        "A plug is solid or open below, never sealed, so that no pressure crushes it: leave the"
        " slots under the base free and print base and frame solid.",
        place="base",
    )
    if size.up > 1:
        yield _finding(
            "neighbours",
            "note",
            "Heat is reckoned for one cavity with rubber and air round it; cavities side by side"
            " warm each other. Cast one row first where the resin runs hot.",
        )


def _claimed(rubber: Rubber) -> Iterator[Finding]:
    told = []
    if rubber.casts is not None:
        few, many = rubber.casts
        told.append(f"Sellers claim {few} to {many} castings from one mould; count your own.")
    if rubber.shelf_years is not None:
        told.append(f"The mould keeps about {rubber.shelf_years:g} years.")
    if told:
        yield _finding("life", "note", " ".join(told))


def _finding(name: str, severity: Severity, message: str, place: str = "body") -> Finding:
    return Finding(f"rubber.{name}", "rubber", severity, message, place=place)
