"""The shortcut on macOS: a script on the desktop that opens in a window of the terminal.

Written from the system's manual and never run there.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from mouldgen.files.own_files import OwnFile
from mouldgen.files.shortcut_shell import shell_script


def macos_shortcut(words: Sequence[str], *, home: Path) -> tuple[OwnFile, ...]:
    """One file that a double click runs; the system asks for its ending and the right to run.

    words : the program, by its whole path, and the words that follow it.
    home : the user's folder; its Desktop has this name in every language.
    """
    return (OwnFile(home / "Desktop" / "mouldgen.command", shell_script(words), runs=True),)
