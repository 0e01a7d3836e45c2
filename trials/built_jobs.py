"""Any job that looks meant, built: refused in plain words, or moulds that are sound.

Sound is what every part must be whatever was asked: closed, wound outward, of the handles and
shells that it declares, with a volume; resin of the cavity less the insert; and no number that is
none.  What the tool itself says must be fixed before use is an outcome of its own.
"""

from __future__ import annotations

import dataclasses
import json
import math
import random
import sys
from collections.abc import Iterator

import numpy as np

from mouldgen.build import build_moulds
from mouldgen.errors import InputError, NoAnswerError
from mouldgen.files.report import report_of
from mouldgen.job.load import load_job
from mouldgen.mould.parts import MouldParts, Part
from mouldgen.mould_set import MouldSet
from mouldgen.solid.kernel import Solid
from mouldgen.solid.mesh import Mesh
from mouldgen.solid.topology import topology_of
from trials import tally
from trials.claims import must, said
from trials.drawn_jobs import BARE_JOB, drawn_job

OUTSIDE = 1e-6  # mm: rounding


def case(seed: int) -> str:
    """Draw a job and build its moulds."""
    sets, scan = drawn_job(random.Random(seed))
    try:
        loaded = load_job(BARE_JOB, sets=sets, scan=scan)
        found = build_moulds(loaded.job, given=loaded.given)
    except InputError as problem:
        said(str(problem))
        return "refused"
    except NoAnswerError as problem:
        said(str(problem))
        return "no answer"
    return outcome(found)


def outcome(found: MouldSet) -> str:
    """What came of a build, once it is seen to that all of it holds.

    found : by the build.
    """
    for finding in found.findings:
        said(finding.message)
        must(not finding.id.startswith("sound."), finding)
    _finite(found)
    if found.parts is None:
        must(any(f.id == "gap.conflict" for f in found.findings), found.findings)
        return "conflict"
    for part in (*found.printed, *found.parts.cast):
        _sound(part)
    _resin(found, found.parts)
    return "told to be mended first" if found.stopped else "sound"


def _sound(part: Part) -> None:
    for mesh in (part.mesh, part.assembled):
        must(bool(np.isfinite(mesh.vertices).all()), f"{part.name}: a corner that is none")
        must(mesh.volume_mm3 > 0.0, f"{part.name}: {mesh.volume_mm3} mm3")
    topology = topology_of(part.mesh)
    told = f"{part.name}: {topology}, declared {part.genus} and {part.shells}"
    must(topology.closed and topology.flat == 0 and topology.inward == 0, told)
    must((topology.genus, topology.shells) == (part.genus, part.shells), told)
    must(part.mesh.bounds[0][2] == 0.0, f"{part.name} stands on {part.mesh.bounds[0][2]} mm")


def _resin(found: MouldSet, parts: MouldParts) -> None:
    """What is poured is the cavity less the insert, by the closed form and by the solids."""
    size, amounts = found.answer.size, found.amounts
    if size is None or amounts is None:
        raise AssertionError("parts without sizes")
    must(size.net_ml >= 0.0, f"{size.net_ml} ml")
    must(amounts.total_ml > 0.0, amounts)  # ribs may take more than the riser gives
    # An insert may stand out of what is poured: then less of it displaces.
    net = Solid.of_mesh(parts.cavity) - Solid.of_mesh(parts.displacing)
    net_ml = net.volume_mm3() / 1000.0
    # A side may leave its circle by a chord, on the cavity and on what displaces.
    chord = found.answer.job.mould.chord
    off_ml = (2.0 * chord + OUTSIDE) * (_skin(parts.cavity) + _skin(parts.displacing)) / 1000.0
    must(abs(net_ml - size.net_ml) <= off_ml, f"{net_ml} ml of solids, {size.net_ml} ml told")


def _skin(mesh: Mesh) -> float:
    """Area of its surface [mm2]."""
    corners = np.asarray(mesh.vertices, dtype=np.float64)[np.asarray(mesh.triangles)]
    across = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    return float(np.linalg.norm(across, axis=1).sum() / 2.0)


def _finite(found: MouldSet) -> None:
    """What sizes, resin and times are reckoned from, and the report of it all."""
    json.dumps(report_of(found), allow_nan=False)
    answer = found.answer
    told = {
        "insert": answer.insert,
        "size": answer.size,
        "resin": found.amounts,
        "beds": found.beds,
        "time": found.print_time,
        "filament": found.filament_g,
    }
    for name, value in told.items():
        for where, number in _numbers(value, name):
            must(math.isfinite(number), f"{where} is {number}")


def _numbers(value: object, where: str) -> Iterator[tuple[str, float]]:
    """Every number in a value, and where it stands."""
    if isinstance(value, float):
        yield where, value
    elif isinstance(value, tuple | list):
        for at, one in enumerate(value):
            yield from _numbers(one, f"{where}[{at}]")
    elif dataclasses.is_dataclass(value) and not isinstance(value, type | Mesh):
        for one in dataclasses.fields(value):
            yield from _numbers(getattr(value, one.name, None), f"{where}.{one.name}")


if __name__ == "__main__":
    sys.exit(
        tally.main(
            "built-jobs",
            case,
            about="Drawn jobs of every insert and family through the whole build.",
            count=20_000,
        )
    )
