"""Dowels through the walls and the wood of a block that is sawn, in the lines of the saw.

Ragged offcuts are drilled and strung on them; a saw cut takes the middle of each dowel and the
waste beside it the rest.  The bores lie below the resin's level: each ends outside in a well for
wax or hot glue, and only that seals it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING

from mouldgen.errors import JobError
from mouldgen.finding import Finding
from mouldgen.job.fastening import fastening
from mouldgen.job.mould_checks import APART_MM
from mouldgen.job.outline import most_mm, outline_of
from mouldgen.mould.hold.dowel import teardrop
from mouldgen.mould.tray_hold import TrayHold, TraySite
from mouldgen.mould.tray_hold.across import ALONG_X
from mouldgen.size.fastened import WEB_LINES, dowel_bore
from mouldgen.size.tray import EAR_MM, EAR_THICK_MM
from mouldgen.solid.kernel import Solid, prism

if TYPE_CHECKING:
    from mouldgen.mould.pose import Pose
    from mouldgen.mould.tray import TrayPlan
    from mouldgen.size.tray import TraySize

ALONG_Y = ((1.0, 0.0, 0.0, 0.0), (0.0, 0.0, -1.0, 0.0), (0.0, 1.0, 0.0, 0.0))
# Of the insert's height, our own choices: high, so that what is not strung floats against what is,
# with wood left over them; and those the other way midway.
UPPER, LOWER = 0.75, 0.5


@dataclass(frozen=True, eq=False)
class Bore:
    """One bore of a pocket.

    along : ``x`` or ``y``, which way it runs.
    at_mm : across that, from the pocket's middle [mm].
    height_mm : of its middle over the inside floor [mm].
    """

    along: str
    at_mm: float
    height_mm: float


@dataclass(frozen=True, eq=False, kw_only=True)
class Through(TrayHold):
    """Bores from outside to outside.

    bores : of one pocket; those of several pockets in a line are one.
    dowel_mm, radius_mm : of the dowels and of the bores, radii [mm].
    well_mm : radius of the well at either end [mm].
    deep_mm : depth of a well [mm].
    """

    bores: tuple[Bore, ...]
    dowel_mm: float
    radius_mm: float
    well_mm: float
    deep_mm: float

    def body_genus(self, size: TraySize) -> int:
        """Each wall and each land that a bore goes through is a handle."""
        each = {"y": size.columns * (size.rows + 1), "x": size.rows * (size.columns + 1)}
        return sum(each[bore.along] for bore in self.bores)

    def resin_ml(self, plan: TrayPlan) -> float:
        """The heap is spread evenly, so that of a dowel as much is in resin as of the blank."""
        wide, deep = plan.size.foot_mm
        long = math.fsum(wide if bore.along == "x" else deep for bore in self.bores)
        whole = math.pi * self.dowel_mm**2 * long / 1000.0
        return whole * plan.size.net_ml / plan.size.cavity_ml

    def off_body(self, plan: TrayPlan) -> list[Solid]:
        return [
            solid for bore, x, y in self.lines(plan.size) for solid in self._bored(plan, bore, x, y)
        ]

    def lines(self, size: TraySize) -> Iterator[tuple[Bore, float, float]]:
        """Every bore of the tray, with where its line crosses the tray's middle [mm].

        size : of the tray.
        """
        for bore in self.bores:
            side = 0 if bore.along == "y" else 1
            for at in sorted({place[side] for place in size.places}):
                shift = at + bore.at_mm
                yield bore, *((shift, 0.0) if side == 0 else (0.0, shift))

    def _bored(self, plan: TrayPlan, bore: Bore, x: float, y: float) -> list[Solid]:
        turn = ALONG_Y if bore.along == "y" else ALONG_X
        wall = plan.size.body_mm[1 if bore.along == "y" else 0] / 2.0
        far = wall + EAR_MM + 1.0
        spans = [(self.radius_mm, -far, far)]
        spans += [
            (self.well_mm, wall - self.deep_mm, far),
            (self.well_mm, -far, self.deep_mm - wall),
        ]
        rings = [(teardrop(r, chord_mm=plan.chord_mm), low, high) for r, low, high in spans]
        solids = [prism([ring], bottom_mm=low, top_mm=high) for ring, low, high in rings]
        return [solid.placed(turn).moved(x, y, bore.height_mm) for solid in solids]


def place(site: TraySite) -> tuple[TrayHold, tuple[Finding, ...]]:
    """A dowel in every saw cut that it can be put into from outside.

    Raises JobError where the blank must come out whole, where no saw cut can take a dowel, or
    where the block is too low for it; PresetError for presets that cannot be read.
    """
    q, size, thick = site.question, site.size, site.mould.dowel
    if q.draft_deg > 0.0:
        raise JobError(
            "a blank with a dowel through it does not come out of a tray upward",
            where="[mould] draft",
            allowed="0 deg with dowels in the saw cuts: the tray is sawn or broken away",
        )
    slide = dowel_bore(thick, clearance_mm=q.clearance_mm, line_mm=q.line_mm)
    well, deep = fastening("through", "well", "deep")
    found = Through(
        way="through",
        bores=tuple(_bores(site)),
        dowel_mm=thick / 2.0,
        radius_mm=slide.radius_mm,
        well_mm=slide.radius_mm + well,
        deep_mm=deep,
    )
    if not found.bores:
        raise JobError(
            "no saw cut of this block can take a dowel from outside to outside",
            where="[mould] hold",
            allowed="saw = [2, 1] or more columns; rows alone in a tray of one column of pockets",
        )
    _see_to_room(site, found)
    count = len(tuple(found.lines(size)))
    ways = sorted({bore.along for bore in found.bores})
    sides = {f"{size.body_mm['xy'.index(way)]:.0f}" for way in ways}
    long = " and ".join(sorted(sides))
    use = (
        f"of wood, {thick:g} mm thick and {long} mm long, one in every bore: drill the"
        " wood where they pass, string it on them as you fill the tray, and fill the wells round"
        " their ends with wax or hot glue before any water or resin goes in: nothing else seals"
        " them. They lie in the saw cuts"
    )
    apart = min(_apart_mm(site, found, bore) for bore in found.bores)
    held = replace(found, most=count, least=count, use=use)
    return held, (_told(apart),)


def _bores(site: TraySite) -> Iterator[Bore]:
    """Along y in the cuts between columns; along x only where no land's channel is in the way."""
    q, size = site.question, site.size
    x, y = _cuts(site)
    foot, tall = q.pip_mm, q.laid.tall_mm
    for at in x:
        yield Bore("y", at, foot + UPPER * tall)
    if size.columns == 1:
        height = foot + (LOWER if x else UPPER) * tall
        for at in y:
            yield Bore("x", at, height)


