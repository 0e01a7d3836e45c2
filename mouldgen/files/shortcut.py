"""A shortcut on the desktop that opens the page: which files that takes on each system.

Each opens a small window of the terminal, in which the page runs until the window is closed:
that is how a maker sees that it runs, reads what went wrong, and ends it.
"""

from __future__ import annotations

import sys
from collections.abc import Mapping, Sequence
from pathlib import Path

from mouldgen.errors import UsageError
from mouldgen.files.own_files import OwnFile
from mouldgen.files.shortcut_linux import linux_shortcut
from mouldgen.files.shortcut_macos import macos_shortcut
from mouldgen.files.shortcut_windows import windows_shortcut


def shortcut_files(
    words: Sequence[str],
    *,
    home: Path,
    environment: Mapping[str, str],
    system: str = sys.platform,
) -> tuple[OwnFile, ...]:
    """The files of a shortcut, in the order in which they are to be written.

    words : the program to start, by its whole path, and the words that follow it.
    home : the user's folder.
    environment : variables of the process.
    system : as ``sys.platform`` names it.

    Raises UsageError for a path with a line end or another character that cannot be printed;
    SurroundingsError where Windows has no folder for the desktop.
    """
    for path in (*words, str(home)):
        if not path.isprintable():
            raise UsageError(
                f"a shortcut cannot hold the path {path!r}",
                allowed="letters, digits, blanks and other characters that can be printed",
                try_="Give another --folder.",
            )
    if system == "win32":
        return windows_shortcut(words, home=home)
    if system == "darwin":
        return macos_shortcut(words, home=home)
    return linux_shortcut(words, home=home, environment=environment)
