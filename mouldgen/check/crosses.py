"""Does a mesh pass through itself?"""

from __future__ import annotations

from mouldgen.finding import Finding
from mouldgen.solid.crossing import crossings_of
from mouldgen.solid.mesh import Mesh


def crosses(mesh: Mesh, *, name: str, until: float | None = None) -> tuple[Finding, ...]:
    """Findings on where a mesh passes through itself, and on what was not looked at.

    name : of the part or file, for messages.
    until : the moment of `time.monotonic` at which to stop looking [s]; None to finish.

    A mesh that was looked at whole and does not gives no finding.
    """
    found = crossings_of(mesh, until=until)
    results = []
    if found.count:
        at = "near x {:.1f}, y {:.1f}, z {:.1f} mm".format(*found.places[0])
        results.append(
            Finding(
                id="crossing.itself",
                rule="crossing",
                severity="warn",
                message=(
                    f"{name} passes through itself: {found.faces} triangles, the first {at}."
                    " Programs that slice it may fill or hollow it there."
                ),
                measured=float(found.faces),
                limit=0.0,
                place=f"{name} {at}",
            )
        )
    if not found.finished:
        results.append(
            Finding(
                id="crossing.unfinished",
                rule="crossing",
                severity="note",
                message=(
                    f"Whether {name} passes through itself was not finished in the time there is:"
                    f" {100.0 * found.share:.0f} % was looked at."
                ),
                measured=found.share,
                limit=1.0,
                place=name,
            )
        )
    return tuple(results)
