"""What is wrong with a scan, in a maker's words: holes one by one, stray bits, the unit.

`sound` says whether a mesh would print; this says what to look for where it would not.
"""

from __future__ import annotations

import math

from mouldgen.finding import Finding, Severity
from mouldgen.solid.ailments import Ailments, ailments_of
from mouldgen.solid.mesh import Mesh
from mouldgen.solid.tidy import WELD, rejoined

STRAY = 0.001  # volume of a piece below which it is a stray bit, as a share of the largest
MOST_FACES = 3_000_000  # beyond that the look takes minutes and gigabytes
SHOWN = 3  # holes that are told one by one


def ailing(mesh: Mesh, *, name: str) -> tuple[Finding, ...]:
    """Findings on a scan beyond those of `sound`.

    name : of the part or file, for messages.

    A sound mesh of a likely size gives no finding.
    """
    if len(mesh.triangles) > MOST_FACES:
        words = f"{name} is too large to look for stray bits and single holes in it."
        size = len(mesh.triangles)
        return (_finding("unfinished", "note", words, name, measured=size, limit=MOST_FACES),)
    found = ailments_of(mesh)
    shut, hollows = _shut(found), found.inside_out or not _shut(found)
    loose: list[Finding] = []
    if found.open_edges:
        weld = WELD * math.dist(found.low, found.high)
        joined, near = rejoined(mesh, weld_mm=weld)
        if near:
            loose = _loose(near, weld, name)
            found = ailments_of(joined)
    told = [*loose]
    for tell in (_holes, _doubled, _fins, _one_sided, _stray, _unit):
        told += tell(found, name)
    told += _inside(found, name, hollows=hollows)
    if not shut:
        told += [*_inside_out(found, name), *_apart(found, name)]
    return tuple(told)


def _loose(near: int, weld_mm: float, name: str) -> list[Finding]:
    """Every triangle would be a stray bit with three holes: what follows is told as if welded."""
    words = (
        f"{name} has {_many(near, 'corner')} within {weld_mm:.2g} mm of another that are not the"
        " same: its triangles do not hang together there. What else is told of a scan is told as"
        " if they were one."
    )
    return [_finding("loose", "warn", words, name, measured=near)]


def _shut(found: Ailments) -> bool:
    """A closed surface: `sound` tells whether it is inside out, and if not `prints` its hollows."""
    return not any((
        found.open_edges, found.crowded_edges, found.turned_faces, found.one_sided_faces,
        found.doubled,
    ))  # fmt: skip


def _holes(found: Ailments, name: str) -> list[Finding]:
    if not found.hole_count:
        return []
    shown = [
        f"{hole.across_mm:.1f} mm across near"
        f" x {hole.middle[0]:.1f}, y {hole.middle[1]:.1f}, z {hole.middle[2]:.1f} mm"
        for hole in found.holes[:SHOWN]
    ]
    more = found.hole_count - len(shown)
    text = "; ".join(shown) + (f"; and {more} more" if more else "")
    return [
        _finding(
            "holes", "note", f"{name} has {_many(found.hole_count, 'hole')}: {text}.", name,
            measured=found.hole_count,
        )
    ]  # fmt: skip


def _doubled(found: Ailments, name: str) -> list[Finding]:
    if not found.doubled:
        return []
    words = f"{name} holds {_many(found.doubled, 'triangle')} twice."
    return [_finding("doubled", "warn", words, name, measured=found.doubled)]


def _fins(found: Ailments, name: str) -> list[Finding]:
    if not found.fins:
        return []
    words = (
        f"{name} has {_many(found.fins, 'triangle')} that"
        f" {'sticks' if found.fins == 1 else 'stick'} out from an edge which has its two already."
    )
    return [_finding("fins", "warn", words, name, measured=found.fins)]


def _inside_out(found: Ailments, name: str) -> list[Finding]:
    if not found.inside_out:
        return []
    return [_finding("inside-out", "warn", f"{name} is wound inside out.", name, measured=1)]


def _one_sided(found: Ailments, name: str) -> list[Finding]:
    if not found.one_sided_faces:
        return []
    words = (
        f"{name} has a piece of surface with one side only, like a strip with half a twist:"
        " it encloses nothing."
    )
    return [_finding("one-sided", "stop", words, name, measured=found.one_sided_faces)]


def _stray(found: Ailments, name: str) -> list[Finding]:
    if found.shell_count < 2:
        return []
    body = max(abs(shell.volume_mm3) for shell in found.shells)
    stray = sum(
        1 for shell in found.shells if not shell.inside and abs(shell.volume_mm3) < STRAY * body
    )
    stray += found.shell_count - len(found.shells)  # those not told are the smallest
    if not stray:
        return []
    words = f"{name} has {_many(stray, 'stray bit')} apart from its body."
    return [_finding("stray", "warn", words, name, measured=stray)]


def _inside(found: Ailments, name: str, *, hollows: bool) -> list[Finding]:
    # Wound inward it is a hollow, which `prints` tells where all else is well.
    inside = sum(
        1 for shell in found.shells if shell.inside and (hollows or shell.volume_mm3 > 0.0)
    )
    if not inside:
        return []
    words = f"{name} has {_many(inside, 'piece')} of surface inside its body."
    return [_finding("inside", "warn", words, name, measured=inside)]


def _apart(found: Ailments, name: str) -> list[Finding]:
    # Of a closed solid its facts tell the pieces.
    body = max((abs(shell.volume_mm3) for shell in found.shells), default=0.0)
    large = sum(
        1
        for shell in found.shells
        if not shell.inside and abs(shell.volume_mm3) >= max(STRAY * body, 1e-12)
    )
    if large < 2:
        return []
    words = f"{name} is in {large} pieces that are no stray bits."
    return [_finding("apart", "note", words, name, measured=large, limit=1.0)]


def _unit(found: Ailments, name: str) -> list[Finding]:
    if not found.unit_doubt:
        return []
    words = f"The unit of {name} may be wrong: {found.unit_doubt}."
    longest = max(high - low for low, high in zip(found.low, found.high, strict=True))
    return [_finding("unit", "note", words, name, measured=longest, limit=None)]


def _many(count: int, one: str) -> str:
    return f"{count} {one}{'' if count == 1 else 's'}"


def _finding(
    kind: str,
    severity: Severity,
    message: str,
    name: str,
    *,
    measured: float,
    limit: float | None = 0.0,
) -> Finding:
    return Finding(
        id=f"scan.{kind}",
        rule="scan",
        severity=severity,
        message=message,
        measured=float(measured),
        limit=limit,
        place=name,
    )
