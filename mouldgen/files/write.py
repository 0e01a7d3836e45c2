"""A set of moulds as files: parts, beds, pictures and the report."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Mapping, Sequence
from pathlib import Path

import numpy as np

from mouldgen.build import MouldSet
from mouldgen.errors import InternalError, NoAnswerError
from mouldgen.files.folder import replace_folder
from mouldgen.files.report import bed_path, part_path, report_of
from mouldgen.layout.beds import BedPlan
from mouldgen.mould.parts import MouldParts
from mouldgen.solid.mesh import Mesh
from mouldgen.solid.stl import read_stl, stl_bytes, stl_of_places
from mouldgen.solid.threemf import Item, read_3mf, threemf_bytes


def write_set(
    found: MouldSet,
    *,
    out: Path,
    bed_pictures: Sequence[str],
    stills: Mapping[str, bytes] | None = None,
    anyway: bool = False,
) -> tuple[Path, ...]:
    """Write a set into the folder of its job, all of it or nothing.

    found : the set.
    out : the folder that holds a folder a job.
    bed_pictures : one SVG a bed.
    stills : further pictures by file name.
    anyway : write a set with must-fix findings too; its file names then say so.

    Returns the paths written.
    Raises NoAnswerError for a set that must be fixed first or that a conflict left without
    parts, InternalError where a file does not read back as it was meant, SurroundingsError where
    the folder cannot be written.
    """
    if found.parts is None or (found.stopped and not anyway):
        raise NoAnswerError(
            "nothing was written, because something must be fixed first",
            where=found.answer.job.name,
            try_="" if found.parts is None else "Fix it, or write the files with --anyway.",
        )
    contents = _contents(found, found.parts, bed_pictures, stills or {})
    files = sorted([*contents, "report.json"])
    report = json.dumps(report_of(found, files=files), indent=2, ensure_ascii=False)
    contents["report.json"] = (report + "\n").encode()
    folder = out / found.answer.job.name
    replace_folder(folder, contents)
    return tuple(folder.joinpath(*name.split("/")) for name in files)


def _contents(
    found: MouldSet, parts: MouldParts, bed_pictures: Sequence[str], stills: Mapping[str, bytes]
) -> dict[str, bytes]:
    job, stopped = found.answer.job.name, found.stopped
    contents: dict[str, bytes] = {}
    for part in parts.parts:
        stl = stl_bytes([part.mesh])
        package = threemf_bytes(
            [Item(part.name, part.mesh)], title=f"{job} {part.name}", application="mouldgen"
        )
        _must_read_back(part.name, part.mesh, stl, package)
        contents[part_path(part.name, "stl", stopped=stopped)] = stl
        contents[part_path(part.name, "3mf", stopped=stopped)] = package
    for bed, picture in zip(found.beds, bed_pictures, strict=True):
        contents[bed_path(bed.number, "stl", stopped=stopped)] = _bed_stl(bed, parts)
        contents[bed_path(bed.number, "3mf", stopped=stopped)] = _bed_3mf(bed, parts, job)
        contents[bed_path(bed.number, "svg", stopped=stopped)] = picture.encode()
    contents.update(stills)
    return contents


def _bed_stl(bed: BedPlan, parts: MouldParts) -> bytes:
    """Every part where it lies; moved by multiples of the mesh grid, so exactly."""
    return stl_of_places([(parts.part(item.part).mesh, item.x_mm, item.y_mm) for item in bed.items])


def _bed_3mf(bed: BedPlan, parts: MouldParts, job: str) -> bytes:
    places: dict[str, list[tuple[float, float]]] = defaultdict(list)
    for item in bed.items:
        places[item.part].append((item.x_mm, item.y_mm))
    return threemf_bytes(
        [Item(name, parts.part(name).mesh, tuple(where)) for name, where in places.items()],
        title=f"{job} bed {bed.number}",
        application="mouldgen",
    )


def _must_read_back(name: str, mesh: Mesh, stl: bytes, package: bytes) -> None:
    """The files hold the very triangles that were checked, so they are as closed."""
    meant = mesh.vertices[mesh.triangles]
    (_, from_package), *more = read_3mf(package, name=f"{name}.3mf")
    from_stl = read_stl(stl, name=f"{name}.stl")
    for kind, back in (("STL", from_stl), ("3MF", from_package)):
        same = np.array_equal(back.vertices[back.triangles], meant)
        if more or not same:
            raise InternalError(f"the {kind} of {name} does not read back as it was meant")
