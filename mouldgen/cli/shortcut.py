"""``mouldgen shortcut``: the page, a double click away."""

from __future__ import annotations

import os
import sys
from pathlib import Path

from mouldgen.cli.say import say, say_wrapped
from mouldgen.errors import SurroundingsError, UsageError

FOLDER = "mouldgen-jobs"  # not mouldgen: whoever fetched the project has that folder already
_ON_DESKTOP = (
    "It lies on the desktop and among the programs. Some desktops ask once: right-click it there"
    " and allow it to be started."
)
_AMONG_PROGRAMS = (
    "No folder of the desktop was found, so it is among the programs only: look there for mouldgen."
)


def put_shortcut(folder: Path | None) -> int:
    """Put the shortcut, and say what was written and how it goes on.

    folder : of the jobs, which is there; None for one in the user's own, which is made.
    """
    from mouldgen.files.own_files import put_own
    from mouldgen.files.shortcut import shortcut_files

    home = _home()
    jobs = _jobs(folder, home)
    # -P: a file beside the jobs that is called like a module of ours is none.
    words = [sys.executable, "-P", "-m", "mouldgen", "page", "--folder", str(jobs)]
    files = shortcut_files(words, home=home, environment=os.environ)
    put_own(files)
    _make(jobs)
    for file in files:
        say(f"written: {file.path}")
    say()
    say_wrapped(
        f"A double click on mouldgen opens the page for the jobs in {jobs}. A small window opens"
        " beside it: the page runs as long as that is open, so close it when you are done."
    )
    if sys.platform.startswith("linux"):
        entries = sum(file.path.suffix == ".desktop" for file in files)
        say_wrapped(_ON_DESKTOP if entries > 1 else _AMONG_PROGRAMS)
    return 0


def remove_shortcut() -> int:
    """Remove what `put_shortcut` wrote; the jobs stay where they are."""
    from mouldgen.files.own_files import remove_own
    from mouldgen.files.shortcut import shortcut_files

    files = shortcut_files([sys.executable], home=_home(), environment=os.environ)
    removed, left = remove_own([file.path for file in files])
    for path in removed:
        say(f"removed: {path}")
    for path in left:
        say(f"left alone, mouldgen did not make it: {path}")
    if not removed:
        say("There was no shortcut to remove.")
    return 0


def _home() -> Path:
    try:
        return Path.home()
    except RuntimeError:
        raise SurroundingsError(
            "the system does not say which folder is yours", try_="Set HOME, then try again."
        ) from None


def _jobs(folder: Path | None, home: Path) -> Path:
    """The folder of the jobs, by its whole path."""
    usual = home / FOLDER
    asked = usual if folder is None else folder
    if asked.exists() and not asked.is_dir():
        raise UsageError(
            "is a file, so it cannot hold jobs",
            where=str(asked),
            try_="Move it away, or name another folder with --folder.",
        )
    if folder is not None and not folder.exists():
        raise UsageError(
            "is no folder that is there",
            where=str(folder),
            try_=f"Make it first, or leave --folder out: the jobs then go to {usual}.",
        )
    return asked.resolve()


def _make(jobs: Path) -> None:
    try:
        jobs.mkdir(parents=True, exist_ok=True)
    except OSError as problem:
        raise SurroundingsError(
            f"cannot be made: {problem.strerror or problem}",
            where=str(jobs),
            try_="Move away what has this name, or name another folder with --folder.",
        ) from problem
