"""What is wrong with a scan, in a maker's words: holes one by one, stray bits, the unit.

`sound` says whether a mesh would print; this says what to look for where it would not.
"""

from __future__ import annotations

from mouldgen.finding import Finding, Severity
from mouldgen.solid.ailments import Ailments, ailments_of
from mouldgen.solid.mesh import Mesh

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
    told = (_holes, _doubled, _one_sided, _stray, _inside, _unit)
    return tuple(finding for tell in told for finding in tell(found, name))


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


def _inside(found: Ailments, name: str) -> list[Finding]:
    # Wound inward it is a hollow, which `sound` tells where all else is well.
    inside = sum(1 for shell in found.shells if shell.inside and shell.volume_mm3 > 0.0)
    if not inside:
        return []
    words = f"{name} has {_many(inside, 'piece')} of surface inside its body."
    return [_finding("inside", "warn", words, name, measured=inside)]


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
