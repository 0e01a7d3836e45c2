"""A scanned insert as it goes into a job: a closed solid on its axis, and what was done to it.

Nothing is guessed and nothing is mended unasked: what is wrong is told with counts and places, and
the scan is refused.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.errors import KernelError, ScanError
from mouldgen.finding import Finding

if TYPE_CHECKING:
    from mouldgen.solid.ailments import Ailments
    from mouldgen.solid.mending import Mended
    from mouldgen.solid.mesh import Mesh

UNITS_MM = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4}
SHOWN = 3  # holes that are told one by one
_TRY = "Mend it in the program that scanned it, or set [insert] mend = true."


@dataclass(frozen=True, eq=False)
class Scan:
    """A scan on its axis.

    mesh : closed, standing on z = 0 with its heavier end down, the axis of the thinnest cylinder
        that holds it along z [mm].
    radius_mm : of that cylinder [mm].
    findings : what was done to the scan on the way.
    """

    mesh: Mesh
    radius_mm: float
    findings: tuple[Finding, ...] = ()

    @property
    def length_mm(self) -> float:
        """Along the axis [mm]."""
        return self.mesh.bounds[1][2]

    def standing(self, end_down: str) -> Mesh:
        """The mesh with one of its ends down, standing on z = 0 [mm].

        end_down : ``heavy`` or ``light``.
        """
        if end_down != "light":
            return self.mesh
        return self.mesh.turned_over().moved(0.0, 0.0, self.length_mm)


def scan_of(
    mesh: Mesh, *, name: str = "scan", mend: bool = False, scale: float = 1.0, sure: bool = False
) -> Scan:
    """A mesh as a scan that a mould can be made for.

    mesh : as it was read [mm].
    name : what messages call it.
    mend : close holes, drop stray bits, turn faces, and tell what that did.
    scale : by which everything is made larger, such as 1.08 for what grows in the oven.
    sure : its unit was stated, so that an unlikely size is not asked about.

    Raises ScanError where the unit is in doubt, where it has faults and may not be mended, and
    where it cannot be.
    """
    from mouldgen.solid.ailments import ailments_of, unit_doubt

    doubt = unit_doubt(max(high - low for low, high in zip(*mesh.bounds, strict=True)))
    if doubt and not sure:
        raise ScanError(
            f"the unit of the scan is in doubt: {doubt}",
            where=name,
            allowed='[insert] file_unit = "mm", "cm", "m" or "in"',
            try_="State the unit that it was saved in.",
        )
    # To look at a million triangles takes seconds; mending looks at them itself.
    if not mend and not (found := ailments_of(mesh)).sound:
        raise ScanError(
            f"the scan has {_faults(found)}", where=name, allowed="a closed solid", try_=_TRY
        )
    try:
        if mend:
            from mouldgen.solid.mending import mended

            result = mended(mesh)
            return _placed(result.mesh, scale, (*_scaled(scale, name), _mended(result, name)))
        return _placed(mesh, scale, _scaled(scale, name))
    except ScanError as problem:
        raise problem.at(name) from None
    except KernelError as problem:
        raise ScanError(
            f"the scan is no solid that can be worked with ({problem.what})", where=name, try_=_TRY
        ) from None


def _placed(mesh: Mesh, scale: float, findings: tuple[Finding, ...]) -> Scan:
    import numpy as np

    from mouldgen.solid.axis import poses_of
    from mouldgen.solid.kernel import Solid

    pose = poses_of(mesh)[0]
    solid = Solid.of_mesh(mesh).placed(scale * np.asarray(pose.matrix))
    standing = solid.any_mesh()
    if standing.volume_mm3 <= 0.0:
        raise KernelError("it is thinner than the grid that files are written on")
    # Snapping to the grid may leave its lowest corner a step beside z = 0.
    return Scan(standing.moved(0.0, 0.0, -standing.bounds[0][2]), scale * pose.radius_mm, findings)


def _scaled(scale: float, name: str) -> tuple[Finding, ...]:
    if scale == 1.0:
        return ()
    return (
        Finding(
            id="scan.scaled",
            rule="scan",
            severity="note",
            message=f"{name} is made {scale:g} times as large, {scale**3:.3g} times its volume.",
            measured=scale,
            place=name,
        ),
    )


def _mended(result: Mended, name: str) -> Finding:
    """What mending did; told too where there was nothing to do."""
    done = [
        _many(result.holes, "hole") + f" closed, the largest {result.largest_hole_mm:.1f} mm across"
        if result.holes
        else "",
        _many(result.flat + result.doubled + result.crowded, "face") + " dropped"
        if result.flat + result.doubled + result.crowded
        else "",
        _many(result.turned, "face") + " turned" if result.turned else "",
        "the whole turned inside out" if result.inside_out else "",
        _many(result.dropped_outside + result.dropped_inside, "piece") + " dropped"
        if result.dropped_outside + result.dropped_inside
        else "",
    ]
    told = ", ".join(one for one in done if one) or "nothing had to be done"
    low, high = result.bounds
    size = " x ".join(f"{b - a:.1f}" for a, b in zip(low, high, strict=True))
    share = f", {result.patched_share:.1%} of its surface are patches" if result.holes else ""
    return Finding(
        id="scan.mended",
        rule="scan",
        severity="note",
        message=(
            f"{name} was mended: {told}. It holds {result.volume_mm3 / 1000.0:.2f} ml in {size}"
            f" mm{share}, and no place lies farther than {result.deviation_mm:.2f} mm from the"
            " surface that was given."
        ),
        measured=result.deviation_mm,
        place=name,
    )


def _faults(found: Ailments) -> str:
    """Everything that keeps a scan from being a solid, counted, holes with their places."""
    told = []
    if found.hole_count:
        places = "; ".join(
            f"{hole.across_mm:.1f} mm across near x {hole.middle[0]:.1f},"
            f" y {hole.middle[1]:.1f}, z {hole.middle[2]:.1f} mm"
            for hole in found.holes[:SHOWN]
        )
        more = found.hole_count - min(SHOWN, len(found.holes))
        told.append(
            f"{_many(found.hole_count, 'hole')} ({places}{f'; and {more} more' if more else ''})"
        )
    counts = (
        (0 if found.hole_count else found.open_edges, "open edge", "open edges"),
        (found.crowded_edges, "edge of more than two faces", "edges of more than two faces"),
        (found.turned_faces, "face turned the wrong way", "faces turned the wrong way"),
        (found.one_sided_faces, "face of a strip with one side", "faces of a strip with one side"),
        (found.flat, "flat triangle", "flat triangles"),
        (found.doubled, "triangle that is there twice", "triangles that are there twice"),
        (found.shell_count - 1, "piece besides the largest", "pieces besides the largest"),
    )
    told += [_many(count, *words) for count, *words in counts if count > 0]
    if found.inside_out:
        told.append("its inside outward")
    return ", ".join(told)


def _many(count: int, one: str, many: str = "") -> str:
    return f"{count} {one if count == 1 else many or f'{one}s'}"
