"""The shortcut on Windows: a batch file on the desktop, which needs no rights but the user's own.

Written from the system's manual and never run there.
"""

from __future__ import annotations

import ntpath
import sys
from collections.abc import Sequence
from pathlib import Path

from mouldgen.errors import SurroundingsError
from mouldgen.files.own_files import MARK, OwnFile

_FOLDERS = r"Software\Microsoft\Windows\CurrentVersion\Explorer\User Shell Folders"


def windows_shortcut(
    words: Sequence[str], *, home: Path, desktop: Path | None = None
) -> tuple[OwnFile, ...]:
    """One file that a double click runs.

    words : the program, by its whole path, and the words that follow it.
    home : the user's folder.
    desktop : its folder; asked of the system where None.

    Raises SurroundingsError where there is no such folder.
    """
    folder = desktop or _desktop() or home / "Desktop"
    if not folder.is_dir():
        raise SurroundingsError(
            "is not there, and it is where the shortcut goes",
            where=str(folder),
            try_="Start the page with `mouldgen page` instead.",
        )
    return (OwnFile(folder / "mouldgen.cmd", batch_file(words)),)


def batch_file(words: Sequence[str]) -> str:
    """A batch file that runs the words; after a failure its window stays until it was read.

    words : the program, by its whole path, and the words that follow it.

    Lines end as the system's own do: labels and long files are misread otherwise.  65001 is
    UTF-8, which this file is written in; paths are read by it from the next line on.
    """
    lines = (
        "@echo off",
        f"rem {MARK}; to remove it: mouldgen shortcut --remove",
        "chcp 65001 >nul",
        "title mouldgen",
        "echo Close this window when you are done: the page ends with it.",
        " ".join(_quoted(word) for word in words),
        "if errorlevel 1 pause",
    )
    return "".join(f"{line}\r\n" for line in lines)


def _quoted(word: str) -> str:
    """A word in quotes: no file name holds a quote; a percent sign would name a variable.

    A backslash at the end would take the closing quote along: that of a drive is the only one
    that a path keeps.
    """
    if word.endswith("\\"):
        word = ntpath.join(word, ".")
    return '"{}"'.format(word.replace("%", "%%"))


def _desktop() -> Path | None:  # pragma: no cover - not run on this system
    """Where the user's desktop is, which may have been moved, as the registry has it."""
    if sys.platform == "win32":
        import winreg

        try:
            with winreg.OpenKey(winreg.HKEY_CURRENT_USER, _FOLDERS) as key:
                told, _ = winreg.QueryValueEx(key, "Desktop")
        except OSError:
            return None
        return Path(ntpath.expandvars(str(told)))
    return None
