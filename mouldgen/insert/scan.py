"""A scanned insert: any form, its facts measured on its mesh."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING

from mouldgen.errors import JobError
from mouldgen.insert.facts import InsertFacts, Slice
from mouldgen.job.model import Insert

if TYPE_CHECKING:
    from mouldgen.job.scan import Scan
    from mouldgen.solid.kernel import Solid
    from mouldgen.solid.mesh import Mesh

SLICES = 32


def facts(insert: Insert, *, density_g_ml: float) -> InsertFacts:
    """A scan in equal slices: volumes exact, the round of each encloses it.

    density_g_ml : of the insert [g/ml].

    Raises JobError where the scan has not been read.
    """
    found = _measured(_scan(insert), insert.end_down)
    return replace(found, density_g_ml=density_g_ml, measured_mm=insert.measured, bow_mm=insert.bow)


def solid(insert: Insert, *, chord_mm: float) -> Solid:  # noqa: ARG001 - as it was scanned
    """The scan standing on z = 0.

    chord_mm : of no use here [mm].
    """
    from mouldgen.solid.kernel import Solid as Kernel

    return Kernel.of_mesh(standing(insert))


def standing(insert: Insert) -> Mesh:
    """The scan as a mesh, standing on z = 0 with the end down that the job says.

    Raises JobError where the scan has not been read.
    """
    return _scan(insert).standing(insert.end_down)


def _scan(insert: Insert) -> Scan:
    if insert.scan is None:
        raise JobError(
            'an insert of shape "scan" came without its scan',
            where="[insert] file",
            try_="Read the job with load_job, which reads its scan too.",
        )
    found: Scan = insert.scan
    return found


@lru_cache(maxsize=4)  # a scan is asked for its facts several times in a row
def _measured(scan: Scan, end_down: str) -> InsertFacts:
    import numpy as np

    from mouldgen.insert.scanned import below_mm3, end_of, inner_mm, rounds_mm
    from mouldgen.solid.kernel import Solid as Kernel

    mesh = scan.standing(end_down)
    length = mesh.bounds[1][2]
    heights = np.linspace(0.0, length, SLICES + 1)
    volumes = np.diff(below_mm3(mesh, heights))
    rounds = rounds_mm(mesh, heights)
    body = Kernel.of_mesh(mesh)
    piece = length / SLICES
    areas = (volumes / piece).tolist()
    envelope = float(rounds.max())
    lower, upper = (
        end_of(mesh, body, upper=is_upper, envelope_mm=envelope) for is_upper in (False, True)
    )
    return InsertFacts(
        shape="scan",
        length_mm=length,
        envelope_mm=envelope,
        core_mm=inner_mm(body, heights[1:-1]),
        section_mm2=mesh.volume_mm3 / length,
        opening_mm=2.0 * envelope,
        density_g_ml=1.0,  # the caller's goes in its place
        slices=tuple(
            Slice(piece, low, high, area, area)
            for low, high, area in zip(
                rounds[:-1].tolist(), rounds[1:].tolist(), areas, strict=True
            )
        ),
        ends=(lower, upper),
    )