def _cuts(site: TraySite) -> tuple[list[float], list[float]]:
    """Midway between neighbouring pieces, across and along [mm]."""
    found = []
    for places in ({p.x_mm for p in site.poses}, {p.y_mm for p in site.poses}):
        rising = sorted(places)
        found.append([(a + b) / 2.0 for a, b in pairwise(rising)])
    return found[0], found[1]


def _see_to_room(site: TraySite, found: Through) -> None:
    """JobError where a bore or a well would meet a tab, another bore, the deck or the floor."""
    q, size = site.question, site.size
    heights = sorted({bore.height_mm for bore in found.bores})
    tip = math.sqrt(2.0) * found.well_mm
    web = WEB_LINES * q.line_mm
    top = size.deck_mm - web
    if size.ear_mm:
        top = min(top, size.rim_mm - EAR_THICK_MM - size.ear_mm)
    apart = min((b - a for a, b in pairwise(heights)), default=math.inf)
    wall = min(_walls_mm(size))
    fits = heights[-1] + tip <= top and heights[0] - found.well_mm >= web
    if fits and apart >= 2.0 * site.mould.dowel and wall - found.deep_mm >= web:
        return
    raise JobError(
        f"dowels of {site.mould.dowel:g} mm, with a well round each, do not fit into a block"
        f" {size.fill_mm:.0f} mm high with walls of {wall:.1f} mm",
        where="[mould] dowel",
        allowed="a thinner dowel, a higher block, or lid, tape or weight",
    )


def _walls_mm(size: TraySize) -> tuple[float, float]:
    """Of the body beside its outer pockets at the deck: right and left, front and back [mm]."""
    pocket = size.pocket_mm(size.deck_mm)
    across = size.body_mm[0] - (size.columns - 1) * size.pitch_mm[0] - pocket[0]
    along = size.body_mm[1] - (size.rows - 1) * size.pitch_mm[1] - pocket[1]
    return across / 2.0, along / 2.0


def _apart_mm(site: TraySite, found: Through, bore: Bore) -> float:
    """From a dowel to the nearest finished piece [mm], no more than it is; below 0 they meet."""
    return min(_from_piece_mm(site, found, bore, pose) for pose in site.poses)


def _from_piece_mm(site: TraySite, found: Through, bore: Bore, pose: Pose) -> float:
    off = abs(bore.at_mm - (pose.x_mm if bore.along == "y" else pose.y_mm))
    along = bore.height_mm - (pose.z_mm - site.piece.length / 2.0)
    low, high = along - found.dowel_mm, along + found.dowel_mm
    beyond = max(-high, low - site.piece.length)
    if beyond >= 0.0:
        return beyond
    radius = most_mm(outline_of(site.piece), start_mm=low, end_mm=high)
    return off - radius - found.dowel_mm


def _told(apart: float) -> Finding:
    meets = apart < APART_MM
    words = (
        f"The dowels pass {apart:.1f} mm beside the finished pieces, in the lines of the saw: what"
        " the cut leaves of them goes with the waste."
    )
    if meets:
        words = (
            "A dowel meets the finished outline: "
            + (f"it reaches {-apart:.1f} mm into it" if apart < 0.0 else f"{apart:.1f} mm are left")
            + ". Take a thinner dowel, a thinner piece or a wider block."
        )
    return Finding(
        id="hold.dowel",
        rule="hold",
        severity="stop" if meets else "note",
        message=words,
        measured=apart,
        limit=APART_MM,
        place="insert",
    )
