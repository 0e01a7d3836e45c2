"""The file of a scan: where it is, and what of it goes into the job."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from mouldgen.errors import JobError, MouldgenError, ScanError, SurroundingsError
from mouldgen.job.merge import Merged
from mouldgen.job.model import Insert, Job
from mouldgen.job.presets import find_scan
from mouldgen.job.scan import UNITS_MM, Scan, scan_of
from mouldgen.job.shapes import shape_objections
from mouldgen.job.words import one_line

if TYPE_CHECKING:
    from mouldgen.solid.mesh import Mesh

LARGEST_BYTES = 500_000_000
# For a build half a minute; on a piece of 40 mm their sides are a tenth of a millimetre, finer than
# any print.
MOST_TRIANGLES = 500_000
_COARSER = "Make it coarser in the program that scanned it."
_ALLOWED = "a path from the job file's folder, or the name of a shipped scan"


def with_scan(job: Job, merged: Merged, *, folder: Path, mesh: Mesh | None = None) -> Job:
    """The job with its scan read, and the scan's length as the insert's.

    job : with an insert of shape ``scan``.
    merged : the tables that it was made from, for messages.
    folder : of the job file.
    mesh : in the place of a file [mm].

    Raises JobError, MeshFileError and ScanError with the key at fault, SurroundingsError where the
    system refuses to read.
    """
    insert = job.insert
    if mesh is not None:
        scan = _at(merged, lambda: scan_of(mesh, mend=insert.mend, scale=insert.scale, sure=True))
        return with_solid(job, scan)
    if "insert.length" in merged.given:
        raise JobError(
            "the length of a scan is measured on it",
            where=merged.place("insert", "length"),
            try_="Leave it out; scale makes the whole scan larger or smaller.",
        )
    for key, what, allowed, try_ in shape_objections(insert):
        raise JobError(what, where=merged.place("insert", key), allowed=allowed, try_=try_)
    # What is typed on the command line is meant from where it is typed.
    typed = merged.origins.get(("insert", "file")) == "--set"
    return with_solid(job, _read(insert, merged, Path() if typed else folder))


def with_solid(job: Job, scan: Scan) -> Job:
    """The job with a scan that is in hand already.

    job : with an insert of shape ``scan``.
    scan : as `scan_of` gives it.
    """
    insert = job.insert.model_copy(update={"scan": scan, "length": scan.length_mm})
    return job.model_copy(update={"insert": insert})


def _read(insert: Insert, merged: Merged, folder: Path) -> Scan:
    from mouldgen.solid.scan_file import joined, read_any

    where = merged.place("insert", "file")
    path = _path(insert.file or "", folder, where)
    name, unit = path.name, insert.file_unit

    def read() -> Scan:
        data = _bytes(path, where)
        solids = read_any(data, name=name, unit_mm=None if unit is None else UNITS_MM[unit])
        held = sum(len(mesh.triangles) for _, mesh in solids)
        if held > MOST_TRIANGLES:
            raise ScanError(
                f"the scan has {held} triangles",
                where=name,
                allowed=f"at most {MOST_TRIANGLES}",
                try_=_COARSER,
            )
        return scan_of(
            joined(solids), name=name, mend=insert.mend, scale=insert.scale, sure=unit is not None
        )

    return _at(merged, read)


def _at(merged: Merged, read: Callable[[], Scan]) -> Scan:
    """What a reader gives; its errors tell the key too."""
    where = merged.place("insert", "file")
    try:
        return read()
    except MouldgenError as problem:
        if where in problem.where:
            raise
        told = f"{where}: {problem.where}" if problem.where else where
        raise problem.at(told) from None


def _path(file: str, folder: Path, where: str) -> Path:
    """Beside the job file, else among the presets."""
    try:
        beside = folder / Path(file).expanduser()
        if beside.is_file():
            return beside
        shipped = find_scan(file) if Path(file).name == file else None
        is_folder = beside.is_dir()
    except (OSError, RuntimeError, ValueError):  # too long; of nobody's home
        raise JobError(
            f"this is no name of a file: {one_line(file)}", where=where, allowed=_ALLOWED
        ) from None
    if shipped is None:
        what = "this is a folder, not a file" if is_folder else "there is no such file"
        raise JobError(
            f"{what}: {one_line(file)}",
            where=where,
            allowed=_ALLOWED,
            try_=f"It was looked for in {folder.absolute()}.",
        )
    return shipped


def _bytes(path: Path, where: str) -> bytes:
    try:
        if path.stat().st_size > LARGEST_BYTES:
            raise JobError(
                f"{path.name} is larger than {LARGEST_BYTES // 10**6} MB",
                where=where,
                allowed=f"a scan of at most {MOST_TRIANGLES} triangles",
                try_=_COARSER,
            )
        return path.read_bytes()
    except OSError as problem:
        if isinstance(problem, MouldgenError):
            raise
        raise SurroundingsError(
            f"{path.name} cannot be read ({problem.strerror or problem})", where=where
        ) from problem
