"""Is a mesh a sound solid?  The same questions for our own parts and for anybody's file."""

from __future__ import annotations

from mouldgen.finding import Finding
from mouldgen.solid.mesh import Mesh
from mouldgen.solid.topology import Topology, topology_of


def sound(
    mesh: Mesh, *, name: str, genus: int | None = None, shells: int | None = None
) -> tuple[Finding, ...]:
    """Findings on a mesh: closed, wound outward, of the declared handles and shells.

    name : of the part or file, for messages.
    genus, shells : what its features declare; None where nobody declared it.

    A sound mesh gives no finding.  A sealed hollow is sound; `prints` finds it.
    """
    found = topology_of(mesh)
    results = [*_surface(found, name)]
    if not results:
        results += _solid(mesh, name)
    if not results:
        results += _declared(found, name, genus=genus, shells=shells)
    if found.flat:
        results.append(
            Finding(
                id="sound.flat",
                rule="sound",
                severity="note",
                message=f"{name} holds {found.flat} flat triangles; most programs drop them.",
                measured=float(found.flat),
                limit=0.0,
                place=name,
            )
        )
    return tuple(results)


def _surface(found: Topology, name: str) -> list[Finding]:
    at = (
        ""
        if found.first_open is None
        else " near x {:.1f}, y {:.1f}, z {:.1f} mm".format(*found.first_open)
    )
    told = (
        ("open", found.open_edges, "has holes: {n} edges have a face on one side only{at}"),
        ("crowded", found.crowded_edges, "has {n} edges that more than two faces share{at}"),
        ("turned", found.turned_edges, "has {n} edges whose two faces look opposite ways{at}"),
    )
    return [
        Finding(
            id=f"sound.{kind}",
            rule="sound",
            severity="stop",
            message=(
                f"{name} {words.format(n=count, at=at)}. It would not print as a solid. Mend it in"
                " the program it was drawn in; a scan of an insert by [insert] mend = true."
            ),
            measured=float(count),
            limit=0.0,
            place=f"{name}{at}",
        )
        for kind, count, words in told
        if count
    ]


def _solid(mesh: Mesh, name: str) -> list[Finding]:
    if mesh.volume_mm3 <= 0.0:
        return [
            Finding(
                id="sound.inside-out",
                rule="sound",
                severity="stop",
                message=(
                    f"{name} is inside out or flat: its volume is {mesh.volume_mm3:.1f} mm3. Turn"
                    " its faces outward in the program it was drawn in, and export it again."
                ),
                measured=mesh.volume_mm3,
                limit=0.0,
                place=name,
            )
        ]
    return []


def _declared(
    found: Topology, name: str, *, genus: int | None, shells: int | None
) -> list[Finding]:
    told = (("genus", found.genus, genus), ("shells", found.shells, shells))
    return [
        Finding(
            id=f"sound.{kind}",
            rule="sound",
            severity="stop",
            message=f"{name} has {kind} {is_}, where its features declare {declared}.",
            measured=float(is_),
            limit=float(declared),
            place=name,
        )
        for kind, is_, declared in told
        if declared is not None and is_ != declared
    ]
