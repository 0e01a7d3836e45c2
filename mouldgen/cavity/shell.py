"""The bare cavity of a shell: the scan grown by the gap and open upward, under a round neck."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import fields, replace
from typing import TYPE_CHECKING

import numpy as np

from mouldgen.finding import Finding
from mouldgen.size.profile import LEAST_MM, Profile
from mouldgen.size.round import Size, around_bore
from mouldgen.size.shell import ShellQuestion, ShellSize
from mouldgen.solid.circle import around, polygon, segments
from mouldgen.solid.kernel import OVERSHOOT, Solid, prism, revolve, union
from mouldgen.solid.mesh import GRID_MM

if TYPE_CHECKING:
    from mouldgen.solid.mesh import Floats, Mesh
    from mouldgen.solid.offset import Offset

CHORD_MM = 0.01  # of the rounds that volumes are measured with
STEP_MM = 1.0  # between the sections that the profile is made of
TURNS = 360  # rays from the axis that a section is measured by
TOLD_ML = 0.1  # less than that is not told (our own choice)
SQUARES = 16_000  # of a cell's size on the scan's surface: finer costs more than it is worth
# Written on the mesh grid, a corner moves by half a step along each of three axes at most, and what
# is drawn between corners by no more.  Cavity and scan both are: twice sqrt(3)/2 steps.
SNAPPED_MM = math.sqrt(3.0) * GRID_MM
_LIFTED_MM = 0.05  # over the floor, where a section is an edge
_STEP_MM = 0.01  # a shoulder of the finished piece is drawn this high


def shell_size(question: ShellQuestion, gap_mm: float, scan: Mesh) -> ShellSize:
    """The size of a shell at its gap, volumes measured on its cavity.

    question : of the shell.
    gap_mm : that is kept all round the scan [mm].
    scan : standing on z = 0 [mm].

    Raises ScanError where no surface keeps that gap, JobError as `size_of` does.
    """
    from mouldgen.solid.offset import offset_of

    offset = offset_of(
        scan,
        gap_mm=gap_mm + SNAPPED_MM,
        cell_mm=_cell_mm(scan, gap_mm),
        open_upward=True,
        down_mm=question.pip_mm + OVERSHOOT,
    )
    grown = Solid.of_mesh(offset.mesh).moved(z=question.pip_mm).any_mesh()
    sides = segments(question.insert.envelope_mm + gap_mm, chord_mm=CHORD_MM)
    high = question.insert_top_mm + 1.0
    body = shell_cavity(question, gap_mm, grown, sides=sides, top_mm=high)
    size = around_bore(question, gap_mm, _profile(question, gap_mm, body))
    return _measured(question, size, body, grown, offset)


def shell_findings(size: ShellSize) -> tuple[Finding, ...]:
    """What of a shell is more than the gap all round and a wall round that.

    size : measured on its cavity.
    """
    return (_opened(size), *_pockets(size), *_between(size))


def _pockets(size: ShellSize) -> Iterator[Finding]:
    """What no printed wall fits into, so that resin fills it."""
    if size.pockets_ml < TOLD_ML:
        return
    what = "a pocket" if size.pockets == 1 else f"{size.pockets} pockets"
    yield Finding(
        id="shell.pockets",
        rule="shell",
        severity="note",
        message=(
            f"The scan has {what} closed, or open by less than twice the gap, where no wall can"
            f" stand: {size.pockets_ml:.1f} ml beyond the gap belong to the cavity."
        ),
        measured=size.pockets_ml,
        place="body",
    )


def _between(size: ShellSize) -> Iterator[Finding]:
    """What of the body is solid because its outside is drawn from the axis."""
    if size.between_ml < TOLD_ML:
        return
    yield Finding(
        id="shell.between",
        rule="shell",
        severity="note",
        message=(
            "A line from the axis outward enters the cavity twice, or late: what lies between is"
            f" printed solid, {size.between_ml:.1f} ml of plastic that no hollow is left in."
        ),
        measured=size.between_ml,
        place="body",
    )


def _opened(size: ShellSize) -> Finding:
    """What a shell holds more, so that the scan goes in from above."""
    return Finding(
        id="shell.opened",
        rule="shell",
        severity="note",
        message=(
            f"The shell is nowhere narrower than below, so that the scan goes in from above: that"
            f" adds {size.opened_ml:.1f} ml of resin to the gap all round it."
        ),
        measured=size.opened_ml,
        place="body",
    )


def shell_cavity(
    question: ShellQuestion, gap_mm: float, grown: Mesh, *, sides: int, top_mm: float
) -> Solid:
    """The bare cavity from the inside floor to a height.

    question : of the shell.
    gap_mm : of the grown scan [mm].
    grown : the scan grown by the gap and open upward, where it stands [mm].
    sides : of every circle about the axis.
    top_mm : where it ends [mm].
    """
    q = question
    neck = _neck_radius_mm(q, gap_mm) + SNAPPED_MM
    high = max(top_mm, q.neck_mm) + 1.0
    # Nothing of the grown scan need lie beyond the neck: that round keeps the gap by itself.
    ring = polygon(around(neck, sides=sides), sides=sides)
    within = prism([ring], bottom_mm=0.0, top_mm=min(q.insert_top_mm, high - OVERSHOOT))
    tip = q.neck_mm - neck
    corners = [(neck, q.neck_mm), (neck, high), (0.0, high)]
    low = [(0.0, tip)] if tip > LEAST_MM else [(0.0, 0.0), (-tip, 0.0)]
    solids = [Solid.of_mesh(grown) ^ within, revolve([*low, *corners], sides=sides)]
    piece = _piece(q)
    if piece:
        solids.append(revolve(piece, sides=sides))
    return union(solids).below(top_mm)


def _neck_radius_mm(question: ShellQuestion, gap_mm: float) -> float:
    """Round the scan, and no narrower than the finished piece below it, of whatever gap [mm]."""
    piece = max((radius for _, radius in question.allowed_mm), default=0.0)
    return max(question.insert.envelope_mm + gap_mm, piece)


def _cell_mm(scan: Mesh, gap_mm: float) -> float:
    """Cells of the grid that the surface is found on: a quarter to half of the gap [mm]."""
    a, b, c = (scan.corners[:, k].astype(np.float64) for k in range(3))
    area = float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum()) / 2.0
    return min(gap_mm / 2.0, max(gap_mm / 4.0, math.sqrt(area / SQUARES)))


def _piece(question: ShellQuestion) -> list[tuple[float, float]]:
    """The finished piece with its allowance, nowhere narrower than below, up to the neck."""
    q = question
    points: list[tuple[float, float]] = []
    for along, radius in q.allowed_mm:
        height = max(q.pip_mm + along, LEAST_MM)
        widest = max(radius, points[-1][0] if points else 0.0)
        # The narrower end of a shoulder gives way, or the wider one would be cut off.
        low = height - _STEP_MM
        if points and points[-1][1] > low:
            narrow, _ = points.pop()
            if not points or points[-1][1] < low:
                points.append((narrow, low))
        points.append((widest, height))
    if not points:
        return []
    top = max(points[-1][1] + _STEP_MM, q.neck_mm + OVERSHOOT)
    return [(0.0, points[0][1]), *points, (points[-1][0], top), (0.0, top)]


def _profile(question: ShellQuestion, gap_mm: float, body: Solid) -> Profile:
    neck = _neck_radius_mm(question, gap_mm)
    count = max(2, math.ceil(question.neck_mm / STEP_MM))
    heights = [question.neck_mm * k / count for k in range(count)]
    places = [max(z, _LIFTED_MM) for z in heights]
    points = [(z, _radius(body, at)) for z, at in zip(heights, places, strict=True)]
    return Profile((*points, (question.neck_mm, neck), (question.neck_mm + 1.0, neck)))


def _radius(body: Solid, height: float) -> float:
    rings = [ring.T for ring in body.section(height)]
    area = sum(0.5 * float(x @ np.roll(y, -1) - y @ np.roll(x, -1)) for x, y in rings)
    return math.sqrt(max(area, 0.0) / math.pi)


def reach_mm(bare: Solid, height_mm: float, turns: int) -> Floats:
    """How far a section reaches from the axis at equal turns, 0 where a ray misses it (n,) [mm].

    bare : the cavity.
    height_mm : of the section [mm].
    turns : how many.
    """
    angle = 2.0 * math.pi * np.arange(turns)[:, None] / turns
    cos, sin = np.cos(angle), np.sin(angle)
    far = np.zeros(turns)
    for ring in bare.section(height_mm):
        start = ring
        side = np.roll(ring, -1, axis=0) - ring
        # The ray t (cos, sin) meets start + s side: Cramer's rule, a row a turn, a column a side.
        across = cos * side[:, 1] - sin * side[:, 0]
        with np.errstate(divide="ignore", invalid="ignore"):
            along = (start[:, 0] * side[:, 1] - start[:, 1] * side[:, 0]) / across
            share = (start[:, 0] * sin - start[:, 1] * cos) / across
        met = np.isfinite(along) & (share > -1e-9) & (share < 1.0 + 1e-9)
        far = np.maximum(far, np.where(met, along, 0.0).max(axis=1))
    return far


def _between_mm3(question: ShellQuestion, body: Solid) -> float:
    """What lies between the axis and the cavity's farthest place at each turn and is none of it.

    There the mould's outside, which is drawn from the axis, leaves no hollow [mm3].
    """
    count = max(2, math.ceil(question.neck_mm / STEP_MM))
    step, turn = question.neck_mm / count, 2.0 * math.pi / TURNS
    between = 0.0
    for height in (np.arange(count) + 0.5) * step:
        far = reach_mm(body, float(height), TURNS)
        whole = 0.5 * math.sin(turn) * float(far @ np.roll(far, -1))
        between += step * max(0.0, whole - math.pi * _radius(body, float(height)) ** 2)
    return between


def _measured(
    question: ShellQuestion, size: Size, body: Solid, grown: Mesh, offset: Offset
) -> ShellSize:
    """The same with the volumes of the mesh; over the neck the bore is a cylinder."""
    insert_top = question.insert_top_mm
    known = {one.name: getattr(size, one.name) for one in fields(Size)}

    def volume(height: float) -> float:
        whole = min(height, insert_top)
        over = size.bore.volume_ml(height) - size.bore.volume_ml(whole)
        return body.below(whole).volume_mm3() / 1000.0 + over

    cavity = volume(size.fill_mm)
    above = question.insert.top_ml(max(0.0, insert_top - size.fill_mm))
    shell = ShellSize(
        **known,
        neck_mm=question.neck_mm,
        grown=grown,
        opened_ml=offset.opened_mm3 / 1000.0,
        pockets=offset.pieces_filled,
        pockets_ml=offset.filled_mm3 / 1000.0,
        between_ml=_between_mm3(question, body) / 1000.0,
    )
    return replace(shell, cavity_ml=cavity, riser_ml=volume(size.level_mm) - cavity - above)
