"""Which file a job is and which shop file goes with it, without reading either.

Loads nothing that takes long: who only wants to know a place need not wait for the job's model.
"""

from __future__ import annotations

import re
from pathlib import Path

from mouldgen.errors import JobError
from mouldgen.job.presets import find_card, names, user_folder
from mouldgen.job.words import NAME_ALLOWED, is_name, is_reserved, nearest, one_line

SHOP_FILE = "shop.toml"


def find_job(source: str | Path) -> tuple[Path, str]:
    """The file of a job and what messages call it.

    source : as `mouldgen.job.load.load_job` takes it.

    Raises JobError for a name that no preset has, and for one that no system stores.
    """
    text = str(source)
    if isinstance(source, Path) or text.endswith(".toml") or re.search(r"[/\\]", text):
        path = Path(text)
        if not path.exists() and "\0" not in text:
            raise _no_such_job(text, path.stem)
        return path, text
    if not is_name(text) or is_reserved(text):
        raise JobError(
            f'"{one_line(text)}" is neither a job file nor the name of a job',
            allowed=f"the path of a file that ends in .toml, or a name: {NAME_ALLOWED}",
            try_=_shipped(),
        )
    if text not in names("jobs"):
        raise _no_such_job(text, text)
    return find_card("jobs", text), f"{text}.toml"


def find_shop(job_file: Path) -> Path | None:
    """The shop file of a job: beside it, else in the user's folder of presets; None without one.

    job_file : there or not.
    """
    own = user_folder()
    options = [job_file.parent / SHOP_FILE] + ([own / SHOP_FILE] if own else [])
    return next((path for path in options if path.is_file() and path != job_file), None)


def _no_such_job(text: str, name: str) -> JobError:
    near = nearest(name, names("jobs"))
    beside = Path(f"{text}.toml")
    if is_name(text) and beside.is_file():
        hint = f"There is a file {beside} in this folder."
    else:
        hint = f"Did you mean the shipped job {near}?" if near else _shipped()
    return JobError(
        "there is no such job",
        where=text,
        allowed="the path of a TOML file, or the name of a shipped job",
        try_=hint,
    )


def _shipped() -> str:
    return f"Shipped jobs: {', '.join(names('jobs'))}."
