"""A set of moulds as files: parts, beds, pictures and the report."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from pathlib import Path

from mouldgen.errors import NoAnswerError
from mouldgen.files.folder import replace_folder
from mouldgen.files.report import bed_path, part_path, picture_path, report_of
from mouldgen.files.signed import signed, signed_svg
from mouldgen.files.solids import bed_files, part_files
from mouldgen.mould_set import MouldSet


def write_set(
    found: MouldSet,
    *,
    out: Path,
    bed_pictures: Sequence[str],
    pictures: Mapping[str, bytes] | None = None,
    anyway: bool = False,
) -> tuple[Path, ...]:
    """Write a set into the folder of its job, all of it or nothing.

    The files of an earlier set go; whatever else lies in the folder stays.

    found : the set.
    out : the folder that holds a folder a job.
    bed_pictures : one SVG a bed.
    pictures : of the set, by file name.
    anyway : write a set with must-fix findings too; its file names then say so.

    Returns the paths written.
    Raises NoAnswerError for a set that must be fixed first or that a conflict left without
    parts, InternalError where a file does not read back as it was meant, SurroundingsError where
    the folder cannot be written.
    """
    contents = contents_of(found, bed_pictures=bed_pictures, pictures=pictures, anyway=anyway)
    folder = out / found.answer.job.name
    replace_folder(folder, contents, made=made_earlier)
    return tuple(folder.joinpath(*name.split("/")) for name in sorted(contents))


def contents_of(
    found: MouldSet,
    *,
    bed_pictures: Sequence[str],
    pictures: Mapping[str, bytes] | None = None,
    anyway: bool = False,
) -> dict[str, bytes]:
    """The files of a set by their paths in its folder, the report too.

    found, bed_pictures, pictures, anyway : as `write_set` takes them.

    Raises NoAnswerError and InternalError as `write_set` does.
    """
    if found.parts is None or (found.stopped and not anyway):
        raise NoAnswerError(
            "nothing was written, because something must be fixed first",
            where=found.answer.job.name,
            try_="" if found.parts is None else "Fix it, or write the files with --anyway.",
        )
    contents = _contents(found, bed_pictures, pictures or {})
    files = sorted([*contents, "report.json"])
    report = json.dumps(report_of(found, files=files), indent=2, ensure_ascii=False)
    return {**contents, "report.json": (report + "\n").encode()}


def _contents(
    found: MouldSet, bed_pictures: Sequence[str], pictures: Mapping[str, bytes]
) -> dict[str, bytes]:
    job, stopped, fingerprint = found.answer.job.name, found.stopped, found.fingerprint
    meshes = {part.name: part.mesh for part in found.printed}
    contents: dict[str, bytes] = {}
    for name, mesh in meshes.items():
        for ending, data in part_files(
            name, mesh, title=f"{job} {name}", fingerprint=fingerprint
        ).items():
            contents[part_path(name, ending, stopped=stopped)] = data
    for bed, picture in zip(found.beds, bed_pictures, strict=True):
        for ending, data in bed_files(
            bed, meshes, title=f"{job} bed {bed.number}", fingerprint=fingerprint
        ).items():
            contents[bed_path(bed.number, ending, stopped=stopped)] = data
        contents[bed_path(bed.number, "svg", stopped=stopped)] = signed_svg(
            picture.encode(), fingerprint=fingerprint
        )
    contents |= {
        picture_path(file, stopped=stopped): signed(file, data, fingerprint=fingerprint)
        for file, data in pictures.items()
    }
    return contents


def made_earlier(folder: Path, *, report: str = "report.json") -> frozenset[str]:
    """The files of the set in a folder, as its report names them; none where no report can.

    report : its file name.
    """
    try:
        files = json.loads((folder / report).read_bytes())["files"]
        return frozenset(name for name in files if isinstance(name, str))
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return frozenset()
