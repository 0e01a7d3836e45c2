"""Where the castings file is kept: beside the shop file, which is where a shop keeps its own."""

from __future__ import annotations

from pathlib import Path

from mouldgen.job.find import SHOP_FILE, find_job
from mouldgen.job.presets import shipped_folder, user_folder

FILE = "castings.sqlite"


def castings_place(job: str | None = None) -> Path:
    """The castings file of a shop, there or not.

    It lies beside the first ``shop.toml`` that is found: with the job file, in the current folder,
    in the user's folder of presets; without one it lies in the current folder.

    job : a job file or the name of a job; None where no job is spoken of.

    Raises JobError where there is no such job.
    """
    own = user_folder()
    folders = [*_folder_of(job), Path(), *([own] if own else [])]
    shop = next((folder for folder in folders if (folder / SHOP_FILE).is_file()), Path())
    return shop / FILE


def _folder_of(job: str | None) -> tuple[Path, ...]:
    """The job file's folder; none of a shipped job, which belongs to no shop."""
    if job is None:
        return ()
    folder = find_job(job)[0].parent
    return () if folder.resolve().is_relative_to(shipped_folder().resolve()) else (folder,)
