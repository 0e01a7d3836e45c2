"""The bare cavity of a shell: the scan grown by the gap and open upward, under a round neck."""

from __future__ import annotations

import math
from dataclasses import fields, replace
from typing import TYPE_CHECKING

import numpy as np

from mouldgen.finding import Finding
from mouldgen.size.profile import LEAST_MM, Profile
from mouldgen.size.round import Size, around_bore
from mouldgen.size.shell import ShellQuestion, ShellSize
from mouldgen.solid.circle import around, polygon, segments
from mouldgen.solid.kernel import OVERSHOOT, Solid, prism, revolve, union

if TYPE_CHECKING:
    from mouldgen.solid.mesh import Mesh

CHORD_MM = 0.01  # of the rounds that volumes are measured with
STEP_MM = 1.0  # between the sections that the profile is made of
SQUARES = 16_000  # of a cell's size on the scan's surface: finer costs more than it is worth
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
        gap_mm=gap_mm,
        cell_mm=_cell_mm(scan, gap_mm),
        open_upward=True,
        down_mm=question.pip_mm + OVERSHOOT,
    )
    grown = Solid.of_mesh(offset.mesh).moved(z=question.pip_mm).any_mesh()
    sides = segments(question.insert.envelope_mm + gap_mm, chord_mm=CHORD_MM)
    high = question.insert_top_mm + 1.0
    body = shell_cavity(question, gap_mm, grown, sides=sides, top_mm=high)
    size = around_bore(question, gap_mm, _profile(question, gap_mm, body))
    return _measured(question, size, body, grown, offset.opened_mm3 / 1000.0)


def opened(size: ShellSize) -> Finding:
    """What a shell holds more than the gap all round, so that the scan goes in from above.

    size : measured on its cavity.
    """
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
    neck = q.insert.envelope_mm + gap_mm
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
        if points:
            height = max(height, points[-1][1] + _STEP_MM)
        points.append((widest, height))
    if not points:
        return []
    top = max(points[-1][1] + _STEP_MM, q.neck_mm + OVERSHOOT)
    return [(0.0, points[0][1]), *points, (points[-1][0], top), (0.0, top)]


def _profile(question: ShellQuestion, gap_mm: float, body: Solid) -> Profile:
    neck = question.insert.envelope_mm + gap_mm
    count = max(2, math.ceil(question.neck_mm / STEP_MM))
    heights = [question.neck_mm * k / count for k in range(count)]
    places = [max(z, _LIFTED_MM) for z in heights]
    points = [(z, _radius(body, at)) for z, at in zip(heights, places, strict=True)]
    return Profile((*points, (question.neck_mm, neck), (question.neck_mm + 1.0, neck)))


def _radius(body: Solid, height: float) -> float:
    rings = [ring.T for ring in body.section(height)]
    area = sum(0.5 * float(x @ np.roll(y, -1) - y @ np.roll(x, -1)) for x, y in rings)
    return math.sqrt(max(area, 0.0) / math.pi)


def _measured(
    question: ShellQuestion, size: Size, body: Solid, grown: Mesh, opened_ml: float
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
    shell = ShellSize(**known, neck_mm=question.neck_mm, grown=grown, opened_ml=opened_ml)
    return replace(shell, cavity_ml=cavity, riser_ml=volume(size.level_mm) - cavity - above)
