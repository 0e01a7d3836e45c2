"""Can a filament printer print this part well?  The same questions for our own and any other.

Every limit and where it comes from is told in docs/what-is-checked.md.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from mouldgen.check.hollows import Hollow, hollows
from mouldgen.check.overhang import LEDGE_MM, Overhang, overhang
from mouldgen.check.print_walls import FEATHER_LINES, PassedOver, PrintWalls, print_walls
from mouldgen.check.standing import Standing, standing
from mouldgen.finding import Finding, Severity
from mouldgen.solid.mesh import Mesh
from mouldgen.solid.surface import Surface, surface_of

# Published as machine-dependent, 5 to 10 mm; the upper end, for a bridge that sags is seen.
LONGEST_BRIDGE_MM = 10.0
LEAST_HANGING_MM2 = 1.0  # our own choice: less than that droops by a thread
LEAST_LINES = 2.0  # common practice, no source: a wall is two lines or more
LEAST_LAYERS = 3  # common practice, no source: a floor is three layers or more
MOST_SLENDER = 8.0  # belief: height over the foot's width
TENTH_MICRON = 1e-4  # the grid that meshes are written on
LARGEST_MM = 5000.0  # our own choice: no printer at hand is half as large
NAMED = 3  # places that one sentence names

Point = tuple[float, float, float]


@dataclass(frozen=True, eq=False)
class PrintFigures:
    """What was measured on one part.

    walls : thinnest wall and feather edges.
    overhang : undersides and bridges.
    standing : on the bed.
    hollows : sealed ones.
    """

    walls: PrintWalls
    overhang: Overhang
    standing: Standing
    hollows: tuple[Hollow, ...]


@dataclass(frozen=True, eq=False)
class PrintCheck:
    """What a part is like to print.

    name : of the part or file.
    findings : what is not as it should be.
    figures : what was measured.
    """

    name: str
    findings: tuple[Finding, ...]
    figures: PrintFigures


def prints(
    mesh: Mesh,
    *,
    name: str,
    line_mm: float,
    layer_mm: float,
    pitch_mm: float | None = None,
    groove_mm: float | None = None,
) -> PrintCheck:
    """Look at a part as a printer would.

    mesh : closed and wound outward, which `sound` finds out, in its printing pose.
    name : of the part or file, for messages.
    line_mm, layer_mm : width of a line and height of a layer [mm].
    pitch_mm : from one place whose thickness is measured to the next; None for one that suits
        the size of the part [mm].
    groove_mm : what the part's features declare to be left behind their deepest groove; None
        where nobody declared it, and the bottoms of grooves are looked at one by one [mm].

    Raises KernelError for a mesh that is not closed.
    """
    surface = surface_of(mesh)
    least = LEAST_LINES * line_mm
    figures = PrintFigures(
        walls=print_walls(
            surface,
            line_mm=line_mm,
            least_mm=least,
            least_floor_mm=LEAST_LAYERS * layer_mm - 2.0 * TENTH_MICRON,
            pitch_mm=_pitch_mm(surface) if pitch_mm is None else pitch_mm,
            groove_mm=groove_mm,
        ),
        overhang=overhang(surface, layer_mm=layer_mm),
        standing=standing(surface, layer_mm=layer_mm),
        hollows=hollows(surface),
    )
    findings = (
        *_hollow(figures.hollows, name),
        *_thin(figures.walls, name, line_mm=line_mm, least_mm=least),
        *_thin_floor(figures.walls, name, layer_mm=layer_mm),
        *_feathers(figures.walls, name, line_mm=line_mm),
        *_passed_over(figures.walls.passed_over, name),
        *_hanging(figures.overhang, name),
        *_stands(figures.standing, name),
    )
    return PrintCheck(name, findings, figures)


def unlooked(mesh: Mesh, *, name: str) -> tuple[Finding, ...]:
    """What is told of a mesh in the place of `prints` where it is far larger than any printer.

    name : of the part or file, for messages.
    """
    longest = max(high - low for low, high in zip(*mesh.bounds, strict=True))
    if longest <= LARGEST_MM:
        return ()
    return (
        Finding(
            id="prints.too-large",
            rule="prints",
            severity="note",
            message=(
                f"{name} is {longest / 1000.0:.3g} m at its longest: how it would print was not"
                f" looked at beyond {LARGEST_MM / 1000.0:g} m."
            ),
            measured=longest,
            limit=LARGEST_MM,
            place=name,
        ),
    )


def _pitch_mm(surface: Surface) -> float:
    """A quarter of a millimetre, wider where that were more than 200 000 places or so."""
    return max(0.25, math.sqrt(float(surface.areas.sum()) / 2e5))


def _hollow(found: tuple[Hollow, ...], name: str) -> Iterator[Finding]:
    if not found:
        return
    told = [(hollow.at, f"{hollow.volume_mm3:.0f} mm3") for hollow in found]
    many = "a sealed hollow" if len(found) == 1 else f"{len(found)} sealed hollows"
    yield Finding(
        id="prints.hollow",
        rule="prints",
        severity="stop",
        message=(
            f"{name} has {many} inside, {_listed(told)}."
            " Resin cannot reach it, and under pressure in the pot it can be crushed: open it, or"
            " make it solid."
        ),
        measured=float(len(found)),
        limit=0.0,
        place=_place(name, found[0].at),
    )


def _thin(walls: PrintWalls, name: str, *, line_mm: float, least_mm: float) -> Iterator[Finding]:
    thick = walls.wall.mm
    if thick >= least_mm - 2.0 * TENTH_MICRON:
        return
    severity: Severity = "stop" if thick < line_mm - 2.0 * TENTH_MICRON else "warn"
    limit = line_mm if severity == "stop" else least_mm
    what = "one printed line" if severity == "stop" else "two printed lines"
    over = f", over about {walls.thin_mm2:.0f} mm2 in all" if walls.thin_mm2 >= 1.0 else ""
    yield Finding(
        id="prints.thin",
        rule="prints",
        severity=severity,
        message=(
            f"{name} has a wall of {thick:.2f} mm{_near(walls.wall.at)}{over}: less than"
            f" {what}, {limit:.2f} mm. Make it thicker, or print with a finer line."
        ),
        measured=thick,
        limit=limit,
        place=_place(name, walls.wall.at),
    )


def _thin_floor(walls: PrintWalls, name: str, *, layer_mm: float) -> Iterator[Finding]:
    """A floor of 2.5 layers comes out with two: whole ones count."""
    thick = walls.floor.mm
    if not math.isfinite(thick):
        return
    whole = math.floor((thick + 2.0 * TENTH_MICRON) / layer_mm)
    if whole >= LEAST_LAYERS:
        return
    severity: Severity = "warn" if whole else "stop"
    least = LEAST_LAYERS if whole else 1
    layers = ("less than a layer", "one layer", "two layers")[whole]
    over = (
        f", over about {walls.thin_floor_mm2:.0f} mm2 in all" if walls.thin_floor_mm2 >= 1 else ""
    )
    yield Finding(
        id="prints.thin",
        rule="prints",
        severity=severity,
        message=(
            f"{name} has a floor of {thick:.2f} mm{_near(walls.floor.at)}{over}: {layers} of"
            f" {layer_mm:.2f} mm, and {LEAST_LAYERS} whole ones are the least. Make it thicker, or"
            " print with finer layers."
        ),
        measured=thick,
        limit=least * layer_mm,
        place=_place(name, walls.floor.at),
    )


def _feathers(walls: PrintWalls, name: str, *, line_mm: float) -> Iterator[Finding]:
    found = walls.feathers
    if not found:
        return
    many = "a feather edge" if len(found) == 1 else f"{len(found)} feather edges"
    told = [(f.at, f"{f.length_mm:.1f} mm long at {f.angle_deg:.0f} degrees") for f in found]
    yield Finding(
        id="prints.feather",
        rule="prints",
        severity="warn",
        message=(
            f"{name} has {many}, {_listed(told)}: thinner than one printed line, {line_mm:.2f} mm,"
            f" for more than {FEATHER_LINES:g} lines inward. The print stops short of such an"
            " edge or frays: blunt it."
        ),
        measured=max(feather.length_mm for feather in found),
        limit=0.0,
        place=_place(name, found[0].at),
    )


def _passed_over(found: PassedOver, name: str) -> Iterator[Finding]:
    kinds = ((found.sharp, "of its sharp edges"), (found.grooves, "of its grooves"))
    told = [f"{count} {what}" for count, what in kinds if count]
    if not told:
        return
    yield Finding(
        id="prints.passed-over",
        rule="prints",
        severity="note",
        message=(
            f"{name} has so many triangles and edges that {' and '.join(told)}, up to"
            f" {found.longest_mm:.1f} mm long, were not looked behind one by one: a short feather"
            " edge or a thin wall there may be missed. A smoother mesh is looked at whole."
        ),
        measured=float(found.sharp + found.grooves),
        limit=0.0,
        place=name,
    )


def _hanging(found: Overhang, name: str) -> Iterator[Finding]:
    if found.hangs_at is not None and found.hanging_mm2 >= LEAST_HANGING_MM2:
        yield Finding(
            id="prints.overhang",
            rule="prints",
            severity="warn",
            message=(
                f"{name} has {found.hanging_mm2:.0f} mm2 of underside that hang over nothing,"
                f" most{_near(found.hangs_at)}: flatter than 45 degrees, wider than a ledge of"
                f" {LEDGE_MM:g} mm, and no bridge. Turn it over, give it a ramp of 45 degrees, or"
                " print it with support."
            ),
            measured=found.hanging_mm2,
            limit=0.0,
            place=_place(name, found.hangs_at),
        )
    if found.bridge_at is not None and found.bridge_mm > LONGEST_BRIDGE_MM + 0.001:
        yield Finding(
            id="prints.bridge",
            rule="prints",
            severity="warn",
            message=(
                f"{name} has a roof that spans {found.bridge_mm:.1f} mm{_near(found.bridge_at)};"
                f" up to {LONGEST_BRIDGE_MM:g} mm a printer bridges well. It will sag: arch it, or"
                " print it with support."
            ),
            measured=found.bridge_mm,
            limit=LONGEST_BRIDGE_MM,
            place=_place(name, found.bridge_at),
        )


def _stands(found: Standing, name: str) -> Iterator[Finding]:
    if found.foot_mm2 <= 0.0:
        yield Finding(
            id="prints.no-foot",
            rule="prints",
            severity="stop",
            message=(
                f"{name} has no flat face on the bed to stand on. Turn it onto one, or cut one."
            ),
            measured=0.0,
            place=name,
        )
    elif found.tips_at_deg < 0.0:
        yield Finding(
            id="prints.tips",
            rule="prints",
            severity="stop",
            message=(
                f"{name} tips over: its middle is not over its foot of {found.foot_mm2:.0f} mm2,"
                f" it hangs{_near(found.middle)}. Turn it, or widen its foot."
            ),
            measured=found.tips_at_deg,
            limit=0.0,
            place=_place(name, found.middle),
        )
    elif found.height_mm > MOST_SLENDER * found.foot_mm:
        slender = found.height_mm / found.foot_mm
        yield Finding(
            id="prints.slender",
            rule="prints",
            severity="warn",
            message=(
                f"{name} is {slender:.0f} times as high as its foot is wide"
                f" ({found.height_mm:.0f} mm over {found.foot_mm:.1f} mm); over"
                f" {MOST_SLENDER:g} it is easily knocked off the bed. Lay it down, widen its foot,"
                " or print it with a brim."
            ),
            measured=slender,
            limit=MOST_SLENDER,
            place=name,
        )


def _listed(told: list[tuple[Point, str]]) -> str:
    words = [f"{what}{_near(at)}" for at, what in told[:NAMED]]
    more = [f"and {len(told) - NAMED} more"] if len(told) > NAMED else []
    return "; ".join([*words, *more])


def _near(at: Point) -> str:
    if math.isnan(at[0]):
        return " behind its deepest groove"
    x, y, z = (round(along, 1) + 0.0 for along in at)
    return f" near x {x:.1f}, y {y:.1f}, z {z:.1f} mm"


def _place(name: str, at: Point) -> str:
    return f"{name}{_near(at)}"
