"""A trial as files: the parts of every rung, the beds, the table and the report."""

from __future__ import annotations

import json
from collections.abc import Sequence
from functools import partial
from pathlib import Path

from mouldgen.errors import NoAnswerError
from mouldgen.files.folder import replace_folder
from mouldgen.files.report import bed_path, part_path
from mouldgen.files.signed import signed_svg
from mouldgen.files.solids import bed_files, part_files
from mouldgen.files.trial_report import trial_csv, trial_data
from mouldgen.files.write import made_earlier
from mouldgen.trial import Trial

REPORT, TABLE = "trial.json", "trial.csv"


def trial_folder(trial: Trial, *, out: Path) -> Path:
    """The folder of a job's trial, beside that of the job.

    out : the folder that holds both.
    """
    return out / f"{trial.job.name}-trial"


def write_trial(trial: Trial, *, out: Path, bed_pictures: Sequence[str]) -> tuple[Path, ...]:
    """Write a trial into its own folder, all of it or nothing.

    The files of an earlier trial go; whatever else lies in the folder stays.

    out : the folder that holds a folder a job.
    bed_pictures : one SVG a bed.

    Returns the paths written.
    Raises NoAnswerError for a trial without a rung to print, SurroundingsError where the folder
    cannot be written.
    """
    if not trial.made:
        raise NoAnswerError(
            "nothing was written, because every rung must be fixed first",
            where=trial.job.name,
            try_="Take other gaps, or write the files with --anyway.",
        )
    contents = _contents(trial, bed_pictures)
    files = sorted([*contents, REPORT])
    report = json.dumps(trial_data(trial, files=files), indent=2, ensure_ascii=False)
    contents[REPORT] = (report + "\n").encode()
    folder = trial_folder(trial, out=out)
    replace_folder(folder, contents, made=partial(made_earlier, report=REPORT))
    return tuple(folder.joinpath(*name.split("/")) for name in files)


def _contents(trial: Trial, bed_pictures: Sequence[str]) -> dict[str, bytes]:
    title = f"{trial.job.name} trial"
    contents = {TABLE: trial_csv(trial).encode()}
    fingerprint = trial.fingerprint
    for rung in trial.made:
        for part in rung.parts:
            for ending, data in part_files(
                part.name,
                part.mesh,
                title=f"{title} {part.name}",
                fingerprint=rung.found.fingerprint,
            ).items():
                contents[part_path(part.name, ending, stopped=rung.found.stopped)] = data
    meshes = {part.name: part.mesh for part in trial.parts}
    stopped = any(rung.found.stopped for rung in trial.made)
    for bed, picture in zip(trial.beds, bed_pictures, strict=True):
        for ending, data in bed_files(
            bed, meshes, title=f"{title} bed {bed.number}", fingerprint=fingerprint
        ).items():
            contents[bed_path(bed.number, ending, stopped=stopped)] = data
        contents[bed_path(bed.number, "svg", stopped=stopped)] = signed_svg(
            picture.encode(), fingerprint=fingerprint
        )
    return contents
